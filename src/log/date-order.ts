import { LogError, type Question } from '../errors';
import type { Separator } from './cells';
import type { TimeFormat } from './description';
import { trimmedEnd } from './lines';
import { type LogText, textOf } from './open-log';
import { type DateOrder, dayNumber } from './stamp-text';

/** The order of day and month, and why. */
export interface SettledOrder {
  readonly format: TimeFormat;
  readonly grounds: string;
  readonly assumptions: readonly string[];
  readonly questions: readonly Question[];
}

interface WrittenDate {
  readonly line: number;
  readonly text: string;
  readonly numbers: readonly [number, number, number];
  readonly mark: string;
  readonly yearDigits: number;
}

const FORMAT_OF: Readonly<Record<DateOrder, TimeFormat>> = {
  dmy: 'day-month-year',
  mdy: 'month-day-year',
  ymd: 'year-month-day',
};
/** Different dates to look at; a log has one a day. */
const MOST_DATES = 5000;

/**
 * Settles the order of day and month by the whole column: numbers above 12, the step from day to day, the name of the
 * file, dots (day first wherever dots are used: common practice, no source); else it stays open.
 * @param log the log as lines
 * @param column of the date, from 1
 * @param firstDataLine from 1
 * @param separator of the cells
 * @param name header of the column
 * @returns the order, or the question
 * @throws LogError where no order fits all dates
 */
export function settleDateOrder(
  log: LogText,
  column: number,
  firstDataLine: number,
  separator: Separator,
  name: string,
): SettledOrder {
  const dates = differentDates(log, column, firstDataLine, separator);
  const candidates: DateOrder[] = dates.some(({ yearDigits }) => yearDigits > 2)
    ? ['dmy', 'mdy']
    : ['dmy', 'mdy', 'ymd'];
  const first = dates[0];
  if (first === undefined) return settled('day-month-year', 'no date in it');
  const valid = candidates.filter((order) => dates.every((date) => !Number.isNaN(dayIn(order, date))));
  if (valid.length === 0) throw mixedOrders(log, column, dates);
  if (valid.length === 1) return settled(FORMAT_OF[valid[0]], deciding(dates, valid[0]));
  const [one, ...others] = valid.map((order) => dates.map((date) => dayIn(order, date)).join());
  if (others.every((days) => days === one)) return settled(FORMAT_OF[valid[0]], 'all orders mean the same day');
  const steady = valid.filter((order) => runsOn(dates.map((date) => dayIn(order, date))));
  if (steady.length === 1 && dates.length > 1) {
    const grounds = `only ${FORMAT_OF[steady[0]]} makes the dates run on from ${first.text} to ${dates.at(-1)!.text}`;
    return settled(FORMAT_OF[steady[0]], grounds);
  }
  const named = orderByFileName(log.file, dates, valid);
  if (named) return settled(FORMAT_OF[named], `the name of the file holds the same date as ${first.text}`);
  if (first.mark === '.' && valid.includes('dmy')) {
    const taken = `dates such as ${first.text} taken as day.month.year`;
    const assumption = `${taken}, as dates with dots are (change with --date-order)`;
    return { ...settled('day-month-year', 'dates with dots'), assumptions: [assumption] };
  }
  const question: Question = {
    about: 'date order',
    text: `dates such as ${first.text} in column "${name}" fit ${valid.map((order) => FORMAT_OF[order]).join(' and ')}`,
    column: name,
    choices: valid,
    answer: '--date-order dmy, or { dateOrder: "dmy" }',
  };
  return {
    format: 'day and month open',
    grounds: 'nothing in the column tells',
    assumptions: [],
    questions: [question],
  };
}

function settled(format: TimeFormat, grounds: string): SettledOrder {
  return { format, grounds, assumptions: [], questions: [] };
}

function deciding(dates: readonly WrittenDate[], order: DateOrder): string {
  const at = order === 'dmy' ? 0 : 1;
  const proof = dates.find(({ numbers }) => numbers[at] > 12) ?? dates[0];
  return `${FORMAT_OF[order]}: ${proof.text} in line ${proof.line} fits no other order`;
}

function mixedOrders(log: LogText, column: number, dates: readonly WrittenDate[]): LogError {
  const counts = (order: DateOrder): number => dates.filter((date) => !Number.isNaN(dayIn(order, date))).length;
  const order = counts('dmy') >= counts('mdy') ? 'dmy' : 'mdy';
  const odd = dates.find((date) => Number.isNaN(dayIn(order, date)))!;
  const expected = `a date as ${FORMAT_OF[order]}, like ${dates.find((date) => date !== odd)?.text ?? 'the others'}`;
  const remedy = 'no one order fits all dates of the column';
  return new LogError({ file: log.file, line: odd.line, column, met: `"${odd.text}"`, expected, remedy });
}

function dayIn(order: DateOrder, { numbers: [a, b, c], yearDigits }: WrittenDate): number {
  const century = (year: number): number => (yearDigits > 2 ? year : year + (year < 70 ? 2000 : 1900));
  if (order === 'dmy') return dayNumber(century(c), b, a);
  if (order === 'mdy') return dayNumber(century(c), a, b);
  return dayNumber(century(a), b, c);
}

/** Days of a log follow each other: never back, and no leap of weeks. */
function runsOn(days: readonly number[]): boolean {
  return days.every((day, i) => i === 0 || (day >= days[i - 1] && day - days[i - 1] <= 14));
}

function orderByFileName(
  file: string,
  dates: readonly WrittenDate[],
  valid: readonly DateOrder[],
): DateOrder | undefined {
  for (const match of file.matchAll(/(?<!\d)(20\d\d)[-_.]?(\d\d)[-_.]?(\d\d)(?!\d)/g)) {
    const day = dayNumber(Number(match[1]), Number(match[2]), Number(match[3]));
    const orders = valid.filter((order) => dates.some((date) => dayIn(order, date) === day));
    if (orders.length === 1) return orders[0];
  }
  return undefined;
}

function differentDates(log: LogText, column: number, firstDataLine: number, separator: Separator): WrittenDate[] {
  const dates: WrittenDate[] = [];
  let last = '';
  for (let line = firstDataLine - 1; line < log.lines.length - 1 && dates.length < MOST_DATES; line++) {
    const start = log.lines[line];
    const end = trimmedEnd(log.bytes, start, log.lines[line + 1]);
    const from = cellStart(log.bytes, start, end, separator, column);
    if (from < 0 || sameBytes(log.bytes, from, end, last)) continue;
    const text = textOf(log, from, Math.min(end, from + 30));
    const match = /^"?(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})(?!\d)/.exec(text);
    if (!match) continue;
    last = match[0];
    const numbers = [Number(match[1]), Number(match[3]), Number(match[4])] as const;
    const yearDigits = Math.max(match[1].length, match[4].length);
    dates.push({ line: line + 1, text: match[0].replace('"', ''), numbers, mark: match[2], yearDigits });
  }
  return dates;
}

function sameBytes(bytes: Uint8Array, from: number, end: number, text: string): boolean {
  if (text === '' || from + text.length > end) return false;
  for (let i = 0; i < text.length; i++) if (bytes[from + i] !== text.charCodeAt(i)) return false;
  return !(bytes[from + text.length] >= 48 && bytes[from + text.length] <= 57);
}

/** First byte of a cell, or -1 where the line has fewer; a quote in front of it is included. */
function cellStart(bytes: Uint8Array, start: number, end: number, separator: Separator, column: number): number {
  const blanks = separator === 'spaces';
  const code = blanks ? 32 : separator.charCodeAt(0);
  const parts = (c: number): boolean => c === code || (blanks && c === 9);
  let at = start;
  while (at < end && (bytes[at] === 32 || (bytes[at] === 9 && code !== 9))) at++;
  for (let cell = 1; cell < column; cell++) {
    if (bytes[at] === 34) at = Math.max(at, bytes.indexOf(34, at + 1));
    while (at < end && !parts(bytes[at])) at++;
    if (at >= end) return -1;
    at++;
    while (at < end && bytes[at] === 32) at++;
  }
  return at < end ? at : -1;
}
