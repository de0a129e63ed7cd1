import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from './check';
import * as elementary from './elementary';

const LANCZOS = [
  0.9999999999998099, 676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406, 12.507343278686905,
  -0.13857109526572012, 0.000009984369578019572, 1.5056327351493116e-7,
];

/**
 * Natural logarithm of the gamma function, by the Lanczos approximation with g = 7 and nine terms.
 * @param x above zero, dimensionless
 * @returns ln gamma(x), relative error near 1e-15
 * @throws ArgumentError where x is not above zero
 */
export function logGamma(x: number): number {
  requirePositive('argument of the gamma function', x);
  if (x < 0.5) return elementary.log(Math.PI / elementary.sin(Math.PI * x)) - logGamma(1 - x);
  const z = x - 1;
  let sum = LANCZOS[0];
  for (let i = 1; i < LANCZOS.length; i++) sum += LANCZOS[i] / (z + i);
  const t = z + 7.5;
  return 0.5 * elementary.log(2 * Math.PI) + (z + 0.5) * elementary.log(t) - t + elementary.log(sum);
}

/**
 * Regularised incomplete gamma function P(a, x), by series below a + 1 and by continued fraction above (DLMF 8.11, 8.9).
 * @param a above zero
 * @param x zero or above
 * @returns both P and Q = 1 - P, each 0 to 1 and accurate where small
 * @throws ArgumentError where an argument is out of range
 */
export function incompleteGamma(a: number, x: number): { readonly lower: number; readonly upper: number } {
  requirePositive('shape of the incomplete gamma function', a);
  if (x === Infinity) return { lower: 1, upper: 0 };
  requireNotNegative('argument of the incomplete gamma function', x);
  if (x === 0) return { lower: 0, upper: 1 };
  const front = elementary.exp(a * elementary.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < 100_000 && term > sum * 1e-17; n++) {
      term *= x / (a + n);
      sum += term;
    }
    const lower = Math.min(1, front * sum);
    return { lower, upper: 1 - lower };
  }
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 100_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = an * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + an / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  const upper = Math.min(1, front * h);
  return { lower: 1 - upper, upper };
}

/**
 * Regularised incomplete beta function I_x(a, b), by continued fraction (DLMF 8.17.22, Lentz's method).
 * @param x 0 to 1
 * @param a above zero
 * @param b above zero
 * @returns both I and 1 - I, each 0 to 1 and accurate where small
 * @throws ArgumentError where an argument is out of range
 */
export function incompleteBeta(x: number, a: number, b: number): { readonly lower: number; readonly upper: number } {
  requirePositive('shape a of the incomplete beta function', a);
  requirePositive('shape b of the incomplete beta function', b);
  if (!(x >= 0 && x <= 1)) throw new ArgumentError('argument of the incomplete beta function', x, '0 to 1');
  if (x === 0) return { lower: 0, upper: 1 };
  if (x === 1) return { lower: 1, upper: 0 };
  const front = elementary.exp(
    logGamma(a + b) - logGamma(a) - logGamma(b) + a * elementary.log(x) + b * elementary.log1p(-x),
  );
  if (x < (a + 1) / (a + b + 2)) {
    const lower = Math.min(1, (front * betaFraction(x, a, b)) / a);
    return { lower, upper: 1 - lower };
  }
  const upper = Math.min(1, (front * betaFraction(1 - x, b, a)) / b);
  return { lower: 1 - upper, upper };
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const away = (value: number): number => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return h;
}
