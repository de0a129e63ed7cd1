import { describe, expect, it } from 'vitest';
import { fitRateOfRise } from '../../src/fits';
import { autoregressive, channel, evenly, madeLog, normal, quantised, seeded, stretch } from './made-logs';

/** Truth of a rise over 0 to 1 (parts of the window), in Pa, with its derivative. */
interface Truth {
  readonly p: (x: number) => number;
  readonly slope: (x: number) => number;
}

const line: Truth = { p: (x) => 2 + 10 * x, slope: () => 10 };
const parabola: Truth = { p: (x) => 2 + 10 * x - 2 * x * x, slope: (x) => 10 - 4 * x };
const levelling: Truth = { p: (x) => 2 - 10 * Math.expm1(-x / 0.3), slope: (x) => (10 / 0.3) * Math.exp(-x / 0.3) };
const logarithmic: Truth = { p: (x) => 2 + 10 * Math.log1p(x / 0.5), slope: (x) => 10 / (0.5 + x) };

interface Noise {
  readonly n: number;
  readonly sigma: number;
  readonly correlation: number;
  /** Share of the variance that is white. */
  readonly white: number;
  readonly step: number;
}

/** Share of runs whose 95 % intervals hold the truth: of the mean, initial and final rate. */
function coverage(
  truth: Truth,
  noise: Noise,
  runs: number,
  seed: number,
): { mean: number; initial: number; final: number } {
  const random = seeded(seed);
  const { n, sigma, correlation, white, step } = noise;
  const time = evenly(n, 1);
  const span = n - 1;
  const held = { mean: 0, initial: 0, final: 0 };
  for (let run = 0; run < runs; run++) {
    const red = autoregressive(random, n, correlation);
    const offset = random() * step;
    const values = Float64Array.from(time, (t, i) => {
      const error = Math.sqrt(1 - white) * red[i] + Math.sqrt(white) * normal(random);
      return quantised(truth.p(t / span) + offset + sigma * error, step);
    });
    const log = madeLog(time, [channel('p', values, { resolution: step })]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p', { dwellS: 0 });
    const truly = {
      mean: (truth.p(1) - truth.p(0)) / span,
      initial: truth.slope(0) / span,
      final: truth.slope(1) / span,
    };
    if (rise.rate.low <= truly.mean && truly.mean <= rise.rate.high) held.mean++;
    if (rise.initialRate.low <= truly.initial && truly.initial <= rise.initialRate.high) held.initial++;
    if (rise.finalRate.low <= truly.final && truly.final <= rise.finalRate.high) held.final++;
  }
  return { mean: held.mean / runs, initial: held.initial / runs, final: held.final / runs };
}

// The truth is known by construction; 1000 runs at 95 % scatter by 0.7 %. Ends of a rise are given wider intervals than
// a known shape would need, because the shape is not known: for these at least 93 % is asked for (90 % where few
// independent readings are left), and no upper bound.
describe('95 % intervals of rates hold the truth', () => {
  it('of a straight rise with correlated, quantised noise, in 93 to 97 % of 1000 runs', () => {
    const held = coverage(line, { n: 100, sigma: 0.1, correlation: 0.8, white: 0, step: 0.05 }, 1000, 11);
    expect(held.mean).toBeGreaterThanOrEqual(0.93);
    expect(held.mean).toBeLessThanOrEqual(0.97);
    expect(Math.min(held.initial, held.final)).toBeGreaterThanOrEqual(0.93);
  });

  it('of a bent rise with correlated and white noise together, in 93 to 97 % of 1000 runs', () => {
    const held = coverage(parabola, { n: 200, sigma: 0.1, correlation: 0.9, white: 0.5, step: 0.02 }, 1000, 12);
    expect(held.mean).toBeGreaterThanOrEqual(0.93);
    expect(held.mean).toBeLessThanOrEqual(0.97);
    expect(Math.min(held.initial, held.final)).toBeGreaterThanOrEqual(0.93);
  });

  it('of a levelling rise with weakly correlated noise, in at least 93 % of 500 runs', () => {
    const held = coverage(levelling, { n: 120, sigma: 0.1, correlation: 0.5, white: 0, step: 0.05 }, 500, 13);
    expect(held.mean).toBeGreaterThanOrEqual(0.93);
    expect(held.mean).toBeLessThanOrEqual(0.985);
    expect(Math.min(held.initial, held.final)).toBeGreaterThanOrEqual(0.93);
  });

  it('of a logarithmic rise with strongly correlated noise, in at least 90 % of 500 runs', () => {
    const held = coverage(logarithmic, { n: 100, sigma: 0.1, correlation: 0.8, white: 0, step: 0.02 }, 500, 14);
    expect(held.mean).toBeGreaterThanOrEqual(0.93);
    expect(held.mean).toBeLessThanOrEqual(0.985);
    expect(Math.min(held.initial, held.final)).toBeGreaterThanOrEqual(0.9);
  });

  it('of a rise of few steps of a quiet gauge, where the steps are all there is, in at least 93 % of 300 runs', () => {
    const held = coverage(line, { n: 60, sigma: 0.01, correlation: 0, white: 0, step: 3 }, 300, 15);
    expect(held.mean).toBeGreaterThanOrEqual(0.93);
  });
});

describe('autocorrelation', () => {
  it('widens the interval as theory says: sqrt((1 + r) / (1 - r)) for r = 0.8 is 3', () => {
    const n = 400;
    const time = evenly(n, 1);
    const width = (correlation: number, seed: number): number => {
      let sum = 0;
      const random = seeded(seed);
      for (let run = 0; run < 30; run++) {
        const red = autoregressive(random, n, correlation);
        const values = Float64Array.from(time, (t, i) => 2 + 0.1 * t + 0.1 * red[i]);
        const log = madeLog(time, [channel('p', values)]);
        const { rate } = fitRateOfRise(log, stretch(log, 'isolation'), 'p', { dwellS: 0 });
        sum += (rate.high - rate.low) / 30;
      }
      return sum;
    };
    const ratio = width(0.8, 5) / width(0, 6);
    expect(ratio).toBeGreaterThan(2.4);
    expect(ratio).toBeLessThan(3.6);
  });

  it('leaves a white-noise slope near sigma sqrt(12 / n) / T: physics check of 61 points over 600 s, 7.27e-7', () => {
    // calc: exact 7.2720e-7 per sqrt of sum of squares for sigma = 1e-3, n = 61, T = 600 s.
    const time = evenly(61, 10);
    const random = seeded(3);
    let sum = 0;
    const runs = 60;
    for (let run = 0; run < runs; run++) {
      const values = Float64Array.from(time, (t) => 1 + 1e-4 * t + 1e-3 * normal(random));
      const log = madeLog(time, [channel('p', values)]);
      sum += fitRateOfRise(log, stretch(log, 'isolation'), 'p', { dwellS: 0 }).rateStandardUncertainty / runs;
    }
    // Not knowing correlation and shape costs something: between the textbook value and 1.5 times it.
    expect(sum).toBeGreaterThan(7.272e-7);
    expect(sum).toBeLessThan(1.5 * 7.272e-7);
  });
});
