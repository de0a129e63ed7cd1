import type { Channel } from '../log/gauge-log';

/** The readings of a channel that may be used: only those whose flag is good and whose value is a number. */
export interface Readings {
  /** Row of the log of each reading. */
  readonly rows: Int32Array;
  /** Seconds from the first row of the log. */
  readonly time: Float64Array;
  /** Pressure, Pa. */
  readonly pa: Float64Array;
}

/**
 * Takes the good readings of a channel out of the log.
 * @param time seconds from the first row, length = rows
 * @param channel the channel; readings with any flag, and values that are no number, are left out
 */
export function goodReadings(time: Float64Array, channel: Channel): Readings {
  const { values, flags } = channel;
  const rows = new Int32Array(values.length);
  let count = 0;
  for (let row = 0; row < values.length; row++) {
    if (flags[row] === 0 && Number.isFinite(values[row]) && Number.isFinite(time[row])) rows[count++] = row;
  }
  const kept = rows.slice(0, count);
  const at = new Float64Array(count);
  const pa = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    at[i] = time[kept[i]];
    pa[i] = values[kept[i]];
  }
  return { rows: kept, time: at, pa };
}

/** Median of the readings `from` to `to` (inclusive); NaN when there are none. */
export function medianBetween(values: ArrayLike<number>, from: number, to: number): number {
  const count = Math.max(0, to - from + 1);
  const sorted = new Float64Array(count);
  for (let i = 0; i < count; i++) sorted[i] = values[from + i];
  if (count <= FEW) sortFew(sorted);
  else sorted.sort();
  const half = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** Up to so many values sorting by insertion is fastest. */
const FEW = 24;

function sortFew(values: Float64Array): void {
  for (let i = 1; i < values.length; i++) {
    const value = values[i];
    let j = i - 1;
    while (j >= 0 && values[j] > value) {
      values[j + 1] = values[j];
      j--;
    }
    values[j + 1] = value;
  }
}

/** Readings from an end in which they must move one way for the end itself to be read off. */
const ONE_WAY = 5;

/**
 * Pressure at an end of a stretch as a person reads it off: the outermost reading where the readings beside it move one
 * way, as they do in a record of few points or in a steep rise; else, in noise, the median of the outer three.
 * @param pa readings, Pa
 * @param end the outermost reading
 * @param far the reading at the other end of the stretch
 * @returns Pa; NaN where there is none
 */
export function pressureAtEnd(pa: Float64Array, end: number, far: number): number {
  const inward = Math.sign(far - end);
  const count = Math.abs(far - end) + 1;
  if (!(end >= 0 && end < pa.length)) return Number.NaN;
  const last = end + inward * (Math.min(count, ONE_WAY) - 1);
  const whole = pa[last] - pa[end];
  let oneWay = true;
  for (let i = end; i !== last; i += inward) if ((pa[i + inward] - pa[i]) * whole < 0) oneWay = false;
  if (oneWay && whole !== 0) return pa[end];
  const few = inward * Math.min(2, Math.floor((count - 1) / 2));
  return medianBetween(pa, Math.min(end, end + few), Math.max(end, end + few));
}
