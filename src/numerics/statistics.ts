import { ArgumentError } from '../errors';
import { requireProbability } from './check';

/** Ratio of the standard deviation to the median absolute deviation of a normal distribution, 1 / quantile(3/4). */
const NORMAL_PER_MAD = 1.482602218505602;

function finiteSorted(what: string, values: ArrayLike<number>): Float64Array {
  const kept = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i])) kept[count++] = values[i];
  if (count === 0) throw new ArgumentError(what, `${values.length} values, none finite`, 'at least one finite value');
  return kept.subarray(0, count).sort();
}

/**
 * Arithmetic mean of the finite values.
 * @param values any unit; NaN and infinities are left out
 * @returns the mean, unit of the values
 * @throws ArgumentError where no value is finite
 */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    count++;
    sum += (values[i] - sum) / count;
  }
  if (count === 0) throw new ArgumentError('mean', `${values.length} values, none finite`, 'at least one finite value');
  return sum;
}

/**
 * Sample standard deviation, sqrt(sum (x - mean)^2 / (n - 1)), of the finite values (JCGM 100, 4.2.2).
 * @param values any unit; NaN and infinities are left out
 * @returns the standard deviation, unit of the values
 * @throws ArgumentError where fewer than two values are finite
 */
export function standardDeviation(values: ArrayLike<number>): number {
  let centre = 0;
  let squares = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    count++;
    const away = values[i] - centre;
    centre += away / count;
    squares += away * (values[i] - centre);
  }
  if (count < 2) throw new ArgumentError('standard deviation', `${count} finite values`, 'at least two finite values');
  return Math.sqrt(squares / (count - 1));
}

/** How a quantile is read between two ordered values: types 7 and 8 of Hyndman and Fan (Am. Stat. 50, 361, 1996). */
export type QuantileEstimator = 'type 7' | 'type 8';

/**
 * Sample quantile of the finite values, by a named estimator of Hyndman and Fan (1996).
 * @param values any unit; NaN and infinities are left out
 * @param probability 0 to 1
 * @param estimator `type 7` (linear, the usual default of statistics programs) or `type 8` (median unbiased)
 * @returns the quantile, unit of the values
 * @throws ArgumentError where no value is finite or the probability is none
 */
export function quantile(
  values: ArrayLike<number>,
  probability: number,
  estimator: QuantileEstimator = 'type 7',
): number {
  return quantileOfSorted(finiteSorted('quantile', values), probability, estimator);
}

/**
 * Sample quantile of values that are finite and in ascending order; see `quantile`.
 * @param sorted ascending finite values, any unit
 * @param probability 0 to 1
 * @param estimator `type 7` or `type 8` of Hyndman and Fan (1996)
 * @returns the quantile, unit of the values
 * @throws ArgumentError where there is no value or the probability is none
 */
export function quantileOfSorted(
  sorted: ArrayLike<number>,
  probability: number,
  estimator: QuantileEstimator = 'type 7',
): number {
  requireProbability('probability', probability);
  const n = sorted.length;
  if (n === 0) throw new ArgumentError('quantile', 'no values', 'at least one value');
  const place = estimator === 'type 7' ? (n - 1) * probability : (n + 1 / 3) * probability + 1 / 3 - 1;
  const low = Math.min(n - 1, Math.max(0, Math.floor(place)));
  const high = Math.min(n - 1, low + 1);
  const part = Math.min(1, Math.max(0, place - low));
  return sorted[low] + part * (sorted[high] - sorted[low]);
}

/**
 * Median of the finite values.
 * @param values any unit; NaN and infinities are left out
 * @returns the median, unit of the values
 * @throws ArgumentError where no value is finite
 */
export function median(values: ArrayLike<number>): number {
  return quantileOfSorted(finiteSorted('median', values), 0.5);
}

/**
 * Median absolute deviation from the median, of the finite values.
 * @param values any unit; NaN and infinities are left out
 * @returns the deviation, unit of the values; not scaled to a standard deviation
 * @throws ArgumentError where no value is finite
 */
export function medianAbsoluteDeviation(values: ArrayLike<number>): number {
  const sorted = finiteSorted('median absolute deviation', values);
  const centre = quantileOfSorted(sorted, 0.5);
  for (let i = 0; i < sorted.length; i++) sorted[i] = Math.abs(sorted[i] - centre);
  return quantileOfSorted(sorted.sort(), 0.5);
}

/**
 * Standard deviation that outliers do not move: 1.4826 times the median absolute deviation.
 * @param values any unit; NaN and infinities are left out
 * @returns the standard deviation that normal values with this spread would have, unit of the values
 * @throws ArgumentError where no value is finite
 */
export function robustStandardDeviation(values: ArrayLike<number>): number {
  return NORMAL_PER_MAD * medianAbsoluteDeviation(values);
}

/**
 * Noise of a series on top of a smooth course, from its successive differences: the robust standard deviation of the
 * first (or second) differences over sqrt 2 (or sqrt 6). Quantised or strongly correlated series come out too quiet.
 * @param values a series in order, any unit; a NaN breaks the chain
 * @param order 1: first differences (a straight drift drops out); 2: second differences (a bend drops out too)
 * @returns standard deviation of the noise, unit of the values
 * @throws ArgumentError where no pair (or triple) of neighbours is finite
 */
export function noiseFromDifferences(values: ArrayLike<number>, order: 1 | 2 = 1): number {
  const differences = new Float64Array(Math.max(0, values.length - order));
  for (let i = 0; i < differences.length; i++) {
    differences[i] = order === 1 ? values[i + 1] - values[i] : values[i + 2] - 2 * values[i + 1] + values[i];
  }
  return robustStandardDeviation(differences) / Math.sqrt(order === 1 ? 2 : 6);
}
