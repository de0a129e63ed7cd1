import type { NoiseByLevel } from './noise';

/**
 * Undoes the stairs of a quantised gauge: where a reading stays and then moves by one code, the true pressure most
 * likely crossed over about half of the shorter stay. A long flat stretch keeps its flatness and its end.
 * @param pa pressure, Pa; left as it is
 * @param noise gives the step between codes
 */
export function smoothSteps(pa: Float64Array, noise: NoiseByLevel): Float64Array {
  const out = Float64Array.from(pa);
  let previousStart = -1;
  let start = 0;
  for (let i = 1; i <= pa.length; i++) {
    if (i < pa.length && pa[i] === pa[start]) continue;
    if (previousStart >= 0) rampBetween(pa, out, previousStart, start, i, noise);
    previousStart = start;
    start = i;
  }
  return out;
}

/** Ramps across the edge between the runs [a, b) and [b, c). */
function rampBetween(pa: Float64Array, out: Float64Array, a: number, b: number, c: number, noise: NoiseByLevel): void {
  const rise = pa[b] - pa[b - 1];
  const step = noise.stepPa(pa[b]);
  if (!(step > 0) || Math.abs(rise) > 1.6 * step) return;
  const half = Math.min(b - a, c - b) / 2;
  if (half < 1) return;
  const from = b - 0.5 - half;
  for (let i = Math.ceil(from); i <= b - 0.5 + half; i++) {
    if (i < a || i >= c) continue;
    const level = i < b ? pa[b - 1] : pa[b];
    const ramp = pa[b - 1] + (rise * (i - from)) / (2 * half);
    out[i] += ramp - level;
  }
}

/**
 * Takes out one-reading excursions that nobody flagged: a reading far from both neighbours, which agree, or lie on one line
 * with those beside them.
 * @param scaled pressure scaled to a noise of 1; changed in place
 * @returns how many were taken out
 */
export function removeSpikes(scaled: Float64Array): number {
  let count = 0;
  for (let i = 1; i < scaled.length - 1; i++) {
    const away = Math.min(Math.abs(scaled[i] - scaled[i - 1]), Math.abs(scaled[i] - scaled[i + 1]));
    const sameSide = (scaled[i] - scaled[i - 1]) * (scaled[i] - scaled[i + 1]) > 0;
    if (!sameSide || away <= SPIKE) continue;
    if (Math.abs(scaled[i + 1] - scaled[i - 1]) < AGREE * away || runsOnBeside(scaled, i, away)) {
      scaled[i] = (scaled[i - 1] + scaled[i + 1]) / 2;
      count++;
    }
  }
  return count;
}

/** A spike stands out by so many noise deviations; what is beside it agrees within this part of that. */
const SPIKE = 7;
const AGREE = 0.2;

/** Do the readings beside a spike meet where it stands, each side run on as it runs? */
function runsOnBeside(scaled: Float64Array, i: number, away: number): boolean {
  if (i < 3 || i + 3 >= scaled.length) return false;
  const before = scaled[i - 1] + (scaled[i - 1] - scaled[i - 3]) / 2;
  const after = scaled[i + 1] - (scaled[i + 3] - scaled[i + 1]) / 2;
  const between = (scaled[i + 1] - scaled[i - 1]) / 2;
  const even = Math.abs(before - scaled[i - 1] - between) + Math.abs(scaled[i + 1] - after - between);
  return Math.abs(before - after) < AGREE * away && even < AGREE * away;
}
