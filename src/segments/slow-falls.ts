import * as elementary from '../numerics/elementary';
import { suddenness } from './kink';
import { medianBetween } from './readings';
import type { Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

/** Fewest readings of such a stretch, of the level before it, and up to half of its fall. */
const FEWEST = 10;
const LEVEL_READINGS = 8;
const RESOLVED = 4;
/** fewer, where it comes back at once. */
const RESOLVED_BACK = 1;
/** It falls by this part of the level at least, */
const LEAST_FALL = 0.1;
/** and by so many noise deviations. */
const SURE = 15;
/** The level before it moves by this part of its rate at most. */
const LEVEL = 0.15;
const STANDS = 0.05;
/** It falls so many times more slowly than the pump can make it fall. */
const SLOWER = 4;
/** What ends it brings half of the fall back, or as much again away, in this part of the time the fall took for half. */
const AT_ONCE = 1 / 3;
/** A burst at closing reaches so many times the level, where the fall comes to this part of it. */
const BURST = 2;
const FAR_BELOW = 0.7;
/** A level is the pump's own where it never came lower than this part of it, but in such falls. */
const OWN_LEVEL = 0.8;
/** The pressure comes back to where it was, up to this ratio. */
const BACK = 1.15;
/** What takes away, or brings back, less than these parts of the fall does not end it. */
const FALLS_AWAY = 0.05;
const COMES_BACK = 0.15;
/** Codes are looked at up to so far above a level, and must be finer than this part of the fall. */
const COARSER = 1.2;
const COARSE = 0.2;
/** A level that is meant lies below this part of the highest reading. */
const IN_RANGE = 0.9;

/**
 * Finds isolations in which the pressure falls: something in the shut chamber takes gas up. The pressure leaves a level at once,
 * but far more slowly than any pump makes it fall, and that ends at once: it leaps back to the level, or falls away. Gas turned
 * off beside a pump falls as fast as it comes back when it is turned on; a load that is taken away falls as fast as the pump
 * pumps; a puddle that runs dry while pumped does not come back. The fall after a fill is left to the eye: gas that a regulator
 * holds for a while falls like gas that cools.
 * @param record the record
 * @param stretches its straight stretches
 * @returns isolations to lay over what was called pumped or held
 */
export function slowFalls(record: WorkingRecord, stretches: readonly Stretch[]): Span[] {
  const found: Span[] = [];
  const highest = record.readings.pa.reduce((most, p) => Math.max(most, p), 0);
  if (!(record.pumpingPerS > 0)) return found;
  let lowestBefore = lowestUpTo(record, stretches[0]?.from ?? 0);
  for (let k = 1; k < stretches.length; k++) {
    const before = stretches[k - 1];
    const comesBack = before.endY > before.startY + SURE;
    const last = found[found.length - 1]?.to;
    const counts = before.to - before.from + 1 >= FEWEST_TOLD && before.to !== last && !comesBack;
    if (counts) lowestBefore = Math.min(lowestBefore, before.endPa);
    const own = lowestBefore > OWN_LEVEL * before.endPa;
    const plainly = leavesLevel(record, stretches, k, false);
    if (!plainly && !(own && leavesLevel(record, stretches, k, true))) continue;
    // At the top of the gauge's range, or at atmosphere, nothing stands of itself.
    if (stretches[k - 1].endPa > IN_RANGE * highest) continue;
    const end = fallsUntil(record, stretches, k, own);
    const { from } = stretches[k];
    const { to } = stretches[end];
    // A fall that the record ends in has no end that tells.
    if (end + 1 >= stretches.length || to - from + 1 < FEWEST || !isSlow(record, stretches, k, to, own, plainly))
      continue;
    const { pa } = record.readings;
    found.push({
      kind: 'isolation',
      from,
      to,
      grounds: [
        `the pressure leaves ${record.show(stretches[k].startPa)} at once and falls far more slowly than a pump makes it fall, ` +
          `to ${record.show(medianBetween(pa, to - 2, to))}: something in the shut chamber takes gas up`,
      ],
    });
    k = end;
  }
  return found;
}

/** Readings from which the end of a stretch is told. */
const FEWEST_TOLD = 4;

/** The lowest that three readings in a row came to before a reading, Pa. */
function lowestUpTo({ readings }: WorkingRecord, to: number): number {
  const { pa } = readings;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i + 2 < to; i++) lowest = Math.min(lowest, Math.max(pa[i], pa[i + 1], pa[i + 2]));
  return lowest;
}

/** Does stretch `k` fall from a level that stood? More is allowed where the level is the pump's own. */
function leavesLevel(record: WorkingRecord, stretches: readonly Stretch[], k: number, own: boolean): boolean {
  const s = stretches[k];
  const level = stretches[k - 1];
  if (!falls(record, s) || level.to - level.from + 1 < LEVEL_READINGS) return false;
  const change = Math.abs(level.endPa - level.startPa);
  const stands = Math.abs(level.endY - level.startY) < SURE || (own && change < STANDS * level.endPa);
  if (!stands || Math.abs(level.ratePa) > LEVEL * Math.abs(s.ratePa) || leaps(record, level, s, own)) return false;
  const right = Math.min(s.to, s.from + KINK_READINGS);
  const left = Math.max(level.from, s.from - (right - s.from + 1));
  if (own && stepsOut(record, s.from)) return true;
  return suddenness(record.stepwise, left, s.from, right) > SUDDEN * record.longRun * record.longRun;
}

/** Within so few readings a fall that leaves a level at once has left it so far, noise deviations, after it stood as long. */
const FEW_READINGS = 6;
const LEFT = 12;

/** Has the pressure left a level within a few readings by far more than it moved in as many before? */
function stepsOut(record: WorkingRecord, from: number): boolean {
  const { y } = record.scaled;
  const to = from + FEW_READINGS - 1;
  if (from < LEVEL_READINGS || to >= y.length) return false;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = from - LEVEL_READINGS; i < from; i++) {
    lowest = Math.min(lowest, y[i]);
    highest = Math.max(highest, y[i]);
  }
  const left = lowest - medianBetween(y, to - 2, to);
  return left > LEFT * Math.sqrt(record.longRun) && left > 2 * (highest - lowest);
}

/** Does a fall begin with a leap, as by the pump, or a gauge on its side of the valve, more than as it then goes on? */
function leaps(record: WorkingRecord, level: Stretch, s: Stretch, own: boolean): boolean {
  const { pa } = record.readings;
  const [first, second] = [pa[s.from] / level.endPa, pa[s.from + 1] / pa[s.from]];
  return s.startPa < (1 - LEAST_FALL) * level.endPa && !(own && first > GOES_ON * second);
}

/** The first reading of a fall keeps this part of the ratio by which the second goes on, at least: logs may be coarse. */
const GOES_ON = 0.75;

/** How suddenly it must leave the level, on the scale of `suddenness`, and the readings looked at to each side. */
const SUDDEN = 12;
const KINK_READINGS = 1000;

const falls = (record: WorkingRecord, s: Stretch): boolean =>
  s.significance < -6 * record.longRun && s.endY < s.startY - 5 * Math.sqrt(record.longRun) && s.endPa > 0;

/**
 * The last stretch of the fall that begins with stretch `k`: none of them rises, and none falls away at once. Of the pump's own
 * level hardly anything may be left, where what falls on is the noise, and a coarse log falls by steps.
 */
function fallsUntil(record: WorkingRecord, stretches: readonly Stretch[], k: number, own: boolean): number {
  const spread = Math.sqrt(record.longRun);
  let j = k;
  while (j + 1 < stretches.length) {
    const [s, next] = [stretches[j], stretches[j + 1]];
    const back = s.endPa + COMES_BACK * (stretches[k].startPa - s.endPa);
    const leaps = next.startY - s.endY > 6 * spread && next.startPa > back;
    const rises = next.significance > 6 * record.longRun && next.endY - next.startY > 5 * spread && next.endPa > back;
    const much = !own || s.endPa - next.endPa > FALLS_AWAY * (stretches[k].startPa - s.endPa);
    const rate = Math.max(dropRate(s), dropRate(stretches[k]));
    const away = dropRate(next) > 3 * rate && falls(record, next);
    const low = s.endY - next.startY > 8 * spread && next.startPa < 0.8 * s.endPa;
    const drops = low && (!own || between(record, s, next) > 3 * rate);
    if (leaps || rises || (much && (away || drops))) break;
    j++;
  }
  return j;
}

const dropRate = (s: Stretch): number =>
  s.endS > s.startS && s.endPa > 0 && s.startPa > 0 ? elementary.log(s.startPa / s.endPa) / (s.endS - s.startS) : 0;

/** How fast the pressure falls from one stretch to the next, whose ends are told by three readings each, 1/s. */
const between = (record: WorkingRecord, s: Stretch, next: Stretch): number =>
  next.startPa > 0 && s.endPa > next.startPa
    ? elementary.log(s.endPa / next.startPa) / (next.startS - s.endS + 2 * record.stepS)
    : 0;

function isSlow(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  k: number,
  to: number,
  own: boolean,
  plainly: boolean,
): boolean {
  const { pa, time } = record.readings;
  const from = stretches[k].from;
  const levelPa = stretches[k - 1].endPa;
  const lowPa = medianBetween(pa, to - 2, to);
  const drop = levelPa - lowPa;
  // Opened, the chamber comes back to the pump's own level: that tells more than how the fall began.
  const back = own ? comesBackAt(record, to, levelPa) : 0;
  if (!plainly && !(back > 0)) return false;
  const { scaled } = record.noise;
  const sure = scaled(levelPa) - scaled(lowPa) > SURE * Math.sqrt(record.longRun);
  // Just above a decade a display is coarser: there a fall looks like a level.
  if (record.noise.stepPa(COARSER * levelPa) > COARSE * drop) return false;
  const { sigmaPa } = record.noise;
  const above = (at: number, ratio: number): boolean =>
    medianBetween(pa, at - 1, at + 1) > ratio * levelPa + 4 * sigmaPa(levelPa);
  // The valve may let a burst in as it closes, which is taken up first.
  const settled = from + ((to - from) >> 2);
  const bursts = back > 0 && lowPa < FAR_BELOW * levelPa ? BURST : 1 + LEAST_FALL;
  for (let at = from + 1; at < to; at += Math.max(1, (to - from) >> 4)) {
    if (above(at, at < settled ? bursts : 1 + LEAST_FALL)) return false;
  }
  if (!(levelPa > 0) || !(lowPa > 0 || back > 0) || drop < LEAST_FALL * levelPa || !sure) return false;
  let half = from;
  while (half < to && medianBetween(pa, half, Math.min(half + 2, to)) > levelPa - 0.5 * drop) half++;
  const halfS = time[half] - time[Math.max(0, from - 1)];
  if (half - from < (back > 0 ? RESOLVED_BACK : RESOLVED)) return false;
  // Half of what falls exponentially is gone in ln 2 of the time constant; opened, the chamber comes back as the pump pumps.
  if (Math.LN2 / halfS > Math.max(record.pumpingPerS, back) / SLOWER) return false;
  return endsAtOnce(record, to, levelPa, drop, halfS);
}

/**
 * How fast the pressure comes back to a level after a fall, as speed over volume, 1/s: a lower bound where it does so within
 * a reading; 0 where it does not come back.
 */
function comesBackAt(record: WorkingRecord, to: number, levelPa: number): number {
  const { pa, time } = record.readings;
  let last = to + 1;
  while (last < pa.length && last <= to + BACK_READINGS && pa[last] * BACK < levelPa) last++;
  if (last >= pa.length || last > to + BACK_READINGS) return 0;
  const before = levelPa - medianBetween(pa, Math.max(0, to - 2), to);
  const after = Math.max(levelPa - pa[last], 4 * record.noise.sigmaPa(levelPa));
  const span = Math.max(time[last] - time[to], record.stepS);
  return before > after ? elementary.log(before / after) / span : 0;
}

/** Does the pressure leap back to its level, fall away or leap beyond it, within a part of the time its fall took? */
function endsAtOnce(record: WorkingRecord, to: number, levelPa: number, drop: number, halfS: number): boolean {
  const { pa, time } = record.readings;
  const lowPa = levelPa - drop;
  const latest = time[to] + Math.max(AT_ONCE * halfS, 2 * record.stepS);
  for (let i = to + 1; i < pa.length && time[i] <= latest; i++) {
    const here = medianBetween(pa, i, Math.min(pa.length - 1, i + 2));
    if (here < 0.7 * lowPa && lowPa - here > 8 * record.noise.sigmaPa(lowPa)) return true;
    if (here < lowPa + 0.5 * drop) continue;
    return standsAgain(record, i, levelPa);
  }
  return false;
}

/** Readings after a fall in which the pressure must be back at its level, and in which it must not rise beyond. */
const BACK_READINGS = 40;
const STANDS_READINGS = 200;

/** Does the pressure come back to its level and stand there? A rise that goes on beyond it is an isolation of its own. */
function standsAgain(record: WorkingRecord, from: number, levelPa: number): boolean {
  const { pa } = record.readings;
  let isBack = false;
  for (let i = from; i < Math.min(pa.length, from + STANDS_READINGS); i++) {
    const here = medianBetween(pa, i, Math.min(pa.length - 1, i + 4));
    if (here > levelPa * BACK) return false;
    if (i < from + BACK_READINGS && here * BACK > levelPa) isBack = true;
  }
  return isBack;
}
