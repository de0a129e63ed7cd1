import { describe, expect, it } from 'vitest';
import { type RecordEvidence, recordEvidence } from '../../src/causes/record-evidence';
import { FLAG } from '../../src/log';
import type { SegmentKind } from '../../src/segments';
import { madeLog, madeSegments } from './made-log';

/** Speed over volume of a made vessel, 1/s. */
const PER_S = 0.2;

/**
 * A vessel pumped from atmosphere to the level that its load sets, shut off and pumped again, read every `stepS` (calc:
 * dp/dt = load - S/V p, exact for a constant load).
 */
function pumpedAndShut(stepS: number): {
  time: Float64Array;
  pa: Float64Array;
  parts: [SegmentKind, number, number][];
} {
  const load = 2e-3;
  const level = load / PER_S;
  const rows = 300;
  const time = Float64Array.from({ length: rows }, (_, i) => stepS * i);
  const pa = time.map((t, i) => {
    if (i <= 100) return level + (101325 - level) * Math.exp(-PER_S * t);
    const shut = time[100];
    if (i <= 200) return level + load * (t - shut);
    return level + load * (time[200] - shut) * Math.exp(-PER_S * (t - time[200]));
  });
  return {
    time,
    pa,
    parts: [
      ['pump-down', 0, 100],
      ['isolation', 101, 200],
      ['pump-down', 201, 299],
    ],
  };
}

function pumpingOf(
  stepS: number,
  spoil?: (flags: Uint8Array, values: Float64Array) => void,
): RecordEvidence['pumping'] {
  const { time, pa, parts } = pumpedAndShut(stepS);
  const log = madeLog(time, pa);
  spoil?.(log.channels[0].flags, log.channels[0].values);
  return recordEvidence(log, madeSegments(log, parts), { isolations: [], pumpDowns: [] }).pumping;
}

describe('the speed over volume that a record shows', () => {
  it.each([1, 5, 10])('is read from a fall, be it by more than e from reading to reading, every %s s', (stepS) => {
    const pumping = pumpingOf(stepS);
    expect(pumping?.perS).toBeGreaterThan(0.85 * PER_S);
    expect(pumping?.perS).toBeLessThan(1.15 * PER_S);
    expect(pumping?.relative).toBeLessThan(0.7);
  });

  it('is left open upwards by a fall that is over within a reading', () => {
    const pumping = pumpingOf(120);
    expect(pumping?.relative).toBeGreaterThan(0.9);
    const low = (pumping?.perS ?? 0) * Math.exp(-1.5 * (pumping?.relative ?? 0));
    const high = (pumping?.perS ?? 0) * Math.exp(1.5 * (pumping?.relative ?? 0));
    expect(low).toBeLessThan(PER_S);
    expect(high).toBeGreaterThan(PER_S);
  });

  it('needs no number where the gauge is over its range', () => {
    const blind = pumpingOf(5, (flags, values) => {
      values.fill(Number.NaN, 0, 8);
      flags.fill(FLAG.overRange, 0, 8);
    });
    expect(blind?.perS).toBeGreaterThan(0.7 * PER_S);
    expect(blind?.perS).toBeLessThan(1.3 * PER_S);
    expect(() =>
      pumpingOf(5, (flags, values) => {
        values.fill(Number.NaN, 201, 300);
        flags.fill(FLAG.overRange, 201, 300);
      }),
    ).not.toThrow();
  });

  it('is finite where two readings have one stamp', () => {
    const { time, pa, parts } = pumpedAndShut(20);
    time[3] = time[2];
    const { pumping } = recordEvidence(madeLog(time, pa), madeSegments(madeLog(time, pa), parts), {
      isolations: [],
      pumpDowns: [],
    });
    expect(pumping?.perS).toBeGreaterThan(0.5 * PER_S);
    expect(pumping?.perS).toBeLessThan(5 * PER_S);
  });

  it('is read from the end of an isolation, too, where the chamber is at its level with the next reading', () => {
    const { time, pa } = pumpedAndShut(20);
    const log = madeLog(time.slice(80), pa.slice(80));
    const segments = madeSegments(log, [
      ['steady', 0, 20],
      ['isolation', 21, 120],
      ['steady', 121, 219],
    ]);
    const { pumping } = recordEvidence(log, segments, { isolations: [], pumpDowns: [] });
    // The load alone would be taken for a speed of some 1e-3 1/s.
    expect(pumping?.perS).toBeGreaterThan(0.7 * PER_S);
  });
});
