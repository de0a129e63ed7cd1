import { requireFinite, requirePositive, requireProbability } from './check';
import * as elementary from './elementary';
import { findRoot } from './root-finding';
import { incompleteBeta, incompleteGamma } from './special-functions';

/**
 * Cumulative standard normal distribution, erfc(-z / sqrt 2) / 2.
 * @param z in standard deviations
 * @returns the probability of a value below z, accurate in both tails
 * @throws ArgumentError where z is NaN
 */
export function normalCdf(z: number): number {
  if (z === Infinity) return 1;
  if (z === -Infinity) return 0;
  const tail = incompleteGamma(0.5, (requireFinite('z', z) * z) / 2).upper / 2;
  return z < 0 ? tail : 1 - tail;
}

/**
 * Density of the standard normal distribution.
 * @param z in standard deviations
 * @returns exp(-z^2 / 2) / sqrt(2 pi), per standard deviation
 * @throws ArgumentError where z is not finite
 */
export function normalPdf(z: number): number {
  requireFinite('z', z);
  return elementary.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}

const CENTRE = [
  [
    3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
    33430.57558358813, 2509.0809287301227,
  ],
  [
    1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
    28729.085735721943, 5226.495278852854,
  ],
] as const;
const TAIL = [
  [
    1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
    0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
  ],
  [
    1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
    0.0005475938084995345, 1.0507500716444169e-9,
  ],
] as const;
const FAR_TAIL = [
  [
    6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
    0.0012426609473880784, 0.000027115555687434876, 2.0103343992922881e-7,
  ],
  [
    1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 0.000018463183175100548,
    1.421511758316446e-7, 2.0442631033899397e-15,
  ],
] as const;

function ratio([above, below]: readonly [readonly number[], readonly number[]], x: number): number {
  let p = 0;
  let q = 0;
  for (let i = above.length - 1; i >= 0; i--) {
    p = p * x + above[i];
    q = q * x + below[i];
  }
  return p / q;
}

/**
 * Quantile of the standard normal distribution, Wichura's algorithm AS 241 (Appl. Stat. 37, 477, 1988).
 * @param probability 0 to 1
 * @returns z in standard deviations; minus or plus infinity at 0 and 1; relative error near 1e-16
 * @throws ArgumentError where the probability is none
 */
export function normalQuantile(probability: number): number {
  requireProbability('probability', probability);
  if (probability === 0) return -Infinity;
  if (probability === 1) return Infinity;
  const q = probability - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(CENTRE, 0.180625 - q * q);
  const r = Math.sqrt(-elementary.log(q < 0 ? probability : 1 - probability));
  const z = r <= 5 ? ratio(TAIL, r - 1.6) : ratio(FAR_TAIL, r - 5);
  return q < 0 ? -z : z;
}

/**
 * Cumulative Student t distribution, through the incomplete beta function.
 * @param t dimensionless
 * @param degreesOfFreedom above zero, need not be whole; `Infinity` gives the normal distribution
 * @returns the probability of a value below t
 * @throws ArgumentError where an argument is out of range
 */
export function studentCdf(t: number, degreesOfFreedom: number): number {
  if (degreesOfFreedom === Infinity) return normalCdf(t);
  requirePositive('degrees of freedom', degreesOfFreedom);
  if (t === Infinity) return 1;
  if (t === -Infinity) return 0;
  requireFinite('t', t);
  const nu = degreesOfFreedom;
  const tail =
    t * t < nu
      ? incompleteBeta((t * t) / (nu + t * t), 0.5, nu / 2).upper / 2
      : incompleteBeta(nu / (nu + t * t), nu / 2, 0.5).lower / 2;
  return t < 0 ? tail : 1 - tail;
}

/**
 * Quantile of the Student t distribution.
 * @param probability above 0 and below 1
 * @param degreesOfFreedom above zero; `Infinity` gives the normal distribution
 * @returns t, dimensionless
 * @throws ArgumentError where an argument is out of range
 */
export function studentQuantile(probability: number, degreesOfFreedom: number): number {
  requireProbability('probability', probability);
  if (degreesOfFreedom === Infinity) return normalQuantile(probability);
  requirePositive('degrees of freedom', degreesOfFreedom);
  if (probability === 0.5) return 0;
  if (probability === 0) return -Infinity;
  if (probability === 1) return Infinity;
  const tail = Math.min(probability, 1 - probability);
  const t = risingRoot((x) => tail - studentCdf(-x, degreesOfFreedom));
  return probability < 0.5 ? -t : t;
}

/** Root of a rising function on x > 0 that is below zero at 0. */
function risingRoot(f: (x: number) => number): number {
  let high = 1;
  while (f(high) < 0 && high < 1e300) high *= 2;
  let low = high / 2;
  while (f(low) > 0 && low > 1e-300) low /= 2;
  return findRoot(f, low, high);
}

/**
 * Cumulative chi-square distribution.
 * @param x zero or above, dimensionless
 * @param degreesOfFreedom above zero
 * @returns the probability of a value below x
 * @throws ArgumentError where an argument is out of range
 */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  requirePositive('degrees of freedom', degreesOfFreedom);
  return incompleteGamma(degreesOfFreedom / 2, x / 2).lower;
}

/**
 * Quantile of the chi-square distribution.
 * @param probability 0 to 1
 * @param degreesOfFreedom above zero
 * @returns x, dimensionless; infinite at probability 1
 * @throws ArgumentError where an argument is out of range
 */
export function chiSquareQuantile(probability: number, degreesOfFreedom: number): number {
  requireProbability('probability', probability);
  requirePositive('degrees of freedom', degreesOfFreedom);
  if (probability === 0) return 0;
  if (probability === 1) return Infinity;
  if (probability > 0.5) {
    const tail = 1 - probability;
    return risingRoot((x) => tail - incompleteGamma(degreesOfFreedom / 2, x / 2).upper);
  }
  return risingRoot((x) => chiSquareCdf(x, degreesOfFreedom) - probability);
}

/**
 * Upper tail of the F distribution: the probability of a variance ratio above f by chance.
 * @param f variance ratio, zero or above
 * @param numerator degrees of freedom of the numerator, above zero
 * @param denominator degrees of freedom of the denominator, above zero
 * @returns the probability of a value above f
 * @throws ArgumentError where an argument is out of range
 */
export function fUpperTail(f: number, numerator: number, denominator: number): number {
  requirePositive('degrees of freedom of the numerator', numerator);
  requirePositive('degrees of freedom of the denominator', denominator);
  if (f === Infinity) return 0;
  if (f <= 0) return 1;
  requireFinite('f', f);
  return incompleteBeta(denominator / (denominator + numerator * f), denominator / 2, numerator / 2).lower;
}

/**
 * Quantile of the F distribution.
 * @param probability 0 to 1
 * @param numerator degrees of freedom of the numerator, above zero
 * @param denominator degrees of freedom of the denominator, above zero
 * @returns the variance ratio that is exceeded with probability 1 - p
 * @throws ArgumentError where an argument is out of range
 */
export function fQuantile(probability: number, numerator: number, denominator: number): number {
  requireProbability('probability', probability);
  if (probability === 0) return 0;
  if (probability === 1) return Infinity;
  const tail = 1 - probability;
  return risingRoot((x) => tail - fUpperTail(x, numerator, denominator));
}

/**
 * Cumulative log-normal distribution: the logarithm is normal.
 * @param x above zero, any unit
 * @param medianValue its median, same unit, above zero
 * @param sigma standard deviation of ln x, above zero
 * @returns the probability of a value below x
 * @throws ArgumentError where an argument is out of range
 */
export function logNormalCdf(x: number, medianValue: number, sigma: number): number {
  requirePositive('median', medianValue);
  requirePositive('sigma', sigma);
  return x <= 0 ? 0 : normalCdf(elementary.log(x / medianValue) / sigma);
}

/**
 * Quantile of the log-normal distribution.
 * @param probability 0 to 1
 * @param medianValue its median, any unit, above zero
 * @param sigma standard deviation of ln x, above zero
 * @returns x, unit of the median
 * @throws ArgumentError where an argument is out of range
 */
export function logNormalQuantile(probability: number, medianValue: number, sigma: number): number {
  requirePositive('median', medianValue);
  requirePositive('sigma', sigma);
  return medianValue * elementary.exp(sigma * normalQuantile(probability));
}
