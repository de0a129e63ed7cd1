import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import { fitLeastSquares, type LeastSquaresProblem, randomStream } from '../../src/numerics';

/** y = a + b exp(-c t) on 60 points with noise. */
function decay(seed: number, noise: number): { readonly t: number[]; readonly y: number[] } {
  const random = randomStream(seed);
  const t = Array.from({ length: 60 }, (_, i) => i / 10);
  return { t, y: t.map((x) => 2 + 3 * Math.exp(-0.8 * x) + noise * random.normal()) };
}

function problem(data: ReturnType<typeof decay>, extra: Partial<LeastSquaresProblem> = {}): LeastSquaresProblem {
  return {
    residuals: (b, out) => {
      for (let i = 0; i < out.length; i++) out[i] = b[0] + b[1] * Math.exp(-b[2] * data.t[i]) - data.y[i];
    },
    count: data.t.length,
    start: [1, 1, 1],
    names: ['a', 'b', 'c'],
    ...extra,
  };
}

describe('bounded least squares', () => {
  it('keeps a parameter at its bound, with no standard error, and the others at their best', () => {
    const fit = fitLeastSquares(problem(decay(1, 0.01), { low: [-9, -9, 1], high: [9, 9, 5] }));
    expect(fit.converged).toBe(true);
    expect(fit.parameters[2]).toBe(1);
    expect(fit.atBound).toEqual([null, null, 'low']);
    expect(fit.standardErrors[2]).toBeNull();
    expect(fit.standardErrors[0]).toBeGreaterThan(0);
    expect(fit.message).toContain('at a bound: c');
    const held = fitLeastSquares(problem(decay(1, 0.01), { start: [1, 1, 1], low: [-9, -9, 1], high: [9, 9, 1] }));
    expect(held.residualSumOfSquares / fit.residualSumOfSquares).toBeCloseTo(1, 9);
  });

  it('finds an interior minimum from a start on a bound and outside it', () => {
    for (const start of [
      [0, 0, 0],
      [100, -100, 50],
    ]) {
      const fit = fitLeastSquares(problem(decay(1, 0.01), { start, low: [0, 0, 0], high: [10, 10, 10] }));
      expect(fit.converged).toBe(true);
      expect(fit.parameters[2]).toBeCloseTo(0.8, 1);
    }
  });

  it('standard errors are honest: the truth lies within 1.96 of them in 95 % of 400 repeats', () => {
    let inside = 0;
    for (let seed = 1; seed <= 400; seed++) {
      const fit = fitLeastSquares(problem(decay(seed, 0.05)));
      if (Math.abs(fit.parameters[2] - 0.8) < 2.003 * fit.standardErrors[2]!) inside++;
    }
    expect(inside).toBeGreaterThan(366);
    expect(inside).toBeLessThan(394);
  });

  it('says exact, limit, stalled and singular when it is so', () => {
    const exact = fitLeastSquares(problem(decay(1, 0)));
    expect(exact.converged).toBe(true);
    expect(exact.residualSumOfSquares).toBeLessThan(1e-20);
    const short = fitLeastSquares(problem(decay(1, 0.01), { start: [50, 50, 9], maxIterations: 1 }));
    expect(short.stop).toBe('limit');
    expect(short.converged).toBe(false);
    const wrong = fitLeastSquares(
      problem(decay(1, 0.01), {
        jacobian: (_, out) => {
          for (let i = 0; i < out.length; i++) out[i] = Math.sin(12.9898 * i) * 3;
        },
      }),
    );
    expect(['stalled', 'limit']).toContain(wrong.stop);
    expect(wrong.converged).toBe(false);
    const twins = fitLeastSquares({
      residuals: (b, out) => {
        for (let i = 0; i < out.length; i++) out[i] = b[0] + b[1] - i;
      },
      count: 5,
      start: [0, 0],
    });
    expect(twins.covariance).toBeNull();
    expect(twins.standardErrors).toEqual([null, null]);
    expect(twins.parameters[0] + twins.parameters[1]).toBeCloseTo(2, 9);
    expect(twins.message).toContain('standard errors unknown');
  });

  it('known standard deviations give the covariance without the residual variance', () => {
    const line = (absoluteSigma: boolean) =>
      fitLeastSquares({
        residuals: (b, out) => {
          for (let i = 0; i < out.length; i++) out[i] = (b[0] - i) / 4;
        },
        count: 9,
        start: [0],
        absoluteSigma,
      });
    expect(line(true).standardErrors[0]).toBeCloseTo(4 / 3, 9);
    expect(line(false).standardErrors[0]).toBeCloseTo(Math.sqrt(7.5) / 3, 9);
  });

  it('steps back from values that are not finite, and refuses to start there', () => {
    const fit = fitLeastSquares({
      residuals: (b, out) => {
        for (let i = 0; i < out.length; i++) out[i] = Math.log(b[0]) - Math.log(0.02) + 0.01 * Math.sin(i);
      },
      count: 20,
      start: [30],
    });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(0.02, 3);
    expect(() => fitLeastSquares({ ...problem(decay(1, 0)), start: [1, 1, -1e6] })).toThrow(ArgumentError);
    expect(() => fitLeastSquares({ ...problem(decay(1, 0)), start: [1, Number.NaN, 1] })).toThrow(
      /start of b: met NaN/,
    );
    expect(() => fitLeastSquares({ ...problem(decay(1, 0)), low: [2, 2, 2], high: [1, 1, 1] })).toThrow(ArgumentError);
    expect(() => fitLeastSquares({ ...problem(decay(1, 0)), count: 2 })).toThrow(ArgumentError);
  });
});
