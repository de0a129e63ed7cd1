import type { PumpDown, RateOfRise } from '../fits/results';
import { firstRowFrom } from '../log/first-row';
import { type Channel, FLAG, type GaugeLog } from '../log/gauge-log';
import { median, quantile } from '../numerics';
import * as elementary from '../numerics/elementary';
import type { Segment, SegmentedLog } from '../segments/segment';
import { type Blocks, blockAverages } from './block-averages';

/** One isolation, thinned, as the joint inference sees it. */
export interface IsolationEvidence extends Blocks {
  /** When the valve closed, s from the first row. */
  readonly closeS: number;
  /** When the judged part ends, s. */
  readonly endS: number;
  /** Pressure at closing, Pa. */
  readonly closePa: number;
  /** Seconds from the start of pumping (or of the record, where that is not in it) to closing. */
  readonly ageS: number;
  /** The same from the first start of pumping that the record holds: more than `ageS` after a vent in between, s. */
  readonly olderS: number;
  /** Whether gas was let in just before: what stands there at closing is not what the sources made. */
  readonly filled: boolean;
  /** Moments of steps and bursts inside it, s. */
  readonly stepsS: readonly number[];
  /** Relative deviation of a recorded temperature from its mean at each block, or null. */
  readonly warming: Float64Array | null;
}

/** A stretch of quasi-steady pumping before or between isolations, thinned. */
export interface PumpedEvidence extends Blocks {
  readonly startS: number;
  /** Seconds from the start of pumping (or of the record) at each block. */
  readonly ageS: Float64Array;
  /** The same from the first start of pumping that the record holds, s. */
  readonly olderS: Float64Array;
}

/** What a record offers to the inference. */
export interface RecordEvidence {
  readonly channel: string;
  readonly isolations: readonly IsolationEvidence[];
  readonly pumped: readonly PumpedEvidence[];
  /** Whether the start of pumping is in the record, so that the outgassing clock is known. */
  readonly clockKnown: boolean;
  /** Speed over volume, 1/s, with its relative standard uncertainty; null where no pump-down shows it. */
  readonly pumping: { readonly perS: number; readonly relative: number } | null;
  /** Lowest steady pressure while pumped, Pa, or null. */
  readonly steadyPa: number | null;
  /** Its standard uncertainty, Pa; 0 where there is none. */
  readonly steadySd: number;
  /** Share of the blocks that are negative beyond noise, 0 to 1. */
  readonly negativeShare: number;
  /** Whether flowing gas held the pressure before the last isolation, so that it says nothing about the pump. */
  readonly heldByFlow: boolean;
  /** How much likelier the gas that two gauges show is from walls than from a leak of air; 1 where nothing shows it. */
  readonly wallsAgainstLeak: number;
  /** Isolations that could not be used, each with its reason. */
  readonly unusable: readonly string[];
  /** Isolations after which the pressure goes on rising as what was taken for a fill, s of their closing. */
  readonly filledAfterS: readonly number[];
  /** How many standard deviations the isolations' pressure moves, all together. */
  readonly significance: number;
  /** Seconds of the longest isolation. */
  readonly longestS: number;
  /** Typical time between rows, s. */
  readonly stepS: number;
  /** Step of the gauge's display, Pa; 0 where none is seen. */
  readonly stepPa: number;
  /** Highest good reading of the gauge in the whole record, Pa. */
  readonly highestPa: number;
}

/** What the evidence uses of the fits of a record. */
export interface EvidenceFits {
  readonly isolations: readonly Pick<RateOfRise, 'segment' | 'windowS'>[];
  readonly pumpDowns: readonly Pick<PumpDown, 'ratePerS' | 'rateOver'>[];
}

const MOST_ISOLATIONS = 8;
const BLOCKS = 22;
const PUMPED_BLOCKS = 14;

/**
 * Thins a record to what the joint inference needs: block averages of the isolations and of the pumping between them.
 * @param log the log that was read
 * @param segmented what happened in it
 * @param fits its rates of rise and pump-downs (their dwell and speed are used where they are there)
 * @returns the evidence; without isolations where none is usable
 */
export function recordEvidence(log: GaugeLog, segmented: SegmentedLog, fits: EvidenceFits): RecordEvidence {
  const channel = log.channels.find((one) => one.name === segmented.channel);
  if (channel === undefined) return emptyEvidence(segmented.channel);
  const unusable: string[] = [];
  const starts = pumpStarts(segmented.segments, channel);
  const candidates = segmented.segments
    .filter((one) => one.kind === 'isolation')
    .map((segment) => isolationEvidence(log, channel, segmented, fits, segment, starts, unusable))
    .filter((one): one is IsolationEvidence => one !== null);
  const isolations = longest(withoutScraps(withoutPumped(candidates, unusable), unusable));
  const pumping = pumpingRate(log, channel, segmented.segments, fits);
  const pumped = pumpedStretches(log, channel, segmented.segments, starts, pumping?.perS ?? null);
  const lows = pumped.map((one) => one.pa[one.pa.length - 1]);
  const first = isolations[0];
  const lastPumped = pumped[pumped.length - 1];
  return {
    channel: channel.name,
    isolations,
    pumped,
    clockKnown: first !== undefined && starts.some((one) => one.known && one.atS <= first.closeS),
    pumping,
    steadyPa: lows.length > 0 ? lows[lows.length - 1] : steadyAtClosing(segmented.segments, first),
    steadySd: lastPumped?.sd[lastPumped.sd.length - 1] ?? first?.sd[0] ?? 0,
    negativeShare: negativeShare([...isolations, ...pumped]),
    wallsAgainstLeak: 1,
    heldByFlow: heldBefore(segmented.segments, isolations[isolations.length - 1]?.closeS),
    unusable,
    filledAfterS: filledAfter(segmented.segments),
    significance: significance(isolations),
    longestS: longestOf(isolations),
    stepS: log.rows > 1 ? (log.time[log.rows - 1] - log.time[0]) / (log.rows - 1) : 1,
    stepPa: channel.resolution,
    highestPa: channel.values.reduce((most, pa, row) => (channel.flags[row] === 0 && pa > most ? pa : most), 0),
  };
}

function emptyEvidence(channel: string): RecordEvidence {
  return {
    channel,
    isolations: [],
    pumped: [],
    clockKnown: false,
    pumping: null,
    steadyPa: null,
    steadySd: 0,
    negativeShare: 0,
    heldByFlow: false,
    wallsAgainstLeak: 1,
    unusable: [`no channel is called ${channel}`],
    filledAfterS: [],
    significance: 0,
    longestS: 0,
    stepS: 1,
    stepPa: 0,
    highestPa: 0,
  };
}

/** Without a steady pumped stretch: the pressure at closing, unless gas was let in or pumping had not come to rest. */
function steadyAtClosing(segments: readonly Segment[], first: IsolationEvidence | undefined): number | null {
  if (first === undefined || first.filled) return null;
  const before = segments.filter((one) => one.endS <= first.closeS);
  return before.some((one) => one.kind === 'pump-down') ? null : first.closePa;
}

/** Does the stretch before a moment hold the pressure by flowing gas? */
function heldBefore(segments: readonly Segment[], closeS: number | undefined): boolean {
  if (closeS === undefined) return false;
  const before = segments.filter((one) => one.startS < closeS);
  return before[before.length - 1]?.kind === 'regulated';
}

/** A fill that joins an isolation may be the isolation itself, seen too late: both begin with a rise. */
function filledAfter(segments: readonly Segment[]): number[] {
  const found: number[] = [];
  segments.forEach((one, i) => {
    const next = segments[i + 1];
    const corrected = one.correction !== undefined || next?.correction !== undefined;
    if (one.kind === 'isolation' && next?.kind === 'fill' && !corrected) found.push(one.startS);
  });
  return found;
}

/** Root of the summed squares of (slope over its standard deviation) of the isolations, room temperature allowed for. */
function significance(isolations: readonly IsolationEvidence[]): number {
  let sum = 0;
  for (const one of isolations) {
    const n = one.pa.length;
    let w = 0;
    let t = 0;
    let p = 0;
    for (let b = 0; b < n; b++) {
      const weight = elementary.power(one.sd[b], -2);
      w += weight;
      t += weight * one.timeS[b];
      p += weight * one.pa[b];
    }
    let tt = 0;
    let tp = 0;
    for (let b = 0; b < n; b++) {
      const weight = elementary.power(one.sd[b], -2);
      tt += weight * (one.timeS[b] - t / w) ** 2;
      tp += weight * (one.timeS[b] - t / w) * (one.pa[b] - p / w);
    }
    const span = one.timeS[n - 1] - one.timeS[0];
    const room = span > 0 ? ((Math.abs(p / w) / 293) * 0.15 * Math.min(1, Math.sqrt(span / 1800))) / span : 0;
    if (tt > 0) sum += (tp / tt) ** 2 / (1 / tt + room * room);
  }
  return Math.sqrt(sum);
}

/** How long an isolation lasts, s. */
const lengthOf = ({ closeS, endS }: IsolationEvidence): number => endS - closeS;

/** Length of the longest isolation, s; 0 where there is none. */
function longestOf(all: readonly IsolationEvidence[]): number {
  return all.reduce((most, one) => Math.max(most, lengthOf(one)), 0);
}

/** A rise this much slower than another one of the same record is no isolation: its valve stood open. */
const OPEN_VALVE = 1e-4;

/** Stretches in which the pressure hardly moves, beside rises of the same record, were pumped: they prove no leak away. */
function withoutPumped(all: readonly IsolationEvidence[], unusable: string[]): IsolationEvidence[] {
  const rateOf = (one: IsolationEvidence): number => (one.pa[one.pa.length - 1] - one.pa[0]) / lengthOf(one);
  const quickest = all.reduce((most, one) => Math.max(most, rateOf(one)), 0);
  return all.filter((one) => {
    const open = Math.abs(rateOf(one)) < OPEN_VALVE * quickest;
    if (open)
      unusable.push(`isolation from ${Math.round(one.closeS)} s: hardly a rise beside the others, as of an open valve`);
    return !open;
  });
}

/** Stretches of noise at a gauge's floor may look like isolations: far shorter than the longest, with next to no rise. */
function withoutScraps(all: readonly IsolationEvidence[], unusable: string[]): IsolationEvidence[] {
  const longestS = longestOf(all);
  const risen = ({ pa }: IsolationEvidence): number => Math.abs(pa[pa.length - 1] - pa[0]);
  const largest = all.reduce((most, one) => Math.max(most, risen(one)), 0);
  return all.filter((one) => {
    const { sd } = one;
    const noise = 6 * Math.hypot(sd[0], sd[sd.length - 1]);
    const scrap = lengthOf(one) < 0.03 * longestS && risen(one) < Math.max(noise, 0.05 * largest);
    if (scrap)
      unusable.push(`isolation from ${Math.round(one.closeS)} s: too short beside the longest, and hardly a rise`);
    return !scrap;
  });
}

function longest(all: readonly IsolationEvidence[]): IsolationEvidence[] {
  if (all.length <= MOST_ISOLATIONS) return [...all];
  const bar = all.map(lengthOf).sort((a, b) => b - a)[MOST_ISOLATIONS - 1];
  return all.filter((one) => lengthOf(one) >= bar).slice(0, MOST_ISOLATIONS);
}

/** Part of the blocks that lie below zero by more than noise can make: a gauge's zero that is off. */
function negativeShare(stretches: readonly Blocks[]): number {
  let negative = 0;
  let all = 0;
  for (const one of stretches) {
    for (let b = 0; b < one.pa.length; b++) {
      all++;
      if (one.pa[b] < -5 * one.sd[b]) negative++;
    }
  }
  return all > 0 ? negative / all : 0;
}

/** A pump-down that starts above this begins with walls that have met gas again, Pa. */
const VENTED_PA = 2e4;

interface PumpStart {
  readonly atS: number;
  readonly known: boolean;
}

/** Moments at which the clock of the walls starts: the beginning of pumping after atmosphere, venting or a fill. */
function pumpStarts(segments: readonly Segment[], channel: Channel): PumpStart[] {
  const starts: PumpStart[] = [{ atS: segments[0]?.startS ?? 0, known: false }];
  let high = false;
  for (const one of segments) {
    if (one.kind === 'atmosphere' || one.kind === 'venting' || isOverRange(one, channel)) high = true;
    if (one.kind === 'pump-down' && (high || one.startPa > VENTED_PA)) {
      starts.push({ atS: one.startS, known: true });
      high = false;
    }
  }
  return starts;
}

/** A gauge that is over its range shows no pressure, but that the chamber is far above where it will be pumped to. */
function isOverRange(one: Segment, channel: Channel): boolean {
  if (one.kind !== 'unknown') return false;
  let over = 0;
  for (let row = one.from; row <= one.to; row++) if ((channel.flags[row] & FLAG.overRange) !== 0) over++;
  return 2 * over > one.to - one.from + 1;
}

function startBefore(starts: readonly PumpStart[], atS: number): number {
  let best = starts[0].atS;
  for (const one of starts) if (one.atS <= atS) best = one.atS;
  return best;
}

/** The first start of pumping that is known; where none is before, the start of the record. */
function firstStart(starts: readonly PumpStart[], atS: number): number {
  return starts.find((one) => one.known && one.atS <= atS)?.atS ?? starts[0].atS;
}

function isJustBefore(one: Segment, isolation: Segment): boolean {
  return one.to <= isolation.from && isolation.from - one.to <= 3;
}

/** Good rows of a stretch, at most `most` of them, evenly thinned. */
function goodRows(log: GaugeLog, channel: Channel, fromS: number, toS: number, most = 200_000): Int32Array {
  const rows: number[] = [];
  for (let i = firstRowFrom(log.time, fromS); i < log.rows && log.time[i] <= toS; i++) {
    if (channel.flags[i] === 0 && Number.isFinite(channel.values[i])) rows.push(i);
  }
  const stride = Math.max(1, Math.ceil(rows.length / most));
  const thinned = stride === 1 ? rows : rows.filter((_, i) => i % stride === 0);
  return withoutSpikes(channel.values, thinned);
}

/**
 * Leaves out single readings far from the median of their neighbours when those agree among themselves: an excursion
 * of one reading that leaves nothing behind is no gas.
 */
function withoutSpikes(values: Float64Array, rows: readonly number[]): Int32Array {
  const n = rows.length;
  if (n < 7) return Int32Array.from(rows);
  const off = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const a = Math.max(0, Math.min(n - 5, i - 2));
    const four: number[] = [];
    for (let j = a; j < a + 5; j++) if (j !== i) four.push(values[rows[j]]);
    four.sort((x, y) => x - y);
    off[i] = Math.abs(values[rows[i]] - 0.5 * (four[1] + four[2]));
  }
  const usual = median(off);
  return Int32Array.from(
    rows.filter((_, i) => {
      const beside = Math.max(off[Math.max(0, i - 1)], off[Math.min(n - 1, i + 1)]);
      return off[i] <= 12 * usual + 1e-12 || off[i] < 2 * beside;
    }),
  );
}

function isolationEvidence(
  log: GaugeLog,
  channel: Channel,
  segmented: SegmentedLog,
  fits: EvidenceFits,
  segment: Segment,
  starts: readonly PumpStart[],
  unusable: string[],
): IsolationEvidence | null {
  const where = `isolation from ${Math.round(segment.startS)} s`;
  if (segment.pumpSide) {
    unusable.push(`${where}: the gauge sits on the pump's side of the valve`);
    return null;
  }
  const fit = fits.isolations.find((one) => one.segment.from === segment.from && one.segment.to === segment.to);
  const span = segment.endS - segment.startS;
  const count = segment.to - segment.from + 1;
  const filled = segmented.segments.some((one) => one.kind === 'fill' && isJustBefore(one, segment));
  // Of a fill the first reading may be one of before its valve was shut.
  const first = filled && count > 7 ? log.time[segment.from + 1] : segment.startS;
  const dwellEnd = fit ? fit.windowS[0] : count > 21 ? segment.startS + 0.04 * span : first;
  const end = fit ? Math.max(fit.windowS[1], dwellEnd) : segment.endS;
  const rows = goodRows(log, channel, dwellEnd, end);
  if (rows.length < 3) {
    unusable.push(`${where}: ${rows.length} usable readings, at least 3 are needed`);
    return null;
  }
  const blocks = blockAverages(log.time, channel, rows, BLOCKS);
  const stepsS = segmented.events
    .filter((one) => (one.kind === 'burst' || one.kind === 'step') && one.atS > dwellEnd && one.atS < end)
    .map((one) => one.atS)
    .slice(0, 3);
  return {
    ...blocks,
    closeS: segment.startS,
    endS: log.time[rows[rows.length - 1]],
    closePa: closingPressure(log, channel, segmented, segment) ?? blocks.pa[0],
    ageS: segment.startS - startBefore(starts, segment.startS),
    olderS: segment.startS - firstStart(starts, segment.startS),
    filled,
    stepsS,
    warming: warmingAt(log, blocks.timeS),
  };
}

/**
 * Pressure at closing, Pa. Where readings are missing after it, the first of them tells what has risen since: then it is
 * the last one before, of the pump.
 */
function closingPressure(log: GaugeLog, channel: Channel, segmented: SegmentedLog, segment: Segment): number | null {
  const usual = Number.isFinite(segment.startPa) ? segment.startPa : null;
  const good = (row: number): boolean => channel.flags[row] === 0 && Number.isFinite(channel.values[row]);
  let first = segment.from;
  while (first < segment.to && !good(first)) first++;
  const late = log.time[first] - segment.startS;
  if (late < 0.02 * (segment.endS - segment.startS)) return usual;
  const before = segmented.segments[segmented.segments.indexOf(segment) - 1];
  if (before === undefined || (before.kind !== 'pump-down' && before.kind !== 'steady')) return usual;
  let row = segment.from - 1;
  while (row > before.from && !good(row)) row--;
  const pumpedPa = channel.values[row];
  return good(row) && usual !== null && pumpedPa < usual && segment.startS - log.time[row] < late ? pumpedPa : usual;
}

/** Relative deviation of the first usable temperature channel from its mean, at the given times. */
function warmingAt(log: GaugeLog, timeS: Float64Array): Float64Array | null {
  const channel = log.channels.find((one) => one.quantity === 'temperature' && one.siUnit === 'K');
  if (channel === undefined || timeS.length < 3) return null;
  const kelvin = Float64Array.from(timeS, (at, b) => {
    const half = (timeS[Math.min(b + 1, timeS.length - 1)] - timeS[Math.max(b - 1, 0)]) / 4;
    let sum = 0;
    let count = 0;
    for (let i = firstRowFrom(log.time, at - half); i < log.rows && log.time[i] <= at + half; i++) {
      if (channel.flags[i] === 0 && channel.values[i] > 0) {
        sum += channel.values[i];
        count++;
      }
    }
    return count > 0 ? sum / count : Number.NaN;
  });
  if (!kelvin.every((k) => k > 0)) return null;
  const mean = kelvin.reduce((sum, k) => sum + k / kelvin.length, 0);
  return kelvin.map((k) => (k - mean) / mean);
}

/** Speed over volume: from the pump-down fits, else from the steepest decade of the readings. */
function pumpingRate(
  log: GaugeLog,
  channel: Channel,
  segments: readonly Segment[],
  fits: EvidenceFits,
): RecordEvidence['pumping'] {
  const falls = segments
    .filter(({ kind }, i) => kind === 'pump-down' || (kind === 'steady' && segments[i - 1]?.kind === 'isolation'))
    .map((one) => steepestFall(log, channel, one))
    .filter(({ perS }) => perS > 0);
  const steepest = falls.reduce((most, one) => Math.max(most, one.perS), 0);
  const used = fits.pumpDowns.flatMap(({ ratePerS: rate, rateOver: over }) => {
    const shown = rate !== null && over !== null && over.fromPa >= SEEN_FALL * Math.max(over.toPa, 1e-300);
    return shown && rate.value > 0 && Number.isFinite(rate.value) ? [rate.value] : [];
  });
  // A fall quicker than the readings follow, or one that a load holds up, shows too small a speed: the larger count.
  const best = used.length > 0 ? quantile(used, 0.75) : 0;
  if (best > 0.6 * steepest) {
    const spread = 0.4 * elementary.log(Math.max(...used) / median(used));
    return { perS: best, relative: Math.min(1, Math.hypot(0.3, spread, LAG_S * best)) };
  }
  const followed = falls.filter((one) => one.seenTwice).map((one) => one.perS);
  if (followed.length > 0 && steepest < 3 * median(followed)) {
    const perS = median(followed);
    return { perS, relative: Math.min(1, Math.hypot(0.4, LAG_S * perS)) };
  }
  if (falls.length === 0) return null;
  // Over within a reading or two: it may have been as quick as any pump empties a vessel.
  const open = 0.5 * elementary.log(Math.max(FASTEST_PUMP_PER_S / steepest, 7));
  return { perS: steepest * elementary.exp(open), relative: open };
}

/** Hardly a pump empties its vessel more quickly, 1/s (common practice, no source). */
const FASTEST_PUMP_PER_S = 2;

/** Gauges and valves may take so long to follow: a pump that is quicker shows too small a speed, s (common practice). */
const LAG_S = 2;

/** A fall by less than this factor may be noise, or a load that dies away, and shows no speed. */
const SEEN_FALL = 4;
/** A second stretch of the fall that is nearly as steep as the steepest: that one was no chance and no valve's stroke. */
const AS_STEEP = 0.6;
/** Readings at the end of the fall that show where it ends. */
const TAIL_READINGS = 12;

/** Steepest fall by a factor e, 1/s, and whether two stretches of it agree. */
function steepestFall(log: GaugeLog, channel: Channel, segment: Segment): { perS: number; seenTwice: boolean } {
  // The fall may be over within the step that leads into the stretch, and begin above the gauge's range.
  const from = Math.max(0, segment.from - 2);
  const stride = Math.max(1, Math.ceil((segment.to - from) / 20_000));
  const all = Array.from({ length: Math.floor((segment.to - from) / stride) + 1 }, (_, i) => from + i * stride);
  const usable = all.filter(
    (row) =>
      (channel.flags[row] === FLAG.good || channel.flags[row] === FLAG.overRange) &&
      Number.isFinite(channel.values[row]),
  );
  const tail = usable.slice(-Math.min(TAIL_READINGS, usable.length >> 1)).map((row) => channel.values[row]);
  // Near its end the fall is load and noise.
  const end = tail.length > 0 ? median(tail) : 0;
  const noise = tail.length > 0 ? median(tail.map((pa) => Math.abs(pa - end))) : 0;
  const floor = Math.max(SEEN_FALL * Math.abs(end), end + 10 * noise, 5 * channel.resolution, 1e-300);
  const logs = usable.map((row) => elementary.log(Math.max(channel.values[row], floor)));
  const fallen = (a: number, b: number): number => (logs[a] - logs[b]) / (log.time[usable[b]] - log.time[usable[a]]);
  const falls: { perS: number; from: number; to: number }[] = [];
  let back = 0;
  for (let i = 1; i < usable.length; i++) {
    while (back < i - 1 && logs[back + 1] > logs[i] + 1) back++;
    const took = log.time[usable[i]] - log.time[usable[back]];
    if (took > 0 && logs[back] >= logs[i] + 1) falls.push({ perS: fallen(back, i), from: back, to: i });
  }
  const best = falls.reduce((a, b) => (b.perS > a.perS ? b : a), { perS: 0, from: 0, to: 0 });
  const middle = (best.from + best.to) >> 1;
  const least = AS_STEEP * best.perS;
  const seenTwice =
    falls.some((one) => one.perS > least && (one.from >= best.to || one.to <= best.from)) ||
    (best.to - best.from >= 4 && fallen(best.from, middle) > least && fallen(middle, best.to) > least);
  return { perS: best.perS, seenTwice };
}

/** Pumped stretches where the pressure follows the load: slower than the pump could take it away. */
function pumpedStretches(
  log: GaugeLog,
  channel: Channel,
  segments: readonly Segment[],
  starts: readonly PumpStart[],
  perS: number | null,
): PumpedEvidence[] {
  const merged: { startS: number; endS: number }[] = [];
  let open = false;
  for (const one of segments) {
    const pumpedNow = one.kind === 'pump-down' || one.kind === 'steady';
    if (pumpedNow && open) merged[merged.length - 1].endS = one.endS;
    else if (pumpedNow) merged.push({ startS: one.startS, endS: one.endS });
    open = pumpedNow;
  }
  return merged
    .map((stretch) => pumpedEvidence(log, channel, stretch, starts, perS))
    .filter((one): one is PumpedEvidence => one !== null)
    .slice(-6);
}

function pumpedEvidence(
  log: GaugeLog,
  channel: Channel,
  stretch: { startS: number; endS: number },
  starts: readonly PumpStart[],
  perS: number | null,
): PumpedEvidence | null {
  const settle =
    perS === null ? 0.3 * (stretch.endS - stretch.startS) : Math.min(8 / perS, stretch.endS - stretch.startS);
  const within = goodRows(log, channel, stretch.startS + 0.5 * settle, stretch.endS);
  // The rows next to a valve's move may belong to the other side of it.
  const rows = within.length > 10 ? within.subarray(2, within.length - 2) : within;
  if (rows.length < 4) return null;
  const all = blockAverages(log.time, channel, rows, PUMPED_BLOCKS);
  const n = all.pa.length;
  const end = all.pa[n - 1];
  // A fall as quick as the pump's shows the gas that is being pumped away, not the load.
  if (n < 2 || !isSlow(all, n - 2, perS)) return null;
  let from = n - 1;
  while (from > 0 && isSlow(all, from - 1, perS) && all.pa[from - 1] < 12 * Math.max(end, all.sd[n - 1])) from--;
  const keep = (column: Float64Array): Float64Array => column.slice(from);
  const timeS = keep(all.timeS);
  const start = startBefore(starts, stretch.startS + 1e-6);
  return {
    timeS,
    pa: keep(all.pa),
    sd: keep(all.sd),
    startS: stretch.startS,
    ageS: timeS.map((t) => t - start),
    olderS: timeS.map((t) => t - firstStart(starts, stretch.startS + 1e-6)),
  };
}

function isSlow(blocks: Blocks, b: number, perS: number | null): boolean {
  const fall = elementary.log(Math.max(blocks.pa[b], 1e-12) / Math.max(blocks.pa[b + 1], 1e-12));
  const took = blocks.timeS[b + 1] - blocks.timeS[b];
  return perS === null ? fall < 0.7 : fall < 0.1 * perS * took + 0.05;
}
