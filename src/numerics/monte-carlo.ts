import { ArgumentError } from '../errors';
import { requireFinite, requireNotNegative, requirePositive } from './check';
import { normalCdf, studentQuantile } from './distributions';
import * as elementary from './elementary';
import { cholesky } from './linear-algebra';
import { type RandomStream, randomStream } from './random';
import { quantileOfSorted } from './statistics';
import { correlationMatrix, type InputCorrelation } from './uncertainty';

/** How an input is distributed (JCGM 101:2008, table 1). */
export type Distribution =
  | { readonly kind: 'normal'; readonly mean: number; readonly standardUncertainty: number }
  | { readonly kind: 'rectangular'; readonly low: number; readonly high: number }
  | { readonly kind: 'triangular'; readonly low: number; readonly high: number }
  | { readonly kind: 'log-normal'; readonly median: number; readonly sigma: number }
  | {
      readonly kind: 'student t';
      readonly mean: number;
      /** Scale, s / sqrt n of n readings. */
      readonly standardUncertainty: number;
      readonly degreesOfFreedom: number;
    };

/** A named input with its distribution. */
export interface DistributedInput {
  readonly name: string;
  readonly distribution: Distribution;
}

/** How many trials, and from which seed. */
export interface MonteCarloOptions {
  readonly seed?: number;
  /** A fixed number of trials; where absent, blocks of 10 000 are added until two digits stand still. */
  readonly trials?: number;
  readonly maxTrials?: number;
}

/** The result of a propagation of distributions. */
export interface PropagatedDistribution {
  readonly value: number;
  readonly standardUncertainty: number;
  /** Probabilistically symmetric 95 % interval. */
  readonly low: number;
  readonly high: number;
  /** Shortest 95 % interval. */
  readonly shortest: readonly [number, number];
  readonly trials: number;
  /** False where the adaptive procedure met its limit before two digits stood still. */
  readonly stable: boolean;
}

const BLOCK = 10_000;

/**
 * Propagation of distributions by the Monte Carlo method (JCGM 101:2008, clause 7, adaptive procedure 7.9 with two
 * significant digits). Correlated inputs are drawn through a normal copula with the given coefficients, which is exact
 * for normal inputs.
 * @param model the result as a function of the input values, in the order of the inputs
 * @param inputs inputs with their distributions
 * @param correlations coefficients between named inputs; none where absent
 * @param options seed and number of trials
 * @returns mean, standard deviation, symmetric and shortest 95 % interval, unit of the result
 * @throws ArgumentError where a distribution cannot be used, coefficients contradict one another, or the model gives a
 *   value that is not finite
 */
export function propagateDistributions(
  model: (values: Float64Array) => number,
  inputs: readonly DistributedInput[],
  correlations: readonly InputCorrelation[] = [],
  options: MonteCarloOptions = {},
): PropagatedDistribution {
  const draw = sampler(inputs, correlations, randomStream(options.seed ?? 1));
  const fixed = options.trials;
  if (fixed !== undefined && !(Number.isInteger(fixed) && fixed >= 100)) {
    throw new ArgumentError('trials', fixed, 'a whole number from 100');
  }
  const limit = fixed ?? options.maxTrials ?? 2_000_000;
  const values = new Float64Array(limit);
  const x = new Float64Array(inputs.length);
  const blocks: (readonly [number, number, number, number])[] = [];
  let count = 0;
  let stable = fixed !== undefined;
  while (count < limit) {
    const end = Math.min(limit, count + BLOCK);
    const from = count;
    for (; count < end; count++) {
      draw(x);
      values[count] = model(x);
      if (!Number.isFinite(values[count])) throw new ArgumentError('result of the model', values[count], 'finite');
    }
    if (fixed !== undefined) continue;
    const block = summary(values.slice(from, count).sort());
    blocks.push([block.value, block.standardUncertainty, block.low, block.high]);
    if (blocks.length >= 2 && standStill(blocks)) {
      stable = true;
      break;
    }
  }
  return { ...summary(values.subarray(0, count).sort()), trials: count, stable };
}

/** JCGM 101, 7.9.4: twice the standard deviation of each average is below half a unit of the second digit of u. */
function standStill(blocks: readonly (readonly [number, number, number, number])[]): boolean {
  const h = blocks.length;
  const average = (i: number): number => blocks.reduce((sum, block) => sum + block[i], 0) / h;
  const u = average(1);
  if (u === 0) return true;
  const tolerance = 0.5 * elementary.power(10, Math.floor(elementary.log10(u)) - 1);
  for (let i = 0; i < 4; i++) {
    const centre = average(i);
    const spread = blocks.reduce((sum, block) => sum + (block[i] - centre) ** 2, 0) / (h * (h - 1));
    if (2 * Math.sqrt(spread) > tolerance) return false;
  }
  return true;
}

function summary(
  sorted: Float64Array,
): Pick<PropagatedDistribution, 'value' | 'standardUncertainty' | 'low' | 'high' | 'shortest'> {
  const n = sorted.length;
  let value = 0;
  for (let i = 0; i < n; i++) value += (sorted[i] - value) / (i + 1);
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (sorted[i] - value) ** 2;
  const inside = Math.min(n - 1, Math.round(0.95 * n));
  let best = 0;
  for (let i = 0; i + inside < n; i++) {
    if (sorted[i + inside] - sorted[i] < sorted[best + inside] - sorted[best]) best = i;
  }
  return {
    value,
    standardUncertainty: Math.sqrt(squares / (n - 1)),
    low: quantileOfSorted(sorted, 0.025),
    high: quantileOfSorted(sorted, 0.975),
    shortest: [sorted[best], sorted[best + inside]],
  };
}

function sampler(
  inputs: readonly DistributedInput[],
  correlations: readonly InputCorrelation[],
  random: RandomStream,
): (out: Float64Array) => void {
  const n = inputs.length;
  const maps = inputs.map(({ name, distribution }) => fromNormal(name, distribution));
  const z = new Float64Array(n);
  if (correlations.length === 0) {
    return (out) => {
      for (let i = 0; i < n; i++) out[i] = maps[i](null, random);
    };
  }
  const matrix = correlationMatrix(inputs, correlations);
  const l = cholesky(matrix, n);
  if (l === null) {
    throw new ArgumentError(
      'correlations',
      'a matrix that is not positive definite',
      'coefficients below 1 that agree',
    );
  }
  const tied = inputs.map((_, i) => inputs.some((_other, j) => j !== i && matrix[i * n + j] !== 0));
  inputs.forEach(({ name, distribution }, i) => {
    if (tied[i] && distribution.kind === 'student t') {
      throw new ArgumentError(
        `correlation of ${name}`,
        'a student t input',
        'normal, rectangular, triangular or log-normal',
      );
    }
  });
  return (out) => {
    for (let i = 0; i < n; i++) z[i] = random.normal();
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let j = 0; j <= i; j++) sum += l[i * n + j] * z[j];
      out[i] = maps[i](sum, random);
    }
  };
}

/** The input as a function of a standard normal number, or of the stream alone where nothing ties it to others. */
function fromNormal(name: string, d: Distribution): (z: number | null, random: RandomStream) => number {
  if (d.kind === 'normal' || d.kind === 'student t') {
    requireFinite(`mean of ${name}`, d.mean);
    requireNotNegative(`uncertainty of ${name}`, d.standardUncertainty);
    if (d.kind === 'normal') return (z, random) => d.mean + d.standardUncertainty * (z ?? random.normal());
    requirePositive(`degrees of freedom of ${name}`, d.degreesOfFreedom);
    return (_, random) => {
      const p = Math.min(1 - 2 ** -53, Math.max(2 ** -53, random.uniform()));
      return d.mean + d.standardUncertainty * studentQuantile(p, d.degreesOfFreedom);
    };
  }
  if (d.kind === 'log-normal') {
    requirePositive(`median of ${name}`, d.median);
    requireNotNegative(`sigma of ${name}`, d.sigma);
    return (z, random) => d.median * elementary.exp(d.sigma * (z ?? random.normal()));
  }
  const width = requireNotNegative(`width of ${name}`, d.high - d.low);
  requireFinite(`low end of ${name}`, d.low);
  if (d.kind === 'rectangular') {
    return (z, random) => d.low + width * (z === null ? random.uniform() : normalCdf(z));
  }
  return (z, random) => {
    const p = z === null ? random.uniform() : normalCdf(z);
    return p < 0.5 ? d.low + width * Math.sqrt(p / 2) : d.high - width * Math.sqrt((1 - p) / 2);
  };
}
