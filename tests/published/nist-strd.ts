import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fitLeastSquares, type LeastSquaresResult } from '../../src/numerics/least-squares';

/** One certified set of the NIST Statistical Reference Datasets. */
export interface CertifiedSet {
  readonly name: string;
  readonly level: string;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly starts: readonly [readonly number[], readonly number[]];
  readonly parameters: readonly number[];
  readonly standardDeviations: readonly number[];
  readonly residualSumOfSquares: number;
  readonly residualStandardDeviation: number;
}

const { exp } = Math;

/** The models as printed in the files. */
const MODELS: Readonly<Record<string, (b: ArrayLike<number>, x: number) => number>> = {
  BoxBOD: (b, x) => b[0] * (1 - exp(-b[1] * x)),
  Chwirut2: (b, x) => exp(-b[0] * x) / (b[1] + b[2] * x),
  DanWood: (b, x) => b[0] * x ** b[1],
  Eckerle4: (b, x) => (b[0] / b[1]) * exp(-0.5 * ((x - b[2]) / b[1]) ** 2),
  Gauss1: (b, x) =>
    b[0] * exp(-b[1] * x) + b[2] * exp(-(((x - b[3]) / b[4]) ** 2)) + b[5] * exp(-(((x - b[6]) / b[7]) ** 2)),
  Lanczos3: (b, x) => b[0] * exp(-b[1] * x) + b[2] * exp(-b[3] * x) + b[4] * exp(-b[5] * x),
  MGH09: (b, x) => (b[0] * (x * x + x * b[1])) / (x * x + x * b[2] + b[3]),
  MGH17: (b, x) => b[0] + b[1] * exp(-x * b[3]) + b[2] * exp(-x * b[4]),
  Misra1a: (b, x) => b[0] * (1 - exp(-b[1] * x)),
  Thurber: (b, x) => (b[0] + b[1] * x + b[2] * x ** 2 + b[3] * x ** 3) / (1 + b[4] * x + b[5] * x ** 2 + b[6] * x ** 3),
};

export const SET_NAMES = Object.keys(MODELS);

/** Reads a set as published. */
export function readSet(name: string): CertifiedSet {
  const text = readFileSync(join(__dirname, 'data/nist-strd', `${name}.dat`), 'utf8');
  const rows = [...text.matchAll(/^\s*b\d+ =\s+(\S+)\s+(\S+)\s+(\S+)\s+(\S+)\s*$/gm)].map((m) =>
    m.slice(1).map(Number),
  );
  const number = (label: string): number => Number(new RegExp(`${label}:\\s+(\\S+)`, 'i').exec(text)?.[1]);
  const data = text
    .slice(text.lastIndexOf('Data:'))
    .split('\n')
    .slice(1)
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((pair) => pair.length === 2 && pair.every(Number.isFinite));
  return {
    name,
    level: /(Lower|Average|Higher) Level of Difficulty/.exec(text)?.[1].toLowerCase() ?? 'unknown',
    x: Float64Array.from(data, (pair) => pair[1]),
    y: Float64Array.from(data, (pair) => pair[0]),
    starts: [rows.map((row) => row[0]), rows.map((row) => row[1])],
    parameters: rows.map((row) => row[2]),
    standardDeviations: rows.map((row) => row[3]),
    residualSumOfSquares: number('Residual Sum of Squares'),
    residualStandardDeviation: number('Residual Standard Deviation'),
  };
}

/** Fits a set from one of its starts, with derivatives by differences as a user would. */
export function fitSet(set: CertifiedSet, start: 0 | 1): LeastSquaresResult {
  const model = MODELS[set.name];
  return fitLeastSquares({
    residuals: (b, out) => {
      for (let i = 0; i < out.length; i++) out[i] = set.y[i] - model(b, set.x[i]);
    },
    count: set.x.length,
    start: set.starts[start],
  });
}

/** Digits in common with a certified value, -log10 of the relative error, at most 11 as certified. */
export function digits(value: number | null, certified: number): number {
  if (value === null || !Number.isFinite(value)) return 0;
  const error = Math.abs(value - certified) / Math.abs(certified);
  return error === 0 ? 11 : Math.max(0, Math.min(11, -Math.log10(error)));
}

/** Smallest number of common digits over parameters, over standard deviations, and of the sum of squares. */
export function commonDigits(
  set: CertifiedSet,
  fit: LeastSquaresResult,
): { readonly parameters: number; readonly standardDeviations: number; readonly residualSumOfSquares: number } {
  return {
    parameters: Math.min(...set.parameters.map((b, j) => digits(fit.parameters[j], b))),
    standardDeviations: Math.min(...set.standardDeviations.map((s, j) => digits(fit.standardErrors[j], s))),
    residualSumOfSquares: digits(fit.residualSumOfSquares, set.residualSumOfSquares),
  };
}
