import { formatNumber } from '../../src/units';
import type { FrameLike } from './kinds';
import type { ShownTable, TableCell } from './table';

/** Most rows that are shown of a long table: the first and the last of them. */
export const SHOWN_ROWS = 40;

function cellText(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return Number.isInteger(value) ? String(value) : formatNumber(value, 6);
  if (typeof value === 'string') return value;
  if (value instanceof Date) return value.toISOString();
  if (Array.isArray(value)) return value.map(cellText).join(', ');
  if (typeof value === 'object') return JSON.stringify(value);
  return String(value);
}

/** A list of texts stands line by line; everything else in one. */
function cellOf(value: unknown): TableCell {
  return Array.isArray(value) && value.every((one) => typeof one === 'string') ? value : cellText(value);
}

/** Rows to show: all, or the first and the last where there are too many. */
function shownRows(count: number, most: number): { rows: number[]; note?: string } {
  if (count <= most) return { rows: Array.from({ length: count }, (_, row) => row) };
  const first = Math.ceil(most / 2);
  const last = most - first;
  const rows = Array.from({ length: most }, (_, k) => (k < first ? k : count - most + k));
  return { rows, note: `The first ${first} and the last ${last} of ${count} rows.` };
}

/** A danfo frame as a table, with its index in front. */
export function tableOfFrame(frame: FrameLike, most: number, caption?: string): ShownTable {
  const { rows, note } = shownRows(frame.values.length, most);
  return {
    ...(caption === undefined ? {} : { caption }),
    head: ['', ...frame.columns.map(String)],
    rows: rows.map((row) => [String(frame.index[row]), ...frame.values[row].map(cellText)]),
    ...(note === undefined ? {} : { note }),
  };
}

/** Records as a table: a column for every field that any of them has. */
export function tableOfRecords(
  records: readonly Readonly<Record<string, unknown>>[],
  most: number,
  caption?: string,
): ShownTable {
  const { rows, note } = shownRows(records.length, most);
  const head = [...new Set(rows.flatMap((row) => Object.keys(records[row])))];
  return {
    ...(caption === undefined ? {} : { caption }),
    head,
    rows: rows.map((row) => head.map((name) => cellOf(records[row][name]))),
    ...(note === undefined ? {} : { note }),
  };
}
