import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thin } from '../../src/charts/thin';

describe('thin', () => {
  it('keeps every reading of a short record', () => {
    const time = Float64Array.from([0, 1, 2, 3]);
    expect([...thin(time, Float64Array.from([4, 3, 2, 1]), () => true, 10)]).toEqual([0, 1, 2, 3]);
  });

  it('keeps the lowest and the highest reading of each stretch of any long record, in order of time', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1e3, max: 1e5, noNaN: true }), { minLength: 200, maxLength: 600 }),
        (list) => {
          const values = Float64Array.from(list);
          const time = Float64Array.from(list, (_, i) => i);
          const buckets = 20;
          const rows = [...thin(time, values, () => true, buckets)];
          expect(rows.length).toBeLessThanOrEqual(4 * buckets);
          expect(rows).toEqual([...rows].sort((a, b) => a - b));
          const step = (list.length - 1) / buckets;
          for (let b = 0; b < buckets; b += 1) {
            const inBucket = list.map((_, i) => i).filter((i) => Math.min(buckets - 1, Math.floor(i / step)) === b);
            const kept = rows.filter((row) => inBucket.includes(row)).map((row) => values[row]);
            expect(Math.max(...kept)).toBe(Math.max(...inBucket.map((i) => values[i])));
            expect(Math.min(...kept)).toBe(Math.min(...inBucket.map((i) => values[i])));
          }
        },
      ),
      { numRuns: 50, seed: 7 },
    );
  });

  it('leaves out what may not be drawn and what is not finite', () => {
    const time = Float64Array.from([0, 1, 2, 3]);
    const values = Float64Array.from([1, Number.NaN, 3, 4]);
    expect([...thin(time, values, (row) => row !== 3, 10)]).toEqual([0, 2]);
  });

  it('survives a record whose time stands still', () => {
    const time = new Float64Array(100);
    const values = Float64Array.from({ length: 100 }, (_, i) => Math.sin(i));
    const rows = thin(time, values, () => true, 5);
    expect(rows.length).toBeGreaterThan(0);
    expect(rows.length).toBeLessThanOrEqual(20);
  });
});
