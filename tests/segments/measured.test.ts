import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { GaugeLog } from '../../src/log/gauge-log';
import { readLog } from '../../src/log/read-log';
import { findSegments, type Segment, type SegmentedLog, type SegmentKind } from '../../src/segments';

const measured = (name: string): Buffer => readFileSync(join(__dirname, '../measured', name));
const GAUGE = 'Valve Capman';

/** What most of the seconds between two moments are called. */
function called(found: SegmentedLog, fromS: number, toS: number): SegmentKind {
  const seconds = new Map<SegmentKind, number>();
  for (const s of found.segments) {
    const shared = Math.min(s.endS, toS) - Math.max(s.startS, fromS);
    if (shared > 0) seconds.set(s.kind, (seconds.get(s.kind) ?? 0) + shared);
  }
  return [...seconds.entries()].sort((a, b) => b[1] - a[1])[0][0];
}

/** Origin and licence of both logs: tests/measured/README.md. The truth is the valve's own columns. */
describe('the anneal chamber', () => {
  let log: GaugeLog;
  let found: SegmentedLog;
  let alone: SegmentedLog;

  beforeAll(() => {
    log = readLog(measured('anneal-chamber.csv.gz'), {
      file: 'anneal-chamber.csv.gz',
      unit: 'Torr',
      channels: [GAUGE],
    });
    found = findSegments(log, { channel: GAUGE });
    const channels = log.channels.filter((c) => c.name === found.channel);
    alone = findSegments({ ...log, channels }, {});
  });

  const isolations = (s: SegmentedLog): Segment[] => s.segments.filter((one) => one.kind === 'isolation');

  it('has one isolation, found from the pressure alone within three rows of the valve', () => {
    const closed = log.channels.find((c) => /Valve Closed$/.test(c.name))!.values;
    const one = isolations(alone);
    expect(one).toHaveLength(1);
    let from = one[0].from;
    while (closed[from] === 1) from--;
    let to = one[0].to;
    while (closed[to + 1] === 1) to++;
    // 01:51:50.463 PM to 01:52:54.759 PM, 1170.3 s to 1234.6 s after the first row.
    expect(log.time[from + 1]).toBeCloseTo(1170.3, 0);
    expect(Math.abs(one[0].from - (from + 1))).toBeLessThanOrEqual(3);
    expect(Math.abs(one[0].to - to)).toBeLessThanOrEqual(3);
    expect(one[0].startPa).toBeLessThan(0.0125 * 133.322);
    expect(one[0].endPa).toBeGreaterThan(0.034 * 133.322);
    expect(one[0].pumpSide).toBe(false);
  });

  it('finds the same with the valve columns there, and names them in the grounds', () => {
    expect(found.segments.map(({ kind, from, to }) => ({ kind, from, to }))).toEqual(
      alone.segments.map(({ kind, from, to }) => ({ kind, from, to })),
    );
    expect(isolations(found)[0].grounds.join()).toMatch(/Valve Closed" reads 0 before, 1 during and 0 after/);
  });

  it('calls purge fills, pump-downs, the half hour at 500 Torr, the vent and the air what they are', () => {
    expect(called(alone, 0, 22)).toBe('atmosphere');
    expect(called(alone, 22, 198)).toBe('pump-down');
    for (const [from, to] of [
      [320, 490],
      [583, 750],
      [843, 1008],
      [1604, 2095],
      [4398, 4560],
      [4692, 4860],
    ]) {
      expect(called(alone, from, to)).toBe('fill');
    }
    for (const [from, to] of [
      [495, 582],
      [756, 840],
      [1016, 1100],
      [4102, 4220],
      [4572, 4690],
      [4864, 4950],
    ]) {
      expect(called(alone, from, to)).toBe('pump-down');
    }
    expect(called(alone, 1130, 1169)).toBe('steady');
    expect(called(alone, 2110, 4060)).toBe('regulated');
    expect(called(alone, 5100, 5425)).toBe('steady');
    expect(called(alone, 5435, 5660)).toBe('venting');
    expect(called(alone, 5700, 5770)).toBe('atmosphere');
  });

  it('starts the fill at known flow when the valve shuts, and holds all of it', () => {
    const fill = alone.segments.find((s) => s.kind === 'fill' && s.startS < 1649 && s.endS > 2051)!;
    // The valve leaves its open position in row 1594, 1602.4 s.
    expect(Math.abs(fill.startS - 1603)).toBeLessThan(4);
  });

  it('tells the purge cycles', () => {
    const big = alone.events.filter((e) => e.kind === 'purge cycle' && e.numbers.to_Pa > 60000);
    expect(big).toHaveLength(5);
    for (const [k, at] of [320, 583, 843, 4398, 4692].entries()) expect(Math.abs(big[k].atS - at)).toBeLessThan(3);
  });
});

describe('the orifice chamber, pumped for twenty hours', () => {
  it.each([
    'CH2',
    'CH3',
  ])('has no isolation in %s, though the way to the pump narrows after seven minutes', (channel) => {
    const log = readLog(measured('orifice-chamber.txt.gz'), { file: 'orifice-chamber.txt.gz', unit: 'mbar' });
    const found = findSegments(log, { channel });
    expect(found.segments.filter((s) => s.kind === 'isolation')).toEqual([]);
    expect(called(found, 1000, 72000)).toBe('pump-down');
  });
});
