import { describe, expect, it } from 'vitest';
import { remembering, rememberingAbout, sameContent } from '../../src/numerics';

describe('a function that remembers', () => {
  it('computes once for arguments of the same content, and again for others', () => {
    let computed = 0;
    const sum = remembering((numbers: Float64Array, { by }: { by: number }) => {
      computed += 1;
      return numbers.reduce((total, x) => total + x * by, 0);
    }, 2);
    expect(sum(Float64Array.of(1, 2), { by: 2 })).toBe(6);
    expect(sum(Float64Array.of(1, 2), { by: 2 })).toBe(6);
    expect(computed).toBe(1);
    expect(sum(Float64Array.of(1, 2 + 2 ** -51), { by: 2 })).not.toBe(6);
    expect(computed).toBe(2);
  });

  it('forgets what was used least recently', () => {
    const asked: number[] = [];
    const same = remembering((x: number) => {
      asked.push(x);
      return x;
    }, 2);
    for (const x of [1, 2, 1, 3, 1, 2]) same(x);
    expect(asked).toEqual([1, 2, 3, 2]);
  });

  it('does not use what was found out about a thing whose content has changed since', () => {
    let computed = 0;
    const most = rememberingAbout(
      (readings: Float64Array, factor: number) => {
        computed += 1;
        return factor * Math.max(...readings);
      },
      (readings) => readings.join(),
      2,
    );
    const readings = Float64Array.of(1, 5, 2);
    expect([most(readings, 2), most(readings, 2), most(readings, 3), most(readings, 2)]).toEqual([10, 10, 15, 10]);
    expect(computed).toBe(2);
    readings[0] = 7;
    expect(most(readings, 2)).toBe(14);
    expect(most(Float64Array.of(7, 5, 2), 2)).toBe(14);
    expect(computed).toBe(4);
  });

  it('tells contents apart bit by bit', () => {
    expect(sameContent({ a: [1, { b: Number.NaN }] }, { a: [1, { b: Number.NaN }] })).toBe(true);
    expect(sameContent({ a: 0 }, { a: -0 })).toBe(false);
    expect(sameContent({ a: 1 }, { a: 1, b: undefined })).toBe(false);
    expect(sameContent([1, 2], Float64Array.of(1, 2))).toBe(false);
    expect(sameContent(new Map(), new Map())).toBe(false);
  });
});
