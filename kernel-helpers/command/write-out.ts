import { accessSync, constants, existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { BlankoffError } from '../../src/errors';

/** What a file system says of a place that cannot be written to, in words. */
const WORDS: Readonly<Record<string, string>> = {
  EISDIR: 'a folder',
  EEXIST: 'a file where a folder would have to be',
  ENOTDIR: 'a file where a folder would have to be',
  ENOENT: 'a folder in which nothing can be written',
  EACCES: 'no permission to write there',
  EPERM: 'no permission to write there',
  EROFS: 'a disk that can only be read',
  ENOSPC: 'a disk that is full',
};

/**
 * Sees to it that a command can write what it makes, before it makes it: a run takes a while.
 * @param path where it is to be written
 * @throws BlankoffError (`output`) where that is a folder, or lies in something that is none or cannot be written to
 */
export function requirePlaceFor(path: string): void {
  let place = resolve(path);
  if (existsSync(place) && statSync(place).isDirectory()) throw noPlace(path, WORDS.EISDIR);
  while (!existsSync(place)) place = dirname(place);
  const isFile = !statSync(place).isDirectory();
  if (isFile && place !== resolve(path)) throw noPlace(path, WORDS.ENOTDIR);
  try {
    accessSync(place, constants.W_OK);
  } catch {
    throw noPlace(path, WORDS.EACCES);
  }
}

/**
 * Writes what a command makes; folders that are not there are made.
 * @param path where
 * @param made text or bytes
 * @throws BlankoffError (`output`) where it cannot be written there
 */
export function writeOut(path: string, made: string | Uint8Array): void {
  try {
    mkdirSync(dirname(resolve(path)), { recursive: true });
    writeFileSync(path, made);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : '';
    if (!Object.hasOwn(WORDS, code)) throw error;
    throw noPlace(path, WORDS[code]);
  }
}

function noPlace(path: string, met: string): BlankoffError {
  return new BlankoffError('output', `${path}: met ${met}, expected a file that can be written: give another path`);
}
