import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Analysis, analyse, FLAG, type GaugeLog, parseLimit, quantity, readLog } from '../../src';

const file = 'failed-pump-down.csv';
const bytes = readFileSync(join(__dirname, '../../datasets', file));
/** Each reading of the file is a log of its own, about which nothing has been found out yet. */
const logAnew = (): GaugeLog => readLog(bytes, { file });

const withVolume = (log: GaugeLog, volume: string, limit = '1e-4 mbar L/s', target = '2e-2 mbar'): Analysis =>
  analyse(log, {
    volume: quantity(volume),
    gauge: 'thermal',
    target: quantity(target),
    limit: parseLimit(limit),
  });

describe('an analysis that is asked again with another volume, limit or target', () => {
  it('says to the last digit what it says of a log that it has not met', () => {
    const log = logAnew();
    for (const [volume, limit, target] of [
      ['12.4 L ± 5 %'],
      ['30 L ± 5 %'],
      ['30 L ± 20 %'],
      ['12.4 L ± 5 %', '5e-3 mbar L/s'],
      ['12.4 L ± 5 %', '1e-4 mbar L/s', '1e-3 mbar'],
      ['12.4 L ± 5 %'],
    ] as const) {
      const [again, anew] = [log, logAnew()].map((one) => withVolume(one, volume, limit, target));
      expect(again.finding).toEqual(anew.finding);
      expect(again.fits.isolations).toEqual(anew.fits.isolations);
      expect(again.segmented).toEqual(anew.segmented);
    }
  });

  it('weighs the causes once, and not before they are asked for', () => {
    const analysis = withVolume(logAnew(), '12.4 L ± 5 %');
    const timed = (): number => {
      const began = performance.now();
      expect(analysis.finding.verdict).toBeTypeOf('string');
      return performance.now() - began;
    };
    const [first, second] = [timed(), timed()];
    expect(analysis.finding).toBe(analysis.finding);
    expect(second).toBeLessThan(first / 10);
  });

  it('gives loads in proportion to the volume', () => {
    const log = logAnew();
    const [one, two] = ['10 L ± 5 %', '20 L ± 5 %'].map((volume) => withVolume(log, volume));
    const ratio = (pick: (analysis: Analysis) => number): number => pick(two) / pick(one);
    expect(ratio(({ finding }) => finding.realLeak?.high ?? Number.NaN)).toBeCloseTo(2, 9);
    expect(ratio(({ fits }) => fits.isolations[0].gasLoad?.value ?? Number.NaN)).toBeCloseTo(2, 9);
  });

  it('sees readings that were flagged in place meanwhile', () => {
    const log = logAnew();
    const before = withVolume(log, '12.4 L ± 5 %');
    const first = before.fits.isolations[0].segment;
    log.channels[0].flags.fill(FLAG.excluded, first.from, first.to + 1);
    expect(withVolume(log, '12.4 L ± 5 %').fits.isolations.length).toBe(before.fits.isolations.length - 1);
  });
});
