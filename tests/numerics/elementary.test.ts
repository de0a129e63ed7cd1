import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/numerics';
import * as elementary from '../../src/numerics/elementary';

const COUNT = 40_000;
const EPSILON = 2 ** -52;

/** Arguments that reach every branch: near zero, of usual size, and out to where results run over or under. */
const spread = (most: number): ((u: number, pick: number) => number) => {
  return (u, pick) => (2 * u - 1) * [1e-9, 1e-3, 0.4, 1, 5, most][Math.floor(6 * pick)];
};
const above = (u: number, pick: number): number => Math.exp(spread(700)(u, pick));

type Case = readonly [string, (x: number) => number, (x: number) => number, (u: number, pick: number) => number];
const cases: readonly Case[] = [
  ['exp', elementary.exp, Math.exp, spread(760)],
  ['expm1', elementary.expm1, Math.expm1, spread(760)],
  ['log', elementary.log, Math.log, above],
  ['log10', elementary.log10, Math.log10, above],
  ['log2', elementary.log2, Math.log2, above],
  ['log1p', elementary.log1p, Math.log1p, (u, pick) => Math.expm1(spread(700)(u, pick))],
  ['sin', elementary.sin, Math.sin, spread(1e5)],
  ['cos', elementary.cos, Math.cos, spread(1e5)],
];

/** How far apart two results are, in units of the last place of the second. */
const lastPlaces = (a: number, b: number): number =>
  Object.is(a, b) ? 0 : Math.abs(a - b) / Math.max(Math.abs(b) * EPSILON, Number.MIN_VALUE);

describe('elementary functions that give the same digits everywhere', () => {
  it.each(
    cases,
  )('%s is within two units in the last place of the engine, which is as free', (_, own, engine, argument) => {
    const random = randomStream(3);
    let worst = 0;
    for (let i = 0; i < COUNT; i++) {
      const x = argument(random.uniform(), random.uniform());
      worst = Math.max(worst, lastPlaces(own(x), engine(x)));
    }
    expect(worst).toBeLessThanOrEqual(2);
  });

  it('powers are within two units in the last place of the engine', () => {
    const random = randomStream(4);
    let worst = 0;
    for (let i = 0; i < COUNT; i++) {
      const x = Math.exp(spread(40)(random.uniform(), random.uniform()));
      const y = i % 3 === 0 ? Math.round(40 * random.uniform() - 20) : spread(15)(random.uniform(), random.uniform());
      worst = Math.max(worst, lastPlaces(elementary.power(x, y), x ** y));
    }
    expect(worst).toBeLessThanOrEqual(2);
  });

  it('are exact where the result is, and at the ends', () => {
    const { exp, expm1, log, log1p, log10, power, sin, cos } = elementary;
    expect([exp(0), exp(1), exp(710), exp(-746), exp(Number.NaN)]).toEqual([1, Math.E, Infinity, 0, Number.NaN]);
    expect([expm1(0), expm1(-60), expm1(710)]).toEqual([0, -1, Infinity]);
    expect([log(1), log(0), log(-1), log(Infinity)]).toEqual([0, -Infinity, Number.NaN, Infinity]);
    expect([log1p(0), log1p(-1), log1p(-2)]).toEqual([0, -Infinity, Number.NaN]);
    for (let k = -300; k <= 300; k++) expect(log10(Number(`1e${k}`))).toBe(k);
    expect([power(3, 2), power(10, -3), power(-2, 3), power(-8, 1 / 3)]).toEqual([9, 0.001, -8, Number.NaN]);
    expect([power(2, 1024), power(2, -1074), power(2, -1080), power(0, -1)]).toEqual([Infinity, 5e-324, 0, Infinity]);
    expect([sin(0), cos(0), sin(Math.PI / 2)]).toEqual([0, 1, 1]);
  });

  it('give these digits on every engine', () => {
    // calc: decimal arithmetic of Python with 40 digits, rounded. The tests of pages ask a browser for all that is made of them.
    const { exp, log, power, sin } = elementary;
    expect([exp(0.1), exp(-7.3), log(0.3), log(7e9), power(1.7, -1.3), sin(2)]).toEqual([
      1.1051709180756477, 6.755387751938444e-4, -1.2039728043259361, 22.669175986001726, 0.5016680031518156,
      0.9092974268256817,
    ]);
  });
});
