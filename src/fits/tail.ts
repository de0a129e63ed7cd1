import type { Estimate } from '../numerics/estimate';

/** A tail p = base + c (t - clock)^-n, with what the readings leave open about exponent, base and clock. */
export interface TailFit {
  readonly exponent: Estimate;
  /** Pa */
  readonly base: Estimate;
  /** Best values: exponent, base (Pa), c (Pa s^n), clock (s from the first row). */
  readonly best: { readonly exponent: number; readonly basePa: number; readonly c: number; readonly clockS: number };
  /** Relative standard deviation of the readings about the curve. */
  readonly relativeNoise: number;
  readonly effectivePoints: number;
}

const EXPONENTS = Float64Array.from({ length: 61 }, (_, i) => 0.2 * 15 ** (i / 60));
const CLOCKS = 40;

/**
 * Fits a power-law tail whose clock (the moment from which time counts) is known only to lie in a range. For each
 * exponent and clock the base and the factor follow from relative least squares with base >= 0; exponent and clock are
 * weighted by their likelihood with the effective points of the residuals, all clocks alike beforehand.
 * @param time s, ascending, thinned so that each reading counts for a like share of the logarithm of time
 * @param pa pressures, Pa, > 0, same length, at least 8
 * @param clocks earliest and latest clock, s, the latest before the first time
 * @returns the tail, or null where no power law with a positive factor fits
 */
export function fitTail(time: Float64Array, pa: Float64Array, clocks: readonly [number, number]): TailFit | null {
  const n = time.length;
  if (n < 8) return null;
  const cells: Cell[] = [];
  const nearest = Math.max(time[0] - clocks[1], 1e-3 * (time[n - 1] - time[0]), 1e-9);
  const farthest = Math.max(time[0] - clocks[0], nearest * 1.0001);
  for (let k = 0; k < CLOCKS; k++) {
    const ahead = nearest * (farthest / nearest) ** (k / (CLOCKS - 1));
    for (const exponent of EXPONENTS) {
      const cell = fitCell(time, pa, exponent, time[0] - ahead);
      // Spaced evenly in the logarithm, a clock stands for a stretch of time in proportion to its distance.
      if (cell !== null) cells.push({ ...cell, prior: ahead * exponent });
    }
  }
  if (cells.length === 0) return null;
  const best = cells.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const correlation = Math.min(0.98, Math.max(0, residualCorrelation(time, pa, best)));
  const effectivePoints = Math.max(5, (n * (1 - correlation)) / (1 + correlation));
  // Readings are never trusted to better than 0.1 %: a computed record would otherwise leave no cell but one.
  const floor = n * 1e-6;
  const weights = cells.map((c) => c.prior * ((c.misfit + floor) / (best.misfit + floor)) ** (-effectivePoints / 2));
  return {
    exponent: withValue(
      spread(
        cells.map((c) => c.exponent),
        weights,
      ),
      best.exponent,
    ),
    base: withValue(
      spread(
        cells.map((c) => c.basePa),
        weights,
      ),
      best.basePa,
    ),
    best: { exponent: best.exponent, basePa: best.basePa, c: best.c, clockS: best.clockS },
    relativeNoise: Math.sqrt(best.misfit / Math.max(1, n - 4)),
    effectivePoints,
  };
}

interface Cell {
  readonly exponent: number;
  readonly clockS: number;
  readonly basePa: number;
  readonly c: number;
  readonly misfit: number;
  readonly prior: number;
}

/** Relative least squares of p = base + c x, x = ((t - clock) / (t0 - clock))^-n, base >= 0. */
function fitCell(time: Float64Array, pa: Float64Array, exponent: number, clockS: number): Cell | null {
  const ahead = time[0] - clockS;
  let s1 = 0;
  let sx = 0;
  let sxx = 0;
  let sy = 0;
  let sxy = 0;
  for (let i = 0; i < time.length; i++) {
    const w = 1 / pa[i];
    const x = w * ((time[i] - clockS) / ahead) ** -exponent;
    s1 += w * w;
    sx += w * x;
    sxx += x * x;
    sy += w;
    sxy += x;
  }
  // The data are all 1 after division by the reading itself, so their sums are those of w and x.
  const determinant = s1 * sxx - sx * sx;
  let base = determinant > 1e-12 * s1 * sxx ? (sy * sxx - sxy * sx) / determinant : 0;
  let c: number;
  if (base > 0) c = (sxy - base * sx) / sxx;
  else {
    base = 0;
    c = sxy / sxx;
  }
  if (!(c > 0)) return null;
  const misfit = time.length - base * sy - c * sxy;
  return { exponent, clockS, basePa: base, c: c * ahead ** exponent, misfit: Math.max(misfit, 0), prior: 1 };
}

/**
 * Pressure of a tail at a time.
 * @param best the values of a fit
 * @param t s from the first row, after the clock
 * @returns Pa
 */
export function tailAt(best: TailFit['best'], t: number): number {
  return best.basePa + best.c * (t - best.clockS) ** -best.exponent;
}

function residualCorrelation(time: Float64Array, pa: Float64Array, best: Cell): number {
  let product = 0;
  let square = 0;
  let before = 0;
  for (let i = 0; i < time.length; i++) {
    const residual = tailAt(best, time[i]) / pa[i] - 1;
    if (i > 0) product += residual * before;
    square += residual * residual;
    before = residual;
  }
  return square > 0 ? product / square : 0;
}

/** Weighted 2.5 %, 50 % and 97.5 % points. */
function spread(values: readonly number[], weights: readonly number[]): Estimate {
  const order = values.map((_, i) => i).sort((a, b) => values[a] - values[b]);
  const total = weights.reduce((a, b) => a + b, 0);
  const at = (q: number): number => {
    let reached = 0;
    for (const i of order) {
      reached += weights[i];
      if (reached >= q * total) return values[i];
    }
    return values[order[order.length - 1]];
  };
  return { value: at(0.5), low: at(0.025), high: at(0.975) };
}

const withValue = (s: Estimate, value: number): Estimate => ({
  value,
  low: Math.min(s.low, value),
  high: Math.max(s.high, value),
});
