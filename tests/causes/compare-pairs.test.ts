import { describe, expect, it } from 'vitest';
import { type Comparison, compareRecords, compareWithBaseline } from '../../src/causes';
import { equalPair } from './equal-pairs';

const PAIRS = 200;

describe('two records of a system in which nothing was changed', () => {
  it('show no difference in 93 to 97 of 100 pairs', async () => {
    const told = new Map<string, Comparison['verdict'][]>();
    for (let seed = 5001; seed < 5001 + PAIRS; seed++) {
      // The worker has to answer its keeper now and then.
      await new Promise((resolve) => setImmediate(resolve));
      const { gauge, before, after } = equalPair(seed);
      for (const { what, verdict } of compareRecords(before.fits, after.fits, { gauge })) {
        told.set(what, [...(told.get(what) ?? []), verdict]);
      }
    }
    const equal = (verdicts: readonly string[]): number =>
      verdicts.filter((one) => one === 'no difference shown').length / verdicts.length;
    for (const what of ['rate of rise', 'rate of rise at the end', 'pumping speed over volume', 'base pressure']) {
      const verdicts = told.get(what) ?? [];
      expect(verdicts.length, what).toBeGreaterThan(0.8 * PAIRS);
      // calc: the standard error of a part of 0.95 of 200 is 0.015; single quantities may stray by two of them.
      expect(equal(verdicts), what).toBeGreaterThan(0.92);
      expect(equal(verdicts), what).toBeLessThanOrEqual(0.98);
    }
    const all = equal([...told.values()].flat());
    expect(all).toBeGreaterThan(0.93);
    expect(all).toBeLessThan(0.97);
  }, 600_000);

  it('are not compared by a base that was not reached', () => {
    const { gauge, before, after } = equalPair(5001);
    const withBase = (fits: typeof before.fits, baseReached: boolean): typeof before.fits => ({
      ...fits,
      loadBalance: null,
      pumpDowns: fits.pumpDowns.map((one) => ({ ...one, baseReached })),
    });
    const compared = (reached: boolean): string[] =>
      compareRecords(withBase(before.fits, true), withBase(after.fits, reached), { gauge }).map(({ what }) => what);
    expect(compared(true)).toContain('base pressure');
    expect(compared(false)).not.toContain('base pressure');
    expect(compared(false)).toContain('rate of rise');
  });

  it('show a repair that stops three quarters of the leak where the leak was the load', () => {
    let [seen, asked] = [0, 0];
    for (let seed = 3001; seed <= 3030; seed++) {
      const { gauge, before, after } = equalPair(seed, 0.25);
      const [rate] = compareRecords(before.fits, after.fits, { gauge });
      // The leak was at least about 70 % of the load where the whole has halved.
      if (rate.what !== 'rate of rise' || !(rate.ratio.value < 0.5)) continue;
      asked++;
      if (rate.verdict === 'smaller') seen++;
      const stage = compareWithBaseline(after.fits, before.fits, { gauge }).find((one) => one.stage === 'pump or line');
      expect(stage?.differs ?? false, `seed ${seed}`).toBe(false);
    }
    expect(asked).toBeGreaterThan(5);
    expect(seen / asked).toBeGreaterThan(0.9);
  }, 200_000);
});
