import { ArgumentError } from '../errors';
import * as elementary from './elementary';
import { inverseNormalMatrix, type PivotedQr, pivotedQr, qrTransposeTimes, solveQr } from './linear-algebra';

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
  /** Relative precision of the residual function, where it is worse than rounding (it solves an equation inside). */
  readonly precision?: number;
}

/** The whole truth about a fit. */
export interface LeastSquaresResult {
  readonly parameters: Float64Array;
  /** Standard error of each, or null where it is unknown (at a bound, singular). */
  readonly standardErrors: readonly (number | null)[];
  /** k x k row-major, or null where singular; zero in the rows and columns of parameters that sit at a bound. */
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

const EPSILON = 2 ** -52;
const STEP_TOLERANCE = 1e-10;
const REDUCTION_TOLERANCE = 1e-14;
const GRADIENT_TOLERANCE = 1e-12;

/** The problem with everything filled in, and the counters of a run. */
interface Run {
  readonly problem: LeastSquaresProblem;
  readonly n: number;
  readonly k: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly scale: Float64Array;
  evaluations: number;
}

/**
 * Bounded nonlinear least squares by the Levenberg-Marquardt method: step from the pivoted QR factorisation of the
 * Jacobian with scaled damping (More, Lecture Notes in Mathematics 630, 1978; damping after Nielsen, IMM-REP-1999-05),
 * parameters held at a bound while the sum of squares pushes them outwards, other steps cut at the bounds. Standard
 * errors from the covariance s2 (J^T J)^-1 at the solution.
 * @param problem residuals, start, bounds and scales; each parameter in its own unit
 * @returns parameters with covariance, and why it stopped; `converged` is true only at a stationary point
 * @throws ArgumentError where start, bounds or scales are not usable, there are fewer residuals than parameters, or the
 *   residuals at the start are not finite
 */
export function fitLeastSquares(problem: LeastSquaresProblem): LeastSquaresResult {
  const run = prepare(problem);
  const first = finish(run, descend(run, 0));
  if (first.converged && (first.covariance !== null || first.degreesOfFreedom <= 0)) return first;
  // It ran away along a direction that the residuals do not see; damp by the parameters' sizes and look again.
  const second = finish(run, descend(run, 1));
  const better = second.residualSumOfSquares < first.residualSumOfSquares;
  const fit = better || (second.converged && !first.converged) ? second : first;
  return { ...fit, iterations: first.iterations + second.iterations, evaluations: run.evaluations };
}

/** Where a descent ended and why. */
interface Descent {
  readonly x: Float64Array;
  readonly r: Float64Array;
  readonly rss: number;
  readonly iterations: number;
  readonly stop: StopReason;
}

/**
 * One descent from the start. `weakShare` is how strongly a parameter of little effect is damped, against the one of
 * most effect: 0 gives the scaling of More, 1 that of Levenberg in parameters divided by their typical size.
 */
function descend(run: Run, weakShare: 0 | 1): Descent {
  const { n, k, problem } = run;
  const maxIterations = problem.maxIterations ?? 400 + 50 * k;
  let x = Float64Array.from({ length: k }, (_, j) => Math.min(run.high[j], Math.max(run.low[j], problem.start[j])));
  let r = new Float64Array(n);
  let rss = evaluate(run, x, r);
  if (!Number.isFinite(rss)) {
    throw new ArgumentError('residuals at the start', nameValues(problem, x), 'finite residuals; choose another start');
  }
  const startRss = rss;
  const jacobian = new Float64Array(n * k);
  const damping = new Float64Array(k);
  let trial = new Float64Array(k);
  let trialR = new Float64Array(n);
  // A gain of a thousandth of the residual variance would move no parameter by more than 3 % of its standard error.
  const negligible = Math.max(1e-10, 1e-3 / Math.max(1, n - k));
  let lambda = -1;
  let iterations = 0;
  let stop: StopReason = 'limit';

  outer: while (iterations < maxIterations) {
    if (isExact(rss, startRss, n)) {
      stop = 'exact';
      break;
    }
    if (!takeJacobian(run, x, r, jacobian)) {
      stop = 'stalled';
      break;
    }
    iterations++;
    const free = freeParameters(run, x, r, jacobian);
    if (steepness(run, r, rss, jacobian, free) <= GRADIENT_TOLERANCE) {
      stop = 'gradient';
      break;
    }
    const step = linearise(run, jacobian, r, free, damping, weakShare);
    if (lambda < 0) lambda = 0.1 * step.largest;
    let growth = 2;
    for (;;) {
      const delta = step.solve(lambda);
      for (let j = 0; j < k; j++) trial[j] = Math.min(run.high[j], Math.max(run.low[j], x[j] + delta[j]));
      const predicted = rss - step.predictedRss(trial, x);
      const trialRss = evaluate(run, trial, trialR);
      const actual = rss - trialRss;
      const relativeStep = stepSize(run, trial, x);
      const ratio = predicted > 0 && Number.isFinite(actual) ? actual / predicted : -1;
      if (ratio > 1e-4 && actual > 0) {
        [x, trial] = [trial, x];
        [r, trialR] = [trialR, r];
        rss = trialRss;
        lambda *= Math.max(1 / 10, 1 - elementary.power(2 * ratio - 1, 3));
        if (actual <= REDUCTION_TOLERANCE * rss && predicted <= REDUCTION_TOLERANCE * rss) {
          stop = 'reduction';
          break outer;
        }
        if (relativeStep <= STEP_TOLERANCE && lambda <= step.largest) {
          stop = 'step';
          break outer;
        }
        break;
      }
      // No progress. Near a minimum that is rounding; elsewhere (a wrong derivative, a kink) it is a failure, and what
      // the linear model holds possible without damping tells the two apart.
      if (predicted <= 4 * EPSILON * rss && Number.isFinite(actual)) {
        stop = step.attainable <= negligible * rss ? 'reduction' : 'stalled';
        break outer;
      }
      lambda *= growth;
      growth *= 2;
      if (relativeStep <= 4 * EPSILON || !(lambda < 1e300) || growth > 2 ** 60) {
        stop = 'stalled';
        break outer;
      }
    }
  }
  return { x, r, rss, iterations, stop };
}

function prepare(problem: LeastSquaresProblem): Run {
  const k = problem.start.length;
  const n = problem.count;
  if (k === 0) throw new ArgumentError('start', 'no parameters', 'at least one parameter');
  if (!(n >= k)) throw new ArgumentError('residuals', n, `at least as many as parameters (${k})`);
  const name = (j: number): string => problem.names?.[j] ?? `parameter ${j + 1}`;
  const low = Float64Array.from({ length: k }, (_, j) => problem.low?.[j] ?? -Infinity);
  const high = Float64Array.from({ length: k }, (_, j) => problem.high?.[j] ?? Infinity);
  const scale = new Float64Array(k);
  for (let j = 0; j < k; j++) {
    const start = problem.start[j];
    if (!Number.isFinite(start)) throw new ArgumentError(`start of ${name(j)}`, start, 'a finite number');
    if (!(low[j] <= high[j])) throw new ArgumentError(`bounds of ${name(j)}`, `${low[j]}, ${high[j]}`, 'low <= high');
    const given = problem.scale?.[j] ?? (Math.abs(start) || 1);
    if (!(given > 0 && given < Infinity)) throw new ArgumentError(`scale of ${name(j)}`, given, 'a number above zero');
    scale[j] = given;
  }
  return { problem, n, k, low, high, scale, evaluations: 0 };
}

function nameValues(problem: LeastSquaresProblem, x: Float64Array): string {
  return Array.from(x, (value, j) => `${problem.names?.[j] ?? `parameter ${j + 1}`} = ${value}`).join(', ');
}

function evaluate(run: Run, x: Float64Array, out: Float64Array): number {
  run.evaluations++;
  run.problem.residuals(x, out);
  let sum = 0;
  for (let i = 0; i < out.length; i++) sum += out[i] * out[i];
  return sum;
}

function isExact(rss: number, startRss: number, n: number): boolean {
  return rss === 0 || rss <= startRss * (EPSILON * EPSILON) * n;
}

/** Analytic Jacobian, or central differences that stay inside the bounds; false where it is not finite. */
function takeJacobian(run: Run, x: Float64Array, r: Float64Array, out: Float64Array): boolean {
  const { n, k, low, high, scale, problem } = run;
  if (problem.jacobian) {
    problem.jacobian(x, out);
  } else {
    const up = new Float64Array(n);
    const down = new Float64Array(n);
    const shifted = Float64Array.from(x);
    for (let j = 0; j < k; j++) {
      const h =
        elementary.power(Math.max(EPSILON, problem.precision ?? 0), 1 / 3) * Math.max(Math.abs(x[j]), 1e-3 * scale[j]);
      const above = Math.min(high[j], x[j] + h);
      const below = Math.max(low[j], x[j] - h);
      const plus = sampleAt(run, shifted, j, above, up) ? above : x[j];
      const minus = sampleAt(run, shifted, j, below, down) ? below : x[j];
      shifted[j] = x[j];
      const width = plus - minus;
      if (!(width > 0)) {
        for (let i = 0; i < n; i++) out[i * k + j] = 0;
        continue;
      }
      const right = plus === x[j] ? r : up;
      const left = minus === x[j] ? r : down;
      for (let i = 0; i < n; i++) out[i * k + j] = (right[i] - left[i]) / width;
    }
  }
  for (let i = 0; i < n * k; i++) if (!Number.isFinite(out[i])) return false;
  return true;
}

function sampleAt(run: Run, shifted: Float64Array, j: number, value: number, out: Float64Array): boolean {
  shifted[j] = value;
  return Number.isFinite(evaluate(run, shifted, out));
}

/** Parameters that may move: not at a bound, or drawn back inside by the gradient. */
function freeParameters(run: Run, x: Float64Array, r: Float64Array, jacobian: Float64Array): number[] {
  const { n, k, low, high } = run;
  const free: number[] = [];
  for (let j = 0; j < k; j++) {
    if (low[j] === high[j]) continue;
    let gradient = 0;
    for (let i = 0; i < n; i++) gradient += jacobian[i * k + j] * r[i];
    if (x[j] <= low[j] && gradient >= 0) continue;
    if (x[j] >= high[j] && gradient <= 0) continue;
    free.push(j);
  }
  return free;
}

/** Largest cosine between the residuals and a free column of the Jacobian; 0 at a stationary point. */
function steepness(run: Run, r: Float64Array, rss: number, jacobian: Float64Array, free: readonly number[]): number {
  const { n, k } = run;
  let worst = 0;
  for (const j of free) {
    let dot = 0;
    let square = 0;
    for (let i = 0; i < n; i++) {
      const entry = jacobian[i * k + j];
      dot += entry * r[i];
      square += entry * entry;
    }
    if (square > 0) worst = Math.max(worst, Math.abs(dot) / Math.sqrt(square * rss));
  }
  return worst;
}

/** The linear model at a point: damped steps and the sum of squares that it predicts. */
interface LinearModel {
  /** Largest squared column norm over its damping, the natural size of lambda. */
  readonly largest: number;
  /** Fall of the sum of squares that the linear model holds possible, undamped. */
  readonly attainable: number;
  solve(lambda: number): Float64Array;
  predictedRss(trial: Float64Array, from: Float64Array): number;
}

function linearise(
  run: Run,
  jacobian: Float64Array,
  r: Float64Array,
  free: readonly number[],
  damping: Float64Array,
  weakShare: number,
): LinearModel {
  const { n, k } = run;
  const m = free.length;
  const columns = new Float64Array(n * m);
  for (let i = 0; i < n; i++) for (let c = 0; c < m; c++) columns[i * m + c] = jacobian[i * k + free[c]];
  const norms = new Float64Array(m);
  let strongest = 0;
  for (let c = 0; c < m; c++) {
    let square = 0;
    for (let i = 0; i < n; i++) square += columns[i * m + c] ** 2;
    norms[c] = Math.sqrt(square);
    strongest = Math.max(strongest, norms[c] * run.scale[free[c]]);
  }
  let largest = 0;
  for (let c = 0; c < m; c++) {
    // Scales only grow (More 1978), so that a column that fades out cannot throw the step far away.
    const j = free[c];
    damping[j] = Math.max(damping[j], norms[c], (weakShare * strongest) / run.scale[j], 1e-30);
    largest = Math.max(largest, (norms[c] / damping[j]) ** 2);
  }
  const qr = pivotedQr(columns, n, m, 0);
  const c = qrTransposeTimes(qr, r);
  return {
    largest: largest || 1,
    attainable: c.reduce((sum, value) => sum + value * value, 0),
    solve: (lambda) => dampedStep(qr, c, lambda, free, damping, k),
    predictedRss: (trial, from) => {
      let sum = 0;
      for (let i = 0; i < n; i++) {
        let value = r[i];
        for (let j = 0; j < m; j++) value += columns[i * m + j] * (trial[free[j]] - from[free[j]]);
        sum += value * value;
      }
      return sum;
    },
  };
}

/** Minimises |R P d + c|^2 + lambda |D d|^2 through the QR factorisation of the small stacked system. */
function dampedStep(
  qr: PivotedQr,
  c: Float64Array,
  lambda: number,
  free: readonly number[],
  damping: Float64Array,
  k: number,
): Float64Array {
  const m = free.length;
  const stacked = new Float64Array(2 * m * m);
  const right = new Float64Array(2 * m);
  const root = Math.sqrt(lambda);
  for (let i = 0; i < m; i++) {
    for (let j = i; j < m; j++) stacked[i * m + qr.pivot[j]] = qr.packed[i * m + j];
    stacked[(m + i) * m + i] = root * damping[free[i]];
    right[i] = -c[i];
  }
  const solution = solveQr(pivotedQr(stacked, 2 * m, m, 0), right);
  const delta = new Float64Array(k);
  for (let i = 0; i < m; i++) delta[free[i]] = Number.isFinite(solution[i]) ? solution[i] : 0;
  return delta;
}

function stepSize(run: Run, trial: Float64Array, x: Float64Array): number {
  let worst = 0;
  for (let j = 0; j < run.k; j++) {
    const size = Math.max(Math.abs(x[j]), Math.abs(trial[j]), 1e-6 * run.scale[j]);
    worst = Math.max(worst, Math.abs(trial[j] - x[j]) / size);
  }
  return worst;
}

const STOP_TEXT: Readonly<Record<StopReason, string>> = {
  gradient: 'converged: the sum of squares is level in every free parameter',
  step: 'converged: the last step changed no parameter by more than 1e-10 of its size',
  reduction: 'converged: no further step lowers the sum of squares by an amount that matters',
  exact: 'converged: the residuals vanish',
  limit: 'not converged: the limit of iterations was reached',
  stalled: 'not converged: no step lowers the sum of squares although it is not level',
};

function finish(run: Run, { x, r, rss, iterations, stop }: Descent): LeastSquaresResult {
  const { n, k, low, high, problem } = run;
  const atBound = Array.from(x, (value, j) => (value <= low[j] ? 'low' : value >= high[j] ? 'high' : null));
  const free = Array.from({ length: k }, (_, j) => j).filter((j) => atBound[j] === null);
  const degreesOfFreedom = n - free.length;
  const variance = degreesOfFreedom > 0 ? rss / degreesOfFreedom : 0;
  const covariance = covarianceOf(run, x, r, free, problem.absoluteSigma ? 1 : variance, degreesOfFreedom);
  const converged = stop !== 'limit' && stop !== 'stalled';
  const names = (list: readonly number[]): string =>
    list.map((j) => problem.names?.[j] ?? `parameter ${j + 1}`).join(', ');
  const bound = Array.from({ length: k }, (_, j) => j).filter((j) => atBound[j] !== null);
  const notes = [
    STOP_TEXT[stop],
    bound.length > 0 ? `at a bound: ${names(bound)}` : '',
    covariance === null ? 'standard errors unknown: the data do not fix the parameters' : '',
  ];
  return {
    parameters: x,
    standardErrors: atBound.map((side, j) =>
      side !== null || covariance === null ? null : Math.sqrt(covariance[j * k + j]),
    ),
    covariance,
    residualSumOfSquares: rss,
    residualStandardDeviation: Math.sqrt(variance),
    degreesOfFreedom,
    atBound,
    iterations,
    evaluations: run.evaluations,
    stop,
    converged,
    message: notes.filter((note) => note !== '').join('; '),
  };
}

function covarianceOf(
  run: Run,
  x: Float64Array,
  r: Float64Array,
  free: readonly number[],
  variance: number,
  degreesOfFreedom: number,
): Float64Array | null {
  const { n, k, problem } = run;
  const m = free.length;
  const covariance = new Float64Array(k * k);
  if (m === 0) return covariance;
  if (degreesOfFreedom <= 0 && !problem.absoluteSigma) return null;
  const jacobian = new Float64Array(n * k);
  if (!takeJacobian(run, x, r, jacobian)) return null;
  const columns = new Float64Array(n * m);
  const norms = new Float64Array(m);
  for (let c = 0; c < m; c++) {
    let square = 0;
    for (let i = 0; i < n; i++) square += jacobian[i * k + free[c]] ** 2;
    norms[c] = Math.sqrt(square);
    if (!(norms[c] > 0)) return null;
    for (let i = 0; i < n; i++) columns[i * m + c] = jacobian[i * k + free[c]] / norms[c];
  }
  // Differences carry an error near 1e-10, so dependence shows only down to there.
  const inverse = inverseNormalMatrix(pivotedQr(columns, n, m, problem.jacobian ? 1e-12 : 1e-9));
  if (inverse === null) return null;
  for (let a = 0; a < m; a++) {
    for (let b = 0; b < m; b++) {
      covariance[free[a] * k + free[b]] = (inverse[a * m + b] * variance) / (norms[a] * norms[b]);
    }
  }
  return covariance;
}
