import { readReading, wordFlag } from './reading-text';
import { newStamp, readStamp, type Stamp } from './stamp-text';

/** What a cell looks like, on its own. */
export type CellKind = 'empty' | 'number' | 'stamp' | 'word' | 'text';

const encoder = new TextEncoder();
const stamp = newStamp();

const NUMBER = { '.': /^[-+]?(\d+\.?\d*|\.\d+)([ed][-+]?\d+)?$/i, ',': /^[-+]?(\d+,?\d*|,\d+)([ed][-+]?\d+)?$/i };

/**
 * What a cell looks like: a number (also with a bound or a unit), a time stamp, a word in place of a reading, or text.
 * @param cell without surrounding blanks
 * @param mark decimal mark
 * @returns what it looks like
 */
export function cellKind(cell: string, mark: '.' | ','): CellKind {
  if (cell === '') return 'empty';
  if (NUMBER[mark].test(cell)) return 'number';
  if (cell.length > 80) return 'text';
  if (asStamp(cell)) return 'stamp';
  if (wordFlag(cell) !== undefined) return 'word';
  const reading = readReading(cell, mark);
  return reading.understood ? 'number' : 'text';
}

/**
 * Reads a cell as a time stamp in whatever order makes it one; only its shape is to be used.
 * @param cell without surrounding blanks
 * @returns the stamp (the same object each time), or undefined where the cell is none
 */
export function asStamp(cell: string): Stamp | undefined {
  if (cell.length > 60 || !/\d/.test(cell)) return undefined;
  const bytes = encoder.encode(cell);
  for (const order of ['dmy', 'mdy', 'ymd'] as const) {
    if (readStamp(bytes, 0, bytes.length, order, stamp)) return stamp;
  }
  return asDottedClock(cell);
}

const DOTTED_CLOCK = /^\d{1,2}\.\d\d\.\d\d(?:[.,]\d+)?$/;

/**
 * Reads a cell as a time of day that is written with dots, such as `14.05.30`.
 * @param cell without surrounding blanks
 * @returns the stamp (the same object each time), or undefined where the cell is none
 */
export function asDottedClock(cell: string): Stamp | undefined {
  if (!DOTTED_CLOCK.test(cell)) return undefined;
  const bytes = encoder.encode(cell);
  return readStamp(bytes, 0, bytes.length, 'clock', stamp) && stamp.hours < 24 ? stamp : undefined;
}
