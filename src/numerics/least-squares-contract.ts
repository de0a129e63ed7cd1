/** Why a fit stopped. `limit` and `stalled` are no success. */
export type StopReason = 'gradient' | 'step' | 'reduction' | 'limit' | 'stalled' | 'exact';

/** A bounded nonlinear least-squares problem: minimise the sum of squares of `count` residuals. */
export interface LeastSquaresProblem {
  /** Writes the `count` residuals (already weighted) for these parameters into `out`. */
  readonly residuals: (parameters: Float64Array, out: Float64Array) => void;
  /** Writes d residual_i / d parameter_j to `out[i * k + j]`; differences are taken where absent. */
  readonly jacobian?: (parameters: Float64Array, out: Float64Array) => void;
  readonly count: number;
  readonly start: ArrayLike<number>;
  readonly low?: ArrayLike<number>;
  readonly high?: ArrayLike<number>;
  /** Typical size of each parameter; from the start values where absent. */
  readonly scale?: ArrayLike<number>;
  readonly names?: readonly string[];
  readonly maxIterations?: number;
  /** True where residuals are divided by known standard deviations, so that the covariance is not scaled by the residual variance. */
  readonly absoluteSigma?: boolean;
}

/** The whole truth about a fit. */
export interface LeastSquaresResult {
  readonly parameters: Float64Array;
  /** Standard error of each, or null where it is unknown (at a bound, singular). */
  readonly standardErrors: readonly (number | null)[];
  /** k x k row-major, or null where singular. */
  readonly covariance: Float64Array | null;
  readonly residualSumOfSquares: number;
  readonly residualStandardDeviation: number;
  readonly degreesOfFreedom: number;
  readonly atBound: readonly ('low' | 'high' | null)[];
  readonly iterations: number;
  readonly evaluations: number;
  readonly stop: StopReason;
  readonly converged: boolean;
  readonly message: string;
}
