import { describe, expect, it } from 'vitest';
import { findCauses } from '../../src/causes';
import { randomStream } from '../../src/numerics';
import { madeLog, madeSegments, si } from './made-log';

/** An ionising gauge pumps some 0.01 to 0.1 L/s, walls below a pascal as much (common practice, no source). */
const UPTAKE_PER_S = 2e-3;

/**
 * A vessel of 10 L whose load falls as one over the time pumped, shut off twice for a quarter of an hour, on a gauge that
 * pumps 0.02 L/s (calc: dp/dt = load - k p, stepped by a second).
 */
function takenUp(loadAt: (t: number) => number): ReturnType<typeof findCauses> {
  const random = randomStream(3);
  const parts: [number, number][] = [
    [3600, 4500],
    [10800, 11700],
  ];
  const stepS = 10;
  const time = Float64Array.from({ length: 1300 }, (_, i) => stepS * i);
  const pa = new Float64Array(time.length);
  let p = 101325;
  let at = 0;
  time.forEach((t, i) => {
    for (; at < t; at++) {
      const out = parts.some(([from, to]) => at >= from && at < to) ? UPTAKE_PER_S : 0.2 + UPTAKE_PER_S;
      const end = loadAt(Math.max(at, 30)) / out;
      p = end + (p - end) * Math.exp(-out);
    }
    pa[i] = p * (1 + 0.005 * random.normal());
  });
  const log = madeLog(time, pa);
  const segments = madeSegments(log, [
    ['pump-down', 0, 359],
    ['isolation', 361, 449],
    ['pump-down', 451, 1079],
    ['isolation', 1081, 1169],
    ['pump-down', 1171, 1299],
  ]);
  const fits = { isolations: [], pumpDowns: [], limit: null, conformity: null };
  return findCauses(log, segments, fits as unknown as Parameters<typeof findCauses>[2], {
    volume: si('volume', 0.01, 1e-4),
    gauge: 'hot-cathode',
  });
}

describe('gas that walls and gauge take up again', () => {
  it('makes no vapour of walls', () => {
    const { mainCause } = takenUp((t) => 0.1 / t);
    const of = (cause: string): number => mainCause.find((one) => one.cause === cause)?.probability ?? 0;
    expect(mainCause[0].cause).toBe('outgassing');
    expect(of('evaporation')).toBeLessThan(0.1);
  });

  it('hides no part of a leak: the interval holds what comes in, not what stays', () => {
    const { mainCause, realLeak } = takenUp(() => 3e-5);
    expect(mainCause[0].cause).toMatch(/real leak|passing valve/);
    // 3e-5 Pa/s in 10 L; over the quarter of an hour less than half of it stays.
    expect(realLeak?.low).toBeLessThan(3e-7);
    expect(realLeak?.high).toBeGreaterThan(3e-7);
    expect(realLeak?.high).toBeLessThan(6e-7);
  });
});
