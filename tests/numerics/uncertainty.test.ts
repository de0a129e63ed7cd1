import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import {
  combineUncertainty,
  type DistributedInput,
  mean,
  propagateDistributions,
  standardDeviation,
} from '../../src/numerics';

describe('law of propagation (GUM)', () => {
  it('resistance and reactance with correlated inputs: JCGM 100:2008, example H.2 (from memory)', () => {
    // Table H.2: five simultaneous sets of readings.
    const readings = {
      V: [5.007, 4.994, 5.005, 4.99, 4.999],
      I: [19.663e-3, 19.639e-3, 19.64e-3, 19.685e-3, 19.678e-3],
      phi: [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    };
    const inputs = Object.entries(readings).map(([name, x]) => ({
      name,
      value: mean(x),
      standardUncertainty: standardDeviation(x) / Math.sqrt(5),
    }));
    const together = (a: readonly number[], b: readonly number[]): number => {
      const sum = a.reduce((total, value, i) => total + (value - mean(a)) * (b[i] - mean(b)), 0);
      return sum / 4 / (standardDeviation(a) * standardDeviation(b));
    };
    const correlations = [
      { between: ['V', 'I'], coefficient: together(readings.V, readings.I) },
      { between: ['V', 'phi'], coefficient: together(readings.V, readings.phi) },
      { between: ['I', 'phi'], coefficient: together(readings.I, readings.phi) },
    ] as const;
    expect(inputs.map((i) => i.standardUncertainty)).toEqual([
      expect.closeTo(0.0032, 4),
      expect.closeTo(0.0095e-3, 7),
      expect.closeTo(0.00075, 5),
    ]);
    expect(correlations.map((c) => c.coefficient)).toEqual([
      expect.closeTo(-0.36, 2),
      expect.closeTo(0.86, 2),
      expect.closeTo(-0.65, 2),
    ]);
    const of = (model: (x: Float64Array) => number) => combineUncertainty(model, inputs, correlations);
    const r = of(([v, i, phi]) => (v / i) * Math.cos(phi));
    const x = of(([v, i, phi]) => (v / i) * Math.sin(phi));
    const z = of(([v, i]) => v / i);
    expect(r.value).toBeCloseTo(127.732, 3);
    expect(r.standardUncertainty).toBeCloseTo(0.071, 3);
    expect(x.value).toBeCloseTo(219.847, 3);
    // One unit of the last printed digit: unrounded readings give 0.2956.
    expect(Math.abs(x.standardUncertainty - 0.295)).toBeLessThan(0.001);
    expect(z.value).toBeCloseTo(254.26, 2);
    expect(z.standardUncertainty).toBeCloseTo(0.236, 3);
    expect(x.budget.reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 12);
  });

  it('end gauge: effective degrees of freedom of JCGM 100:2008, example H.1 (from memory): u 32 nm, 16 degrees', () => {
    const parts = [
      { name: 'standard', u: 25, dof: 18 },
      { name: 'difference, readings', u: 5.8, dof: 24 },
      { name: 'comparator, random', u: 3.9, dof: 5 },
      { name: 'comparator, systematic', u: 6.7, dof: 8 },
      { name: 'expansion', u: 2.9, dof: 50 },
      { name: 'temperature difference', u: 16.6, dof: 2 },
    ];
    const result = combineUncertainty(
      (x) => x.reduce((sum, value) => sum + value, 0),
      parts.map(({ name, u, dof }) => ({ name, value: 0, standardUncertainty: u, degreesOfFreedom: dof })),
    );
    expect(Math.round(result.standardUncertainty)).toBe(32);
    expect(Math.floor(result.degreesOfFreedom)).toBe(16);
  });

  it('the product of the gas load: V 20 L, slope 2e-4 mbar/s, gauge 10 % give 10.5 % (calc)', () => {
    const q = combineUncertainty(
      ([v, s, f]) => v * s * f,
      [
        { name: 'V', value: 20, standardUncertainty: 0.4 },
        { name: 's', value: 2e-4, standardUncertainty: 5e-6 },
        { name: 'f', value: 1, standardUncertainty: 0.1 },
      ],
    );
    expect(q.value).toBeCloseTo(4e-3, 12);
    expect(q.standardUncertainty / q.value).toBeCloseTo(0.105, 3);
  });

  it('refuses contradictory correlations, unknown names and numbers that are none', () => {
    const inputs = ['a', 'b', 'c'].map((name) => ({ name, value: 1, standardUncertainty: 1 }));
    const sum = (x: Float64Array): number => x[0] - x[1] - x[2];
    const against = (a: string, b: string, coefficient: number) => ({ between: [a, b] as const, coefficient });
    expect(() =>
      combineUncertainty(sum, inputs, [against('a', 'b', 1), against('a', 'c', 1), against('b', 'c', -1)]),
    ).toThrow(ArgumentError);
    expect(() => combineUncertainty(sum, inputs, [against('a', 'x', 0.5)])).toThrow(ArgumentError);
    expect(() => combineUncertainty(() => Number.NaN, inputs)).toThrow(ArgumentError);
    expect(() => combineUncertainty(sum, [{ name: 'a', value: 1, standardUncertainty: -1 }])).toThrow(ArgumentError);
  });
});

describe('propagation of distributions (JCGM 101)', () => {
  const four = (distribution: DistributedInput['distribution']): DistributedInput[] =>
    ['a', 'b', 'c', 'd'].map((name) => ({ name, distribution }));
  const add = (x: Float64Array): number => x[0] + x[1] + x[2] + x[3];

  it('four normal inputs: JCGM 101:2008, 9.2.2 (from memory): u 2.00, interval -3.92 to 3.92', () => {
    const y = propagateDistributions(add, four({ kind: 'normal', mean: 0, standardUncertainty: 1 }), [], {
      trials: 1_000_000,
    });
    expect(y.standardUncertainty).toBeCloseTo(2, 2);
    expect(y.low).toBeCloseTo(-3.92, 1);
    expect(y.high).toBeCloseTo(3.92, 1);
  });

  it('four rectangular inputs: JCGM 101:2008, 9.2.3 (from memory): interval -3.88 to 3.88', () => {
    const y = propagateDistributions(add, four({ kind: 'rectangular', low: -Math.sqrt(3), high: Math.sqrt(3) }), [], {
      trials: 1_000_000,
    });
    expect(y.standardUncertainty).toBeCloseTo(2, 2);
    expect(Math.abs(y.high - 3.88)).toBeLessThan(0.015);
    expect(Math.abs(y.low + 3.88)).toBeLessThan(0.015);
  });

  it('one dominant rectangular input: JCGM 101:2008, 9.2.4 (from memory): u 10.1, interval -17.0 to 17.0', () => {
    const inputs = four({ kind: 'rectangular', low: -Math.sqrt(3), high: Math.sqrt(3) });
    inputs[3] = {
      name: 'd',
      distribution: { kind: 'rectangular', low: -10 * Math.sqrt(3), high: 10 * Math.sqrt(3) },
    };
    const y = propagateDistributions(add, inputs, [], { trials: 1_000_000 });
    expect(Math.abs(y.standardUncertainty - 10.1)).toBeLessThan(0.06);
    expect(Math.abs(y.high - 17)).toBeLessThan(0.06);
  });

  it('comparison loss near zero: JCGM 101:2008, 9.4.2.2 (from memory): 50, 50, interval 0 to 150, all 1e-6', () => {
    const inputs: DistributedInput[] = ['x1', 'x2'].map((name) => ({
      name,
      distribution: { kind: 'normal', mean: 0, standardUncertainty: 0.005 },
    }));
    const y = propagateDistributions((x) => x[0] ** 2 + x[1] ** 2, inputs, [], { trials: 1_000_000 });
    expect(y.value * 1e6).toBeCloseTo(50, 0);
    expect(Math.abs(y.standardUncertainty * 1e6 - 50)).toBeLessThan(0.5);
    expect(y.shortest[0] * 1e6).toBeLessThan(0.1);
    expect(Math.abs(y.shortest[1] * 1e6 - 150)).toBeLessThan(1);
  });

  it('agrees with the law of propagation where both apply, with correlation', () => {
    const model = ([v, s]: Float64Array): number => v * s;
    const correlations = [{ between: ['v', 's'] as const, coefficient: 0.7 }];
    const gum = combineUncertainty(
      model,
      [
        { name: 'v', value: 12.4, standardUncertainty: 0.012 },
        { name: 's', value: 3e-3, standardUncertainty: 4e-6 },
      ],
      correlations,
    );
    const mc = propagateDistributions(
      model,
      [
        { name: 'v', distribution: { kind: 'normal', mean: 12.4, standardUncertainty: 0.012 } },
        { name: 's', distribution: { kind: 'normal', mean: 3e-3, standardUncertainty: 4e-6 } },
      ],
      correlations,
      { trials: 1_000_000 },
    );
    expect(mc.standardUncertainty / gum.standardUncertainty).toBeCloseTo(1, 2);
    expect(Math.abs(mc.low - gum.low)).toBeLessThan(0.02 * gum.standardUncertainty);
    expect(Math.abs(mc.high - gum.high)).toBeLessThan(0.02 * gum.standardUncertainty);
  });

  it('stops by itself when two digits stand still, gives the same for the same seed, and refuses bad inputs', () => {
    const inputs = four({ kind: 'triangular', low: -1, high: 1 });
    const a = propagateDistributions(add, inputs, [], { seed: 5 });
    const b = propagateDistributions(add, inputs, [], { seed: 5 });
    expect(a).toEqual(b);
    expect(a.stable).toBe(true);
    expect(a.trials).toBeLessThan(2_000_000);
    expect(a.standardUncertainty).toBeCloseTo(2 / Math.sqrt(6), 1);
    expect(() => propagateDistributions(() => Infinity, inputs)).toThrow(ArgumentError);
    expect(() => propagateDistributions(add, four({ kind: 'rectangular', low: 1, high: 0 }))).toThrow(ArgumentError);
  });

  it('a student t input has the tail of its degrees of freedom', () => {
    const y = propagateDistributions(
      ([x]) => x,
      [{ name: 'x', distribution: { kind: 'student t', mean: 0, standardUncertainty: 1, degreesOfFreedom: 4 } }],
      [],
      { trials: 20_000 },
    );
    expect(Math.abs(y.high - 2.776)).toBeLessThan(0.12);
  });
});
