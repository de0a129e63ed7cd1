import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  analyse,
  analyseSegmented,
  attempt,
  findSegments,
  onward,
  parseLimit,
  quantity,
  readLog,
  requireAnswers,
} from '../../src';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const demo = readLog(readFileSync(join(__dirname, '../../datasets/virtual-leak.csv')), { file: 'virtual-leak.csv' });

describe('an attempt', () => {
  it('gives the result where nothing stands in the way', () => {
    expect(attempt(() => 7)).toEqual({ value: 7, open: [] });
  });

  it('keeps the questions of a log whose unit is unknown', () => {
    const log = readLog(bytes('time [s],gauge\n0,12\n1,13\n2,14\n3,15\n'), { file: 'no-unit.csv' });
    const { value, open } = attempt(() => requireAnswers(log));
    expect(value).toBeNull();
    expect(open).toHaveLength(1);
    expect(open[0]['what is open']).toMatch(/unit/);
    expect(open[0].answers).toMatch(/mbar/);
  });

  it('keeps the question of a volume, where a limit needs one', () => {
    const { open } = attempt(() => analyse(demo, { limit: parseLimit('1e-4 mbar L/s') }));
    expect(open[0]['what is open']).toContain('what is the volume that was isolated?');
  });

  it('goes on with its result, or with what stands in the way', () => {
    expect(onward({ value: 3, open: [] }, (n) => n + 1)).toEqual({ value: 4, open: [] });
    const open = [{ 'what is open': 'a unit', answers: 'Pa' }];
    expect(onward({ value: null, open }, () => 1)).toEqual({ value: null, open });
    expect(onward({ value: 3, open: [] }, () => quantity('9 quux')).value).toBeNull();
  });

  it('keeps why something cannot be done, and lets errors through that are not ours', () => {
    expect(attempt(() => quantity('9 quux')).open[0]['what is open']).toContain('quux');
    expect(() =>
      attempt(() => {
        throw new TypeError('a defect');
      }),
    ).toThrow('a defect');
  });
});

describe('from segments on', () => {
  it('gives what the whole way gives', () => {
    const options = {
      volume: quantity('31 L', 'volume'),
      limit: parseLimit('1e-4 mbar L/s'),
      channel: 'PG1 [Torr]',
    };
    const whole = analyse(demo, options);
    const half = analyseSegmented(demo, findSegments(demo, { channel: options.channel }), options);
    expect(half.finding).toEqual(whole.finding);
    expect(half.fits).toEqual(whole.fits);
    expect(() => analyseSegmented(demo, whole.segmented, { limit: options.limit })).toThrow(/volume/);
  });
});

describe('a quantity that cannot be', () => {
  it('is refused as it was typed, before any work', () => {
    for (const [options, message] of [
      [{ volume: quantity('-20 L ± 5 %') }, 'volume: met "-20 L", expected a volume above 0'],
      [{ volume: quantity('20 mbar') }, 'volume: met "pressure", expected volume'],
      [{ target: quantity('0 mbar') }, 'target: met "0 mbar", expected a pressure above 0'],
    ] as const) {
      expect(() => analyse(demo, options)).toThrow(message);
      expect(() => analyseSegmented(demo, findSegments(demo), options)).toThrow(message);
    }
  });
});
