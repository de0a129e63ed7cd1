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
import type { Curve, PressureStretch, PumpDown, PumpDownStage } from './results';
import { channelNamed, goodRows, pick } from './rise-readings';
import { describeRise, meanRate } from './smooth-rise';
import { fitTail, type TailFit, tailAt } from './tail';

/** A stretch of pressure in which the speed was measured. */
interface Stretch extends PressureStretch {
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

/** What is not gas of the volume (base, and load of the walls over the speed) at a moment, Pa: as likely, least and most. */
interface Rest {
  readonly value: (t: number) => number;
  readonly low: (t: number) => number;
  readonly high: (t: number) => number;
  /** Where the load of the walls is no longer small beside it, Pa: speeds are sought above some times this. */
  readonly topPa: number;
}

const NO_REST: Rest = { value: () => 0, low: () => 0, high: () => 0, topPa: 0 };
/** Speeds below this part of the best belong to a tail, not to volume gas. */
const VOLUME_GAS_SHARE = 0.3;
/** Two readings alone give a rate to about this relative standard uncertainty. */
const TWO_READINGS = 0.15;
/** Part of a gauge's scale uncertainty that is taken to differ from one end of a decade to the other. */
const SCALE_CHANGE = 0.5;
/** Walls give off gas as this power of the time pumped before the tail: least likely to fall so slow, or so fast. */
const WALLS_BEFORE_TAIL = { slow: 0.3, usual: 1, fast: 1.7 };
/** Rates of the two halves of a stretch (by ln p) that differ by more than this are no exponential fall. */
const UNEVEN = 2.5;
/** A rate known no better than this many times the best known one does not stand for the pump. */
const AS_WELL_KNOWN = 3;

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
  const rough = stretchesByDecade(fall, NO_REST);
  const fastest = rough.reduce((most, s) => Math.max(most, value(s.rate)), 0);
  const late = laterOf(startOfTail(fall, fastest), lastRise(fall));
  const { start: tailStart, tail } = findTail(fall, late, atmospheric, log.time[0]);
  const { base, reached } = baseOf(fall, last, tail, atmospheric ? 0 : fall.time[0] - log.time[0]);
  const rest = restOf(fall, base, late, atmospheric ? 0 : fall.time[0] - log.time[0]);
  const byDecade = stretchesByDecade(fall, rest);
  // Near what is not gas of the volume a decade says little about the speed.
  const clear = byDecade.filter((s) => s.toPa >= 3 * rest.topPa);
  const decades = clear.length > 0 ? clear : byDecade.filter((s) => s.toPa >= 1.5 * rest.topPa);
  const measured = decades.length > 0 ? decades : wholeFall(fall, rest);
  const best = bestStretch(
    fall,
    measured.filter((s) => isEven(fall, s, rest)),
    rest,
  );
  if (best === null) notes.push(whyNoRate(measured));
  return {
    segment,
    channel: channelName,
    ratePerS: best === null ? null : mixtureEstimate(best.rate),
    rateOver: best === null ? null : { fromPa: best.fromPa, toPa: best.toPa, startS: best.startS, endS: best.endS },
    byDecade: measured.map((s) => ({
      fromPa: s.fromPa,
      toPa: s.toPa,
      ratePerS: mixtureEstimate(s.rate),
      speed: speedOf(s.rate, options.volume),
    })),
    effectiveSpeed: best === null ? null : speedOf(best.rate, options.volume),
    base,
    baseReached: reached,
    tailExponent: tail?.exponent ?? null,
    times: (options.setPointsPa ?? []).map((toPa) => ({ toPa, afterS: timeTo(fall, segment.startS, toPa) })),
    stages: stagesOf(fall, measured, tailStart, tail, last),
    curve: tail === null || tailStart === null ? null : tailCurve(fall, tailStart, tail),
    notes,
  };
}

/** The whole fall towards the rest as one stretch, where it stays too near to it for decades. */
function wholeFall(fall: Fall, rest: Rest): Stretch[] {
  const { time, pa } = fall;
  let end = pa.length - 1;
  while (end > 0 && !(pa[end] > 1.2 * rest.value(time[end]))) end--;
  const above = (i: number): number => pa[i] - rest.value(time[i]);
  const rate = rateBetween(fall, 0, end, rest);
  if (rate === null || !(value(rate) > 0) || !(above(0) >= 2 * above(end))) return [];
  return [{ fromPa: pa[0], toPa: pa[end], startS: time[0], endS: time[end], rate }];
}

function whyNoRate(measured: readonly Stretch[]): string {
  return measured.length === 0
    ? 'no speed: in no stretch does the pressure fall by half well above what walls and base make'
    : 'no speed: the pressure nowhere falls exponentially over a fair part of a decade, as gas of the volume would';
}

/**
 * What is not gas of the volume. Without a tail it is the base. Before a tail the walls gave off more: as a power of the
 * time pumped, and the power is open.
 */
function restOf(fall: Fall, base: Estimate, tailStart: number | null, pumpedBeforeS: number): Rest {
  const { time, pa } = fall;
  if (tailStart === null || tailStart === 0) {
    const constant = (level: number) => (): number => Math.max(0, level);
    return { value: constant(base.value), low: constant(base.low), high: constant(base.high), topPa: base.high };
  }
  const { slow, usual, fast } = WALLS_BEFORE_TAIL;
  // Before it, walls cannot have made more than was read: the reading that bounds them most, by their usual power.
  let anchor = tailStart;
  const bound = (i: number): number => pa[i] * elementary.power(Math.max(time[i] - time[0], 1e-9), usual);
  for (let i = tailStart; i > 0; i--) if (bound(i) < 0.7 * bound(anchor)) anchor = i;
  const level = pa[anchor];
  const before = Math.max(pumpedBeforeS, 0.05 * (time[anchor] - time[0]));
  const age = time[anchor] - time[0] + before;
  const back =
    (share: number, power: number) =>
    (t: number): number =>
      t >= time[anchor]
        ? share * level
        : share * level * elementary.power(age / (Math.max(t - time[0], 0) + before), power);
  const topPa = level;
  return { value: back(1, usual), low: back(0.7, slow), high: back(1, fast), topPa };
}

/** Whether the two halves of a stretch fall alike, as gas of the volume does at one speed. */
function isEven({ time, pa }: Fall, stretch: Stretch, rest: Rest): boolean {
  const from = indexAt(time, stretch.startS);
  const to = indexAt(time, stretch.endS);
  if (to - from < 4) return true;
  const log = (i: number): number => elementary.log(Math.max(pa[i] - rest.value(time[i]), 0.3 * pa[i]));
  const [top, bottom] = [log(from), log(to)];
  let middle = from + 1;
  while (middle < to - 1 && log(middle) > (top + bottom) / 2) middle++;
  const first = (top - log(middle)) / (time[middle] - time[from]);
  const second = (log(middle) - bottom) / (time[to] - time[middle]);
  return first < UNEVEN * second && second < UNEVEN * first;
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
function stretchesByDecade(fall: Fall, rest: Rest): Stretch[] {
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
    const rate = rateBetween(fall, from, index, rest);
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
 * - d ln(p - rest) / dt between two readings: from a smooth curve through all of them, or, where the fall has corners
 * (valves, pump stages) that no smooth curve follows, from its ends alone; what is narrower counts. The least and the
 * largest rest count for a quarter each.
 */
function rateBetween(fall: Fall, from: number, to: number, rest: Rest): Mixture | null {
  const { time, pa, scaleChange } = fall;
  const used: number[] = [];
  for (let i = from; i <= to; i++) if (pa[i] > rest.value(time[i]) * 1.2) used.push(i);
  if (used.length < 2) return null;
  const [one, other] = [used[0], used[used.length - 1]];
  const lapse = time[other] - time[one];
  if (!(lapse > 0)) return null;
  const logs = Float64Array.from(used, (i) => elementary.log(pa[i] - rest.value(time[i])));
  const rate = (logs[0] - logs[logs.length - 1]) / lapse;
  if (used.length < 4) return normalMixture(rate, Math.hypot(TWO_READINGS * rate, scaleChange / lapse));
  const above = (i: number, level: (t: number) => number): number =>
    Math.max(pa[i] - Math.max(0, level(time[i])), 0.2 * pa[i]);
  const shift = (level: (t: number) => number): number =>
    elementary.log(above(one, level) / above(other, level)) / lapse - rate;
  const shifts: [number, number][] = [
    [0.5, 0],
    [0.25, shift(rest.low)],
    [0.25, shift(rest.high)],
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

/** The fastest of the well known stretches, with its neighbours that are as fast within a fifth. */
function bestStretch(fall: Fall, stretches: readonly Stretch[], rest: Rest): Stretch | null {
  if (stretches.length === 0) return null;
  const relative = stretches.map((s) => mixtureStandardUncertainty(s.rate) / value(s.rate));
  const enough = Math.max(AS_WELL_KNOWN * relative.reduce((a, b) => Math.min(a, b)), 0.02);
  let best = relative.findIndex((r) => r <= enough);
  stretches.forEach((s, i) => {
    if (relative[i] <= enough && value(s.rate) > value(stretches[best].rate)) best = i;
  });
  const fastest = value(stretches[best].rate);
  const joins = (i: number): boolean => relative[i] <= enough && value(stretches[i].rate) > 0.8 * fastest;
  let first = best;
  let last = best;
  while (first > 0 && joins(first - 1)) first--;
  while (last < stretches.length - 1 && joins(last + 1)) last++;
  if (first === last) return stretches[best];
  const { fromPa, startS } = stretches[first];
  const { toPa, endS } = stretches[last];
  const rate = rateBetween(fall, indexAt(fall.time, startS), indexAt(fall.time, endS), rest);
  return rate === null ? stretches[best] : { fromPa, toPa, startS, endS, rate };
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

/** A fall that goes on as this power of time at least has as far again to go as it fell while time grew by a factor e. */
const SLOWEST_TAIL = 0.5;
/** Where what is left to fall may be more than this part of the last level, the base is not reached. */
const LEFT_TO_FALL = 0.5;

/**
 * The base that the fall tends to. What is left to fall follows from how fast it still falls: with p - base ~ t^-n it is
 * |dp / d ln t| / n, less where the fall ends exponentially. Where that may be half of the last level, the record does not
 * reach the base, and the last reading only bounds it from above.
 */
function baseOf(
  fall: Fall,
  last: Estimate,
  tail: TailFit | null,
  pumpedBeforeS: number,
): { readonly base: Estimate; readonly reached: boolean } {
  const { slope, u } = fallPerLogTime(fall, pumpedBeforeS);
  const left = Math.max(0, slope);
  const most = (left + 2 * u) / SLOWEST_TAIL;
  const low = Math.max(0, Math.min(last.low, last.value - most, tail?.base.low ?? Infinity));
  const ahead = tail === null ? last.value - 0.7 * left : Math.min(tail.base.value, last.value);
  const reached = most < LEFT_TO_FALL * last.value && ahead > (1 - LEFT_TO_FALL) * last.value;
  const high = Math.max(last.high, ahead);
  if (!reached) return { base: { value: Math.max(0, ahead), low: 0, high }, reached };
  return { base: { value: ahead, low, high }, reached };
}

/** - dp / d ln t over the last part of the fall, in which the time pumped grows by half, and its standard uncertainty, Pa. */
function fallPerLogTime({ time, pa }: Fall, pumpedBeforeS: number): { readonly slope: number; readonly u: number } {
  const n = pa.length;
  const clock = time[0] - Math.max(0, pumpedBeforeS);
  const end = time[n - 1] - clock;
  let from = indexAt(time, clock + end / 1.5);
  from = Math.max(0, Math.min(from, n - 6));
  const count = n - from;
  if (count < 3 || !(end > 0)) return { slope: pa[0] - pa[n - 1], u: pa[n - 1] };
  const x = Float64Array.from({ length: count }, (_, i) =>
    elementary.log(Math.max(time[from + i] - clock, 1e-3 * end)),
  );
  const meanX = x.reduce((sum, one) => sum + one / count, 0);
  let meanP = 0;
  for (let i = 0; i < count; i++) meanP += pa[from + i] / count;
  let xx = 0;
  let xp = 0;
  for (let i = 0; i < count; i++) {
    xx += (x[i] - meanX) ** 2;
    xp += (x[i] - meanX) * (pa[from + i] - meanP);
  }
  if (!(xx > 0)) return { slope: 0, u: pa[n - 1] };
  const slope = -xp / xx;
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (pa[from + i] - meanP + slope * (x[i] - meanX)) ** 2;
  // Twice, for neighbouring readings err together.
  return { slope, u: 2 * Math.sqrt(squares / Math.max(1, count - 2) / xx) };
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
