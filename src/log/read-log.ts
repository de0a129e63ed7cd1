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
  const logs = files.map((file, i) => openLog(file, fileName(options, i), options.sheet));
  return parseText(logs, files, describeText(logs[0], options), options);
}
