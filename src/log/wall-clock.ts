import type { GaugeLog } from './gauge-log';

/** The clock on the wall, by which a log was written: what people remember. */
export interface WallClock {
  /** First row: s since 1 January 1970 by the clock of the log where it has dates, else s since midnight. */
  readonly startS: number;
  readonly dated: boolean;
  /** The stamps name their zone and are shown in UTC. */
  readonly utc: boolean;
  /** Whether the record goes over a midnight, so that a time of day alone does not tell. */
  readonly severalDays: boolean;
  /** From when on (s from the first row) the clock stood by how much (s) before or behind: summer and winter time. */
  readonly changes: readonly { readonly atS: number; readonly byS: number }[];
}

const DAY = 86_400;
const HOUR = 3600;

/**
 * The clock of a log whose stamps tell it.
 * @param log a log that has been read
 * @returns the clock; undefined where the stamps only count from the start, or the clock was set back on the way, or has
 * 12 hours and does not say which
 */
export function wallClock(log: GaugeLog): WallClock | undefined {
  const { start, timeOfDayS, timeNotes, time, rows } = log;
  const lost = timeNotes.some(
    ({ kind, text }) => kind === 'restart' || /^(?:the clock was set back|a clock of 12 hours)/.test(text),
  );
  const startS = start === null ? timeOfDayS : Date.parse(start.endsWith('Z') ? start : `${start}Z`) / 1000;
  // Times that begin at 0:00:00 count from the start, whatever their form.
  if (start === null && startS === 0) return undefined;
  if (lost || rows === 0 || startS === undefined || !Number.isFinite(startS)) return undefined;
  const changes = timeNotes
    .filter(({ kind }) => kind === 'clock change')
    .map(({ row, text }) => ({
      atS: time[Math.min(row, rows - 1)],
      byS: text.startsWith('the clock goes back') ? -HOUR : HOUR,
    }));
  const severalDays = Math.floor(startS / DAY) !== Math.floor((startS + time[rows - 1]) / DAY);
  return { startS, dated: start !== null, utc: start?.endsWith('Z') === true, severalDays, changes };
}

/**
 * A moment of a log by the clock: `14:05:30`; where the record goes over a midnight with its date, `2026-03-04 14:05:30`,
 * or, without dates, with the days gone by, `14:05:30 +1 d`.
 * @param clock of the log
 * @param atS moment, s from the first row, >= 0
 * @returns the text; a clock in UTC is named where it is shown, not here
 */
export function clockText(clock: WallClock, atS: number): string {
  const shift = clock.changes.reduce((sum, change) => sum + (atS >= change.atS ? change.byS : 0), 0);
  const at = Math.round(clock.startS + atS + shift);
  const text = new Date(at * 1000).toISOString();
  const hours = text.slice(11, 19);
  if (!clock.severalDays) return hours;
  if (clock.dated) return `${text.slice(0, 10)} ${hours}`;
  const days = Math.floor(at / DAY);
  return days === 0 ? hours : `${hours} +${days} d`;
}
