import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  fQuantile,
  fUpperTail,
  incompleteBeta,
  incompleteGamma,
  logGamma,
  logNormalCdf,
  normalCdf,
  normalQuantile,
  studentCdf,
  studentQuantile,
} from '../../src/numerics';
import { STIFF_PROBLEMS } from '../numerics/stiff-problems';

/** Values of SciPy, made by `cross-check-numerics.py` (kind: general-purpose library). */
const reference = JSON.parse(readFileSync(join(__dirname, 'data/numerics-scipy.json'), 'utf8')) as Record<
  string,
  number[][]
>;

/** Largest relative difference over a table whose last column is the reference. */
function worst(name: string, ours: (...args: number[]) => number): number {
  const rows = reference[name];
  expect(rows.length).toBeGreaterThan(7);
  return Math.max(
    ...rows.map((row) => {
      const expected = row[row.length - 1];
      const got = ours(...row.slice(0, -1));
      expect(Number.isFinite(got), `${name}(${row.slice(0, -1).join(', ')})`).toBe(true);
      return Math.abs(got - expected) / Math.max(Math.abs(expected), 1e-300);
    }),
  );
}

describe('distributions against a general-purpose library', () => {
  const table: readonly (readonly [string, number, (...args: number[]) => number])[] = [
    ['normalCdf', 1e-11, normalCdf],
    ['normalQuantile', 1e-14, normalQuantile],
    ['logGamma', 1e-12, logGamma],
    ['betaLower', 1e-10, (x, a, b) => incompleteBeta(x, a, b).lower],
    ['studentCdf', 1e-10, studentCdf],
    ['studentQuantile', 1e-9, studentQuantile],
    ['chiSquareCdf', 1e-11, chiSquareCdf],
    ['chiSquareQuantile', 1e-10, chiSquareQuantile],
    ['fUpperTail', 1e-11, fUpperTail],
    ['fQuantile', 1e-10, fQuantile],
    ['logNormalCdf', 1e-11, (x, sigma) => logNormalCdf(x, 2, sigma)],
  ];
  for (const [name, tolerance, ours] of table) {
    it(`${name} within ${tolerance}`, () => {
      expect(worst(name, ours)).toBeLessThan(tolerance);
    });
  }

  it('the published ends of stiff problems are those of another stiff solver, to 1e-9', () => {
    const ends = reference.stiff as unknown as Record<string, number[]>;
    const checked = STIFF_PROBLEMS.filter(({ name }) => name in ends);
    expect(checked).toHaveLength(4);
    for (const { name, end } of checked) {
      end.forEach((value, i) => {
        expect(Math.abs(ends[name][i] / value - 1), `${name}, component ${i + 1}`).toBeLessThan(1e-9);
      });
    }
  });

  it('both parts of the incomplete gamma function within 1e-11 where they are not drowned by the other', () => {
    for (const [a, x, lower, upper] of reference.gammaLower) {
      const ours = incompleteGamma(a, x);
      expect(Math.abs(ours.lower - lower)).toBeLessThan(1e-11 * lower + 1e-15);
      expect(Math.abs(ours.upper - upper)).toBeLessThan(1e-11 * upper + 1e-15);
    }
  });
});
