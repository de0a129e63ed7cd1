import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { LogError } from '../../src/errors';
import { type GaugeLog, type ReadOptions, readLog } from '../../src/log';
import { noteFileRead, whereItLies } from './files-read';
import { whyUnreadable } from './why-unreadable';

/**
 * Reads a gauge log from disk, or several files that continue each other.
 * @param path one path, or several in the order of time
 * @param options answers and wishes for reading; the file name is taken from the path
 * @returns the log; open questions stand in it
 * @throws LogError where a file is not there, holds no readings or no pressure
 */
export async function readLogFile(path: string | readonly string[], options: ReadOptions = {}): Promise<GaugeLog> {
  const paths = typeof path === 'string' ? [path] : path;
  const files: Uint8Array[] = [];
  for (const asked of paths) files.push(await bytesOf(whereItLies(asked), asked));
  const names = paths.map((p) => basename(p));
  const log = readLog(files, { ...options, file: options.file ?? names });
  paths.forEach((asked, i) => {
    const sha256 = createHash('sha256').update(files[i]).digest('hex');
    const description = paths.length === 1 ? { description: log.description } : {};
    noteFileRead({ asked, path: whereItLies(asked), sha256, bytes: files[i].length, ...description });
  });
  return log;
}

async function bytesOf(path: string, asked: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (error) {
    const met = whyUnreadable(error);
    if (met === undefined) throw error;
    throw new LogError({ file: asked, met, expected: 'a log' });
  }
}
