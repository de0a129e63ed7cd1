import { LogError } from '../errors';
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
  const joined = <T extends Float64Array | Uint8Array>(make: (n: number) => T, pick: (part: RawRows) => T): T => {
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
