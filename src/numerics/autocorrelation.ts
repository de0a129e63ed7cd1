import { ArgumentError } from '../errors';
import { requireFinite } from './check';

/**
 * Sample autocorrelation of a series at a lag, sum (x_i - m)(x_{i+lag} - m) / sum (x_i - m)^2; pairs with a NaN are
 * left out and the two sums are then compared as means.
 * @param values a series in order, any unit, at equal steps
 * @param lag in steps, at least 1
 * @returns the autocorrelation, -1 to 1; 0 for a constant series
 * @throws ArgumentError where fewer than three values are finite, or the lag is none
 */
export function autocorrelation(values: ArrayLike<number>, lag = 1): number {
  if (!(Number.isInteger(lag) && lag >= 1)) throw new ArgumentError('lag', lag, 'a whole number from 1');
  let count = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    count++;
    sum += values[i];
  }
  if (count < 3) throw new ArgumentError('autocorrelation', `${count} finite values`, 'at least three finite values');
  const centre = sum / count;
  let variance = 0;
  let products = 0;
  let pairs = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    variance += (values[i] - centre) ** 2;
    if (i + lag >= values.length || !Number.isFinite(values[i + lag])) continue;
    pairs++;
    products += (values[i] - centre) * (values[i + lag] - centre);
  }
  if (!(variance > 0) || pairs === 0) return 0;
  // With no gaps pairs = count - lag, and this is the usual (biased) estimator.
  const whole = pairs / (count - lag);
  return Math.max(-1, Math.min(1, products / variance / (whole > 0 ? whole : 1)));
}

/**
 * Points that count in a series with first-order autocorrelation: n (1 - rho) / (1 + rho), at least 1 and at most n
 * (Bayley and Hammersley, J. R. Stat. Soc. Suppl. 8, 184, 1946, for large n).
 * @param points number of points, n
 * @param rho autocorrelation at lag 1; a negative one counts as 0
 * @returns the number of independent points that carry as much about the mean
 * @throws ArgumentError where an argument is not finite
 */
export function effectivePoints(points: number, rho: number): number {
  requireFinite('points', points);
  const r = Math.min(Math.max(requireFinite('autocorrelation', rho), 0), 1);
  return Math.min(points, Math.max(1, (points * (1 - r)) / (1 + r)));
}
