import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import { type RateAfterPumping, rateExponent } from '../../src/fits';
import { normal, seeded } from './made-logs';

const HOURS = [0.25, 0.5, 1, 2, 4, 8];
const with95 = (value: number, relative: number): RateAfterPumping['rate'] => ({
  value,
  low: value * (1 - 1.96 * relative),
  high: value * (1 + 1.96 * relative),
});

describe('the power of time that repeated isolations follow', () => {
  it('is that which made them', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2, max: 0.5, noNaN: true }),
        fc.double({ min: 1e-9, max: 10, noNaN: true }),
        (power, first) => {
          const rates = HOURS.map((h) => ({ pumpedS: h * 3600, rate: with95(first * h ** power, 0.05) }));
          expect(rateExponent(rates).value).toBeCloseTo(power, 9);
        },
      ),
    );
  });

  it('has an interval that holds the truth in about 95 of 100 noisy records', () => {
    const random = seeded(11);
    let held = 0;
    for (let record = 0; record < 400; record++) {
      const rates = HOURS.map((h) => ({
        pumpedS: h * 3600,
        rate: with95(1e-3 * h ** -1 * Math.exp(0.08 * normal(random)), 0.08),
      }));
      const { low, high } = rateExponent(rates);
      if (low <= -1 && high >= -1) held++;
    }
    expect(held / 400).toBeGreaterThan(0.92);
    expect(held / 400).toBeLessThan(0.98);
  });

  it('is without bounds from two isolations, and leaves out rates that are not above zero', () => {
    const two = [
      { pumpedS: 3600, rate: with95(1e-3, 0.1) },
      { pumpedS: 7200, rate: with95(5e-4, 0.1) },
    ];
    const exponent = rateExponent([...two, { pumpedS: 14_400, rate: { value: 0, low: -1, high: 1 } }]);
    expect(exponent.value).toBeCloseTo(-1, 9);
    expect([exponent.low, exponent.high]).toEqual([-Infinity, Infinity]);
  });

  it('is refused where there is nothing to compare', () => {
    const one = { pumpedS: 3600, rate: with95(1e-3, 0.1) };
    expect(() => rateExponent([one])).toThrow(ArgumentError);
    expect(() => rateExponent([one, one])).toThrow(/all x equal/);
    expect(() => rateExponent([one, { ...one, pumpedS: 0 }])).toThrow(/time pumped/);
    expect(() => rateExponent([one, { ...one, pumpedS: Number.NaN }])).toThrow(/time pumped/);
  });
});
