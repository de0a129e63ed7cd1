import * as elementary from '../numerics/elementary';
import type { NoiseByLevel } from './noise';
import type { PressureText } from './pressure-text';
import { medianBetween, type Readings } from './readings';
import type { Pieces, ScaledRecord } from './straight-pieces';

/** A straight piece of a record and what the pressure does in it. */
export interface Stretch {
  /** First and last reading, inclusive (an index into the good readings). */
  readonly from: number;
  readonly to: number;
  readonly startS: number;
  readonly endS: number;
  /** Pressure at its ends, Pa. */
  readonly startPa: number;
  readonly endPa: number;
  /** The same on the scale on which the noise is 1, from the fitted line. */
  readonly startY: number;
  readonly endY: number;
  /** Mean rate of change, Pa/s. */
  readonly ratePa: number;
  /** Rate of change on the noise scale over its standard error: how sure it is that the pressure moves. */
  readonly significance: number;
}

/** What a whole record is worked on with. */
export interface WorkingRecord {
  readonly readings: Readings;
  /** The lowest good reading, Pa. */
  readonly lowestPa: number;
  /** Flags of the channel, for each row of the log. */
  readonly flags: Uint8Array;
  readonly scaled: ScaledRecord;
  /** The same with weights that know of the steps of a coarse display, within which readings err together. */
  readonly stepwise: ScaledRecord;
  readonly noise: NoiseByLevel;
  /**
   * Fastest pumping seen, 1/s (speed over volume, a lower bound where the sampling is coarse); 0 where none is seen.
   */
  readonly pumpingPerS: number;
  /** Noise of a mean over that of white noise: above 1 where neighbouring readings err together. */
  readonly longRun: number;
  /** Usual time from one reading to the next, s. */
  readonly stepS: number;
  /** Tells a pressure in the log's own unit. */
  readonly show: PressureText;
  /** Atmospheric pressure as this gauge shows it, Pa. */
  readonly atmospherePa: number;
}

/** Rows from `from` to `to` (inclusive) that have a flag. */
export function flaggedBetween(record: WorkingRecord, from: number, to: number, flag: number): number {
  let count = 0;
  for (let row = from; row <= to; row++) if ((record.flags[row] & flag) !== 0) count++;
  return count;
}

/**
 * Describes straight pieces.
 * @param record the record they were cut from
 * @param pieces first and last readings
 * @param offset added to these
 */
export function describeStretches(readings: Readings, scaled: ScaledRecord, pieces: Pieces, offset: number): Stretch[] {
  return Array.from({ length: pieces.count }, (_, k) =>
    describeStretch(readings, scaled, pieces.from[k] + offset, pieces.to[k] + offset),
  );
}

/** Describes the readings `from` to `to` (inclusive) by a straight line. */
export function describeStretch(readings: Readings, scaled: ScaledRecord, from: number, to: number): Stretch {
  const { time, y } = scaled;
  const n = to - from + 1;
  let meanT = 0;
  let meanY = 0;
  for (let i = from; i <= to; i++) {
    meanT += (time[i] - time[from]) / n;
    meanY += (y[i] - y[from]) / n;
  }
  let tt = 0;
  let ty = 0;
  for (let i = from; i <= to; i++) {
    const dt = time[i] - time[from] - meanT;
    tt += dt * dt;
    ty += dt * (y[i] - y[from] - meanY);
  }
  const slope = tt > 0 ? ty / tt : 0;
  const few = Math.min(2, n - 1, Math.floor((n - 1) / 2));
  const startPa = medianBetween(readings.pa, from, from + few);
  const endPa = medianBetween(readings.pa, to - few, to);
  const startS = time[from];
  const endS = time[to];
  const span = time[to] - time[from] - (few * (time[to] - time[from])) / Math.max(1, n - 1);
  return {
    from,
    to,
    startS,
    endS,
    startPa,
    endPa,
    startY: y[from] + meanY - slope * meanT,
    endY: y[from] + meanY + slope * (endS - startS - meanT),
    ratePa: span > 0 ? (endPa - startPa) / span : 0,
    significance: slope * Math.sqrt(tt),
  };
}

/** A fall by less than this ratio may be a tail or a drift: it says nothing of the pump. */
const LEAST_FALL = 1.5;

/** For each stretch, the ratio of pressures over the unbroken fall that it is part of. */
function fallRatios(stretches: readonly Stretch[]): Float64Array {
  const ratios = new Float64Array(stretches.length).fill(1);
  let from = 0;
  for (let k = 1; k <= stretches.length; k++) {
    const goesOn =
      k < stretches.length && stretches[k].startPa <= stretches[k - 1].endPa && stretches[k].endY < stretches[k].startY;
    if (goesOn) continue;
    const ratio = stretches[from].startPa / stretches[k - 1].endPa;
    for (let j = from; j < k; j++) ratios[j] = ratio > 0 ? ratio : LEAST_FALL;
    // The stretch that follows a fall's top may end the rise and begin the next fall.
    from = k;
  }
  return ratios;
}

/**
 * The fastest fall seen, as speed over volume, 1/s: the highest d ln(p - base)/dt of the falling stretches, the base
 * being the lowest pressure soon after. Where the pressure falls within one step this is a lower bound.
 */
export function fastestPumping(readings: Readings, noise: NoiseByLevel, stretches: readonly Stretch[]): number {
  const { time, pa } = readings;
  const ahead = lowestAhead(pa, 40);
  const found: { readonly rate: number; readonly weight: number }[] = [];
  const note = (i: number, j: number): void => {
    const floor = 4 * noise.sigmaPa(ahead[j]);
    const before = pa[i] - ahead[j];
    const after = Math.max(pa[j] - ahead[j], floor);
    const span = time[j] - time[i];
    if (span > 0 && before > 1.2 * after && before - after > 8 * noise.sigmaPa(pa[i])) {
      found.push({ rate: elementary.log(before / after) / span, weight: before / after });
    }
  };
  const falls = fallRatios(stretches);
  for (let k = 0; k < stretches.length; k++) {
    const s = stretches[k];
    if (falls[k] < LEAST_FALL) continue;
    if (k > 0 && stretches[k - 1].endY > s.startY && s.from >= 1) note(s.from - 1, Math.min(s.from + 1, s.to));
    if (!(s.endY < s.startY)) continue;
    const step = Math.max(2, Math.ceil((s.to - s.from) / 8));
    for (let i = s.from; i + step <= s.to; i += step) note(i, i + step);
  }
  if (found.length === 0) return 0;
  found.sort((a, b) => b.rate - a.rate);
  // Not the very fastest, which may be a slip of the clock or a spike.
  return found[Math.min(found.length - 1, Math.floor(found.length / 15))].rate;
}

/** Readings in a block of the estimate of long-run noise. */
const LONG_RUN_BLOCK = 8;
/** With fewer blocks than this hardly any difference of them is free of what the pressure does: shorter ones are asked, too. */
const FEW_BLOCKS = 40;

/**
 * Noise of a mean over eight readings against what white noise would give, from fourth differences of block means,
 * which a smooth curve leaves alone.
 * @param y readings scaled to a noise of 1
 */
export function longRunNoise(y: Float64Array): number {
  const blocks = Math.floor(y.length / LONG_RUN_BLOCK);
  if (blocks < 12) return 1;
  let ratio = blockNoise(y, LONG_RUN_BLOCK, FOURTH);
  if (blocks < FEW_BLOCKS) {
    // A mean over eight readings errs no more than one over four, or two: against white noise that is by the root of the ratio.
    for (const size of [LONG_RUN_BLOCK, LONG_RUN_BLOCK / 2, LONG_RUN_BLOCK / 4]) {
      const noise = Math.min(blockNoise(y, size, SECOND), blockNoise(y, size, FOURTH));
      ratio = Math.min(ratio, Math.sqrt(LONG_RUN_BLOCK / size) * noise);
    }
  }
  return Math.min(12, Math.max(1, ratio));
}

const SECOND: readonly number[] = [1, -2, 1];
const FOURTH: readonly number[] = [1, -4, 6, -4, 1];

/** Noise of means over blocks of `size` readings, from their differences, over that of white noise. */
function blockNoise(y: Float64Array, size: number, weights: readonly number[]): number {
  const blocks = Math.floor(y.length / size);
  const means = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    for (let i = 0; i < size; i++) sum += y[b * size + i] - y[b * size];
    means[b] = y[b * size] + sum / size;
  }
  const differences: number[] = [];
  const stride = Math.max(1, Math.floor(blocks / 20000));
  for (let b = 0; b + weights.length <= blocks; b += stride) {
    differences.push(Math.abs(weights.reduce((sum, w, k) => sum + w * means[b + k], 0)));
  }
  differences.sort((a, b) => a - b);
  const scale = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0) / size);
  // The lower quartile, since dynamics enter the larger differences; 0.319 is that of a normal deviate.
  return differences[differences.length >> 2] / 0.319 / scale;
}

/** For each reading, the lowest of the `reach` readings after it (and itself). */
function lowestAhead(pa: Float64Array, reach: number): Float64Array {
  const out = new Float64Array(pa.length);
  const queue = new Int32Array(pa.length);
  let head = 0;
  let tail = 0;
  for (let i = pa.length - 1; i >= 0; i--) {
    while (tail > head && pa[queue[tail - 1]] >= pa[i]) tail--;
    queue[tail++] = i;
    while (queue[head] > i + reach) head++;
    out[i] = pa[queue[head]];
  }
  return out;
}
