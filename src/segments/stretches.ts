import type { NoiseByLevel } from './noise';
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
  readonly scaled: ScaledRecord;
  readonly noise: NoiseByLevel;
  /** Fastest pumping seen, 1/s (speed over volume, a lower bound where the sampling is coarse); 0 where none is seen. */
  readonly pumpingPerS: number;
  /** Atmospheric pressure as this gauge shows it, Pa. */
  readonly atmospherePa: number;
}

/**
 * Describes straight pieces.
 * @param record the record they were cut from
 * @param pieces first and last readings
 */
export function describeStretches(readings: Readings, scaled: ScaledRecord, pieces: Pieces): Stretch[] {
  return Array.from({ length: pieces.count }, (_, k) =>
    describeStretch(readings, scaled, pieces.from[k], pieces.to[k]),
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

/**
 * The fastest fall seen, as speed over volume, 1/s: the highest rate of d ln(p - base)/dt over two steps, the base being
 * the lowest of the readings that follow. Where the pressure falls within one step this is a lower bound.
 */
export function fastestPumping(readings: Readings, scaled: ScaledRecord, noise: NoiseByLevel): number {
  const { time, pa } = readings;
  const { y } = scaled;
  const ahead = lowestAhead(pa, 40);
  const found: number[] = [];
  for (let i = 0; i + 2 < pa.length; i++) {
    if (y[i] - y[i + 2] < 25) continue;
    const floor = 4 * noise.sigmaPa(ahead[i]);
    const before = pa[i] - ahead[i];
    const after = Math.max(pa[i + 2] - ahead[i], floor);
    const span = time[i + 2] - time[i];
    if (span > 0 && before > after) found.push(Math.log(before / after) / span);
  }
  if (found.length === 0) return 0;
  found.sort((a, b) => b - a);
  // Not the very fastest, which may be a slip of the clock.
  return found[Math.min(found.length - 1, Math.floor(found.length / 20))];
}

/** For each reading, the lowest of the `reach` readings after it. */
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
