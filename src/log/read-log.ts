import { ArgumentError } from '../errors';
import { describeText, fileName } from './describe-log';
import type { GaugeLog } from './gauge-log';
import { openLog } from './open-log';
import { parseText } from './parse-log';
import type { ReadOptions } from './read-options';

/**
 * Reads a log: finds out how it is written, then reads it so. It never stops at an open question: what is open stands
 * in
 * `questions`, and a channel whose unit is open is a `number` with the values of the file (`requireAnswers` throws).
 * @param bytes the file, or several files that continue each other
 * @param options answers and wishes
 * @returns the log, with what was assumed and what is open
 * @throws LogError where the bytes hold no readings, or no pressure
 */
export function readLog(bytes: Uint8Array | readonly Uint8Array[], options: ReadOptions = {}): GaugeLog {
  const files = bytes instanceof Uint8Array ? [bytes] : bytes;
  if (files.length === 0) throw new ArgumentError('log', 'no file', 'at least one');
  refuseTwice(files, options);
  const logs = files.map((file, i) => openLog(file, fileName(options, i), options.sheet));
  return parseText(logs, files, describeText(logs[0], options), options);
}

/** The same file twice would be one record that repeats itself. */
function refuseTwice(files: readonly Uint8Array[], options: ReadOptions): void {
  files.forEach((file, i) => {
    const first = files.slice(0, i).findIndex((other) => sameContent(file, other));
    if (first < 0) return;
    throw new ArgumentError(
      'logs',
      `${fileName(options, i)} with the same content as ${fileName(options, first)}`,
      'files that continue each other',
    );
  });
}

function sameContent(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}
