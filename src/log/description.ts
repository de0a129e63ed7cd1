import type { Question } from '../errors';
import type { ChannelQuantity, UnitSource } from './gauge-log';

/** How a log is written: what detection returns, what a person may edit, and what parsing obeys. */
export interface LogDescription {
  readonly encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'latin1';
  readonly compression: 'none' | 'gzip';
  readonly format: 'text' | 'spreadsheet' | 'json' | 'ndjson';
  /** Sheet of a spreadsheet; absent otherwise. */
  readonly sheet?: string;
  /** `spaces` stands for runs of blanks. */
  readonly separator: ',' | ';' | '\t' | '|' | 'spaces';
  readonly decimalMark: '.' | ',';
  /** Line of the header, counted from 1; 0 where there is none. */
  readonly headerLine: number;
  /** Line of the units under the header; 0 where there is none. */
  readonly unitsLine: number;
  /** First line of data, counted from 1. */
  readonly firstDataLine: number;
  /** What comment lines begin with; empty where there are none. */
  readonly commentMark: string;
  readonly time: TimeDescription;
  readonly columns: readonly ColumnDescription[];
  /** The channels' answers: barometer (Pa) for readings relative to atmosphere. */
  readonly barometerPa?: number;
  /** Column (from 1) with the barometer reading; `barometerPa` comes first. */
  readonly barometerColumn?: number;
  /** Why each guess was made, in sentences, by the name of the field (for a column `column 3`). */
  readonly grounds: Readonly<Record<string, string>>;
  /** Guesses that a person should see, each in a sentence. */
  readonly assumptions: readonly string[];
  /** What was open when the description was made; parsing drops those that it answers since. */
  readonly questions: readonly Question[];
}

/** The formats of time; numbers, then stamps of text, then what is open. */
export const TIME_FORMATS = [
  /** No time in the log: `stepS` seconds from row to row. */
  'rows',
  'microseconds',
  'milliseconds',
  'seconds',
  'minutes',
  'hours',
  'days',
  'epoch s',
  'epoch ms',
  'epoch us',
  'epoch ns',
  /** Seconds since 1 January 1904, as some laboratory software counts. */
  'epoch 1904 s',
  /** Days since 30 December 1899, as spreadsheets count. */
  'spreadsheet days',
  'time of day',
  'elapsed h:m:s',
  'elapsed h:m',
  'elapsed m:s',
  'iso',
  'year-month-day',
  'day-month-year',
  'month-day-year',
  /** Read as day-month-year until the question is answered. */
  'day and month open',
  /** Numbers without a unit, read as seconds until the question is answered. */
  'unit open',
  /** Times of two fields, read as minutes and seconds until the question is answered. */
  'two fields open',
] as const;

/** One of `TIME_FORMATS`. */
export type TimeFormat = (typeof TIME_FORMATS)[number];

/** How time is written. */
export interface TimeDescription {
  /** Columns (from 1) that make up the time: one, or date and time; empty where there is none and rows are counted. */
  readonly columns: readonly number[];
  readonly format: TimeFormat;
  /** For rows without time: seconds per row. */
  readonly stepS?: number;
  /** Column (from 1) of a coarser dated stamp that gives the start only. */
  readonly startColumn?: number;
}

/** What a column holds. */
export interface ColumnDescription {
  /** Column in the file, counted from 1. */
  readonly column: number;
  readonly name: string;
  readonly role: 'time' | 'date' | 'channel' | 'text' | 'remark' | 'ignored';
  /** What it measures. A pressure, temperature or flow without a unit is read as a plain number until it has one. */
  readonly quantity: ChannelQuantity;
  /** Canonical label, such as `mTorr`, `inHg vac`, `psig`; empty where it has none. */
  readonly unit: string;
  readonly unitFrom: UnitSource;
  /** Readings below atmosphere (vacuum gauge reading): p = barometer - reading. */
  readonly belowAtmosphere: boolean;
  /** A wanted value, not a reading. */
  readonly setpoint?: boolean;
  /** Words such as open and closed stand for 1 and 0. */
  readonly states?: boolean;
  /** Law of a voltage column: p = a U + b, or p = 10^(a U + b), in the named unit. */
  readonly law?: { readonly kind: 'linear' | 'log'; readonly a: number; readonly b: number; readonly unit: string };
  /** Readings at or above this (in the column's unit) are a clamp, not a pressure. */
  readonly clampHigh?: number;
  readonly clampLow?: number;
}
