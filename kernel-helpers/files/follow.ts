import type { Stats } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { ArgumentError, LogError } from '../../src/errors';
import { type GaugeLog, type ReadOptions, readLog } from '../../src/log';
import { attachedKernel, type CurrentRun, currentRun } from '../kernel';
import { whereItLies } from './files-read';
import { wholeLines } from './follow-whole-lines';
import { readLogFile } from './read-log-file';

/** How a log is followed. */
export interface FollowOptions extends ReadOptions {
  /** How often the file is looked at, ms, 100 to 600 000; 1000 where absent. A long log is read less often. */
  readonly everyMs?: number;
}

/** A file that has not been written for so long is taken to be finished, with its last line, ms. */
const finishedMs = 3000;
/** Reading may take this share of the time. */
const readingShare = 0.2;

/** What a file was like when a cell read it last. */
interface Seen {
  readonly size: number;
  readonly inode: number;
  /** Whether all of it was read. */
  readonly whole: boolean;
  readonly tookMs: number;
}

const seenBy = new Map<string, Seen>();

/**
 * Reads a log that is still being written, and lets the cell run again as rows arrive, with all that depends on it. A
 * half-written last line is left alone; a file that was cut or replaced is read from its new beginning, which stands
 * among the log's assumptions. Headless, and where nothing follows, it reads what is there.
 * @param path the log
 * @param options as for reading, and how often to look
 * @returns the log as far as it has been written
 * @throws LogError where the file is not there yet or holds no readings yet: the cell runs again when it does
 */
export async function follow(path: string, options: FollowOptions = {}): Promise<GaugeLog> {
  const { everyMs = 1000, ...reading } = options;
  if (!(everyMs >= 100 && everyMs <= 600_000)) throw new ArgumentError('everyMs', everyMs, '100 to 600 000 ms');
  const run = currentRun();
  const kernel = attachedKernel()?.kernel;
  if (!run?.controls || !kernel) return readLogFile(path, reading);
  const place = whereItLies(path);
  const key = `${run.cell}\n${place}`;
  const before = seenBy.get(key);
  const tookMs = before?.tookMs ?? 0;
  watch(run, key, place, Math.max(everyMs, tookMs / readingShare), () => void kernel.rerun(run.cell));
  return readSoFar(path, place, reading, key, before);
}

async function readSoFar(
  path: string,
  place: string,
  options: ReadOptions,
  key: string,
  before: Seen | undefined,
): Promise<GaugeLog> {
  const began = Date.now();
  const found = await stat(place).catch(() => null);
  if (!found) {
    seenBy.delete(key);
    throw new LogError({
      file: path,
      met: 'no such file',
      expected: 'a log',
      remedy: 'this cell runs when it is there',
    });
  }
  const bytes = await readFile(place);
  const whole = isFinished(found);
  const replaced = before !== undefined && (bytes.length < before.size || found.ino !== before.inode);
  const seen = { size: bytes.length, inode: found.ino, whole };
  seenBy.set(key, { ...seen, tookMs: before?.tookMs ?? 0 });
  const log = readLog(whole ? bytes : wholeLines(bytes), { ...options, file: options.file ?? basename(path) });
  seenBy.set(key, { ...seen, tookMs: Date.now() - began });
  if (!replaced) return log;
  const note = `${basename(path)} was cut or replaced while it was followed: it was read from its new beginning`;
  return { ...log, assumptions: [...log.assumptions, note] };
}

/** Looks at a file until the run that asked for it is over. */
function watch(run: CurrentRun, key: string, place: string, everyMs: number, onChange: () => void): void {
  const look = async (): Promise<void> => {
    const found = await stat(place).catch(() => null);
    const seen = seenBy.get(key);
    if (hasNews(found, seen)) onChange();
  };
  const timer = setInterval(look, everyMs);
  timer.unref();
  void run.onOvertaken.then(() => clearInterval(timer));
}

function hasNews(found: Stats | null, seen: Seen | undefined): boolean {
  if (!found || !seen) return Boolean(found) !== Boolean(seen);
  if (found.size !== seen.size || found.ino !== seen.inode) return true;
  return !seen.whole && isFinished(found);
}

function isFinished(found: Stats): boolean {
  return Date.now() - found.mtimeMs > finishedMs;
}
