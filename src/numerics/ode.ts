import { ArgumentError } from '../errors';
import { requireFinite, requirePositive } from './check';
import * as elementary from './elementary';
import { explicitStepper } from './ode-explicit';
import { stiffStepper } from './ode-stiff';
import { findRoot } from './root-finding';

/** Writes dy/dt at time t and state y into `out`. */
export type Derivative = (t: number, y: Float64Array, out: Float64Array) => void;

/** Something to watch for: where `value` passes through zero. */
export interface OdeEvent {
  readonly name: string;
  readonly value: (t: number, y: Float64Array) => number;
  /** Count only upward or downward passages; both where absent. */
  readonly direction?: 'up' | 'down';
  /** True where the solution should end there. */
  readonly stop?: boolean;
}

/** An initial value problem dy/dt = f(t, y). */
export interface OdeProblem {
  readonly derivative: Derivative;
  /** Writes d f_i / d y_j to `out[i * n + j]`; differences are taken where absent. Stiff method only. */
  readonly jacobian?: (t: number, y: Float64Array, out: Float64Array) => void;
  readonly start: ArrayLike<number>;
  readonly from: number;
  readonly to: number;
  /** `explicit`: Dormand-Prince 5(4); `stiff`: the Rosenbrock method RODAS 4(3). */
  readonly method: 'explicit' | 'stiff';
  readonly relativeTolerance?: number;
  /** One for all components, or one each. */
  readonly absoluteTolerance?: number | ArrayLike<number>;
  /** Ascending times at which the state is wanted; every step where absent. */
  readonly outputAt?: ArrayLike<number>;
  readonly events?: readonly OdeEvent[];
  readonly firstStep?: number;
  readonly maxStep?: number;
  readonly maxSteps?: number;
}

/** A passage of an event. */
export interface OdeEventHit {
  readonly name: string;
  readonly t: number;
  readonly y: Float64Array;
}

/** The solution, and how it ended. */
export interface OdeSolution {
  /** Times of the states, ascending. */
  readonly t: Float64Array;
  /** States, row-major: component j at row i is `y[i * n + j]`. */
  readonly y: Float64Array;
  readonly size: number;
  readonly endT: number;
  readonly end: Float64Array;
  readonly hits: readonly OdeEventHit[];
  /** `end`, or an event that stops; `limit` and `failed` are no success. */
  readonly reason: 'end' | 'event' | 'limit' | 'failed';
  readonly steps: number;
  readonly rejected: number;
  readonly evaluations: number;
}

/** What a method does for one step; held by the driver, which chooses the step. */
export interface Stepper {
  /** Order of the error estimate plus one, for the choice of steps. */
  readonly errorOrder: number;
  /** Tries a step; false where it met numbers that are not finite. */
  attempt(t: number, y: Float64Array, h: number, next: Float64Array, error: Float64Array): boolean;
  /** Called when the step last tried is taken (`true`) or is to be repeated shorter. */
  settle(accepted: boolean): void;
  /** State at t + theta h within the step last tried. */
  interpolate(theta: number, out: Float64Array): void;
}

/** What a stepper needs from the problem, with evaluations counted. */
export interface OdeFunctions {
  readonly size: number;
  readonly f: Derivative;
  readonly jacobian?: (t: number, y: Float64Array, out: Float64Array) => void;
  /** Typical size of each component, for differences. */
  readonly floor: Float64Array;
}

/**
 * Solves an ordinary differential equation with adaptive steps (Hairer, Norsett and Wanner, Solving Ordinary Differential
 * Equations I, II.4 and II.6, and II, IV.7), with dense output and events.
 * @param problem right-hand side, start, span, method and tolerances (defaults 1e-6 relative, 1e-9 absolute)
 * @returns states at the wanted times, events met and why it ended; never throws for a hard problem, see `reason`
 * @throws ArgumentError where start, span, tolerances or output times cannot be used
 */
export function solveOde(problem: OdeProblem): OdeSolution {
  const size = problem.start.length;
  const y = Float64Array.from(problem.start);
  const { from, to, outputAt } = problem;
  checkProblem(problem, y);
  const relative = problem.relativeTolerance ?? 1e-6;
  const given = problem.absoluteTolerance ?? 1e-9;
  const absolute = Float64Array.from({ length: size }, (_, i) => (typeof given === 'number' ? given : given[i]));
  let evaluations = 0;
  const f: Derivative = (t, state, out) => {
    evaluations++;
    problem.derivative(t, state, out);
  };
  const functions: OdeFunctions = { size, f, jacobian: problem.jacobian, floor: absolute };
  const stepper = problem.method === 'stiff' ? stiffStepper(functions) : explicitStepper(functions);
  const output = collector(size, outputAt, from, y);
  const watch = watcher(problem.events ?? [], from, y);

  const span = to - from;
  const maxStep = Math.min(problem.maxStep ?? span, span);
  const maxSteps = problem.maxSteps ?? 1_000_000;
  const next = new Float64Array(size);
  const error = new Float64Array(size);
  let t = from;
  let h = Math.min(maxStep, problem.firstStep ?? firstStep(f, from, y, relative, absolute, span));
  let steps = 0;
  let rejected = 0;
  let lastNorm = 1e-4;
  let reason: OdeSolution['reason'] = span === 0 ? 'end' : 'limit';
  while (t < to && steps + rejected < maxSteps) {
    const last = t + h * (1 + 1e-12) >= to;
    if (last) h = to - t;
    if (!(h > 4 * 2 ** -52 * Math.abs(t)) || !(h > 0)) {
      reason = 'failed';
      break;
    }
    const finite = stepper.attempt(t, y, h, next, error);
    const norm = finite ? errorNorm(y, next, error, relative, absolute) : Infinity;
    if (!(norm <= 1)) {
      stepper.settle(false);
      rejected++;
      h *= Number.isFinite(norm) ? Math.max(0.1, 0.9 * elementary.power(norm, -1 / stepper.errorOrder)) : 0.1;
      continue;
    }
    steps++;
    const hit = watch.check(t, h, next, stepper);
    const end = hit === null ? (last ? to : t + h) : hit.t;
    output.take(t, h, end, next, stepper, hit?.y);
    stepper.settle(true);
    if (hit !== null) {
      y.set(hit.y);
      t = end;
      reason = 'event';
      break;
    }
    y.set(next);
    t = end;
    if (last) reason = 'end';
    const bounded = Math.max(norm, 1e-10);
    const factor =
      0.9 * elementary.power(bounded, -0.7 / stepper.errorOrder) * elementary.power(lastNorm, 0.4 / stepper.errorOrder);
    lastNorm = Math.max(bounded, 1e-4);
    h = Math.min(maxStep, h * Math.min(6, Math.max(0.2, factor)));
  }
  return { ...output.result(), size, endT: t, end: y, hits: watch.hits, reason, steps, rejected, evaluations };
}

function checkProblem(problem: OdeProblem, y: Float64Array): void {
  requireFinite('start of the span', problem.from);
  requireFinite('end of the span', problem.to);
  if (problem.to < problem.from)
    throw new ArgumentError('span', `${problem.from} to ${problem.to}`, 'an end after the start');
  for (let i = 0; i < y.length; i++) requireFinite(`start value ${i + 1}`, y[i]);
  requirePositive('relative tolerance', problem.relativeTolerance ?? 1e-6);
  const absolute = problem.absoluteTolerance ?? 1e-9;
  for (let i = 0; i < y.length; i++) {
    requirePositive('absolute tolerance', typeof absolute === 'number' ? absolute : absolute[i]);
  }
  const times = problem.outputAt;
  for (let i = 1; times && i < times.length; i++) {
    if (!(times[i] >= times[i - 1])) throw new ArgumentError('output times', times[i], 'ascending finite times');
  }
}

/** First step after Hairer, Norsett and Wanner I, II.4, without its second half. */
function firstStep(
  f: Derivative,
  t: number,
  y: Float64Array,
  relative: number,
  absolute: Float64Array,
  span: number,
): number {
  const slope = new Float64Array(y.length);
  f(t, y, slope);
  let size = 0;
  let rate = 0;
  for (let i = 0; i < y.length; i++) {
    const scale = absolute[i] + relative * Math.abs(y[i]);
    size = Math.max(size, Math.abs(y[i]) / scale);
    rate = Math.max(rate, Math.abs(slope[i]) / scale);
  }
  const guess = size > 1e-5 && rate > 1e-5 ? (0.01 * size) / rate : 1e-6 * span;
  return Math.min(span, Math.max(guess, 1e-12 * span));
}

function errorNorm(
  y: Float64Array,
  next: Float64Array,
  error: Float64Array,
  relative: number,
  absolute: Float64Array,
): number {
  let sum = 0;
  for (let i = 0; i < y.length; i++) {
    const scale = absolute[i] + relative * Math.max(Math.abs(y[i]), Math.abs(next[i]));
    sum += (error[i] / scale) ** 2;
  }
  return Math.sqrt(sum / y.length);
}

interface Collector {
  take(t: number, h: number, end: number, next: Float64Array, stepper: Stepper, stopped?: Float64Array): void;
  result(): { readonly t: Float64Array; readonly y: Float64Array };
}

function collector(size: number, at: ArrayLike<number> | undefined, from: number, start: Float64Array): Collector {
  if (at === undefined) {
    const times = [from];
    const rows = [Float64Array.from(start)];
    return {
      take: (_t, _h, end, next, _stepper, stopped) => {
        times.push(end);
        rows.push(Float64Array.from(stopped ?? next));
      },
      result: () => {
        const y = new Float64Array(rows.length * size);
        for (let i = 0; i < rows.length; i++) y.set(rows[i], i * size);
        return { t: Float64Array.from(times), y };
      },
    };
  }
  const y = new Float64Array(at.length * size);
  const row = new Float64Array(size);
  let filled = 0;
  while (filled < at.length && at[filled] <= from) y.set(start, size * filled++);
  return {
    take: (t, h, end, _next, stepper) => {
      for (; filled < at.length && at[filled] <= end; filled++) {
        stepper.interpolate((at[filled] - t) / h, row);
        y.set(row, filled * size);
      }
    },
    result: () => ({
      t: Float64Array.from({ length: filled }, (_, i) => at[i]),
      y: y.subarray(0, filled * size),
    }),
  };
}

interface Watcher {
  readonly hits: OdeEventHit[];
  /** The first event in the step that stops, or null. */
  check(t: number, h: number, next: Float64Array, stepper: Stepper): OdeEventHit | null;
}

function watcher(events: readonly OdeEvent[], from: number, start: Float64Array): Watcher {
  const before = events.map((event) => event.value(from, start));
  const hits: OdeEventHit[] = [];
  return {
    hits,
    check: (t, h, next, stepper) => {
      const found: { readonly hit: OdeEventHit; readonly stop: boolean }[] = [];
      events.forEach((event, i) => {
        const value = event.value(t + h, next);
        const up = before[i] < 0 && value >= 0;
        const down = before[i] > 0 && value <= 0;
        if ((up && event.direction !== 'down') || (down && event.direction !== 'up')) {
          const y = new Float64Array(next.length);
          const at = (theta: number): number => {
            stepper.interpolate(theta, y);
            return event.value(t + theta * h, y);
          };
          const theta = at(0) > 0 === at(1) > 0 ? 1 : findRoot(at, 0, 1, 1e-14);
          stepper.interpolate(theta, y);
          found.push({ hit: { name: event.name, t: t + theta * h, y }, stop: event.stop === true });
        }
        before[i] = value;
      });
      found.sort((a, b) => a.hit.t - b.hit.t);
      for (const { hit, stop } of found) {
        hits.push(hit);
        if (stop) return hit;
      }
      return null;
    },
  };
}
