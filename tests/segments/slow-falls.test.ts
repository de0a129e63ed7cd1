import { describe, expect, it } from 'vitest';
import { findSegments, type Segment } from '../../src/segments';
import { asLog, gaugeColumn, randomFrom } from './made-records';

/**
 * Isolations in which the pressure falls. Pumped, the chamber goes to the pump's own pressure as exp(-t S/V); shut, a surface takes
 * gas up in proportion to what is above its own pressure, dp/dt = -k (p - p_end) (first order sorption; mass balance, calc).
 */
const BASE_PA = 2;
const SPEED_PER_S = 0.08;
const STEP_S = 2;

/** Towards which pressure, and how fast (1/s), it goes from a moment on. */
type Course = readonly (readonly [fromS: number, towardsPa: number, perS: number])[];

function segmentsOf(course: Course, lastS: number, seed: number): readonly Segment[] {
  const r = randomFrom(seed);
  const time = Float64Array.from({ length: lastS / STEP_S + 1 }, (_, i) => i * STEP_S);
  let pa = 1e5;
  const values = time.map((t) => {
    const [, towards, perS] = [...course].reverse().find(([from]) => t > from) ?? [0, BASE_PA, SPEED_PER_S];
    pa = towards + (pa - towards) * Math.exp(-perS * STEP_S);
    return pa * (1 + 0.004 * (r() + r() + r() + r() - 2) * 1.73);
  });
  return findSegments(asLog('made.csv', time, [gaugeColumn('p', values)])).segments;
}

const isolationsIn = (course: Course, lastS: number, seed: number): readonly Segment[] =>
  segmentsOf(course, lastS, seed).filter(({ kind, pumpSide }) => kind === 'isolation' && !pumpSide);

const SEEDS = [1, 2, 3, 4, 5];

describe('a surface that takes gas up in a shut chamber', () => {
  it.each(SEEDS)('shows as an isolation in which the pressure falls (seed %i)', (seed) => {
    const shut = [
      [1000, 1400],
      [2000, 2400],
    ] as const;
    const found = isolationsIn(
      shut.flatMap(([from, to]) => [
        [from, 0.6, 0.008],
        [to, BASE_PA, SPEED_PER_S],
      ]),
      3000,
      seed,
    );
    // The first may be taken for the end of the pump-down before it; what is found lies where the valve was shut.
    expect(found.some((one) => Math.abs(one.startS - shut[1][0]) <= 20)).toBe(true);
    for (const one of found) {
      const [from, to] = one.startS < 1700 ? shut[0] : shut[1];
      expect(Math.abs(one.startS - from)).toBeLessThanOrEqual(20);
      expect(Math.abs(one.endS - to)).toBeLessThanOrEqual(20);
      expect(one.grounds.join(' ')).toMatch(/takes gas up/);
    }
  });
});

describe('a fall that is none', () => {
  it.each(SEEDS)('a puddle that runs dry while pumped does not come back (seed %i)', (seed) => {
    expect(isolationsIn([[1000, 0.6, 0.008]], 3000, seed)).toEqual([]);
  });

  it.each(SEEDS)('gas turned off beside a pump falls as fast as it comes back (seed %i)', (seed) => {
    const course: Course = [
      [1000, 0.6, SPEED_PER_S],
      [1400, BASE_PA, SPEED_PER_S],
    ];
    expect(isolationsIn(course, 2000, seed)).toEqual([]);
  });
});
