import { medianBetween } from './readings';
import type { Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

/** Fewest readings of a steady stretch. */
const FEWEST = 8;
/**
 * Steady is a pressure that would fall by less than about an eighth on doubling the time pumped: d ln p / d ln t above
 * -0.2. A tail of t^-1 never is, a base is.
 */
const STEADY_EXPONENT = 0.2;
/** Part of a steady stretch that may be bursts and their decay. */
const RESTLESS = 0.1;

/**
 * Parts a pumped span into the fall and what is steady at its end.
 * @param stretches the straight stretches of the record
 */
export function partPumped(record: WorkingRecord, span: Span, stretches: readonly Stretch[]): Span[] {
  const inside = stretches.filter((s) => s.to >= span.from && s.from <= span.to);
  if (inside.length === 0) return [span];
  const { time } = record.readings;
  const began = time[span.from];
  let restless = 0;
  let start = -1;
  for (let k = inside.length - 1; k >= 0; k--) {
    const s = inside[k];
    const from = Math.max(s.from, span.from);
    const to = Math.min(s.to, span.to);
    const forS = Math.max(time[to] - time[from], record.stepS);
    const sofar = time[span.to] - time[from] + record.stepS;
    if (isSteady(record, s, began, forS)) {
      if (restless <= RESTLESS * sofar && hardlyMoves(record, span, from)) start = from;
    } else restless += forS;
    if (restless > 0.5 * (time[span.to] - began)) break;
  }
  if (start < 0 || span.to - start + 1 < FEWEST) return [span];
  const steady: Span = {
    kind: 'steady',
    from: start,
    to: span.to,
    grounds: ['the pressure hardly moves: pumped for twice as long it would fall by less than an eighth'],
  };
  if (start - span.from < 3) {
    // A fall within two readings is still a pump-down.
    const { pa } = record.readings;
    const level = medianBetween(pa, start, Math.min(start + 6, span.to));
    const above = pa[span.from] - level;
    if (above < 0.3 * Math.abs(level) || above < 6 * record.noise.sigmaPa(level))
      return [{ ...steady, from: span.from }];
    start = span.from + 3;
  }
  return [
    { ...span, to: start - 1 },
    { ...steady, from: start },
  ];
}

/**
 * How much longer than up to its beginning a steady stretch must have been pumped: a step of a staircase is not
 * steady.
 */
const LONGER = 1.3;

/** From reading `from` to the end of the span as a whole, is the fall slow against the time pumped? */
function hardlyMoves(record: WorkingRecord, span: Span, from: number): boolean {
  const { time, pa } = record.readings;
  const before = time[from] - time[span.from];
  const whole = time[span.to] - time[span.from];
  if (whole < LONGER * before) return false;
  const few = Math.min(10, (span.to - from) >> 2);
  const startPa = medianBetween(pa, from, from + few);
  const endPa = medianBetween(pa, span.to - few, span.to);
  if (!(startPa > 0) || !(endPa > 0)) return true;
  const fall = Math.abs(Math.log(startPa / endPa));
  return fall < STEADY_EXPONENT * Math.log(whole / Math.max(before, record.stepS)) || fall < 0.02;
}

function isSteady(record: WorkingRecord, s: Stretch, beganS: number, forS: number): boolean {
  const moves = Math.abs(s.significance) > 5 * record.longRun && Math.abs(s.endY - s.startY) > 4;
  if (!moves) return true;
  if (!(s.startPa > 0) || !(s.endPa > 0)) return false;
  const perS = Math.abs(Math.log(s.endPa / s.startPa)) / forS;
  return perS * ((s.startS + s.endS) / 2 - beganS) < STEADY_EXPONENT && Math.abs(Math.log(s.endPa / s.startPa)) < 0.3;
}
