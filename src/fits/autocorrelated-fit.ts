import * as elementary from '../numerics/elementary';

/**
 * Linear least squares with noise whose autocorrelation is not known. The noise is taken as a first-order
 * autoregressive part plus a white part; both its correlation and the white share are averaged over, each weighted by
 * its restricted likelihood, so that the interval of a slope is honest where readings hang together.
 *
 * Given correlation and white share, the estimates follow a Student distribution exactly; over both, a mixture.
 */

/** The part of the answer that belongs to one correlation and white share. */
export interface CorrelatedPart {
  /** Autocorrelation over the typical step. */
  readonly correlation: number;
  /** Share of the noise's variance that is white. */
  readonly whiteShare: number;
  /** Logarithm of the restricted likelihood times the prior, up to a constant. */
  readonly logWeight: number;
  /** Logarithm of the greatest likelihood (not restricted), up to a constant common to all models of the same data. */
  readonly logLikelihood: number;
  /** Estimates of the k coefficients. */
  readonly coefficients: Float64Array;
  /** k x k row-major: their covariance over the noise variance. */
  readonly unitCovariance: Float64Array;
  /** Estimated variance of the weighted noise. */
  readonly variance: number;
}

/** Noise settings that are averaged over. */
export interface NoiseSetting {
  readonly correlation: number;
  readonly whiteShare: number;
  readonly prior: number;
}

const CORRELATIONS = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.87, 0.92, 0.96, 0.985];
const WHITE_SHARES = [0, 0.35, 0.7, 0.9];

/**
 * The settings of the noise that so many points can tell apart: few points leave out strong correlations, which they
 * could neither show nor exclude.
 * @param points number of points
 */
export function noiseSettings(points: number): readonly NoiseSetting[] {
  const strongest = points < 8 ? 0.3 : 1 - 3 / points;
  const correlations = CORRELATIONS.filter((c) => c <= strongest);
  return correlations.flatMap((correlation, i) => {
    const left = i > 0 ? (correlation - correlations[i - 1]) / 2 : 0;
    const right = i + 1 < correlations.length ? (correlations[i + 1] - correlation) / 2 : left;
    // Strong correlations are believed a little more than weak ones, and none at all has a weight of its own.
    const belief = i === 0 ? 0.3 : (left + right) / Math.sqrt(1 - correlation);
    const shares = correlation === 0 || points < 20 ? [0] : WHITE_SHARES;
    return shares.map((whiteShare) => ({ correlation, whiteShare, prior: belief / shares.length }));
  });
}

/**
 * Fits `y = X b + noise` for one setting of the noise, by a scalar Kalman filter: O(n k^2).
 * @param data n values, divided by the expected relative size of their noise
 * @param columns k columns of n values, divided likewise
 * @param steps step before each point over the typical step; the first is not used
 * @param setting autocorrelation over the typical step and white share
 * @param smallestVariance floor of the noise variance, from the resolution of the readings
 * @returns the part, or null where the columns are not independent
 */
export function fitWithNoise(
  data: Float64Array,
  columns: readonly Float64Array[],
  steps: Float64Array,
  setting: NoiseSetting,
  smallestVariance: number,
): CorrelatedPart | null {
  const n = data.length;
  const k = columns.length;
  const { correlation, whiteShare: white } = setting;
  const red = 1 - white;
  const normal = new Float64Array(k * k);
  const right = new Float64Array(k);
  const state = new Float64Array(k + 1);
  const innovation = new Float64Array(k + 1);
  let sumOfSquares = 0;
  let logDeterminant = 0;
  let stateVariance = red;
  for (let i = 0; i < n; i++) {
    const carry = i === 0 || correlation === 0 ? 0 : elementary.power(correlation, steps[i]);
    const predicted = carry * carry * stateVariance + (1 - carry * carry) * red;
    const total = predicted + white;
    const gain = predicted / total;
    const scale = 1 / Math.sqrt(total);
    logDeterminant += elementary.log(total);
    for (let c = 0; c <= k; c++) {
      const before = carry * state[c];
      const surprise = (c < k ? columns[c][i] : data[i]) - before;
      state[c] = before + gain * surprise;
      innovation[c] = surprise * scale;
    }
    stateVariance = (1 - gain) * predicted;
    const y = innovation[k];
    sumOfSquares += y * y;
    for (let a = 0; a < k; a++) {
      right[a] += innovation[a] * y;
      for (let b = 0; b <= a; b++) normal[a * k + b] += innovation[a] * innovation[b];
    }
  }
  const solved = solvePositive(normal, right, k);
  if (solved === null) return null;
  let explained = 0;
  for (let a = 0; a < k; a++) explained += solved.solution[a] * right[a];
  const freedom = n - k;
  const residual = Math.max(sumOfSquares - explained, freedom * smallestVariance, 1e-13 * sumOfSquares);
  if (!(residual > 0)) return null;
  return {
    correlation,
    whiteShare: white,
    logWeight:
      elementary.log(setting.prior) -
      0.5 * logDeterminant -
      0.5 * solved.logDeterminant -
      0.5 * freedom * elementary.log(residual),
    logLikelihood: -0.5 * logDeterminant - 0.5 * n * elementary.log(residual / n),
    coefficients: solved.solution,
    unitCovariance: solved.inverse,
    variance: residual / freedom,
  };
}

/** Cholesky solution of a small positive system (lower triangle given), with inverse and log-determinant. */
function solvePositive(
  matrix: Float64Array,
  right: Float64Array,
  k: number,
): { solution: Float64Array; inverse: Float64Array; logDeterminant: number } | null {
  const lower = new Float64Array(k * k);
  let logDeterminant = 0;
  for (let a = 0; a < k; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = matrix[a * k + b];
      for (let c = 0; c < b; c++) sum -= lower[a * k + c] * lower[b * k + c];
      if (a !== b) {
        lower[a * k + b] = sum / lower[b * k + b];
        continue;
      }
      if (!(sum > 1e-13 * matrix[a * k + a])) return null;
      lower[a * k + a] = Math.sqrt(sum);
      logDeterminant += elementary.log(sum);
    }
  }
  const inverse = new Float64Array(k * k);
  for (let column = 0; column < k; column++) {
    const unit = new Float64Array(k);
    unit[column] = 1;
    const solution = substitute(lower, unit, k);
    for (let a = 0; a < k; a++) inverse[a * k + column] = solution[a];
  }
  return { solution: substitute(lower, right, k), inverse, logDeterminant };
}

/** Forward and backward substitution with a Cholesky factor. */
function substitute(lower: Float64Array, right: Float64Array, k: number): Float64Array {
  const x = Float64Array.from(right);
  for (let a = 0; a < k; a++) {
    for (let c = 0; c < a; c++) x[a] -= lower[a * k + c] * x[c];
    x[a] /= lower[a * k + a];
  }
  for (let a = k - 1; a >= 0; a--) {
    for (let c = a + 1; c < k; c++) x[a] -= lower[c * k + a] * x[c];
    x[a] /= lower[a * k + a];
  }
  return x;
}
