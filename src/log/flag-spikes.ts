import { FLAG } from './gauge-log';

/** Rows whose second differences give the noise around them. */
const BLOCK = 64;
/** A spike stands out of the noise by this factor, and out of the reading by this share. */
const STANDS_OUT = 8;
const SHARE = 0.03;
/** What may be left after a spike: this many sigma, or this share of it. */
const LEFT_SIGMA = 5;
/**
 * A spike is so many times larger than any other lone turn near it, within so many rows: some gauges are just noisy.
 */
const ALONE = 3;
const NEAR = 10;
const LEFT_SHARE = 0.1;

/**
 * Flags one-reading spikes. A burst of gas leaves a step where the chamber is isolated and dies away where it is
 * pumped;
 * so a lone high reading is a spike only if nothing stays behind and the pumping seen in this log could not have taken
 * it away within a step. A lone low reading is always one: gas does not go and come back within a step.
 * @param values raw readings
 * @param flags changed in place
 * @param time s, rising
 * @returns number of readings flagged
 */
export function flagSpikes(values: Float64Array, flags: Uint8Array, time: Float64Array): number {
  const rows = liveRows(values, flags);
  const n = rows.length;
  if (n < 5) return 0;
  const candidates: number[] = [];
  for (let first = 1; first < n - 1; first += BLOCK) {
    const last = Math.min(first + BLOCK, n - 1);
    const sigma = blockNoise(values, rows, first, last);
    for (let k = first; k < last; k++) if (standsOut(values, rows, k, sigma)) candidates.push(k);
  }
  if (candidates.length === 0) return 0;
  const fastest = fastestDecay(values, rows, time, new Set(candidates));
  let count = 0;
  let previous = -2;
  for (const k of candidates) {
    const alone = k - previous > 1;
    previous = k;
    if (!alone || !isSpike(values, rows, time, k, fastest)) continue;
    flags[rows[k]] |= FLAG.spike;
    count++;
  }
  return count;
}

function liveRows(values: Float64Array, flags: Uint8Array): Int32Array {
  const rows = new Int32Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (flags[i] === 0) rows[count++] = i;
  return rows.subarray(0, count);
}

/** Second differences looked at in a block: every third does for a median. */
const STRIDE = 3;
const scratch = new Float64Array(Math.ceil((2 * BLOCK) / STRIDE));

/**
 * Standard deviation of the readings of a block, from the median of their second differences; never below their grain.
 */
function blockNoise(values: Float64Array, rows: Int32Array, first: number, last: number): number {
  const from = Math.max(1, first - BLOCK / 2);
  const to = Math.min(rows.length - 1, last + BLOCK / 2);
  let count = 0;
  let grain = Number.POSITIVE_INFINITY;
  for (let k = from; k < to && count < scratch.length; k += STRIDE) {
    const b = values[rows[k]];
    const before = b - values[rows[k - 1]];
    const after = values[rows[k + 1]] - b;
    insert(Math.abs(after - before), count++);
    if (before !== 0 && Math.abs(before) < grain) grain = Math.abs(before);
    if (after !== 0 && Math.abs(after) < grain) grain = Math.abs(after);
  }
  const middle = scratch[count >> 1];
  return Math.max((1.4826 * middle) / Math.sqrt(6), Number.isFinite(grain) ? grain / 3 : 0);
}

/** Keeps the first `count` numbers of the scratch in order. */
function insert(value: number, count: number): void {
  let i = count;
  for (; i > 0 && scratch[i - 1] > value; i--) scratch[i] = scratch[i - 1];
  scratch[i] = value;
}

function standsOut(values: Float64Array, rows: Int32Array, k: number, sigma: number): boolean {
  const a = values[rows[k - 1]];
  const b = values[rows[k]];
  const c = values[rows[k + 1]];
  const up = b - a;
  const down = b - c;
  if (up * down <= 0) return false;
  const excess = Math.min(Math.abs(up), Math.abs(down));
  if (excess <= STANDS_OUT * sigma || excess <= SHARE * Math.max(Math.abs(a), Math.abs(c))) return false;
  for (let j = Math.max(1, k - NEAR); j <= Math.min(rows.length - 2, k + NEAR); j++) {
    if (Math.abs(j - k) > 1 && turn(values, rows, j) * ALONE > excess) return false;
  }
  return true;
}

/** How far a reading lies above or below both its neighbours; 0 where it lies between them. */
function turn(values: Float64Array, rows: Int32Array, k: number): number {
  const [up, down] = [values[rows[k]] - values[rows[k - 1]], values[rows[k]] - values[rows[k + 1]]];
  return up * down > 0 ? Math.min(Math.abs(up), Math.abs(down)) : 0;
}

/**
 * The fastest fall that lasts for four readings, 1/s: what the pump can do in this log, at its best; 0 where none
 * falls.
 */
function fastestDecay(
  values: Float64Array,
  rows: Int32Array,
  time: Float64Array,
  candidates: ReadonlySet<number>,
): number {
  let fastest = 0;
  for (let k = 0; k + 3 < rows.length; k++) {
    const a = values[rows[k]];
    const b = values[rows[k + 1]];
    const c = values[rows[k + 2]];
    const d = values[rows[k + 3]];
    if (!(a > b && b > c && c > d && d > 0)) continue;
    if (candidates.has(k) || candidates.has(k + 1) || candidates.has(k + 2)) continue;
    const rate = Math.log(b / d) / (time[rows[k + 3]] - time[rows[k + 1]]);
    if (rate > fastest && Number.isFinite(rate)) fastest = rate;
  }
  return fastest;
}

function isSpike(values: Float64Array, rows: Int32Array, time: Float64Array, k: number, fastest: number): boolean {
  const before = lineTo(values, rows, k, -1);
  const after = lineTo(values, rows, k, 1);
  if (!before || !after) return false;
  const value = values[rows[k]];
  const base = (before.at + after.at) / 2;
  const excess = value - base;
  const sigma = Math.max(before.scatter, after.scatter);
  const left = Math.abs(after.at - before.at);
  if (left > Math.max(LEFT_SIGMA * sigma, LEFT_SHARE * Math.abs(excess))) return false;
  if (excess < 0) return true;
  const rising = before.slope > 0 && after.slope > 0 && before.slope * 4 > 2 * sigma && after.slope * 4 > 2 * sigma;
  if (rising) return true;
  const step = time[rows[k + 1]] - time[rows[k]];
  const remains = excess * Math.exp(-fastest * step);
  return remains > Math.max(LEFT_SIGMA * sigma, 2 * left);
}

interface Line {
  /** The line of the readings on one side, carried on to the row in question. */
  readonly at: number;
  /** Per row, in the direction of time. */
  readonly slope: number;
  readonly scatter: number;
}

/** A straight line through up to five readings beside row k. */
function lineTo(values: Float64Array, rows: Int32Array, k: number, away: -1 | 1): Line | undefined {
  let n = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  for (let j = 1; j <= 5; j++) {
    const place = k + away * j;
    if (place < 0 || place >= rows.length) break;
    const y = values[rows[place]];
    n++;
    sx += j;
    sy += y;
    sxx += j * j;
    sxy += j * y;
  }
  if (n < 2) return undefined;
  const slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
  const at = (sy - slope * sx) / n;
  let squares = 0;
  for (let j = 1; j <= n; j++) squares += (values[rows[k + away * j]] - at - slope * j) ** 2;
  return { at, slope: slope * away, scatter: n > 2 ? Math.sqrt(squares / (n - 2)) : Math.abs(slope) };
}
