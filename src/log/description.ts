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
  readonly commentMark: string;
  readonly time: TimeDescription;
  readonly columns: readonly ColumnDescription[];
  /** The channels' answers: barometer (Pa) for readings below atmosphere, and so on. */
  readonly barometerPa?: number;
  /** Why each guess was made, in sentences, by the name of the field. */
  readonly grounds: Readonly<Record<string, string>>;
}

/** How time is written. */
export interface TimeDescription {
  /** Columns (from 1) that make up the time: one, or date and time; empty where there is none and rows are counted. */
  readonly columns: readonly number[];
  /** A format in words of ours, such as `seconds`, `elapsed h:m:s`, `time of day`, `iso`, `epoch s`, `day-month-year`. */
  readonly format: string;
  /** For rows without time: seconds per row. */
  readonly stepS?: number;
}

/** What a column holds. */
export interface ColumnDescription {
  /** Column in the file, counted from 1. */
  readonly column: number;
  readonly name: string;
  readonly role: 'time' | 'date' | 'channel' | 'text' | 'remark' | 'ignored';
  readonly quantity: ChannelQuantity;
  readonly unit: string;
  readonly unitFrom: UnitSource;
  /** Readings below atmosphere (vacuum gauge reading): p = barometer - reading. */
  readonly belowAtmosphere: boolean;
  /** Law of a voltage column: p = a U + b, or p = 10^(a U + b), in the named unit. */
  readonly law?: { readonly kind: 'linear' | 'log'; readonly a: number; readonly b: number; readonly unit: string };
  /** Readings at or above this (in the column's unit) are a clamp, not a pressure. */
  readonly clampHigh?: number;
  readonly clampLow?: number;
}
