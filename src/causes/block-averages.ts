import type { Channel } from '../log';
import { median } from '../numerics';
import * as elementary from '../numerics/elementary';
import { findUnit } from '../units';

/**
 * The unit in which a channel's readings were written, Pa; 1 where it is not known or counts from the barometer.
 * @param channel the channel
 */
export function writtenIn({ unit }: Pick<Channel, 'unit'>): number {
  const found = findUnit(unit, 'pressure');
  return found?.barometer === 'none' ? found.scale : 1;
}

/** A stretch of readings thinned to averages, each with its own standard uncertainty. */
export interface Blocks {
  /** Mean time of each block, s from the first row of the log. */
  readonly timeS: Float64Array;
  /** Mean reading, Pa. */
  readonly pa: Float64Array;
  /** Standard uncertainty of the mean from noise and quantisation, Pa. */
  readonly sd: Float64Array;
}

/**
 * Thins readings to at most `count` block averages whose blocks grow with time since the start (early readings carry
 * the shape). The uncertainty comes from the scatter inside the blocks, widened for autocorrelation and for
 * quantisation, and is never less than what the blocks show among themselves.
 * @param time s, ascending, of all rows
 * @param channel its readings, Pa, of all rows, their step (0 where not seen) and the unit in which they were written
 * @param rows the rows to use
 * @param count most blocks wanted, at least 3
 * @returns the averages; empty where there are no rows
 */
export function blockAverages(
  time: Float64Array,
  channel: Pick<Channel, 'values' | 'resolution' | 'unit'>,
  rows: Int32Array,
  count: number,
): Blocks {
  const { values, resolution } = channel;
  const unitPa = writtenIn(channel);
  const edges = blockEdges(time, rows, count);
  const blocks = edges.length - 1;
  const timeS = new Float64Array(Math.max(0, blocks));
  const pa = new Float64Array(Math.max(0, blocks));
  const size = new Float64Array(Math.max(0, blocks));
  const scatter = new Float64Array(Math.max(0, blocks)).fill(Number.NaN);
  const products: number[] = [];
  for (let b = 0; b < blocks; b++) {
    const line = robustLine(time, values, rows, edges[b], edges[b + 1]);
    timeS[b] = line.time;
    pa[b] = line.mean;
    size[b] = line.count;
    if (line.count >= 5) {
      scatter[b] = line.variance;
      products.push(line.lagProduct);
    }
  }
  const step = resolution > 0 ? resolution : seenStep(values, rows);
  const digits = digitsWritten(values, rows, unitPa);
  const steps = Float64Array.from(pa, (p, b) => {
    // A display of two digits reads 0.93, then 1.0, however often it changes.
    const last = digits > 0 && p !== 0 ? unitPa * place(Math.abs(p / unitPa), digits) : 0;
    return Math.max(step, stepAt(values, rows, edges, b), last);
  });
  const sd = blockUncertainty(timeS, pa, size, scatter, products, steps, stampError(time, rows));
  return { timeS, pa, sd };
}

function blockEdges(time: Float64Array, rows: Int32Array, count: number): number[] {
  const n = rows.length;
  if (n === 0) return [];
  const start = time[rows[0]];
  const span = time[rows[n - 1]] - start;
  const edges = [0];
  for (let b = 1; b < count; b++) {
    const until = start + span * elementary.power(b / count, 1.4);
    let at = edges[edges.length - 1];
    while (at < n && time[rows[at]] < until) at++;
    if (at > edges[edges.length - 1] && at < n) edges.push(at);
  }
  edges.push(n);
  return edges;
}

interface BlockLine {
  readonly time: number;
  readonly mean: number;
  readonly count: number;
  readonly variance: number;
  readonly lagProduct: number;
}

/** Mean of a block after readings far from the block's own line are left out. */
function robustLine(time: Float64Array, values: Float64Array, rows: Int32Array, from: number, to: number): BlockLine {
  const all = to - from;
  let keep = Array.from({ length: all }, (_, i) => rows[from + i]);
  let line = straight(time, values, keep);
  if (all >= 6) {
    const off = keep.map((row) => Math.abs(values[row] - line.at(time[row])));
    const scale = 1.4826 * median(off);
    const good = keep.filter((_, i) => off[i] <= 4.5 * scale);
    if (good.length >= 4 && good.length < all) {
      keep = good;
      line = straight(time, values, keep);
    }
  }
  let variance = 0;
  let lagProduct = 0;
  let before = 0;
  keep.forEach((row, i) => {
    const off = values[row] - line.at(time[row]);
    variance += off * off;
    if (i > 0) lagProduct += off * before;
    before = off;
  });
  const freedom = Math.max(1, keep.length - 2);
  return {
    time: line.time,
    mean: line.mean,
    count: keep.length,
    variance: variance / freedom,
    lagProduct: lagProduct / freedom,
  };
}

function straight(time: Float64Array, values: Float64Array, rows: readonly number[]) {
  const n = rows.length;
  let t = 0;
  let p = 0;
  for (const row of rows) {
    t += time[row] / n;
    p += values[row] / n;
  }
  let tt = 0;
  let tp = 0;
  for (const row of rows) {
    tt += (time[row] - t) ** 2;
    tp += (time[row] - t) * (values[row] - p);
  }
  const slope = tt > 0 ? tp / tt : 0;
  return { time: t, mean: p, at: (when: number): number => p + slope * (when - t) };
}

/** The step of the display where readings repeat, Pa; 0 where they do not. */
function seenStep(values: Float64Array, rows: Int32Array): number {
  const sorted = Float64Array.from(rows, (row) => values[row]).sort();
  let distinct = 1;
  let step = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const gap = sorted[i] - sorted[i - 1];
    if (gap > 1e-9 * Math.abs(sorted[i])) {
      distinct++;
      if (gap < step) step = gap;
    }
  }
  return sorted.length >= 6 && distinct < 0.6 * sorted.length && Number.isFinite(step) ? step : 0;
}

/**
 * The step around one block: a display of a few digits goes in steps that grow with the pressure. Of the block itself, or
 * with its neighbours where it holds a single value; 0 where readings do not repeat.
 */
function stepAt(values: Float64Array, rows: Int32Array, edges: readonly number[], b: number): number {
  for (const [from, to] of [
    [b, b + 1],
    [b, b + 2],
    [b - 1, b + 2],
  ]) {
    const first = edges[Math.max(0, from)];
    const step = repeatedStep(values, rows, first, edges[Math.min(edges.length - 1, to)]);
    if (step > 0) return step;
  }
  return 0;
}

/** A display of more digits than these is finer than the noise of a gauge. */
const MOST_DIGITS = 5;

/** How many digits are written: the most that any reading needs; 0 where they are more than a display has. */
function digitsWritten(values: Float64Array, rows: Int32Array, unitPa: number): number {
  let digits = 1;
  for (const row of rows) {
    const value = Math.abs(values[row] / unitPa);
    if (!(value > 0)) continue;
    while (!isWritten(value, place(value, digits))) if (++digits > MOST_DIGITS) return 0;
  }
  return digits;
}

/** The place of the last of so many digits. */
function place(value: number, digits: number): number {
  return elementary.power(10, Math.floor(elementary.log10(value) + 1e-9) + 1 - digits);
}

function isWritten(value: number, step: number): boolean {
  const steps = value / step;
  return Math.abs(steps - Math.round(steps)) < 1e-6;
}

/** Most changes of the reading that are looked at for a step. */
const MOST_CHANGES = 400;

/** The smallest change from one reading to the next where many do not change at all, Pa; else 0. */
function repeatedStep(values: Float64Array, rows: Int32Array, from: number, to: number): number {
  let changes = 0;
  let step = Infinity;
  let at = from + 1;
  for (; at < to && changes < MOST_CHANGES; at++) {
    const change = Math.abs(values[rows[at]] - values[rows[at - 1]]);
    if (!(change > 1e-9 * Math.abs(values[rows[at]]))) continue;
    changes++;
    if (change < step) step = change;
  }
  return changes > 0 && at - from >= 6 && changes < 0.7 * (at - from) ? step : 0;
}

function blockUncertainty(
  timeS: Float64Array,
  pa: Float64Array,
  size: Float64Array,
  scatter: Float64Array,
  products: readonly number[],
  steps: Float64Array,
  stampS: number,
): Float64Array {
  const blocks = pa.length;
  const local = localVariance(scatter);
  const known = scatter.filter((v) => v >= 0);
  const total = known.reduce((sum, v) => sum + v, 0);
  const rho = total > 0 ? Math.min(0.95, Math.max(0, products.reduce((sum, v) => sum + v, 0) / total)) : 0;
  const sd = new Float64Array(blocks);
  const largest = pa.reduce((most, p) => Math.max(most, Math.abs(p)), 0);
  const least = Math.max(1e-7 * largest, 1e-14);
  for (let b = 0; b < blocks; b++) {
    const noise = Math.sqrt(local[b]);
    const step = steps[b];
    const undithered = step > 0 ? 0.29 * step * Math.max(0, 1 - noise / (0.6 * step)) : 0;
    const rise = blocks > 1 ? Math.abs(pa[Math.min(b + 1, blocks - 1)] - pa[Math.max(b - 1, 0)]) / 2 : 0;
    const crossings = step > 0 ? Math.min(Math.max(1, rise / step), size[b]) : 1;
    const rounding = Math.max(undithered / Math.sqrt(crossings), (0.29 * step) / Math.sqrt(size[b]));
    const random = noise * Math.sqrt((1 + rho) / (1 - rho) / size[b]);
    const before = Math.max(b - 1, 0);
    const after = Math.min(b + 1, blocks - 1);
    const perS = after > before ? Math.abs(pa[after] - pa[before]) / (timeS[after] - timeS[before]) : 0;
    const stamps = (perS * stampS) / Math.sqrt(size[b]);
    sd[b] = Math.hypot(random, rounding, stamps, 1e-5 * Math.abs(pa[b]), least);
  }
  const seen = scatterAmongBlocks(timeS, pa, sd);
  return seen > 1 ? sd.map((u) => u * seen) : sd;
}

/**
 * Standard uncertainty of a time stamp that is cut to whole steps, s: rows some 3.4 s apart are stamped 3, 7, 10, 14 s. Seen
 * where the times between rows are two or three neighbouring multiples of one step; 0 else.
 */
function stampError(time: Float64Array, rows: Int32Array): number {
  const between = Float64Array.from({ length: rows.length - 1 }, (_, i) => time[rows[i + 1]] - time[rows[i]]);
  if (between.length < 8) return 0;
  const usual = median(Array.from(between));
  let step = Infinity;
  for (const one of between) {
    const off = Math.abs(one - usual);
    if (off > 1e-3 * usual && off < step) step = off;
  }
  if (!(step <= 0.7 * usual)) return 0;
  const near = between.filter((one) => Math.abs(one - usual) < 1.5 * step);
  const whole = near.filter((one) => isWritten(one, step) && Math.abs(one - usual) > 0.5 * step);
  // A gap now and then is none; where rows are not even, many differ.
  return near.length > 0.9 * between.length && whole.length > 0.05 * between.length ? 0.29 * step : 0;
}

/** Variance of single readings around each block, from its neighbours: the noise of many gauges goes with the pressure. */
function localVariance(scatter: Float64Array): Float64Array {
  const known = Array.from(scatter).filter((v) => v >= 0);
  const usual = known.length > 0 ? median(known) : 0;
  return scatter.map((_, b) => {
    const near = Array.from(scatter.subarray(Math.max(0, b - 3), b + 4)).filter((v) => v >= 0);
    return near.length >= 3 ? median(near) : usual;
  });
}

/** How much larger than stated the blocks scatter about the cubic through their four neighbours; 1 where too few. */
function scatterAmongBlocks(timeS: Float64Array, pa: Float64Array, sd: Float64Array): number {
  const ratios: number[] = [];
  for (let b = 2; b < pa.length - 2; b++) {
    let off = pa[b];
    let variance = sd[b] ** 2;
    for (const j of [b - 2, b - 1, b + 1, b + 2]) {
      let weight = 1;
      for (const m of [b - 2, b - 1, b + 1, b + 2]) {
        if (m !== j) weight *= (timeS[b] - timeS[m]) / (timeS[j] - timeS[m]);
      }
      off -= weight * pa[j];
      variance += (weight * sd[j]) ** 2;
    }
    ratios.push((off * off) / variance);
  }
  return ratios.length >= 3 ? Math.sqrt(median(ratios) / 0.455) : 1;
}
