import { appendFileSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import type { LogDescription } from '../../src/log/description';

/** A file that a notebook asked for, as the run that packs it writes it down. */
export interface FileRead {
  /** The path as it stands in the notebook. */
  readonly asked: string;
  /** Where it lay, absolute. */
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  /** For a log: how it was understood, so that it can be parsed again in the same way. */
  readonly description?: LogDescription;
}

/** Environment variables by which a run is told to write down what its cells read, and to read packed copies instead. */
export const FILES_READ_VARIABLE = 'BLANKOFF_FILES_READ';
export const PACKED_FILES_VARIABLE = 'BLANKOFF_PACKED_FILES';

/**
 * Where the file really lies: in a run of a packed investigation the copy that was packed, else the path itself.
 * @param asked the path as it stands in the notebook
 * @returns an absolute path
 */
export function whereItLies(asked: string): string {
  const list = process.env[PACKED_FILES_VARIABLE];
  if (!list) return resolve(asked);
  const packed = JSON.parse(readFileSync(list, 'utf8')) as Record<string, string>;
  return Object.hasOwn(packed, asked) ? packed[asked] : resolve(asked);
}

/**
 * Writes down that a file was read, where the run was asked to (see {@link FILES_READ_VARIABLE}).
 * @param read what was read
 */
export function noteFileRead(read: FileRead): void {
  const list = process.env[FILES_READ_VARIABLE];
  if (list) appendFileSync(list, `${JSON.stringify(read)}\n`);
}

/**
 * The files that a run wrote down, each once, in the order of their first reading.
 * @param list the path that was given in {@link FILES_READ_VARIABLE}
 */
export function filesRead(list: string): FileRead[] {
  let text: string;
  try {
    text = readFileSync(list, 'utf8');
  } catch {
    return [];
  }
  const reads = text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as FileRead);
  return [...new Map(reads.map((read) => [read.asked, read])).values()];
}
