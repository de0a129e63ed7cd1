import { LogError } from '../errors';
import { isBlank, trimmedEnd } from './lines';
import { type LogText, textOf } from './open-log';

/** A line that was looked at. */
export interface SampleLine {
  /** Counted from 1. */
  readonly line: number;
  readonly text: string;
}

/** The lines on which a description rests. */
export interface Sample {
  /** The first lines of the log, without gaps. */
  readonly head: readonly SampleLine[];
  /** Lines from all over the log, in order, blank ones left out. */
  readonly spread: readonly SampleLine[];
}

const HEAD_LINES = 400;
const SPREAD_LINES = 600;
/** Text to look at, in bytes; long lines make for fewer of them. */
const ENOUGH = 4e6;
/** No row of readings is longer. */
const LONGEST_LINE = 2e6;

/**
 * Picks the lines that tell how a log is written.
 * @param log the log
 * @returns the first lines, and lines from all over
 * @throws LogError where a line is too long to be readings, or nothing is in the log
 */
export function takeSample(log: LogText): Sample {
  const count = log.lines.length - 1;
  const average = log.bytes.length / Math.max(count, 1);
  const head: SampleLine[] = [];
  let bytes = 0;
  for (let i = 0; i < Math.min(count, HEAD_LINES) && bytes < ENOUGH; i++) {
    const line = lineAt(log, i);
    bytes += line.text.length;
    head.push(line);
  }
  const wanted = Math.max(10, Math.min(SPREAD_LINES, Math.floor(ENOUGH / Math.max(average, 1))));
  const spread: SampleLine[] = [];
  for (const i of spreadOver(count, wanted)) {
    const start = log.lines[i];
    const end = trimmedEnd(log.bytes, start, log.lines[i + 1]);
    if (end > start && !isBlank(log.bytes, start, end)) spread.push(lineAt(log, i));
  }
  if (spread.length === 0) {
    throw new LogError({ file: log.file, met: 'nothing but blank lines', expected: 'lines of readings' });
  }
  return { head, spread };
}

/**
 * Line numbers from 0: all of them where they are few, else runs of three spread evenly, the first and last among them.
 */
function spreadOver(count: number, wanted: number): number[] {
  if (count <= wanted) return Array.from({ length: count }, (_, i) => i);
  const runs = Math.floor(wanted / 3);
  const lines: number[] = [];
  for (let r = 0; r < runs; r++) {
    const first = Math.floor((r * (count - 3)) / (runs - 1));
    lines.push(first, first + 1, first + 2);
  }
  return [...new Set(lines)];
}

function lineAt(log: LogText, i: number): SampleLine {
  const start = log.lines[i];
  const end = trimmedEnd(log.bytes, start, log.lines[i + 1]);
  if (end - start > LONGEST_LINE) {
    const met = `a line of ${end - start} bytes`;
    throw new LogError({ file: log.file, line: i + 1, met, expected: `rows of at most ${LONGEST_LINE} bytes` });
  }
  return { line: i + 1, text: textOf(log, start, end) };
}
