import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import {
  autocorrelation,
  cholesky,
  effectivePoints,
  findRoot,
  informationCriteria,
  integrate,
  inverseNormalMatrix,
  mean,
  median,
  medianAbsoluteDeviation,
  noiseFromDifferences,
  pivotedQr,
  quantile,
  randomStream,
  robustStandardDeviation,
  solveQr,
  standardDeviation,
  straightLine,
  symmetricEigen,
  theilSen,
  xoshiro128,
} from '../../src/numerics';

describe('statistics', () => {
  it('leave out what is not finite and say so when nothing is left', () => {
    expect(median([3, Number.NaN, 1, Infinity, 2])).toBe(2);
    expect(mean([1, Number.NaN, 3])).toBe(2);
    expect(standardDeviation([2, 4, 4, 4, 5, 5, 7, 9])).toBeCloseTo(Math.sqrt(32 / 7), 14);
    expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1);
    expect(() => median([Number.NaN])).toThrow(ArgumentError);
    expect(() => standardDeviation([1])).toThrow(ArgumentError);
    expect(() => quantile([1, 2], 1.5)).toThrow(ArgumentError);
  });

  it('quantiles follow Hyndman and Fan: types 7 and 8 on 1..10 (calc from their formulas)', () => {
    const x = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
    expect(quantile(x, 0.25)).toBeCloseTo(3.25, 12);
    expect(quantile(x, 0.25, 'type 8')).toBeCloseTo(2.9166666667, 9);
    expect(quantile(x, 0, 'type 8')).toBe(1);
    expect(quantile(x, 1, 'type 7')).toBe(10);
  });

  it('see noise through a drift and outliers', () => {
    const random = randomStream(3);
    const series = Float64Array.from({ length: 5000 }, (_, i) => 1e-3 * i + 1e-7 * i * i + 0.05 * random.normal());
    for (let i = 0; i < 5000; i += 50) series[i] += 3;
    expect(noiseFromDifferences(series) / 0.05).toBeGreaterThan(0.94);
    expect(noiseFromDifferences(series) / 0.05).toBeLessThan(1.1);
    expect(noiseFromDifferences(series, 2) / 0.05).toBeLessThan(1.12);
    const plain = Float64Array.from({ length: 5000 }, () => random.normal());
    expect(robustStandardDeviation(plain)).toBeCloseTo(1, 1);
  });

  it('autocorrelation of a first-order series, and the points that count (n 100, rho 0.8: 11.1, calc)', () => {
    const random = randomStream(8);
    let last = 0;
    const series = Float64Array.from({ length: 20_000 }, () => {
      last = 0.8 * last + random.normal();
      return last;
    });
    expect(autocorrelation(series)).toBeCloseTo(0.8, 1);
    for (let i = 0; i < series.length; i += 10) series[i] = Number.NaN;
    expect(autocorrelation(series)).toBeCloseTo(0.8, 1);
    expect(effectivePoints(100, 0.8)).toBeCloseTo(11.111, 3);
    expect(effectivePoints(100, -0.5)).toBe(100);
    expect(effectivePoints(100, 1)).toBe(1);
    expect(autocorrelation([2, 2, 2, 2])).toBe(0);
  });
});

describe('straight lines', () => {
  it('standard error of a slope: 61 points over 600 s, noise 1e-3: 7.2720e-7 (calc)', () => {
    const x = Float64Array.from({ length: 61 }, (_, i) => 10 * i);
    const line = straightLine(x, x, new Float64Array(61).fill(1e6), true);
    expect(line.slope).toBeCloseTo(1, 12);
    expect(line.slopeStandardError / 7.272e-7).toBeCloseTo(1, 4);
  });

  it('the first of Anscombe’s four sets', () => {
    // Anscombe's first set, Am. Stat. 27, 17 (1973), from memory: slope 0.5001, intercept 3.0001, errors 0.1179 and 1.1247.
    const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
    const y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
    const line = straightLine(x, y);
    expect(line.slope).toBeCloseTo(0.5001, 4);
    expect(line.intercept).toBeCloseTo(3.0001, 4);
    expect(line.slopeStandardError).toBeCloseTo(0.1179, 4);
    expect(line.interceptStandardError).toBeCloseTo(1.1247, 4);
    expect(line.covariance).toBeCloseTo(-9 * line.slopeStandardError ** 2, 12);
  });

  it('the median of slopes ignores a quarter of wild points, in time that does not grow with their square', () => {
    const n = 50_000;
    const random = randomStream(2);
    const x = Float64Array.from({ length: n }, (_, i) => i);
    const y = Float64Array.from(x, (v, i) => 2 * v + 5 + random.normal() + (i % 4 === 1 ? 1e6 : 0));
    const started = performance.now();
    const line = theilSen(x, y);
    expect(performance.now() - started).toBeLessThan(500);
    expect(line.slope).toBeCloseTo(2, 3);
    expect(() => theilSen([1, 1], [2, 3])).toThrow(ArgumentError);
    expect(() => straightLine([1, 1], [2, 3])).toThrow(ArgumentError);
    expect(() => straightLine([1, 2], [2])).toThrow(ArgumentError);
  });
});

describe('seeded random numbers', () => {
  it('xoshiro128** from the state 1, 2, 3, 4 (the test vector of the Rust crate rand_xoshiro, from memory)', () => {
    const next = xoshiro128([1, 2, 3, 4]);
    const wanted = [
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ];
    expect(wanted.map(() => next())).toEqual(wanted);
  });

  it('are the same for the same seed, differ between names, and look normal', () => {
    const a = randomStream(7);
    const b = randomStream(7);
    a.uniform();
    expect(a.split('gauge').bits()).toBe(b.split('gauge').bits());
    expect(b.split('gauge').bits()).not.toBe(b.split('valve').bits());
    expect(randomStream(7).bits()).not.toBe(randomStream(8).bits());
    const n = 200_000;
    let sum = 0;
    let squares = 0;
    let fourth = 0;
    for (let i = 0; i < n; i++) {
      const z = b.normal();
      sum += z;
      squares += z * z;
      fourth += z ** 4;
    }
    expect(Math.abs(sum / n)).toBeLessThan(4 / Math.sqrt(n));
    expect(Math.abs(squares / n - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
    expect(Math.abs(fourth / n - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
    const counts = new Float64Array(6);
    for (let i = 0; i < 60_000; i++) counts[b.below(6)]++;
    expect(Math.min(...counts)).toBeGreaterThan(9500);
    expect(() => randomStream(1.5)).toThrow(ArgumentError);
    expect(() => xoshiro128([0, 0, 0, 0])).toThrow(ArgumentError);
  });
});

describe('linear algebra, roots, integrals, criteria', () => {
  it('factorisations give back the matrix, and show its rank', () => {
    const random = randomStream(11);
    const a = Float64Array.from({ length: 7 * 4 }, () => random.normal());
    const x = [1, -2, 3, -4];
    const b = Float64Array.from({ length: 7 }, (_, i) => x.reduce((sum, v, j) => sum + a[i * 4 + j] * v, 0));
    const qr = pivotedQr(a, 7, 4);
    solveQr(qr, b).forEach((v, j) => {
      expect(v).toBeCloseTo(x[j], 12);
    });
    const normal = new Float64Array(16);
    for (let i = 0; i < 4; i++)
      for (let j = 0; j < 4; j++) for (let r = 0; r < 7; r++) normal[i * 4 + j] += a[r * 4 + i] * a[r * 4 + j];
    const inverse = inverseNormalMatrix(qr)!;
    const unit = (i: number, j: number): number =>
      [0, 1, 2, 3].reduce((sum, m) => sum + normal[i * 4 + m] * inverse[m * 4 + j], 0);
    for (let i = 0; i < 4; i++) for (let j = 0; j < 4; j++) expect(unit(i, j)).toBeCloseTo(i === j ? 1 : 0, 11);
    for (let i = 0; i < 7; i++) a[i * 4 + 3] = a[i * 4] + a[i * 4 + 1];
    expect(pivotedQr(a, 7, 4).rank).toBe(3);
    expect(inverseNormalMatrix(pivotedQr(a, 7, 4))).toBeNull();
    expect(cholesky([1, 2, 2, 1], 2)).toBeNull();
    expect(Array.from(cholesky([4, 2, 2, 5], 2)!)).toEqual([2, 0, 1, 2]);
  });

  it('eigenvalues of the second-difference matrix are 2 - 2 cos(k pi / (n + 1)) (textbook closed form)', () => {
    const n = 8;
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      a[i * n + i] = 2;
      if (i > 0) a[i * n + i - 1] = -1;
      if (i < n - 1) a[i * n + i + 1] = -1;
    }
    const { values, vectors } = symmetricEigen(a, n);
    values.forEach((value, k) => {
      expect(value).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (n + 1)), 12);
    });
    expect(vectors[0].reduce((sum, v, i) => sum + v * vectors[1][i], 0)).toBeCloseTo(0, 12);
  });

  it('Brent finds roots, also of awkward functions, and refuses a bracket without one', () => {
    expect(findRoot(Math.cos, 0, 3)).toBeCloseTo(Math.PI / 2, 14);
    expect(findRoot((x) => x ** 9, -1, 1.3)).toBeCloseTo(0, 1);
    expect(findRoot((x) => (x < 0.3 ? -1 : 1), 0, 1)).toBeCloseTo(0.3, 14);
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(ArgumentError);
  });

  it('integrals with closed forms', () => {
    expect(integrate(Math.exp, 0, 1).value).toBeCloseTo(Math.E - 1, 14);
    expect(integrate((x) => 1 / Math.sqrt(x), 0, 1, 1e-8).value).toBeCloseTo(2, 7);
    expect(integrate((x) => 1 / (1e-6 + x * x), -1, 1).value / 1e3).toBeCloseTo(2 * Math.atan(1e3), 10);
    expect(() => integrate((x) => 1 / x, -1, 1)).toThrow(ArgumentError);
  });

  it('criteria of four NIST sets (calc from the certified sums of squares)', () => {
    const rows: readonly (readonly [number, number, number, number, number, number])[] = [
      [1.2455138894e-1, 14, 2, -62.109319, -60.831205, -57.709319],
      [5.1304802941e2, 54, 3, 127.574813, 133.541765, 130.391139],
      [1.1680088766e3, 6, 2, 35.627778, 35.211296, 49.627778],
      [1.6117193594e-8, 24, 6, -494.914393, -487.84607, -485.914393],
    ];
    for (const [rss, n, k, aic, bic, aicc] of rows) {
      const criteria = informationCriteria(rss, n, k);
      expect(criteria.aic).toBeCloseTo(aic, 5);
      expect(criteria.bic).toBeCloseTo(bic, 5);
      expect(criteria.aicc).toBeCloseTo(aicc, 5);
    }
    expect(informationCriteria(1, 4, 2).aicc).toBe(Infinity);
    expect(() => informationCriteria(0, 4, 2)).toThrow(ArgumentError);
  });
});
