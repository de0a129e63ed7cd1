import { describe, expect, it } from 'vitest';
import { commonDigits, fitSet, readSet, SET_NAMES } from './nist-strd';

/**
 * NIST Statistical Reference Datasets, nonlinear regression (data/nist-strd): certified values, seen in the files.
 * Bars: parameters 1e-6 (Lanczos3 and MGH17 1e-5), standard deviations 1e-4, residual sum of squares 1e-8, relative.
 */
describe('least squares on the NIST Statistical Reference Datasets', () => {
  it('has all ten sets', () => {
    expect(SET_NAMES).toHaveLength(10);
  });

  for (const name of SET_NAMES) {
    for (const start of [0, 1] as const) {
      it(`${name} from start ${start + 1}`, () => {
        const set = readSet(name);
        expect(set.parameters.length).toBeGreaterThan(1);
        expect(set.parameters.concat(set.standardDeviations).every(Number.isFinite)).toBe(true);
        const fit = fitSet(set, start);
        const digits = commonDigits(set, fit);
        expect(fit.converged).toBe(true);
        expect(digits.parameters).toBeGreaterThan(name === 'Lanczos3' || name === 'MGH17' ? 5 : 6);
        expect(digits.standardDeviations).toBeGreaterThan(4);
        expect(digits.residualSumOfSquares).toBeGreaterThan(8);
        expect(fit.degreesOfFreedom).toBe(set.x.length - set.parameters.length);
        expect(fit.residualStandardDeviation / set.residualStandardDeviation).toBeCloseTo(1, 8);
      });
    }
  }
});
