import * as elementary from '../numerics/elementary';
import type { Estimate } from '../numerics/estimate';
import { compactMixture, mixtureEstimate } from './mixture';

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

/** Exponents that are tried. */
const EXPONENTS = [0.2, 3] as const;
/** Clocks of a scan. */
const CLOCKS = 36;
/** Scans, each closer to what the one before left possible. */
const SCANS = 3;

/**
 * Fits a power-law tail whose clock (the moment from which time counts) is known only to lie in a range. For each clock
 * the exponent is sought; base and factor follow from relative least squares with base >= 0. Clocks are weighted by
 * their likelihood with the effective points of the residuals, all alike beforehand, and for each the exponent is taken
 * as normal about its best value.
 * @param time s, ascending, thinned so that each reading counts for a like share of the logarithm of time
 * @param pa pressures, Pa, > 0, same length, at least 8
 * @param clocks earliest and latest clock, s, the latest before the first time
 * @returns the tail, or null where no power law with a positive factor fits
 */
export function fitTail(time: Float64Array, pa: Float64Array, clocks: readonly [number, number]): TailFit | null {
  const n = time.length;
  if (n < 8) return null;
  const nearest = Math.max(time[0] - clocks[1], 1e-3 * (time[n - 1] - time[0]), 1e-9);
  let aheads: readonly [number, number] = [nearest, Math.max(time[0] - clocks[0], nearest * 1.0001)];
  let scanned: Scan | null = null;
  for (let pass = 0; pass < SCANS; pass++) {
    const next = scanClocks(time, pa, aheads);
    if (next === null) break;
    scanned = next;
    const possible = next.fits.filter((_, i) => next.weights[i] > 1e-4).map((f) => time[0] - f.clockS);
    const step = elementary.power(aheads[1] / aheads[0], 1 / CLOCKS);
    const closest = possible.reduce((a, b) => Math.min(a, b)) / step;
    const farthest = possible.reduce((a, b) => Math.max(a, b)) * step;
    aheads = [Math.max(aheads[0], closest), Math.min(aheads[1], farthest)];
  }
  if (scanned === null) return null;
  const { fits, weights, best, effectivePoints } = scanned;
  const about = (value: (fit: ClockFit) => number, scale: (fit: ClockFit) => number): Estimate => {
    const parts = fits.map((f, i) => ({
      weight: weights[i],
      centre: value(f),
      scale: scale(f),
      degreesOfFreedom: Math.max(1, effectivePoints - 4),
    }));
    const { low, high } = mixtureEstimate(compactMixture(parts, 24));
    return { value: value(best), low: Math.min(low, value(best)), high: Math.max(high, value(best)) };
  };
  const exponent = about(
    (f) => f.exponent,
    (f) => f.exponentScale,
  );
  const base = about(
    (f) => f.basePa,
    (f) => f.baseScale,
  );
  return {
    exponent: { ...exponent, low: Math.max(0, exponent.low) },
    base: { ...base, low: Math.max(0, base.low) },
    best: { exponent: best.exponent, basePa: best.basePa, c: best.c, clockS: best.clockS },
    relativeNoise: Math.sqrt(best.misfit / Math.max(1, n - 4)),
    effectivePoints,
  };
}

/** Best exponent for one clock, and how far it may be off. */
interface ClockFit {
  readonly clockS: number;
  readonly exponent: number;
  readonly exponentScale: number;
  readonly basePa: number;
  readonly baseScale: number;
  readonly c: number;
  readonly misfit: number;
  /** Square root of the determinant of the normal equations of base and factor. */
  readonly sharpness: number;
}

interface Scan {
  readonly fits: readonly ClockFit[];
  /** Weights that sum to one. */
  readonly weights: readonly number[];
  readonly best: ClockFit;
  readonly effectivePoints: number;
}

function scanClocks(time: Float64Array, pa: Float64Array, aheads: readonly [number, number]): Scan | null {
  const n = time.length;
  const shares = Array.from({ length: CLOCKS + 1 }, (_, k) => k / CLOCKS);
  const rough = shares.flatMap(
    (share) => bestExponent(time, pa, aheads[0] * elementary.power(aheads[1] / aheads[0], share)) ?? [],
  );
  if (rough.length === 0) return null;
  const best = rough.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const correlation = Math.min(0.98, Math.max(0, residualCorrelation(time, pa, best)));
  const effectivePoints = Math.max(5, (n * (1 - correlation)) / (1 + correlation));
  // Readings are never trusted to better than 0.1 %: a computed record would otherwise leave no clock but one.
  const floor = n * 1e-6;
  const fits = rough.map((fit) => withScales(time, pa, fit, effectivePoints, best.misfit + floor));
  const raw = fits.map((f) => {
    const likelihood = elementary.power((f.misfit + floor) / (best.misfit + floor), -(effectivePoints - 2) / 2);
    // Spaced evenly in the logarithm, a clock stands for a stretch of time in proportion to its distance.
    return ((time[0] - f.clockS) * likelihood * f.exponentScale) / f.sharpness;
  });
  const total = raw.reduce((a, b) => a + b, 0);
  return { fits, weights: raw.map((w) => w / total), best, effectivePoints };
}

/** Golden-section search for the exponent with the smallest relative misfit, in its logarithm. */
function bestExponent(time: Float64Array, pa: Float64Array, ahead: number): ClockFit | null {
  const logs = time.map((t) => elementary.log((t - time[0] + ahead) / ahead));
  const at = (logExponent: number): ClockFit | null => fitCell(time, pa, logs, elementary.exp(logExponent), ahead);
  const misfit = (logExponent: number): number => at(logExponent)?.misfit ?? Number.POSITIVE_INFINITY;
  let a = elementary.log(EXPONENTS[0]);
  let b = elementary.log(EXPONENTS[1]);
  const golden = (Math.sqrt(5) - 1) / 2;
  let c = b - golden * (b - a);
  let d = a + golden * (b - a);
  let atC = misfit(c);
  let atD = misfit(d);
  for (let i = 0; i < 22; i++) {
    if (atC <= atD) {
      b = d;
      d = c;
      atD = atC;
      c = b - golden * (b - a);
      atC = misfit(c);
    } else {
      a = c;
      c = d;
      atC = atD;
      d = a + golden * (b - a);
      atD = misfit(d);
    }
  }
  return at((a + b) / 2);
}

/** Scales of exponent and base, from the curvature of the logarithm of the likelihood. */
function withScales(
  time: Float64Array,
  pa: Float64Array,
  fit: ClockFit,
  effectivePoints: number,
  smallest: number,
): ClockFit {
  const ahead = time[0] - fit.clockS;
  const logs = time.map((t) => elementary.log((t - time[0] + ahead) / ahead));
  const step = 0.02 * fit.exponent;
  // The bound of the base is left aside here: it would make the exponent look better known than it is.
  const free = (exponent: number): ClockFit => fitCell(time, pa, logs, exponent, ahead, false) ?? fit;
  const [down, middle, up] = [free(fit.exponent - step), free(fit.exponent), free(fit.exponent + step)];
  const curvature = Math.max(up.misfit - 2 * middle.misfit + down.misfit, 1e-12 * fit.misfit) / (step * step);
  const level = Math.max(fit.misfit, smallest);
  const exponentScale = Math.sqrt((2 * level) / (effectivePoints * curvature));
  const slope = Math.abs(up.basePa - down.basePa) / (2 * step);
  return {
    ...fit,
    exponentScale,
    baseScale: Math.hypot(slope * exponentScale, fit.baseScale * Math.sqrt(level / effectivePoints)),
  };
}

/** Relative least squares of p = base + c x, x = ((t - clock) / (t0 - clock))^-n, base >= 0. */
function fitCell(
  time: Float64Array,
  pa: Float64Array,
  logs: Float64Array,
  exponent: number,
  ahead: number,
  bounded = true,
): ClockFit | null {
  let s1 = 0;
  let sx = 0;
  let sxx = 0;
  let sy = 0;
  let sxy = 0;
  for (let i = 0; i < time.length; i++) {
    const w = 1 / pa[i];
    const x = w * elementary.exp(-exponent * logs[i]);
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
  if (base > 0 || !bounded) c = (sxy - base * sx) / sxx;
  else {
    base = 0;
    c = sxy / sxx;
  }
  if (!(c > 0)) return null;
  const misfit = Math.max(time.length - base * sy - c * sxy, 0);
  const sharpness = Math.sqrt(Math.max(determinant, 1e-12 * s1 * sxx) / time.length);
  return {
    clockS: time[0] - ahead,
    exponent,
    exponentScale: 0,
    basePa: base,
    // Given exponent and clock: standard deviation of the base over the root of the misfit per point.
    baseScale: Math.sqrt(sxx / Math.max(determinant, 1e-12 * s1 * sxx)),
    c: c * elementary.power(ahead, exponent),
    misfit,
    sharpness,
  };
}

/**
 * Pressure of a tail at a time.
 * @param best the values of a fit
 * @param t s from the first row, after the clock
 * @returns Pa
 */
export function tailAt(best: TailFit['best'], t: number): number {
  return best.basePa + best.c * elementary.power(t - best.clockS, -best.exponent);
}

function residualCorrelation(time: Float64Array, pa: Float64Array, best: ClockFit): number {
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
