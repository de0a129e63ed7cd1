import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/**
 * Writes what a command makes; folders that are not there are made.
 * @param path where
 * @param made text or bytes
 */
export function writeOut(path: string, made: string | Uint8Array): void {
  mkdirSync(dirname(resolve(path)), { recursive: true });
  writeFileSync(path, made);
}
