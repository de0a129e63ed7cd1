import { describe, expect, it } from 'vitest';
import { type Blocks, blockAverages, writtenIn } from '../../src/causes/block-averages';

const BLOCKS = 22;
const exactly = (values: Float64Array): Parameters<typeof blockAverages>[1] => ({ values, resolution: 0, unit: 'Pa' });
const whole = (time: Float64Array): Int32Array => Int32Array.from(time.keys());

/** Root mean square of how far the averages are off, each in its own standard uncertainty; 1 where that is right (calc). */
function offInSd({ timeS, pa, sd }: Blocks, truePa: (t: number) => number): number {
  const off = pa.map((p, b) => (p - truePa(timeS[b])) / sd[b]);
  return Math.sqrt(off.reduce((sum, one) => sum + one * one, 0) / off.length);
}

describe('blockAverages', () => {
  it('trusts a display of few digits to its last one, in the unit that is written (calc)', () => {
    const time = Float64Array.from({ length: 60 }, (_, i) => 5 * i);
    const truePa = (t: number): number => 120 + 7.3 * t;
    // Written as 1.2E+00 mbar: every reading is another one, so that no step shows by repeating.
    for (const [unit, digits] of [
      ['mbar', 2],
      ['mbar', 3],
      ['Torr', 2],
    ] as const) {
      const unitPa = writtenIn({ unit });
      const read = time.map((t) => unitPa * Number((truePa(t) / unitPa).toPrecision(digits)));
      const off = offInSd(blockAverages(time, { values: read, resolution: 0, unit }, whole(time), BLOCKS), truePa);
      expect(off).toBeGreaterThan(0.3);
      expect(off).toBeLessThan(1.6);
    }
  });

  it('counts what a stamp that is cut to whole seconds leaves open (calc)', () => {
    const real = Float64Array.from({ length: 80 }, (_, i) => 3.37 * i);
    const truePa = (t: number): number => 4 * t;
    const stamped = real.map((t) => Math.round(t));
    const off = offInSd(blockAverages(stamped, exactly(real.map(truePa)), whole(real), BLOCKS), truePa);
    expect(off).toBeGreaterThan(0.3);
    expect(off).toBeLessThan(1.6);
  });

  it('takes readings with all their digits for exact', () => {
    const time = Float64Array.from({ length: 60 }, (_, i) => i);
    const grown = time.map((t) => Math.exp(0.01 * t));
    const { pa, sd } = blockAverages(time, exactly(grown), whole(time), BLOCKS);
    pa.forEach((p, b) => {
      expect(sd[b]).toBeLessThan(1e-3 * p);
    });
  });
});

describe('writtenIn', () => {
  it('is the unit of the column, and none where it counts from the barometer (NIST SP 811)', () => {
    expect(writtenIn({ unit: 'mbar' })).toBe(100);
    expect(writtenIn({ unit: 'mTorr' })).toBeCloseTo(0.133322, 6);
    expect(writtenIn({ unit: 'psig' })).toBe(1);
    expect(writtenIn({ unit: '' })).toBe(1);
  });
});
