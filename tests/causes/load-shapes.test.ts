import { describe, expect, it } from 'vitest';
import { bentPowerLoad, partlyRenewed, powerLoad } from '../../src/causes/load-shapes';

/** Integral of a function by the rule of trapezia in 4000 pieces. */
function integral(f: (x: number) => number, from: number, to: number): number {
  const h = (to - from) / 4000;
  let sum = 0;
  for (let i = 0; i <= 4000; i++) sum += (i === 0 || i === 4000 ? 0.5 : 1) * f(from + i * h);
  return sum * h;
}

describe('a load with a bent exponent', () => {
  it('is the plain power where it does not bend', () => {
    const [bent, plain] = [bentPowerLoad(0.8, 0, 100), powerLoad(0.8)];
    expect(bent.load(100)).toBeCloseTo(1, 12);
    expect(bent.rise(100, 900)).toBeCloseTo(100 ** 0.8 * plain.rise(100, 900), 8);
  });

  it.each([
    [1, -0.1],
    [0.5, 0.5],
    [1.2, 1],
  ])('exponent %d with bend %d: what has come in is the integral of the load', (exponent, bend) => {
    const shape = bentPowerLoad(exponent, bend, 500);
    for (const [from, to] of [
      [200, 260],
      [500, 700],
      [3000, 3900],
    ]) {
      expect(shape.rise(from, to) / integral(shape.load, from, to)).toBeCloseTo(1, 3);
    }
  });

  it('never rises again and never falls faster than the fourth power', () => {
    const flattens = bentPowerLoad(0.5, -0.4, 10);
    expect(flattens.load(1e6)).toBeCloseTo(flattens.load(1e5), 12);
    const dries = bentPowerLoad(1, 1, 10);
    expect(dries.load(1e5) / dries.load(2e5)).toBeCloseTo(16, 6);
  });
});

describe('a load that a short vent has renewed in part', () => {
  it('lies between what is fresh and what goes on ageing', () => {
    const plain = powerLoad(1);
    const half = partlyRenewed(0.5, plain, 900);
    expect(half.load(100)).toBeCloseTo(0.5 / 100 + 0.5 / 1000, 12);
    expect(half.rise(100, 200)).toBeCloseTo(0.5 * Math.log(2) + 0.5 * Math.log(1.1), 12);
    expect(partlyRenewed(0.5, plain, 0)).toBe(plain);
  });
});
