import * as elementary from '../numerics/elementary';
import { medianBetween } from './readings';
import type { Span } from './span';
import { describeStretch, type Stretch, type WorkingRecord } from './stretches';

/** Fewest readings of a steady stretch. */
const FEWEST = 8;
/**
 * Steady is a pressure that would fall by less than about an eighth on doubling the time pumped: d ln p / d ln t above
 * -0.2. A tail of t^-1 never is, a base is.
 */
const STEADY_EXPONENT = 0.2;
/** Part of a steady stretch that may be bursts and their decay. */
const RESTLESS = 0.1;

/** A pressure that stood falls anew by this ratio at least, */
const ANEW = 0.85;
/** and so fast, d ln p / d ln t, that it is no tail. */
const ANEW_EXPONENT = 1;

/**
 * Parts a pumped span into falls and what is steady at the end of each. After it stood a pressure falls anew where part of
 * the system is shut off, a load is taken away or more is pumped.
 * @param stretches the straight stretches of the record
 */
export function partPumped(record: WorkingRecord, span: Span, stretches: readonly Stretch[]): Span[] {
  const inside = stretches.filter((s) => s.to >= span.from && s.from <= span.to);
  const { time } = record.readings;
  let began = span.from;
  const cuts: number[] = [span.from];
  for (let k = 1; k < inside.length; k++) {
    const before = inside[k - 1];
    const stoodFor = before.endS - before.startS;
    const long = before.to - Math.max(before.from, began) + 1 >= FEWEST;
    if (!long || !(before.endPa > 0) || !isSteady(record, before, time[began], Math.max(stoodFor, record.stepS)))
      continue;
    if (!fallsAnew(record, inside, k, time[began], span.to)) continue;
    began = inside[k].from;
    cuts.push(began);
  }
  return cuts.flatMap((from, k) => {
    const part = { ...span, from, to: k + 1 < cuts.length ? cuts[k + 1] - 1 : span.to };
    const own = inside.filter((s) => s.to >= part.from && s.from <= part.to);
    return partOneFall(
      record,
      part,
      own.flatMap((s) => quarters(record, s, part)),
    );
  });
}

/** Does the pressure leave the level of the stretch before `k` downwards at once, to stay there? */
function fallsAnew(
  record: WorkingRecord,
  inside: readonly Stretch[],
  k: number,
  beganS: number,
  last: number,
): boolean {
  const { pa, time } = record.readings;
  const level = inside[k - 1];
  const s = inside[k];
  const to = Math.min(s.to, last);
  const drop = level.endY - s.endY;
  if (drop < 8 * Math.sqrt(record.longRun) || !(s.startPa > 0) || !(s.endPa > 0)) return false;
  const fastest = elementary.log(level.endPa / s.endPa) / Math.max(time[to] - level.endS, record.stepS);
  if (fastest * (level.endS - beganS) < ANEW_EXPONENT) return false;
  // Where it comes to in as many readings again as the level was judged by.
  const end = Math.min(last, to + FEWEST);
  return end - s.from >= FEWEST && medianBetween(pa, Math.max(s.from, end - 4), end) < ANEW * level.endPa;
}

/** Readings and part of the span from which on a stretch is looked at in parts. */
const LONG_READINGS = 64;
const LONG_PART = 0.25;

/** A long straight stretch in four: its end may be steady where its beginning is not. */
function quarters(record: WorkingRecord, s: Stretch, span: Span): Stretch[] {
  const { time } = record.readings;
  const count = s.to - s.from + 1;
  if (count < LONG_READINGS || s.endS - s.startS < LONG_PART * (time[span.to] - time[span.from])) return [s];
  return Array.from({ length: 4 }, (_, k) =>
    describeStretch(
      record.readings,
      record.scaled,
      s.from + Math.floor((k * count) / 4),
      s.from + Math.floor(((k + 1) * count) / 4) - 1,
    ),
  );
}

/** Parts a pumped span into the fall and what is steady at its end. */
function partOneFall(record: WorkingRecord, span: Span, inside: readonly Stretch[]): Span[] {
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
  if (!standsForAsLong(record, span, from, before)) return false;
  const few = Math.min(10, (span.to - from) >> 2);
  const startPa = medianBetween(pa, from, from + few);
  const endPa = medianBetween(pa, span.to - few, span.to);
  if (!(startPa > 0) || !(endPa > 0)) return true;
  const fall = Math.abs(elementary.log(startPa / endPa));
  // Steady from its beginning: it has not been pumped by more than this, as a whole.
  if (before < 3 * record.stepS && fall > STEADY_EXPONENT * Math.LN2) return false;
  return fall < STEADY_EXPONENT * elementary.log(whole / Math.max(before, record.stepS)) || fall < 0.02;
}

/** Pumped for twice as long as up to reading `from`, has the pressure fallen by less than the exponent says? */
function standsForAsLong(record: WorkingRecord, span: Span, from: number, beforeS: number): boolean {
  const { time, pa } = record.readings;
  let double = from;
  while (double < span.to && time[double] < time[from] + Math.max(beforeS, record.stepS)) double++;
  const startPa = medianBetween(pa, from, Math.min(from + 2, span.to));
  const laterPa = medianBetween(pa, Math.max(from, double - 1), Math.min(double + 1, span.to));
  const noise = 4 * record.noise.sigmaPa(startPa);
  return !(laterPa > 0) || startPa - laterPa < noise || elementary.log(startPa / laterPa) < STEADY_EXPONENT * Math.LN2;
}

function isSteady(record: WorkingRecord, s: Stretch, beganS: number, forS: number): boolean {
  const moves = Math.abs(s.significance) > 5 * record.longRun && Math.abs(s.endY - s.startY) > 4;
  if (!moves) return true;
  if (!(s.startPa > 0) || !(s.endPa > 0)) return false;
  const perS = Math.abs(elementary.log(s.endPa / s.startPa)) / forS;
  return (
    perS * ((s.startS + s.endS) / 2 - beganS) < STEADY_EXPONENT && Math.abs(elementary.log(s.endPa / s.startPa)) < 0.3
  );
}
