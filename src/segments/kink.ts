import * as elementary from '../numerics/elementary';
import type { ScaledRecord } from './straight-pieces';

/** Points a window is averaged down to before curves are fitted to it. */
const POINTS = 160;

/** What a leap at the kink, as of a burst when a valve closes, must save beyond what noise does, noise variances. */
const LEAP_PRICE = 30;

/** A window of a record, averaged to a few points, time from -1 to 1. */
interface Window {
  readonly x: number[];
  readonly y: number[];
  readonly weight: number[];
}

function averaged(record: ScaledRecord, from: number, to: number): Window {
  const { time, y, weight } = record;
  const per = Math.max(1, Math.ceil((to - from + 1) / POINTS));
  const half = (time[to] - time[from]) / 2 || 1;
  const out: Window = { x: [], y: [], weight: [] };
  for (let i = from; i <= to; i += per) {
    const end = Math.min(to + 1, i + per);
    let w = 0;
    let sx = 0;
    let sy = 0;
    for (let j = i; j < end; j++) {
      w += weight[j];
      sx += weight[j] * ((time[j] - time[from]) / half - 1);
      sy += weight[j] * (y[j] - y[from]);
    }
    out.x.push(sx / w);
    out.y.push(sy / w);
    out.weight.push(w);
  }
  return out;
}

/** Least misfit of a linear combination of the given functions of x; none where the last of them must add and does not. */
function misfit(window: Window, functions: readonly ((x: number) => number)[], lastAdds = false): number {
  const k = functions.length;
  const a = Array.from({ length: k }, () => new Float64Array(k + 1));
  window.x.forEach((x, i) => {
    const row = functions.map((f) => f(x));
    for (let r = 0; r < k; r++) {
      for (let c = 0; c < k; c++) a[r][c] += window.weight[i] * row[r] * row[c];
      a[r][k] += window.weight[i] * row[r] * window.y[i];
    }
  });
  const beta = solve(a);
  if (lastAdds && !(beta[k - 1] > 0)) return Number.POSITIVE_INFINITY;
  return window.x.reduce((sum, x, i) => {
    const d = window.y[i] - functions.reduce((s, f, j) => s + beta[j] * f(x), 0);
    return sum + window.weight[i] * d * d;
  }, 0);
}

/** Solves the augmented normal equations by elimination; a direction without information gets 0. */
function solve(a: Float64Array[]): Float64Array {
  const k = a.length;
  const scale = a.map((row, i) => Math.max(row[i], 1e-300));
  for (let c = 0; c < k; c++) {
    let pivot = c;
    for (let r = c + 1; r < k; r++) if (Math.abs(a[r][c]) > Math.abs(a[pivot][c])) pivot = r;
    [a[c], a[pivot]] = [a[pivot], a[c]];
    if (Math.abs(a[c][c]) < 1e-12 * scale[c]) continue;
    for (let r = 0; r < k; r++) {
      if (r === c) continue;
      const factor = a[r][c] / a[c][c];
      for (let j = c; j <= k; j++) a[r][j] -= factor * a[c][j];
    }
  }
  return Float64Array.from(a, (row, i) => (Math.abs(row[i]) < 1e-12 * scale[i] ? 0 : row[k] / row[i]));
}

/**
 * How much better a sudden change of slope (a line, then from a kink on a parabola) describes a window than a smooth
 * curve does (a quartic, which has as many free numbers, or a line that from a moment on swells without a kink), in
 * units
 * of the noise variance: above 0 speaks for a valve, below for a drift.
 * @param record the record
 * @param from first reading of the window
 * @param kink the reading about which the slope may break
 * @param to last reading of the window
 */
export function suddenness(record: ScaledRecord, from: number, kink: number, to: number): number {
  const window = averaged(record, from, to);
  if (window.x.length < 6) return 0;
  const smooth = misfit(window, [() => 1, (x) => x, (x) => x * x, (x) => x * x * x, (x) => elementary.power(x, 4)]);
  const { time } = record;
  const half = (time[to] - time[from]) / 2 || 1;
  const at = (time[kink] - time[from]) / half - 1;
  let broken = Number.POSITIVE_INFINITY;
  let swelling = Number.POSITIVE_INFINITY;
  const spacing = 2 / window.x.length;
  for (let s = -4; s <= 4; s++) {
    const knot = at + s * spacing * 0.75;
    const after = (x: number): number => Math.max(0, x - knot);
    const kinked = [() => 1, (x: number): number => x, after, (x: number): number => after(x) ** 2];
    const leap = (x: number): number => (x > knot ? 1 : 0);
    broken = Math.min(broken, misfit(window, kinked), misfit(window, [...kinked, leap], true) + LEAP_PRICE);
  }
  // A swelling is noticed, and the record cut, some while after it begins.
  for (let knot = -0.9; knot <= at + 4 * spacing; knot += 0.1) {
    const swell = (x: number): number => Math.max(0, x - knot) ** 2;
    swelling = Math.min(swelling, misfit(window, [() => 1, (x) => x, swell]));
  }
  return Math.min(smooth, swelling) - broken;
}
