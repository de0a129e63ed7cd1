import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readLog } from '../../src/log/read-log';
import { chooseChannel, findSegments, type Segment } from '../../src/segments';

const datasets = join(__dirname, '../../datasets');
interface True {
  readonly kind: string;
  readonly startS: number;
  readonly endS: number;
}
const truth: Record<string, { segments: True[] }> = JSON.parse(readFileSync(join(datasets, 'truth.json'), 'utf8'));
const found = (file: string): readonly Segment[] => {
  const log = readLog(readFileSync(join(datasets, file)), { file });
  return findSegments(log, { channel: chooseChannel(log).channel.name }).segments;
};

/** The demo logs are simulated; truth.json beside them says where the valves moved. */
describe('the demo logs', () => {
  it.each(Object.keys(truth))('%s: every isolation is found at its valve, and no other', (file) => {
    const isolations = found(file).filter((s) => s.kind === 'isolation');
    const wanted = truth[file].segments.filter((s) => s.kind === 'isolation');
    expect(isolations).toHaveLength(wanted.length);
    wanted.forEach((one, k) => {
      const stepS = (isolations[k].endS - isolations[k].startS) / (isolations[k].to - isolations[k].from);
      expect(Math.abs(isolations[k].startS - one.startS)).toBeLessThanOrEqual(6 * stepS);
      expect(Math.abs(isolations[k].endS - one.endS)).toBeLessThanOrEqual(2 * stepS);
    });
  });

  it.each(Object.keys(truth))('%s: no fill, no venting, gas that flows through only where it did', (file) => {
    const kinds = new Set(found(file).map((s) => s.kind));
    expect(kinds.has('fill') || kinds.has('venting') || kinds.has('bake-out')).toBe(false);
    expect(kinds.has('regulated')).toBe(truth[file].segments.some((s) => s.kind === 'regulated'));
  });

  it('the failed pump-down has no burst: the readings before a valve opens make none', () => {
    const file = 'failed-pump-down.csv';
    const log = readLog(readFileSync(join(datasets, file)), { file });
    const { events } = findSegments(log, { channel: chooseChannel(log).channel.name });
    expect(events.filter(({ kind }) => kind === 'burst')).toEqual([]);
  });

  it('the freeze dryer is held at 10 Pa but for its closings', () => {
    const held = found('freeze-dryer.csv').filter((s) => s.kind === 'regulated');
    expect(held.map((s) => Math.round(s.startS / 10))).toEqual([121, 556, 1096, 1996]);
  });

  it('closing section B of the manifold begins a pump-down of its own, that comes to a steady pressure', () => {
    const segments = found('sections-valved-off.csv');
    const at = segments.findIndex((s) => s.kind === 'pump-down' && Math.abs(s.startS - 5102) <= 4);
    expect(segments[at - 1].kind).toBe('steady');
    expect(segments[at + 1].kind).toBe('steady');
    expect(segments[at + 1].endPa).toBeLessThan(0.5 * segments[at - 1].endPa);
    expect(segments[at + 2].kind).toBe('isolation');
  });
});
