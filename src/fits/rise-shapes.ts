import * as elementary from '../numerics/elementary';

/**
 * Smooth descriptions of a rise, for measuring it and not for explaining it: straight, quadratic, levelling off in
 * three ways. Time runs from 0 at the start of the window to 1 at its end.
 */

/** A description: a curve that is linear in its coefficients, about a curve given (zero for the first two). */
export interface RiseShape {
  readonly name: 'straight' | 'quadratic' | 'levelling' | 'logarithmic' | 'levelling to straight';
  /** Share of belief before the readings are seen. */
  readonly prior: number;
  /** Number of coefficients. */
  readonly coefficients: number;
  /** Writes the columns of the curve at x, d curve / d coefficient. */
  readonly columns: (x: number, out: Float64Array) => void;
  /** Writes the derivatives of the columns by x. */
  readonly slopes: (x: number, out: Float64Array) => void;
}

const straight: RiseShape = {
  name: 'straight',
  prior: 0.4,
  coefficients: 2,
  columns: (x, out) => {
    out[0] = 1;
    out[1] = x;
  },
  slopes: (_x, out) => {
    out[0] = 0;
    out[1] = 1;
  },
};

const quadratic: RiseShape = {
  name: 'quadratic',
  prior: 0.2,
  coefficients: 3,
  columns: (x, out) => {
    out[0] = 1;
    out[1] = x;
    out[2] = x * x;
  },
  slopes: (x, out) => {
    out[0] = 0;
    out[1] = 1;
    out[2] = 2 * x;
  },
};

/**
 * The descriptions that need no search.
 */
export const PLAIN_SHAPES: readonly RiseShape[] = [straight, quadratic];

/** A one-parameter bend g(x; s) with its derivatives; s is a time in parts of the window. */
interface Bend {
  readonly name: RiseShape['name'];
  readonly prior: number;
  readonly withLine: boolean;
  readonly g: (x: number, s: number) => number;
  /** dg/dx */
  readonly slope: (x: number, s: number) => number;
  /** dg/ds */
  readonly bySize: (x: number, s: number) => number;
  /** d2g/dx ds */
  readonly slopeBySize: (x: number, s: number) => number;
}

const exponential = {
  g: (x: number, s: number): number => -elementary.expm1(-x / s),
  slope: (x: number, s: number): number => elementary.exp(-x / s) / s,
  bySize: (x: number, s: number): number => (-x / (s * s)) * elementary.exp(-x / s),
  slopeBySize: (x: number, s: number): number => (elementary.exp(-x / s) / (s * s)) * (x / s - 1),
};

const logarithm = {
  g: (x: number, s: number): number => elementary.log1p(x / s),
  slope: (x: number, s: number): number => 1 / (s + x),
  bySize: (x: number, s: number): number => -x / (s * (s + x)),
  slopeBySize: (x: number, s: number): number => -1 / (s + x) ** 2,
};

/** The bends that are searched for. */
export const BENDS: readonly Bend[] = [
  { name: 'levelling', prior: 0.15, withLine: false, ...exponential },
  { name: 'logarithmic', prior: 0.15, withLine: false, ...logarithm },
  { name: 'levelling to straight', prior: 0.1, withLine: true, ...exponential },
];

/**
 * The description that belongs to a bend at its best size, made linear about it.
 * @param bend kind of bend
 * @param size its size, parts of the window
 * @param height the coefficient of the bend in the best fit at that size, in the unit of the data
 */
export function bentShape(bend: Bend, size: number, height: number): RiseShape {
  const line = bend.withLine ? 1 : 0;
  return {
    name: bend.name,
    prior: bend.prior,
    coefficients: 3 + line,
    columns: (x, out) => {
      out[0] = 1;
      out[1] = bend.g(x, size);
      out[2] = height * bend.bySize(x, size);
      if (line) out[3] = x;
    },
    slopes: (x, out) => {
      out[0] = 0;
      out[1] = bend.slope(x, size);
      out[2] = height * bend.slopeBySize(x, size);
      if (line) out[3] = 1;
    },
  };
}

/**
 * Finds the size of a bend with the smallest sum of squares: a grid, then a golden-section search.
 * @param bend kind of bend
 * @param x n times, parts of the window
 * @param y n values
 * @param weights n weights (one over the relative variance)
 * @param smallest smallest size to try: a few steps
 * @returns size and height, or null where the best size is at the edge of the search, so that the bend is not seen
 */
export function findBend(
  bend: Bend,
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
  smallest: number,
): { readonly size: number; readonly height: number } | null {
  const largest = 3;
  const low = elementary.log(Math.max(smallest, bend.name === 'logarithmic' ? 1e-3 : 0.01));
  const high = elementary.log(largest);
  if (!(high > low)) return null;
  const cells = 14;
  const at = (logSize: number): number => bendMisfit(bend, elementary.exp(logSize), x, y, weights).misfit;
  let best = 0;
  let bestMisfit = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= cells; i++) {
    const misfit = at(low + ((high - low) * i) / cells);
    if (misfit < bestMisfit) {
      best = i;
      bestMisfit = misfit;
    }
  }
  if (best === 0 || best === cells) return null;
  const step = (high - low) / cells;
  let a = low + (best - 1) * step;
  let b = low + (best + 1) * step;
  const golden = (Math.sqrt(5) - 1) / 2;
  let c = b - golden * (b - a);
  let d = a + golden * (b - a);
  let atC = at(c);
  let atD = at(d);
  for (let i = 0; i < 14; i++) {
    if (atC < atD) {
      b = d;
      d = c;
      atD = atC;
      c = b - golden * (b - a);
      atC = at(c);
    } else {
      a = c;
      c = d;
      atC = atD;
      d = a + golden * (b - a);
      atD = at(d);
    }
  }
  const size = elementary.exp((a + b) / 2);
  return { size, height: bendMisfit(bend, size, x, y, weights).height };
}

/** Weighted least squares of y on 1, g(x; size) and perhaps x: misfit and the coefficient of g. */
function bendMisfit(
  bend: Bend,
  size: number,
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
): { misfit: number; height: number } {
  // Sums about the means keep the digits; the line, where wanted, is taken out of g and y first.
  let w = 0;
  let mx = 0;
  let mg = 0;
  let my = 0;
  const g = new Float64Array(x.length);
  for (let i = 0; i < x.length; i++) {
    g[i] = bend.g(x[i], size);
    w += weights[i];
    mx += weights[i] * x[i];
    mg += weights[i] * g[i];
    my += weights[i] * y[i];
  }
  mx /= w;
  mg /= w;
  my /= w;
  let xx = 0;
  let xg = 0;
  let xy = 0;
  let gg = 0;
  let gy = 0;
  let yy = 0;
  for (let i = 0; i < x.length; i++) {
    const dx = x[i] - mx;
    const dg = g[i] - mg;
    const dy = y[i] - my;
    const wi = weights[i];
    xx += wi * dx * dx;
    xg += wi * dx * dg;
    xy += wi * dx * dy;
    gg += wi * dg * dg;
    gy += wi * dg * dy;
    yy += wi * dy * dy;
  }
  if (bend.withLine && xx > 0) {
    gg -= (xg * xg) / xx;
    gy -= (xg * xy) / xx;
    yy -= (xy * xy) / xx;
  }
  if (!(gg > 0)) return { misfit: yy, height: 0 };
  return { misfit: yy - (gy * gy) / gg, height: gy / gg };
}
