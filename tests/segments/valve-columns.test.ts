import { describe, expect, it } from 'vitest';
import type { Channel, GaugeLog } from '../../src/log/gauge-log';
import { readLog } from '../../src/log/read-log';
import { findSegments } from '../../src/segments';
import { randomFrom } from './made-records';

/** A log in which the valve is shut from 400 s to 598 s and from 800 s to 898 s; the pressure as given. Invented. */
function logWith(header: string, shut: string, open: string, pa: (t: number) => number): GaugeLog {
  const r = randomFrom(5);
  const rows = Array.from({ length: 600 }, (_, i) => {
    const t = 2 * i;
    const closed = (t >= 400 && t < 600) || (t >= 800 && t < 900);
    const p = pa(t) * (1 + 0.007 * (r() + r() - 1));
    return `${t},${p.toExponential(4)},${closed ? shut : open}`;
  });
  const text = [`time (s),p (Pa),${header}`, ...rows].join('\n');
  return readLog(new TextEncoder().encode(text), { file: 'valve.csv' });
}

const flat = (t: number): number => 0.1 + 1e5 * Math.exp(-t / 20);
const isolations = (log: GaugeLog): [number, number][] =>
  findSegments(log)
    .segments.filter((s) => s.kind === 'isolation')
    .map((s) => [s.startS, s.endS]);

describe('a column of the valve to the pump', () => {
  it.each([
    ['valve', '0', '1'],
    ['valve', '1', '0'],
    ['pump valve', 'closed', 'open'],
    ['gate valve position (%)', '0', '100'],
    ['valve closed', '1', '0'],
  ])('%s (%s where shut): isolations that stay flat are found where it says', (header, shut, open) => {
    expect(isolations(logWith(header, shut, open, flat))).toEqual([
      [400, 598],
      [800, 898],
    ]);
  });

  it('one in which the pressure falls is found too, and says why', () => {
    const sinks = (t: number): number => (t >= 400 && t < 600 ? 0.03 + 0.07 * Math.exp(-(t - 400) / 60) : flat(t));
    const log = logWith('valve', 'closed', 'open', sinks);
    // The pressure alone shows it, to a few rows; then its own times and grounds stand.
    const [[from, to]] = isolations(log);
    expect(Math.abs(from - 400)).toBeLessThanOrEqual(6);
    expect(to).toBe(598);
    const one = findSegments(log).segments.find((s) => s.kind === 'isolation')!;
    expect(one.grounds[0]).toMatch(/takes gas up/);
  });

  it('a valve of a gas line, or a column that contradicts the pressure, decides nothing', () => {
    expect(isolations(logWith('gas inlet valve', '0', '1', flat))).toEqual([]);
    expect(isolations(logWith('valve closed', '0', '1', (t) => (t < 400 ? 0.1 : flat(t - 400))))).toEqual([]);
  });

  it('without it a flat isolation is not seen: the pressure alone does not show it', () => {
    const log = logWith('valve', '0', '1', flat);
    const channels: readonly Channel[] = log.channels.filter((c) => c.quantity === 'pressure');
    expect(isolations({ ...log, channels })).toEqual([]);
  });
});
