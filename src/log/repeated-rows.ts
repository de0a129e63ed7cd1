import { keepRows } from './keep-rows';
import type { RawRows } from './read-rows';

/** Fewest different readings among rows that repeat earlier ones: a flat pressure repeats by itself. */
const FEWEST_VALUES = 2;
/** In a log of stamps without any order the search is given up after so many looks. */
const MOST_LOOKS = 2e7;

/**
 * Leaves out rows that repeat earlier ones, stamp by stamp and reading by reading, as where files that overlap are joined.
 * Only dated stamps can tell: a time that starts again at zero may well repeat itself.
 * @param raw rows as read, of one file or several
 * @returns the rows without the repeated ones, which are counted
 */
export function withoutRepeatedRows(raw: RawRows): RawRows {
  if (!raw.hasDate) return raw;
  const { time, rows } = raw;
  const repeated = new Uint8Array(rows);
  let count = 0;
  const looks = { left: MOST_LOOKS };
  for (let i = 1; i < rows; i++) {
    if (!(time[i] < time[i - 1])) continue;
    const length = repeatedFrom(raw, i, looks);
    repeated.fill(1, i, i + length);
    count += length;
    i += Math.max(0, length - 1);
  }
  if (count === 0) return raw;
  const said = `${count} rows have stamps and readings of earlier rows (an overlap): left out`;
  return keepRows(raw, repeated, count, 'rows that repeat earlier ones', said);
}

/** Rows from `start` on that repeat earlier ones up to there, or to the end of the log. */
function repeatedFrom(raw: RawRows, start: number, looks: { left: number }): number {
  const { time, rows } = raw;
  let earlier = start - 1;
  while (earlier >= 0 && time[earlier] > time[start] && looks.left-- > 0) earlier--;
  while (earlier > 0 && time[earlier - 1] === time[start] && looks.left-- > 0) earlier--;
  let length = 0;
  const different = new Set<number>();
  while (start + length < rows && earlier + length < start && sameRow(raw, earlier + length, start + length)) {
    for (const values of raw.values) if (different.size < FEWEST_VALUES) different.add(values[start + length]);
    length++;
  }
  const toTheEnd = earlier + length === start || start + length === rows;
  return toTheEnd && length > 1 && different.size >= FEWEST_VALUES ? length : 0;
}

function sameRow({ time, values, flags, texts }: RawRows, a: number, b: number): boolean {
  if (a < 0 || time[a] !== time[b]) return false;
  return (
    values.every((column) => Object.is(column[a], column[b])) &&
    flags.every((column) => column[a] === column[b]) &&
    texts.every((column) => column[a] === column[b])
  );
}
