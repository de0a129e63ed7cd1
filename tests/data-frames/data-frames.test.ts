import { DataFrame } from 'danfojs-node';
import { describe, expect, it } from 'vitest';
import { fromDataFrame, toDataFrame } from '../../kernel-helpers/data-frames';
import { type Channel, FLAG, type GaugeLog } from '../../src/log/gauge-log';

function channel(name: string, values: number[], flags: number[]): Channel {
  return {
    name,
    column: 2,
    quantity: 'pressure',
    unit: 'mbar',
    unitFrom: 'header',
    siUnit: 'Pa',
    values: Float64Array.from(values),
    flags: Uint8Array.from(flags),
    resolution: 0,
  };
}

const log = {
  file: 'two.csv',
  sha256: 'a'.repeat(64),
  rows: 3,
  time: Float64Array.from([0, 10, 20]),
  channels: [
    channel('p1', [100, Number.NaN, 98], [FLAG.good, FLAG.missing, FLAG.overRange | FLAG.stuck]),
    channel('p2', [1e-8, 2e-8, 3e-8], [0, 0, 0]),
  ],
} as unknown as GaugeLog;

describe('toDataFrame', () => {
  it('gives a log its time and channels in SI, units in the names, and flags in words where there are any', () => {
    const frame = toDataFrame(log);
    expect(frame.columns).toEqual(['time / s', 'p1 / Pa', 'p1, flags', 'p2 / Pa']);
    expect(frame.values).toEqual([
      [0, 100, '', 1e-8],
      [10, Number.NaN, 'missing', 2e-8],
      [20, 98, 'over range, stuck', 3e-8],
    ]);
  });

  it('puts the SI unit in place of the one that a header names, and keeps what is no unit', () => {
    const named = (name: string): string =>
      toDataFrame({ ...log, channels: [channel(name, [1, 2, 3], [0, 0, 0])] }).columns[1];
    expect(named('p1 / mbar')).toBe('p1 / Pa');
    expect(named('p1 [mbar]')).toBe('p1 / Pa');
    expect(named('p1 (mbar)')).toBe('p1 / Pa');
    expect(named('p1 (chamber)')).toBe('p1 (chamber) / Pa');
    expect(named('in/out')).toBe('in/out / Pa');
  });

  it('keeps channels apart whose headers differ only in their unit', () => {
    const both = ['p (mbar)', 'p [mbar]'].map((name) => channel(name, [1, 2, 3], [0, 0, 0]));
    expect(toDataFrame({ ...log, channels: both }).columns).toEqual(['time / s', 'p / Pa', 'p / Pa, column 3']);
  });

  it('takes a part of the rows', () => {
    expect(toDataFrame(log, { from: 1, to: 1 }).values).toEqual([[10, Number.NaN, 'missing', 2e-8]]);
  });

  it('refuses more rows than asked for rather than show a part as the whole', () => {
    expect(() => toDataFrame(log, { maxRows: 2 })).toThrow(
      'rows of a data frame: met 3, expected at most 2; choose with from and to, or raise maxRows',
    );
    expect(toDataFrame(log, { maxRows: 2, from: 1 }).shape).toEqual([2, 4]);
  });

  it('refuses columns of different lengths by name', () => {
    expect(() => toDataFrame({ a: [1, 2], b: [1] })).toThrow('column "b": met 1, expected 2 rows');
  });
});

describe('fromDataFrame', () => {
  it('returns what toDataFrame was given, doubles and texts alike', () => {
    const table = {
      t: Float64Array.from([1764063000.25, 1764063001]),
      p: Float64Array.from([1.23456789e-10, Number.NaN]),
    };
    expect(fromDataFrame(toDataFrame({ ...table, note: ['a', 'b'] }))).toEqual({ ...table, note: ['a', 'b'] });
  });

  it('goes by all values of a column, where danfo guesses its type from the first 500', () => {
    const values = Array.from({ length: 600 }, (_, k) => (k === 599 ? 'OFF' : k));
    expect(fromDataFrame(new DataFrame({ p: values })).p.at(-1)).toBe('OFF');
  });

  it('refuses what is no frame', () => {
    expect(() => fromDataFrame({} as DataFrame)).toThrow('data frame: met "object", expected a danfo DataFrame');
  });
});
