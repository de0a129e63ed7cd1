import { ArgumentError } from '../errors';
import type { GaugeLog, Remark } from './gauge-log';
import { clockText, wallClock } from './wall-clock';

const DAY_S = 86_400;
/** Characters of a line that an error shows. */
const LONGEST_SHOWN = 80;

/**
 * A log with the remarks of a separate file: one a line, first the time, then what was done, parted by a comma, semicolon,
 * tab or blank, such as `09:14:30 flange A sprayed`. A clock is the time of day where the log tells it, else counted from
 * the first row; a bare number is seconds from the first row; an ISO stamp stands for itself. Lines that begin with `#` are
 * left out, and so is a first line without a time (a head).
 * @param log the log that was read
 * @param text of the file
 * @returns the log with these remarks beside its own, in order of time; how times were read stands in its assumptions
 * @throws ArgumentError where a line has no time or no words, or lies outside the log
 */
export function withRemarks(log: GaugeLog, text: string): GaugeLog {
  const lines = text.split(/\r?\n/).map((line, i) => ({ line: line.trim(), number: i + 1 }));
  const said = lines.filter(({ line }) => line !== '' && !line.startsWith('#'));
  const start =
    log.start === null
      ? (log.timeOfDayS ?? Number.NaN) * 1000
      : Date.parse(/Z|[+-]\d\d:?\d\d$/.test(log.start) ? log.start : `${log.start}Z`);
  const found: Remark[] = [];
  for (const [i, { line, number }] of said.entries()) {
    const match = /^"?([\dT:.+-]+(?: \d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?)?Z?)"?\s*[,;\t ]\s*"?(.*?)"?$/.exec(line);
    const atS = match === null ? Number.NaN : secondsOf(match[1], start);
    if (i === 0 && !Number.isFinite(atS) && !/^\d/.test(line)) continue;
    if (match === null || match[2] === '' || !Number.isFinite(atS)) {
      throw new ArgumentError(
        `remark in line ${number}`,
        line.slice(0, LONGEST_SHOWN),
        'a time and what was done: "09:14:30 flange A sprayed"',
      );
    }
    const [first, last] = [log.time[0] ?? 0, log.time[log.rows - 1] ?? 0];
    if (atS < first - 60 || atS > last + 60) {
      const expected = `a time within the log, which lasts ${Math.round(last - first)} s from ${log.start ?? firstOfDay(log) ?? 'its first row'}`;
      throw new ArgumentError(`remark in line ${number}`, line.slice(0, LONGEST_SHOWN), expected);
    }
    found.push({ atS, text: match[2] });
  }
  const clock = Number.isFinite(start)
    ? 'clocks are the time of day, as in the log'
    : 'clocks count from the first row';
  return {
    ...log,
    remarks: [...log.remarks, ...found].sort((a, b) => a.atS - b.atS),
    assumptions: [...log.assumptions, `remarks of a file: ${found.length} read; ${clock}`],
  };
}

/** The time of day of the first row, where that is all that its stamps tell. */
function firstOfDay(log: GaugeLog): string | undefined {
  const clock = wallClock(log);
  return clock && clockText(clock, 0);
}

/** Seconds from the first row; NaN where it is no time. */
function secondsOf(text: string, startMs: number): number {
  if (/^\d+(\.\d+)?$/.test(text)) return Number(text);
  const clock = /^(\d{1,3}):(\d\d)(?::(\d\d(?:\.\d+)?))?$/.exec(text);
  if (clock !== null) {
    const s = Number(clock[1]) * 3600 + Number(clock[2]) * 60 + Number(clock[3] ?? 0);
    if (!Number.isFinite(startMs)) return s;
    const ofDay = (startMs / 1000) % DAY_S;
    // A clock earlier than the log's first is of the next day.
    return s - ofDay < -60 ? s - ofDay + DAY_S : s - ofDay;
  }
  const stamp = /^\d{4}-\d\d-\d\d[T ]/.test(text)
    ? Date.parse(`${text.replace(' ', 'T').replace(/Z$/, '')}Z`)
    : Number.NaN;
  return Number.isFinite(startMs) ? (stamp - startMs) / 1000 : Number.NaN;
}
