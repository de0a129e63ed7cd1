import { ArgumentError } from '../errors';
import { gaugeScale } from '../gauges';
import type { Channel, GaugeLog } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import type { Estimate } from '../numerics/estimate';
import { remembering } from '../numerics/remembering';
import { noiseFromDifferences } from '../numerics/statistics';
import type { Segment } from '../segments/segment';
import type { Quantity } from '../units/quantity';
import type { FitOptions } from './fit-options';
import { productEstimate, productOf } from './gas-load';
import { type Mixture, mixtureEstimate, mixtureStandardUncertainty, normalMixture, widenMixture } from './mixture';
import type { Curve, PumpDown, PumpDownStage } from './results';
import { channelNamed, goodRows, pick } from './rise-readings';
import { describeRise, meanRate } from './smooth-rise';
import { fitTail, type TailFit, tailAt } from './tail';

/** A stretch of pressure in which the speed was measured. */
interface Stretch {
  readonly fromPa: number;
  readonly toPa: number;
  readonly startS: number;
  readonly endS: number;
  /** - d ln(p - base) / dt, 1/s */
  readonly rate: Mixture;
}

/** Readings of a pump-down that can be put on a logarithmic axis. */
interface Fall {
  readonly time: Float64Array;
  readonly pa: Float64Array;
  /** Readings up to this index belong to the pump-down itself, later ones to the steady stretch after it. */
  readonly own: number;
  /** Standard uncertainty of ln(p1 / p2) because the gauge's scale error may differ at two pressures. */
  readonly scaleChange: number;
}

const NO_BASE: Estimate = { value: 0, low: 0, high: 0 };
/** Speeds below this part of the best belong to a tail, not to volume gas. */
const VOLUME_GAS_SHARE = 0.3;
/** Two readings alone give a rate to about this relative standard uncertainty. */
const TWO_READINGS = 0.15;
/** Part of a gauge's scale uncertainty that is taken to differ from one end of a decade to the other. */
const SCALE_CHANGE = 0.5;

/**
 * Measures a pump-down: -d ln(p - base)/dt by decades of pressure (with a volume, the effective pumping speed), the
 * base that it tends to, times to set points, the exponent of a tail whose clock is not known, and its stages.
 * @param log the log
 * @param segment a pump-down in it
 * @param channelName the pressure channel
 * @param options what is known besides
 * @param followedBy the steady stretch after it, which shows the base better
 * @returns rates in 1/s, speeds in m3/s, pressures in Pa, times in s
 * @throws ArgumentError where fewer than two positive good readings are in it, or a channel is not in the log
 */
export function fitPumpDown(
  log: GaugeLog,
  segment: Segment,
  channelName: string,
  options: FitOptions = {},
  followedBy?: Segment,
): PumpDown {
  const channel = channelNamed(log, channelName);
  const notes: string[] = [];
  const fall = readFall(log, channel, segment, followedBy, options, notes);
  const atmospheric = fall.pa[0] > 2e4;
  const last = lastLevel(fall, channel.resolution);
  const rough = stretchesByDecade(fall, NO_BASE);
  const fastest = rough.reduce((most, s) => Math.max(most, value(s.rate)), 0);
  const late = laterOf(startOfTail(fall, fastest), lastRise(fall));
  const { start: tailStart, tail } = findTail(fall, late, atmospheric, log.time[0]);
  const base = baseOf(fall, last, tail);
  const byDecade = stretchesByDecade(fall, base);
  // Where the base may be as high as the last reading, decades near to it say little about the speed.
  const clear = byDecade.filter((s) => s.toPa >= 3 * base.high);
  const decades = clear.length > 0 ? clear : byDecade.filter((s) => s.toPa >= 3 * base.value);
  const measured = decades.length > 0 ? decades : wholeFall(fall, base, rough);
  const best = bestRate(fall, measured, base);
  if (measured.length === 0) notes.push('no stretch fell by a factor of 2: the speed over volume was taken overall');
  return {
    segment,
    channel: channelName,
    ratePerS: mixtureEstimate(best),
    byDecade: measured.map((s) => ({
      fromPa: s.fromPa,
      toPa: s.toPa,
      ratePerS: mixtureEstimate(s.rate),
      speed: speedOf(s.rate, options.volume),
    })),
    effectiveSpeed: speedOf(best, options.volume),
    base,
    tailExponent: tail?.exponent ?? null,
    times: (options.setPointsPa ?? []).map((toPa) => ({ toPa, afterS: timeTo(fall, segment.startS, toPa) })),
    stages: stagesOf(fall, measured, tailStart, tail, last),
    curve: tail === null || tailStart === null ? null : tailCurve(fall, tailStart, tail),
    notes,
  };
}

/** The whole fall towards the base as one stretch, where it stays too near to the base for decades. */
function wholeFall(fall: Fall, base: Estimate, rough: Stretch[]): Stretch[] {
  const { time, pa } = fall;
  const rate = rateBetween(fall, 0, pa.length - 1, base);
  if (rate === null || !(value(rate) > 0)) return rough;
  const end = pa.length - 1;
  return [{ fromPa: pa[0], toPa: pa[end], startS: time[0], endS: time[end], rate }];
}

const value = (rate: Mixture): number => rate.reduce((sum, part) => sum + part.weight * part.centre, 0);

function readFall(
  log: GaugeLog,
  channel: Channel,
  segment: Segment,
  followedBy: Segment | undefined,
  options: FitOptions,
  notes: string[],
): Fall {
  const rows = goodRows(channel, segment.from, followedBy?.to ?? segment.to);
  const positive = rows.filter((row) => channel.values[row] > 0);
  if (positive.length < rows.length) {
    notes.push(`${rows.length - positive.length} reading(s) of zero or below cannot be put on a logarithmic axis`);
  }
  if (positive.length < 2)
    throw new ArgumentError('positive good readings in the pump-down', positive.length, 'at least 2');
  let own = positive.length - 1;
  while (own > 0 && positive[own] > segment.to) own--;
  const scale = gaugeScale(options.gauge, options.gas, options.gaugeScale, channel.values[positive[own]]).scale;
  return { time: pick(log.time, positive), pa: pick(channel.values, positive), own, scaleChange: scale * SCALE_CHANGE };
}

/** The level at the end: mean of the last readings that are alike within a tenth, with the interval of their spread. */
function lastLevel({ pa }: Fall, resolution: number): Estimate {
  const n = pa.length;
  const end = pa.slice(-3).sort()[Math.min(n, 3) >> 1];
  const most = Math.max(3, Math.min(60, Math.floor(n / 10)));
  let sum = 0;
  let count = 0;
  let low = end;
  let high = end;
  for (let i = n - 1; i >= 0 && n - i <= most && Math.abs(pa[i] - end) <= 0.1 * end; i--) {
    sum += pa[i];
    count++;
    low = Math.min(low, pa[i]);
    high = Math.max(high, pa[i]);
  }
  return { value: count > 0 ? sum / count : end, low: low - resolution / 2, high: high + resolution / 2 };
}

/** Rates by decade of pressure, from the first reading below its top to the first below its bottom. */
function stretchesByDecade(fall: Fall, base: Estimate): Stretch[] {
  const { time, pa } = fall;
  const lowest = lowestOf(fall);
  const stretches: Stretch[] = [];
  let index = 0;
  let top = pa[0];
  const bottomDecade = Math.floor(elementary.log10(lowest));
  for (let decade = Math.ceil(elementary.log10(top)) - 1; decade >= bottomDecade; decade--) {
    const bottom = Math.max(elementary.power(10, decade), lowest);
    if (bottom > top / 2) continue;
    const from = index;
    while (index < pa.length - 1 && pa[index] > bottom) index++;
    const rate = rateBetween(fall, from, index, base);
    if (rate !== null && value(rate) > 0) {
      stretches.push({ fromPa: pa[from], toPa: pa[index], startS: time[from], endS: time[index], rate });
    }
    top = pa[index];
  }
  return stretches;
}

function lowestOf({ pa }: Fall): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const p of pa) lowest = Math.min(lowest, p);
  return lowest;
}

/**
 * - d ln(p - base) / dt between two readings: from a smooth curve through all of them, or, where the fall has corners
 * (valves, pump stages) that no smooth curve follows, from its ends alone; what is narrower counts. The ends of the
 * base's interval count for a quarter each.
 */
function rateBetween(fall: Fall, from: number, to: number, base: Estimate): Mixture | null {
  const { time, pa, scaleChange } = fall;
  const basePa = base.value;
  const used: number[] = [];
  for (let i = from; i <= to; i++) if (pa[i] > basePa * 1.2) used.push(i);
  if (used.length < 2) return null;
  const lapse = time[used[used.length - 1]] - time[used[0]];
  if (!(lapse > 0)) return null;
  const logs = Float64Array.from(used, (i) => elementary.log(pa[i] - basePa));
  const rate = (logs[0] - logs[logs.length - 1]) / lapse;
  if (used.length < 4) return normalMixture(rate, Math.hypot(TWO_READINGS * rate, scaleChange / lapse));
  const [first, final] = [pa[used[0]], pa[used[used.length - 1]]];
  const lowest = used.reduce((least, i) => Math.min(least, pa[i]), first);
  const shift = (to: number): number => elementary.log((first - to) / (final - to)) / lapse - rate;
  const shifts: [number, number][] = [
    [0.5, 0],
    [0.25, shift(Math.max(0, base.low))],
    [0.25, shift(Math.min(base.high, 0.8 * lowest))],
  ];
  const times = Float64Array.from(used, (i) => time[i]);
  const noise = 2 * noiseFromDifferences(logs, 2);
  const byEnds = normalMixture(rate, (Math.SQRT2 * noise) / lapse);
  const smooth = describeRise({
    time: times,
    values: logs,
    noise: new Float64Array(used.length).fill(1),
    resolution: 0,
  });
  const byCurve = meanRate(smooth, smooth.startS, smooth.endS).map((part) => ({ ...part, centre: -part.centre }));
  const narrower = mixtureStandardUncertainty(byCurve) < mixtureStandardUncertainty(byEnds) ? byCurve : byEnds;
  const widened = widenMixture(narrower, scaleChange / lapse);
  return shifts.flatMap(([weight, by]) =>
    widened.map((part) => ({ ...part, weight: part.weight * weight, centre: part.centre + by })),
  );
}

/** The rate over the fastest decade and its neighbours that are as fast within a fifth. */
function bestRate(fall: Fall, stretches: readonly Stretch[], base: Estimate): Mixture {
  if (stretches.length === 0) {
    return rateBetween(fall, 0, fall.pa.length - 1, NO_BASE) ?? normalMixture(0, 0);
  }
  let best = 0;
  stretches.forEach((s, i) => {
    if (value(s.rate) > value(stretches[best].rate)) best = i;
  });
  const fastest = value(stretches[best].rate);
  let first = best;
  let last = best;
  while (first > 0 && value(stretches[first - 1].rate) > 0.8 * fastest) first--;
  while (last < stretches.length - 1 && value(stretches[last + 1].rate) > 0.8 * fastest) last++;
  if (first === last) return stretches[best].rate;
  const from = indexAt(fall.time, stretches[first].startS);
  const to = indexAt(fall.time, stretches[last].endS);
  return rateBetween(fall, from, to, base) ?? stretches[best].rate;
}

/** First index whose time is at least `t`, by bisection. */
function indexAt(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Index from which the fall is slower than volume gas would be pumped, or null where the record ends before. */
function startOfTail(fall: Fall, fastest: number): number | null {
  const { time, pa } = fall;
  if (!(fastest > 0)) return null;
  const ahead = 1 / (VOLUME_GAS_SHARE * fastest);
  // From the end backwards: the last time at which the pressure still fell by more than volume gas at the slow rate.
  let later = pa.length - 1;
  for (let i = pa.length - 1; i >= 0; i--) {
    while (later > i && time[later] - time[i] > ahead) later--;
    if (later <= i) continue;
    const enough = time[later] - time[i] > 0.5 * ahead;
    if (enough && elementary.log(pa[i] / pa[later]) > VOLUME_GAS_SHARE * fastest * (time[later] - time[i])) {
      return later < pa.length - 8 ? later : null;
    }
  }
  return 0;
}

/** The index at which the largest rise within the fall (to twice the lowest pressure before it, or more) has ended. */
function lastRise({ pa }: Fall): number | null {
  let lowest = pa[0];
  let largest = 2;
  let peak: number | null = null;
  for (let i = 1; i < pa.length; i++) {
    if (pa[i] >= lowest * largest) {
      largest = pa[i] / lowest;
      peak = i;
    }
    if (pa[i] < lowest) lowest = pa[i];
  }
  return peak;
}

function laterOf(tail: number | null, rise: number | null): number | null {
  return tail === null || rise === null ? tail : Math.max(tail, rise);
}

/** The tail: from the late start, or from an earlier one if the same kind of curve describes the fall from there. */
function findTailAnew(
  fall: Fall,
  late: number | null,
  atmospheric: boolean,
  logStartS: number,
): { readonly start: number | null; readonly tail: TailFit | null } {
  const tail = late === null ? null : tailFrom(fall, late, atmospheric, logStartS);
  // Below 100 Pa the gas of the volume is gone soon, and a slow fall may be a tail from its beginning.
  if (fall.pa[0] > 100) return { start: late, tail };
  const latest = late ?? fall.pa.length - 1;
  const enough = 1.5 * (tail?.relativeNoise ?? 0.03);
  for (const share of [0, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1]) {
    const start = Math.floor(share * fall.pa.length);
    if (start >= latest) break;
    if (start < (lastRise(fall) ?? 0)) continue;
    const early = tailFrom(fall, start, atmospheric, logStartS);
    if (early !== null && early.relativeNoise < Math.min(0.05, enough)) return { start, tail: early };
  }
  return { start: late, tail };
}

/** The tail needs neither volume nor limit, which are what is moved. */
const findTail = remembering(findTailAnew, 16);

/** A tail from an index on, where it is long enough to be one. */
function tailFrom(fall: Fall, start: number, atmospheric: boolean, logStartS: number): TailFit | null {
  const { time, pa } = fall;
  const n = pa.length;
  const span = time[n - 1] - time[start];
  const before = time[start] - time[0];
  if (n - start < 20 || !(pa[start] / pa[n - 1] > 1.5)) return null;
  const thinned = thinInLogTime(time, pa, start, Math.max(before, span / 200));
  // A record that begins below atmosphere does not say when pumping began: some time before it, or at a change in it.
  const earliest = atmospheric ? time[0] : Math.min(logStartS, time[0] - 0.02 * span);
  const fit = fitTail(thinned.time, thinned.pa, [earliest, time[start] - Math.max(before, span / 1000) * 0.02]);
  if (fit === null || fit.relativeNoise > 0.3) return null;
  const decades = elementary.log10((time[n - 1] - fit.best.clockS) / (time[start] - fit.best.clockS));
  // An exponent that the readings leave quite open, or one at the edge of what was tried, is no power law.
  const open = fit.exponent.high / fit.exponent.low > 6 || fit.best.exponent < 0.21 || fit.best.exponent > 2.9;
  return decades > 0.5 && !open ? fit : null;
}

/** Geometric means in cells of equal width in log(t - t_start + offset). */
function thinInLogTime(
  time: Float64Array,
  pa: Float64Array,
  start: number,
  offset: number,
): { time: Float64Array; pa: Float64Array } {
  const cells = 160;
  const reach = elementary.log((time[time.length - 1] - time[start] + offset) / offset);
  const sums = new Float64Array(cells + 1);
  const logs = new Float64Array(cells + 1);
  const counts = new Int32Array(cells + 1);
  for (let i = start; i < time.length; i++) {
    const cell = Math.floor((cells * elementary.log((time[i] - time[start] + offset) / offset)) / reach);
    sums[cell] += time[i];
    logs[cell] += elementary.log(pa[i]);
    counts[cell]++;
  }
  const used = Array.from(counts.keys()).filter((c) => counts[c] > 0);
  return {
    time: Float64Array.from(used, (c) => sums[c] / counts[c]),
    pa: Float64Array.from(used, (c) => elementary.exp(logs[c] / counts[c])),
  };
}

/** The base that the fall tends to: by its tail where it has one, else what its last readings bound. */
function baseOf(fall: Fall, last: Estimate, tail: TailFit | null): Estimate {
  if (tail !== null) {
    const high = Math.max(Math.min(tail.base.high, last.high), tail.base.value);
    return { value: tail.base.value, low: Math.min(tail.base.low, high), high };
  }
  const { time, pa } = fall;
  const n = pa.length;
  const count = Math.max(3, Math.floor(n / 10));
  const fallen = n > count ? elementary.log(pa[n - 1 - count] / last.value) : 1;
  const still = fallen > 0.02 && time[n - 1] > time[0];
  const ahead = n >= 3 ? Math.min(extrapolated(pa, count), last.value) : last.value;
  // Still falling: the base lies anywhere below the last reading. Nearly at rest: as far again as it will still fall.
  if (still) return { value: ahead, low: 0, high: last.high };
  return { value: ahead, low: Math.max(0, Math.min(last.low, 2 * ahead - last.value)), high: last.high };
}

/** Aitken's extrapolation of three levels a like number of readings apart; the last level where it makes no sense. */
function extrapolated(pa: Float64Array, count: number): number {
  const n = pa.length;
  const level = (back: number): number => {
    const at = Math.max(0, n - 1 - back);
    return pa.slice(Math.max(0, at - 1), at + 2).reduce((sum, p, _, all) => sum + p / all.length, 0);
  };
  const [a, b, c] = [level(1 + 2 * count), level(1 + count), level(1)];
  const bend = a - 2 * b + c;
  if (!(bend > 0)) return pa[n - 1];
  const limit = c - (b - c) ** 2 / bend;
  return Math.min(pa[n - 1], Math.max(0, limit, c - (a - c)));
}

function speedOf(rate: Mixture, volume: Quantity | undefined): Estimate | null {
  if (volume === undefined) return null;
  const relative = volume.standardUncertainty / volume.si;
  const factor = { name: 'volume', value: volume.si, unit: 'm3', relative, from: 'given' };
  return productEstimate(productOf(rate, { name: 'speed over volume', unit: '1/s', from: 'fit' }, [factor]));
}

/** Seconds from the start to the first crossing of a pressure, interpolated in ln p; null where it is not reached. */
function timeTo(fall: Fall, startS: number, toPa: number): number | null {
  const { time, pa } = fall;
  if (pa[0] <= toPa) return 0;
  for (let i = 1; i < pa.length; i++) {
    if (pa[i] > toPa) continue;
    const share = elementary.log(pa[i - 1] / toPa) / elementary.log(pa[i - 1] / pa[i]);
    return time[i - 1] + share * (time[i] - time[i - 1]) - startS;
  }
  return null;
}

function stagesOf(
  fall: Fall,
  stretches: readonly Stretch[],
  tailStart: number | null,
  tail: TailFit | null,
  last: Estimate,
): PumpDownStage[] {
  const { time, pa } = fall;
  const end = pa.length - 1;
  const stages: PumpDownStage[] = [];
  const turn = tailStart ?? end;
  if (turn > 0 && stretches.length > 0) {
    stages.push(stage('volume gas', time, pa, 0, turn, 'the pressure falls as the gas of the volume is pumped away'));
  }
  if (tailStart !== null && turn < end) {
    const flat = tail === null && pa[turn] < 1.5 * last.value;
    stages.push(
      flat
        ? stage('floor', time, pa, turn, end, 'the pressure hardly falls any more')
        : stage('tail', time, pa, turn, end, 'the pressure falls more slowly than the gas of the volume would'),
    );
  }
  return stages;
}

function stage(
  kind: PumpDownStage['kind'],
  time: Float64Array,
  pa: Float64Array,
  from: number,
  to: number,
  text: string,
): PumpDownStage {
  return { kind, startS: time[from], endS: time[to], fromPa: pa[from], toPa: pa[to], text };
}

function tailCurve({ time }: Fall, start: number, tail: TailFit): Curve {
  const count = 101;
  const ahead = time[start] - tail.best.clockS;
  const reach = (time[time.length - 1] - tail.best.clockS) / ahead;
  const timeS = Float64Array.from(
    { length: count },
    (_, i) => tail.best.clockS + ahead * elementary.power(reach, i / (count - 1)),
  );
  const pa = timeS.map((t) => tailAt(tail.best, t));
  const band = 2 * tail.relativeNoise;
  return { timeS, pa, lowPa: pa.map((p) => p * (1 - band)), highPa: pa.map((p) => p * (1 + band)) };
}
