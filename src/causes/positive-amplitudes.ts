import { normalQuantile } from '../numerics';
import * as elementary from '../numerics/elementary';
import { logNormalTail, quickNormalCdf } from './normal-table';

/** One weighted draw of amplitudes that are not negative. */
export interface PositiveDraw {
  readonly weight: number;
  /** The amplitudes; the last one is the mean of its cut normal distribution. */
  readonly amplitudes: Float64Array;
  /** Centre and standard deviation of the last amplitude's normal distribution before the cut at zero. */
  readonly lastMean: number;
  readonly lastSd: number;
}

/** Amplitudes cut at zero: how much of the normal distribution lies there, and draws from it. */
export interface PositiveAmplitudes {
  /** Logarithm of the probability that all are positive. */
  readonly logProbability: number;
  readonly draws: readonly PositiveDraw[];
}

/**
 * Cuts a normal distribution at zero in every coordinate, one coordinate after another (the scheme of Genz for
 * orthant probabilities) on a fixed low-discrepancy sequence, so that equal input gives equal output.
 * @param mean k values
 * @param covariance k x k row-major
 * @param count number of draws; 1 where one coordinate leaves nothing to draw
 * @returns probability of the positive orthant, and weighted draws
 */
export function positiveAmplitudes(mean: Float64Array, covariance: Float64Array, count: number): PositiveAmplitudes {
  const k = mean.length;
  if (k === 0) return { logProbability: 0, draws: [] };
  // What cannot be computed is no explanation.
  if (!mean.every(Number.isFinite) || !covariance.every(Number.isFinite))
    return { logProbability: -Infinity, draws: [] };
  const l = factor(covariance, k);
  const total = k === 1 ? 1 : count;
  const draws: PositiveDraw[] = [];
  const logWeights = new Float64Array(total);
  const e = new Float64Array(k);
  for (let d = 0; d < total; d++) {
    const amplitudes = new Float64Array(k);
    logWeights[d] = drawOne(mean, l, d, e, amplitudes);
    const lastSd = l[k * k - 1];
    draws.push({ weight: 0, amplitudes, lastMean: amplitudes[k - 1], lastSd });
    amplitudes[k - 1] = cutMean(amplitudes[k - 1], lastSd);
  }
  const logProbability = logMean(logWeights);
  return {
    logProbability,
    draws: draws.map((draw, d) => ({ ...draw, weight: elementary.exp(logWeights[d] - logProbability) / total })),
  };
}

/**
 * How much of a normal distribution lies where no coordinate is negative, without the draws.
 * @param mean k values
 * @param covariance k x k row-major
 * @param count number of draws behind it
 * @returns logarithm of that probability
 */
export function logPositivePart(mean: Float64Array, covariance: Float64Array, count: number): number {
  const k = mean.length;
  if (k === 0) return 0;
  if (!mean.every(Number.isFinite) || !covariance.every(Number.isFinite)) return -Infinity;
  const l = factor(covariance, k);
  const [e, amplitudes] = [new Float64Array(k), new Float64Array(k)];
  const logWeights = new Float64Array(k === 1 ? 1 : count);
  for (let d = 0; d < logWeights.length; d++) logWeights[d] = drawOne(mean, l, d, e, amplitudes);
  return logMean(logWeights);
}

/**
 * Draws all coordinates but the last, whose centre (before the cut) is put in its place.
 * @returns logarithm of the draw's weight
 */
function drawOne(mean: Float64Array, l: Float64Array, d: number, e: Float64Array, amplitudes: Float64Array): number {
  const k = mean.length;
  let logWeight = 0;
  for (let i = 0; i < k; i++) {
    let centre = mean[i];
    for (let j = 0; j < i; j++) centre += l[i * k + j] * e[j];
    const sd = l[i * k + i];
    logWeight += logNormalTail(centre / sd);
    amplitudes[i] = i === k - 1 ? centre : cutQuantile(centre, sd, fraction(0.5 + (d + 1) * STEPS[i]));
    e[i] = (amplitudes[i] - centre) / sd;
  }
  return logWeight;
}

/** Logarithm of the mean of numbers given by their logarithms. */
function logMean(logs: Float64Array): number {
  let top = -Infinity;
  for (const log of logs) top = Math.max(top, log);
  let sum = 0;
  for (const log of logs) sum += elementary.exp(log - top);
  return top + elementary.log(sum / logs.length);
}

/** Steps of an additive recurrence that spreads evenly in several dimensions. */
const STEPS = [0.7548776662466927, 0.5698402909980532, 0.8191725133961645, 0.6710436067037893];

function fraction(x: number): number {
  return Math.min(1 - 1e-9, Math.max(1e-9, x - Math.floor(x)));
}

/** Quantile of a normal distribution cut at zero. */
function cutQuantile(centre: number, sd: number, u: number): number {
  const z = centre / sd;
  if (z < -5) return (sd * -elementary.log(1 - u)) / -z;
  const below = quickNormalCdf(-z);
  return Math.max(0, centre + sd * normalQuantile(Math.min(1 - 1e-15, below + u * (1 - below))));
}

/**
 * Mean of a normal distribution cut at zero.
 * @param centre its centre before the cut
 * @param sd its standard deviation before the cut, > 0
 * @returns the mean of what is left, >= 0
 */
export function cutMean(centre: number, sd: number): number {
  const z = centre / sd;
  const density = elementary.exp(-0.5 * z * z - 0.5 * elementary.log(2 * Math.PI) - logNormalTail(z));
  return Math.max(0, centre + sd * density);
}

function factor(covariance: Float64Array, k: number): Float64Array {
  const l = new Float64Array(k * k);
  for (let i = 0; i < k; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i * k + j];
      for (let m = 0; m < j; m++) sum -= l[i * k + m] * l[j * k + m];
      l[i * k + j] = i === j ? Math.sqrt(Math.max(sum, 1e-12 * covariance[i * k + i], 1e-300)) : sum / l[j * k + j];
    }
  }
  return l;
}
