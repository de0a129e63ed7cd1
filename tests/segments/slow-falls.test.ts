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

/** A gas let in at once, Pa, as a valve closes. */
type Bursts = readonly (readonly [atS: number, pa: number])[];

function segmentsOf(
  course: Course,
  lastS: number,
  seed: number,
  stepS = STEP_S,
  bursts: Bursts = [],
): readonly Segment[] {
  const r = randomFrom(seed);
  const time = Float64Array.from({ length: lastS / stepS + 1 }, (_, i) => i * stepS);
  let pa = 1e5;
  const values = time.map((t) => {
    const [, towards, perS] = [...course].reverse().find(([from]) => t > from) ?? [0, BASE_PA, SPEED_PER_S];
    pa += bursts.find(([atS]) => t > atS && t <= atS + stepS)?.[1] ?? 0;
    pa = towards + (pa - towards) * Math.exp(-perS * stepS);
    const noise = (r() + r() + r() + r() - 2) * 1.73;
    return Math.round((pa * (1 + 0.004 * noise) + 0.003 * noise) * 1e3) / 1e3;
  });
  return findSegments(asLog('made.csv', time, [gaugeColumn('p', values)])).segments;
}

const isolationsIn = (
  course: Course,
  lastS: number,
  seed: number,
  stepS = STEP_S,
  bursts: Bursts = [],
): readonly Segment[] =>
  segmentsOf(course, lastS, seed, stepS, bursts).filter(({ kind, pumpSide }) => kind === 'isolation' && !pumpSide);

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

describe('what shows that the valve was shut is how fast the pressure comes back', () => {
  const shut = [
    [2000, 3200],
    [4500, 5700],
  ] as const;
  /** Taken up to nothing, as far as the gauge shows. */
  const course = (perS: number): Course =>
    shut.flatMap(([from, to]) => [
      [from, 0, perS],
      [to, BASE_PA, SPEED_PER_S],
    ]);
  const expectFound = (found: readonly Segment[], withinS: number): void => {
    expect(found).toHaveLength(shut.length);
    for (const [k, [from, to]] of shut.entries()) {
      expect(Math.abs(found[k].startS - from)).toBeLessThanOrEqual(withinS);
      expect(Math.abs(found[k].endS - to)).toBeLessThanOrEqual(withinS);
      expect(found[k].grounds.join(' ')).toMatch(/takes gas up/);
    }
  };

  it.each(SEEDS)('down to the zero of the gauge (seed %i)', (seed) => {
    expectFound(isolationsIn(course(0.008), 7000, seed), 20);
  });

  it.each(SEEDS)('in a log that has a row every 30 s (seed %i)', (seed) => {
    expectFound(isolationsIn(course(0.006), 7200, seed, 30), 60);
  });

  it.each(SEEDS)('where the valve lets a burst in as it closes (seed %i)', (seed) => {
    const bursts = shut.map(([from]) => [from, 0.4] as const);
    expectFound(isolationsIn(course(0.008), 7000, seed, STEP_S, bursts), 20);
  });
});

describe('a fall that is none', () => {
  it.each(SEEDS)('gas let in twice to one level, and pumped in between (seed %i)', (seed) => {
    // The pump shows its own speed in both falls; the level is none that it comes to by itself.
    const held: Course = [
      [1000, 330, 2],
      [2200, 1, SPEED_PER_S],
      [4000, 330, 2],
      [5200, 1, SPEED_PER_S],
    ];
    const falling = isolationsIn(held, 7000, seed).filter(({ startPa, endPa }) => endPa < startPa / 2);
    expect(falling).toEqual([]);
  });

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
