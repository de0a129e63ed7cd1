import { DataFrame, MinMaxScaler, StandardScaler, tensorflow } from 'danfojs-node';
import { describe, expect, it } from 'vitest';

/** Expected values are plain double arithmetic (calc), which TensorFlow's float32 would miss. */
describe('danfo with tensors in float64', () => {
  it('runs on our tensors, not on a TensorFlow that happens to be there', () => {
    expect(Object.keys(tensorflow).sort()).toEqual(['Tensor', 'data', 'moments', 'scalar', 'tensor1d', 'tensor2d']);
  });

  it('keeps Unix seconds to the second through arithmetic (float32 rounds them to 128 s)', () => {
    const frame = new DataFrame({ t: [1764063000, 1764063001], n: [1, 2] });
    expect(frame.mul(1).values).toEqual([
      [1764063000, 1],
      [1764063001, 2],
    ]);
    expect(frame.sub(1764063000).column('t').values).toEqual([0, 1]);
  });

  it('keeps all digits of 1e-10 mbar (float32 gives 1.2345678923608716e-10)', () => {
    const frame = new DataFrame({ p: [1.23456789e-10, 2e-10], q: [1, 1] });
    expect(frame.mul(1).column('p').values).toEqual([1.23456789e-10, 2e-10]);
    expect(frame.div(2).column('p').values).toEqual([1.23456789e-10 / 2, 1e-10]);
    expect(frame.add(0).column('p').values[0]).toBe(1.23456789e-10);
    expect(frame.pow(2).column('p').values[0]).toBe(1.23456789e-10 ** 2);
  });

  it('lets NaN through arithmetic and calls it neither more nor less', () => {
    const frame = new DataFrame({ a: [1, Number.NaN], b: [Number.NaN, 4] });
    expect(frame.add(1).values).toEqual([
      [2, Number.NaN],
      [Number.NaN, 5],
    ]);
    expect(frame.gt(0).values).toEqual([
      [true, false],
      [false, true],
    ]);
    expect(frame.le(0).values).toEqual([
      [false, false],
      [false, false],
    ]);
  });

  it('adds a list along rows and along columns', () => {
    const frame = new DataFrame([
      [1, 2],
      [3, 4],
      [5, 6],
    ]);
    expect(frame.add([10, 20], { axis: 1 }).values).toEqual([
      [11, 22],
      [13, 24],
      [15, 26],
    ]);
    expect(frame.add([10, 20, 30], { axis: 0 }).values).toEqual([
      [11, 12],
      [23, 24],
      [35, 36],
    ]);
    expect(() => frame.add([1, 2, 3, 4], { axis: 0 })).toThrow();
  });

  it('gives the remainder the sign of the divisor, and zero for a division by zero where that is asked for', () => {
    const frame = new DataFrame([[-7, 7]]);
    expect(frame.mod(3).values).toEqual([[2, 1]]);
    expect(frame.divNoNan(0).values).toEqual([[0, 0]]);
    expect(frame.div(0).values).toEqual([[-Infinity, Infinity]]);
  });

  it('compares value by value', () => {
    const frame = new DataFrame([[1, 2, 3]]);
    expect(frame.lt(2).values).toEqual([[true, false, false]]);
    expect(frame.ge(2).values).toEqual([[false, true, true]]);
    expect(frame.eq(2).values).toEqual([[false, true, false]]);
    expect(frame.ne(2).values).toEqual([[true, false, true]]);
  });

  it('takes differences of rows', () => {
    const frame = new DataFrame({ t: [1764063000, 1764063010, 1764063030], p: [3e-10, 2e-10, 1e-10] });
    expect(frame.diff(1, { axis: 1 }).column('t').values).toEqual([Number.NaN, 10, 20]);
    expect(frame.diff(1, { axis: 1 }).column('p').values[1]).toBeCloseTo(-1e-10, 24);
  });

  it('finds the place of the least and the greatest of a series', () => {
    const series = new DataFrame({ p: [3, 1, 2] }).column('p');
    expect([series.argMin(), series.argMax()]).toEqual([1, 0]);
  });

  it('scales columns to 0..1 and to zero mean, one by one', () => {
    const frame = new DataFrame({ a: [1, 2, 3], b: [10, 30, 20] });
    expect(new MinMaxScaler().fitTransform(frame).values).toEqual([
      [0, 0],
      [0.5, 1],
      [1, 0.5],
    ]);
    const scaled = new StandardScaler().fitTransform(frame).column('a').values as number[];
    // Standard deviation of 1, 2, 3 over n: sqrt(2/3).
    expect(scaled[2]).toBeCloseTo(1 / Math.sqrt(2 / 3), 14);
  });

  it('draws a sample that the seed decides', async () => {
    const frame = new DataFrame({ n: Array.from({ length: 50 }, (_, k) => k) });
    const draw = async (seed: number): Promise<unknown> => (await frame.sample(10, { seed })).column('n').values;
    expect(await draw(1)).toEqual(await draw(1));
    expect(await draw(1)).not.toEqual(await draw(2));
    expect(new Set((await draw(1)) as number[]).size).toBe(10);
  });
});
