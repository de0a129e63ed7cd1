import { ArgumentError } from '../errors';
import { requireFinite, requireNotNegative } from './check';
import { studentQuantile } from './distributions';
import * as elementary from './elementary';

/** An input quantity of a measurement model. */
export interface UncertainInput {
  readonly name: string;
  readonly value: number;
  /** Standard uncertainty (k = 1), same unit as the value. */
  readonly standardUncertainty: number;
  readonly unit?: string;
  /** Degrees of freedom of the uncertainty; infinite where absent. */
  readonly degreesOfFreedom?: number;
  /** Where the number comes from, for the budget. */
  readonly from?: string;
}

/** Correlation between two inputs, by their names. */
export interface InputCorrelation {
  readonly between: readonly [string, string];
  /** -1 to 1. */
  readonly coefficient: number;
}

/** One line of the budget; the shares add up to 1, with correlations shared between the two inputs. */
export interface UncertaintyLine {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly standardUncertainty: number;
  /** Partial derivative of the result with respect to this input. */
  readonly sensitivity: number;
  /** Sensitivity times standard uncertainty, in the unit of the result. */
  readonly contribution: number;
  readonly share: number;
  readonly from: string;
}

/** The result of a propagation after the GUM. */
export interface CombinedUncertainty {
  readonly value: number;
  readonly standardUncertainty: number;
  /** Effective degrees of freedom after Welch and Satterthwaite; `Infinity` where all are infinite. */
  readonly degreesOfFreedom: number;
  /** Factor for a 95 % interval, from the Student t distribution. */
  readonly coverageFactor: number;
  readonly low: number;
  readonly high: number;
  readonly budget: readonly UncertaintyLine[];
}

/**
 * Combined standard uncertainty by the law of propagation, u_c^2 = sum_ij c_i c_j u_i u_j r_ij (JCGM 100:2008, equations
 * 13 and 16), derivatives by central differences over the standard uncertainty, degrees of freedom by equation G.2b.
 * Linear: for a strongly bent model or a result near a limit use `propagateDistributions`.
 * @param model the result as a function of the input values, in the order of the inputs
 * @param inputs values with standard uncertainties
 * @param correlations coefficients between named inputs; none where absent
 * @returns value, standard uncertainty, 95 % interval and budget, unit of the result
 * @throws ArgumentError where a number is not finite, a name is unknown, or the coefficients contradict one another
 */
export function combineUncertainty(
  model: (values: Float64Array) => number,
  inputs: readonly UncertainInput[],
  correlations: readonly InputCorrelation[] = [],
): CombinedUncertainty {
  const n = inputs.length;
  const centre = Float64Array.from(inputs, (input) => requireFinite(input.name, input.value));
  const u = Float64Array.from(inputs, (i) => requireNotNegative(`uncertainty of ${i.name}`, i.standardUncertainty));
  const value = requireFinite('result of the model', model(Float64Array.from(centre)));
  const sensitivity = Float64Array.from(inputs, (_, i) => slope(model, centre, i, u[i]));
  const r = correlationMatrix(inputs, correlations);
  const shares = new Float64Array(n);
  let variance = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) shares[i] += sensitivity[i] * u[i] * sensitivity[j] * u[j] * r[i * n + j];
    variance += shares[i];
  }
  if (variance < 0) {
    if (variance < -1e-12 * shares.reduce((sum, s) => sum + Math.abs(s), 0)) {
      throw new ArgumentError('correlations', 'a negative variance', 'coefficients that do not contradict one another');
    }
    variance = 0;
  }
  const standardUncertainty = Math.sqrt(variance);
  const degreesOfFreedom = welchSatterthwaite(inputs, sensitivity, u, variance);
  const coverageFactor = studentQuantile(0.975, degreesOfFreedom);
  return {
    value,
    standardUncertainty,
    degreesOfFreedom,
    coverageFactor,
    low: value - coverageFactor * standardUncertainty,
    high: value + coverageFactor * standardUncertainty,
    budget: inputs.map((input, i) => ({
      name: input.name,
      value: input.value,
      unit: input.unit ?? '',
      standardUncertainty: u[i],
      sensitivity: sensitivity[i],
      contribution: sensitivity[i] * u[i],
      share: variance > 0 ? shares[i] / variance : 0,
      from: input.from ?? '',
    })),
  };
}

/** Central difference, fourth order, over a tenth of the standard uncertainty (or of rounding where that is zero). */
function slope(model: (values: Float64Array) => number, centre: Float64Array, i: number, u: number): number {
  const h = Math.max(0.1 * u, 1e-5 * Math.abs(centre[i])) || 1e-8;
  const at = (shift: number): number => {
    const values = Float64Array.from(centre);
    values[i] += shift;
    return requireFinite('result of the model near the values', model(values));
  };
  return (8 * (at(h) - at(-h)) - (at(2 * h) - at(-2 * h))) / (12 * h);
}

/**
 * Matrix of correlation coefficients between named inputs, for both kinds of propagation.
 * @param inputs inputs in order
 * @param correlations coefficients between named inputs, -1 to 1; pairs that are not named count as independent
 * @returns row-major matrix, dimensionless, ones on the diagonal
 * @throws ArgumentError where a name is unknown or a coefficient is outside -1 to 1
 */
export function correlationMatrix(
  inputs: readonly { readonly name: string }[],
  correlations: readonly InputCorrelation[],
): Float64Array {
  const n = inputs.length;
  const r = new Float64Array(n * n);
  for (let i = 0; i < n; i++) r[i * n + i] = 1;
  for (const { between, coefficient } of correlations) {
    const [i, j] = between.map((name) => inputs.findIndex((input) => input.name === name));
    if (i < 0 || j < 0 || i === j)
      throw new ArgumentError('correlation', between.join(' and '), 'two different inputs');
    if (!(Math.abs(coefficient) <= 1)) throw new ArgumentError('correlation', coefficient, '-1 to 1');
    r[i * n + j] = coefficient;
    r[j * n + i] = coefficient;
  }
  return r;
}

function welchSatterthwaite(
  inputs: readonly UncertainInput[],
  sensitivity: Float64Array,
  u: Float64Array,
  variance: number,
): number {
  let sum = 0;
  inputs.forEach((input, i) => {
    const freedom = input.degreesOfFreedom ?? Infinity;
    if (!(freedom > 0)) throw new ArgumentError(`degrees of freedom of ${input.name}`, freedom, 'above zero');
    sum += elementary.power(sensitivity[i] * u[i], 4) / freedom;
  });
  return sum > 0 ? variance ** 2 / sum : Infinity;
}
