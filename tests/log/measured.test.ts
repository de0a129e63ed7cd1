import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { QuestionError } from '../../src/errors';
import { countFlags, readLog, requireAnswers } from '../../src/log';

/**
 * Origin and licence of both stand in tests/measured/README.md; the facts checked are those of the files themselves.
 */
const bytes = (name: string): Uint8Array => new Uint8Array(readFileSync(join(__dirname, '../measured', name)));
const GAUGE = 'RTP Throttle Valve Capman Pressure';

describe('the annealing chamber', () => {
  const anneal = bytes('anneal-chamber.csv.gz');
  const told = readLog(anneal, { file: 'anneal-chamber.csv.gz', unit: 'Torr', channels: [GAUGE] });
  const gauge = told.channels.find(({ name }) => name === GAUGE)!;

  it('is read with its stamps and its 5743 rows', () => {
    expect(told.rows).toBe(5743);
    expect(told.start).toBe('2025-11-28T13:32:20.152');
    expect(told.description.time.format).toBe('month-day-year');
    expect(told.time[5742]).toBeCloseTo(5771.638, 6);
    expect(told.questions).toEqual([]);
  });

  it('has its gauge in Torr when told, nothing flagged', () => {
    expect(gauge).toMatchObject({ quantity: 'pressure', unit: 'Torr', unitFrom: 'user', siUnit: 'Pa' });
    expect(gauge.values[0]).toBeCloseTo((759.3341 * 101325) / 760, 6);
    expect(countFlags(gauge)).toEqual({});
    expect(gauge.resolution).toBeCloseTo((1e-4 * 101325) / 760, 6);
  });

  it('without a unit: the gauge at 759 is taken as Torr and said, the other chamber is asked about', () => {
    const log = readLog(anneal, { file: 'anneal-chamber.csv.gz' });
    expect(log.channels.find(({ name }) => name === GAUGE)).toMatchObject({ unit: 'Torr', unitFrom: 'assumed' });
    expect(log.assumptions.join('\n')).toContain('taken as Torr');
    expect(log.questions.map(({ about, column }) => [about, column])).toEqual([['unit', 'PC Wide Range Gauge']]);
    expect(() => requireAnswers(log)).toThrow(QuestionError);
    expect(() => requireAnswers(log)).toThrow(/^the log has 2 pressure channels: which one is to be judged\?/);
    expect(() => requireAnswers(log, GAUGE)).not.toThrow();
  });

  it('has valve states as positions, equal to the numbers of the file', () => {
    const closed = told.channels.find(({ name }) => name === 'RTP Throttle Valve Closed')!;
    expect(closed.quantity).toBe('position');
    expect(new Set(closed.values)).toEqual(new Set([0, 1]));
  });
});

describe('the orifice chamber', () => {
  it('asks for the unit of both pressures, for nothing in it says it', () => {
    const log = readLog(bytes('orifice-chamber.txt.gz'), { file: 'orifice-chamber.txt.gz' });
    expect(log.rows).toBe(14_401);
    expect(log.questions.map(({ about, column }) => [about, column])).toEqual([
      ['unit', 'CH2'],
      ['unit', 'CH3'],
    ]);
    expect(log.channels[0]).toMatchObject({ name: 'CH2', quantity: 'number', seems: 'pressure', siUnit: '' });
    expect(log.channels[0].values[0]).toBe(0.0485);
  });

  it('is read in mbar when told, over midnight', () => {
    const log = readLog(bytes('orifice-chamber.txt.gz'), { unit: 'mbar' });
    expect(log.questions).toEqual([]);
    expect(log.start).toBe('2023-06-15T15:38:01');
    expect(log.time[14_400]).toBe(72_122);
    expect(log.channels[1].values[0]).toBeCloseTo(4.75, 12);
  });
});
