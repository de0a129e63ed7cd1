import { ArgumentError } from '../errors';

/**
 * Root of a continuous function between two points where it changes sign, by Brent's method (Brent, Algorithms for
 * Minimization without Derivatives, 1973, chapter 4).
 * @param f the function
 * @param from one end, unit of x
 * @param to the other end, unit of x
 * @param tolerance wanted width of the answer, unit of x; rounding of x is added
 * @returns x with f(x) = 0 within the tolerance
 * @throws ArgumentError where the ends or values there are not finite or have the same sign
 */
export function findRoot(f: (x: number) => number, from: number, to: number, tolerance = 0): number {
  let a = from;
  let b = to;
  let fa = f(a);
  let fb = f(b);
  if (!Number.isFinite(a) || !Number.isFinite(b) || Number.isNaN(fa) || Number.isNaN(fb)) {
    throw new ArgumentError('root finding', `f(${a}) = ${fa}, f(${b}) = ${fb}`, 'finite ends and values');
  }
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0) {
    throw new ArgumentError('root finding', `f(${a}) = ${fa}, f(${b}) = ${fb}`, 'a change of sign between the ends');
  }
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  for (let i = 0; i < 2000; i++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      before = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const width = 2 * 2 ** -52 * Math.abs(b) + 0.5 * tolerance;
    const middle = 0.5 * (c - b);
    if (Math.abs(middle) <= width || fb === 0) return b;
    if (Math.abs(before) >= width && Math.abs(fa) > Math.abs(fb)) {
      const [p, q] = interpolate(a, b, c, fa, fb, fc, middle);
      if (2 * p < Math.min(3 * middle * q - Math.abs(width * q), Math.abs(before * q))) {
        before = step;
        step = p / q;
      } else {
        step = middle;
        before = middle;
      }
    } else {
      step = middle;
      before = middle;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > width ? step : Math.sign(middle) * width;
    fb = f(b);
    if (Number.isNaN(fb)) throw new ArgumentError('root finding', `f(${b}) = NaN`, 'finite values between the ends');
  }
  return b;
}

/** Secant or inverse quadratic step as a quotient p / q with p >= 0. */
function interpolate(
  a: number,
  b: number,
  c: number,
  fa: number,
  fb: number,
  fc: number,
  middle: number,
): readonly [number, number] {
  const s = fb / fa;
  let p: number;
  let q: number;
  if (a === c) {
    p = 2 * middle * s;
    q = 1 - s;
  } else {
    const u = fa / fc;
    const r = fb / fc;
    p = s * (2 * middle * u * (u - r) - (b - a) * (r - 1));
    q = (u - 1) * (r - 1) * (s - 1);
  }
  return p > 0 ? [p, -q] : [-p, q];
}
