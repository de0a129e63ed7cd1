import { ArgumentError } from '../errors';
import { requireSameLength } from './check';
import { median } from './statistics';

/** A fitted straight line y = intercept + slope x. */
export interface StraightLine {
  readonly slope: number;
  readonly intercept: number;
  /** Standard uncertainties; NaN never: 0 where two points leave no freedom and no weights were given. */
  readonly slopeStandardError: number;
  readonly interceptStandardError: number;
  /** Covariance of slope and intercept. */
  readonly covariance: number;
  /** sqrt(weighted sum of squares / degrees of freedom). */
  readonly residualStandardDeviation: number;
  readonly degreesOfFreedom: number;
  /** Points used (finite x and y, weight above zero). */
  readonly points: number;
  /** Weighted mean of x, where slope and value are uncorrelated. */
  readonly centreX: number;
  readonly centreY: number;
}

/**
 * Weighted least-squares straight line (Draper and Smith, Applied Regression Analysis, chapters 1 and 9), centred for accuracy.
 * @param x any unit
 * @param y any unit
 * @param weights one per point; with `absolute` they are 1 / sigma^2
 * @param absolute true where the weights are known, so that the errors are not scaled by the residuals
 * @returns slope (y per x), intercept (y), their standard errors and covariance
 * @throws ArgumentError where lengths differ, fewer than two points are usable or all x are equal
 */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  weights?: ArrayLike<number>,
  absolute = false,
): StraightLine {
  const n = weights ? requireSameLength('x, y and weights', x, y, weights) : requireSameLength('x and y', x, y);
  const weight = (i: number): number => {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) return 0;
    const w = weights ? weights[i] : 1;
    return w > 0 && w < Infinity ? w : 0;
  };
  let total = 0;
  let centreX = 0;
  let centreY = 0;
  let points = 0;
  for (let i = 0; i < n; i++) {
    const w = weight(i);
    if (w === 0) continue;
    points++;
    total += w;
    centreX += (w / total) * (x[i] - centreX);
    centreY += (w / total) * (y[i] - centreY);
  }
  if (points < 2) throw new ArgumentError('straight line', `${points} usable points`, 'at least two');
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    const w = weight(i);
    if (w === 0) continue;
    sxx += w * (x[i] - centreX) ** 2;
    sxy += w * (x[i] - centreX) * (y[i] - centreY);
  }
  if (!(sxx > 0)) throw new ArgumentError('straight line', 'all x equal', 'at least two different x');
  const slope = sxy / sxx;
  let rss = 0;
  for (let i = 0; i < n; i++) {
    const w = weight(i);
    if (w > 0) rss += w * (y[i] - centreY - slope * (x[i] - centreX)) ** 2;
  }
  const degreesOfFreedom = points - 2;
  const variance = degreesOfFreedom > 0 ? rss / degreesOfFreedom : 0;
  const factor = absolute ? 1 : variance;
  return {
    slope,
    intercept: centreY - slope * centreX,
    slopeStandardError: Math.sqrt(factor / sxx),
    interceptStandardError: Math.sqrt(factor * (1 / total + centreX ** 2 / sxx)),
    covariance: (-factor * centreX) / sxx,
    residualStandardDeviation: Math.sqrt(variance),
    degreesOfFreedom,
    points,
    centreX,
    centreY,
  };
}

/**
 * Straight line by the median of pairwise slopes (Theil 1950, Sen 1968), unmoved by up to 29 % outliers. Where there are
 * more pairs than wanted, pairs a quarter to three quarters of the series apart are taken, in a fixed pattern.
 * @param x ascending for a good choice of pairs, any unit
 * @param y any unit
 * @param maxPairs most pairs to look at
 * @returns slope (y per x) and intercept (y, the median of y - slope x)
 * @throws ArgumentError where lengths differ or no pair has different finite x
 */
export function theilSen(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  maxPairs = 20_000,
): { readonly slope: number; readonly intercept: number } {
  requireSameLength('x and y', x, y);
  const rows: number[] = [];
  for (let i = 0; i < x.length; i++) if (Number.isFinite(x[i]) && Number.isFinite(y[i])) rows.push(i);
  const n = rows.length;
  const slopes: number[] = [];
  const take = (i: number, j: number): void => {
    const dx = x[rows[j]] - x[rows[i]];
    if (dx !== 0) slopes.push((y[rows[j]] - y[rows[i]]) / dx);
  };
  if ((n * (n - 1)) / 2 <= maxPairs) {
    for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) take(i, j);
  } else {
    const shortest = Math.max(1, Math.floor(n / 4));
    const longest = Math.max(shortest, Math.floor((3 * n) / 4));
    const lags = Math.max(1, Math.min(longest - shortest + 1, Math.floor(maxPairs / (n / 2))));
    const stride = Math.max(1, Math.ceil((lags * n) / 2 / maxPairs));
    for (let m = 0; m < lags; m++) {
      const lag = shortest + Math.floor(((longest - shortest) * (m + 0.5)) / lags);
      for (let i = m % stride; i + lag < n; i += stride) take(i, i + lag);
    }
  }
  if (slopes.length === 0) throw new ArgumentError('straight line', `${n} usable points`, 'two with different x');
  const slope = median(slopes);
  return { slope, intercept: median(rows.map((i) => y[i] - slope * x[i])) };
}
