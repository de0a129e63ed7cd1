import { LogError, type Question } from '../errors';
import { cellKind } from './cell-kind';
import { splitCells } from './cells';
import type { ColumnDescription, LogDescription } from './description';
import { trimmedEnd } from './lines';
import { type LogText, textOf } from './open-log';
import type { RawRows } from './read-rows';

/** Header and data of a continuing file stand within its first lines. */
const HEAD = 400;

/**
 * The description for a file that continues the first: its header is looked for, and its columns may stand in another
 * order; a file without any header has the columns of the first.
 * @param log the continuing file
 * @param first the first file
 * @param description of the first file
 * @returns how to read the continuing file
 * @throws LogError where the columns are others
 */
export function descriptionFor(log: LogText, first: LogText, description: LogDescription): LogDescription {
  const { headerLine, unitsLine, columns } = description;
  if (headerLine === 0) return { ...description, firstDataLine: 1 };
  const wanted = lineText(first, headerLine).trim();
  const lines = Math.min(log.lines.length - 1, HEAD);
  for (let line = 1; line <= lines; line++) {
    if (lineText(log, line).trim() !== wanted) continue;
    const below = unitsLine > 0 ? unitsLine - headerLine : 0;
    const units = below > 0 ? line + below : 0;
    if (units > 0 && lineText(log, units).trim() !== lineText(first, unitsLine).trim())
      throw otherUnits(log, first, units, unitsLine);
    return { ...description, headerLine: line, unitsLine: units, firstDataLine: (units || line) + 1 };
  }
  for (let line = 1; line <= lines; line++) {
    const cells = splitCells(lineText(log, line), description.separator);
    const order = sameNames(cells, columns);
    if (order) return { ...description, columns: order, headerLine: line, unitsLine: 0, firstDataLine: line + 1 };
  }
  const start = firstWritten(log);
  const cells = splitCells(lineText(log, start), description.separator);
  const numbers = cells.filter((cell) => ['number', 'stamp'].includes(cellKind(cell, description.decimalMark)));
  if (cells.length === columns.length && numbers.length > 0 && numbers.length >= cells.length / 2) {
    return { ...description, headerLine: 0, unitsLine: 0, firstDataLine: start };
  }
  const met = `"${lineText(log, start).slice(0, 80)}"`;
  const expected = `the header of ${first.file}, "${wanted.slice(0, 80)}"`;
  throw new LogError({ file: log.file, line: start, met, expected, remedy: 'read logs with other columns one by one' });
}

function otherUnits(log: LogText, first: LogText, line: number, unitsLine: number): LogError {
  const expected = `the units of ${first.file}, "${lineText(first, unitsLine).slice(0, 80)}"`;
  const met = `"${lineText(log, line).slice(0, 80)}"`;
  return new LogError({ file: log.file, line, met, expected, remedy: 'read logs with other units one by one' });
}

function lineText(log: LogText, line: number): string {
  if (line < 1 || line >= log.lines.length) return '';
  const start = log.lines[line - 1];
  return textOf(log, start, Math.min(trimmedEnd(log.bytes, start, log.lines[line]), start + 100_000));
}

function firstWritten(log: LogText): number {
  for (let line = 1; line < log.lines.length; line++) if (lineText(log, line).trim() !== '') return line;
  return 1;
}

/** The columns in the order of another header with the same names; undefined where the names differ. */
function sameNames(cells: readonly string[], columns: readonly ColumnDescription[]): ColumnDescription[] | undefined {
  if (cells.length !== columns.length) return undefined;
  const byName = new Map(columns.map((column) => [column.name, column]));
  const order = cells.map((cell) => byName.get(cell));
  return order.every((column) => column !== undefined) && new Set(order).size === columns.length
    ? (order as ColumnDescription[])
    : undefined;
}

/** Rows of a file that fall into the time of another and repeat nothing of it: from this share of the file on, it is asked. */
const ANOTHER_RECORD = 0.1;

/**
 * Files that run at the same time and read otherwise do not continue each other: they are two gauges of one event, two
 * runs, or a mistake. Rows that overlap and are the same are an overlap.
 * @param parts rows of each file, in the order given
 * @param names of the files
 * @returns the question whether they are to be joined, about the first such pair; undefined where there is none
 */
export function questionOfJoining(parts: readonly RawRows[], names: readonly string[]): Question | undefined {
  const inTime = parts
    .map((part, k) => ({ part, name: names[k], ...spanOf(part) }))
    .filter(({ part: { rows, time, hasDate } }) => rows > 1 && (hasDate || time[rows - 1] >= time[0]))
    .sort((a, b) => a.from - b.from);
  for (let k = 1; k < inTime.length; k++) {
    const [before, after] = [inTime[k - 1], inTime[k]];
    if (after.from >= before.to) continue;
    const { inside, same } = rowsInside(before.part, after.part, after.from, before.to);
    if (inside - same < 2 || inside - same < ANOTHER_RECORD * Math.min(before.part.rows, after.part.rows)) continue;
    return joining(before.name, after.name, after.from === before.from);
  }
  return undefined;
}

function joining(before: string, after: string, together: boolean): Question {
  const how = together ? 'begins at the same time as' : 'begins before the end of';
  return {
    about: 'joining',
    text:
      `${after} ${how} ${before} and reads otherwise: two gauges or two runs are read one by one; ` +
      'does it continue it all the same, with a clock that started again?',
    choices: [],
    answer: '--join where it does, or { join: true }',
  };
}

/**
 * Files with dates in the order of their first stamps, however they were given; a clock alone does not tell the day.
 * @param parts rows of each file
 * @returns them in the order of time, with a word about it where that is another order
 */
export function inOrderOfTime(parts: readonly RawRows[]): readonly RawRows[] {
  if (!parts.every(({ rows, hasDate }) => hasDate && rows > 0)) return parts;
  const sorted = [...parts].sort((a, b) => spanOf(a).from - spanOf(b).from);
  if (sorted.every((part, k) => part === parts[k])) return parts;
  const said = 'the files are taken in the order of their stamps, which is not the order in which they were given';
  return [{ ...sorted[0], assumptions: [said, ...sorted[0].assumptions] }, ...sorted.slice(1)];
}

/** First and last stamp of a file, whichever way its rows run. */
function spanOf({ time, rows, base }: RawRows): { readonly from: number; readonly to: number } {
  const [first, last] = rows === 0 ? [0, 0] : [base + time[0], base + time[rows - 1]];
  return { from: Math.min(first, last), to: Math.max(first, last) };
}

/** How many rows of a file stand before the end of another, and how many of these are rows of it, too. */
function rowsInside(before: RawRows, after: RawRows, from: number, end: number): { inside: number; same: number } {
  const places = new Map<number, number>();
  for (let i = 0; i < before.rows; i++) {
    const at = before.base + before.time[i];
    if (at >= from) places.set(at, i);
  }
  let inside = 0;
  let same = 0;
  for (let i = 0; i < after.rows; i++) {
    const at = after.base + after.time[i];
    if (at >= end) continue;
    inside++;
    const row = places.get(at);
    if (row !== undefined && before.values.every((column, k) => Object.is(column[row], after.values[k][i]))) same++;
  }
  return { inside, same };
}

/**
 * Puts the rows of continuing files one after the other.
 * @param parts rows of each file, their columns in the same order
 * @param continuing whether rows are counted instead of timed
 * @returns all rows, times counted from the base of the first
 */
export function joinRows(parts: readonly RawRows[], continuing: boolean): RawRows {
  const [first] = parts;
  if (parts.length === 1) return first;
  const rows = parts.reduce((sum, part) => sum + part.rows, 0);
  const time = new Float64Array(rows);
  let at = 0;
  for (const part of parts) {
    const step = part.rows > 1 ? part.time[1] - part.time[0] : 1;
    const shift = continuing ? (at > 0 ? time[at - 1] + step : 0) : part.base - first.base;
    for (let i = 0; i < part.rows; i++) time[at + i] = part.time[i] + shift;
    at += part.rows;
  }
  const joined = <T extends Float64Array | Uint8Array | Uint32Array>(
    make: (n: number) => T,
    pick: (part: RawRows) => T,
  ): T => {
    const whole = make(rows);
    let from = 0;
    for (const part of parts) {
      whole.set(pick(part), from);
      from += part.rows;
    }
    return whole;
  };
  const starts = parts.map((_, k) => parts.slice(0, k).reduce((sum, part) => sum + part.rows, 0));
  const leftOut: Record<string, number> = {};
  for (const part of parts) {
    for (const [reason, count] of Object.entries(part.leftOut)) leftOut[reason] = (leftOut[reason] ?? 0) + count;
  }
  return {
    ...first,
    rows,
    time,
    largestHour: Math.max(...parts.map((part) => part.largestHour)),
    hasHalfDay: parts.some((part) => part.hasHalfDay),
    lines: joined(
      (n) => new Uint32Array(n),
      (part) => part.lines,
    ),
    oddCells: first.oddCells.map((_, k) => parts.find((part) => part.oddCells[k])?.oddCells[k]),
    values: first.values.map((_, k) =>
      joined(
        (n) => new Float64Array(n),
        (part) => part.values[k],
      ),
    ),
    flags: first.flags.map((_, k) =>
      joined(
        (n) => new Uint8Array(n),
        (part) => part.flags[k],
      ),
    ),
    texts: first.texts.map((_, k) => parts.flatMap((part) => part.texts[k])),
    comments: parts.flatMap((part, k) => part.comments.map(({ row, text }) => ({ row: row + starts[k], text }))),
    leftOut,
    assumptions: parts.flatMap((part) => part.assumptions),
  };
}
