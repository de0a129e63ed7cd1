import { describe, expect, it } from 'vitest';
import type { Channel, GaugeLog } from '../../src/log/gauge-log';
import { findSegments, type LogEvent } from '../../src/segments';
import { asLog, makeRecord, randomFrom } from './made-records';

/** One reading a second, three sigma of noise within a hundredth, in the given steps. */
function logOf(count: number, pa: (t: number) => number, round = (p: number): number => p, seed = 1): GaugeLog {
  const r = randomFrom(seed);
  const values = Float64Array.from({ length: count }, (_, t) =>
    round(pa(t) * (1 + 0.003 * (r() + r() + r() + r() - 2) * 1.73)),
  );
  const channel: Channel = {
    name: 'p',
    column: 2,
    quantity: 'pressure',
    unit: 'mbar',
    unitFrom: 'header',
    siUnit: 'Pa',
    values,
    flags: new Uint8Array(count),
    resolution: 0,
  };
  return asLog(
    'steps.csv',
    Float64Array.from({ length: count }, (_, i) => i),
    [channel],
  );
}

const steps = (log: GaugeLog): LogEvent[] => findSegments(log).events.filter((e) => e.kind === 'step');

describe('steps', () => {
  it.each([
    1.05, 1.2, 1.5,
  ])('a system that stood for minutes and steps up by %s has begun to leak or to boil', (ratio) => {
    for (let seed = 1; seed <= 10; seed++) {
      const [one, ...more] = steps(logOf(900, (t) => (t < 500 ? 2 : 2 * ratio), undefined, seed));
      expect(more).toEqual([]);
      expect(Math.abs(one.atS - 500)).toBeLessThanOrEqual(2);
      expect(one.numbers.rise_Pa / (2 * ratio - 2)).toBeCloseTo(1, 0);
      expect(one.text).toMatch(/mbar and stays: a system that sat stable for minutes .* to leak or to boil/);
      expect(one.text).toMatch(/common practice, no source/);
    }
  });

  it('a burst inside an isolation stays as a step of its size', () => {
    const log = logOf(1200, (t) => {
      if (t < 300) return 1;
      return t < 1000 ? 1 + 0.01 * (t - 300) + (t >= 650 ? 2 : 0) : 1 + 9 * Math.exp(-(t - 1000) / 4);
    });
    const [one, ...more] = steps(log);
    expect(more).toEqual([]);
    expect(Math.abs(one.atS - 650)).toBeLessThanOrEqual(1);
    expect(Math.abs(one.numbers.rise_Pa - 2)).toBeLessThan(0.1);
    expect(findSegments(log).segments.filter((s) => s.kind === 'isolation')).toHaveLength(1);
  });

  it('codes of a gauge, single readings and noise are none', () => {
    const drift = (t: number): number => 1 + 1e-4 * t;
    for (let seed = 1; seed <= 10; seed++) {
      expect(steps(logOf(2000, drift, (p) => Number(p.toPrecision(2)), seed))).toEqual([]);
      expect(steps(logOf(2000, drift, undefined, seed))).toEqual([]);
      expect(steps(logOf(2000, (t) => (t === 700 ? 2 : 1), undefined, seed))).toEqual([]);
    }
  });

  it('are not seen in made records but where a valve moved (calc: own generator; one in five hundred is let pass)', () => {
    let wrong = 0;
    for (let seed = 5001; seed <= 5300; seed++) {
      const { log, truth } = makeRecord(seed);
      const rowS = log.time[log.rows - 1] / log.rows;
      const moved = (e: LogEvent): boolean => truth.some((t) => Math.abs(t.fromS - e.atS) < 4 * rowS);
      wrong += steps(log).filter((e) => !moved(e)).length;
    }
    expect(wrong).toBeLessThanOrEqual(2);
  });
});

describe('the single reading that nobody flagged', () => {
  it('parts no stretch and is no isolation', () => {
    const rise = (t: number): number =>
      t < 300 ? 1 : t < 1000 ? 1 + 0.01 * (t - 300) : 1 + 7 * Math.exp(-(t - 1000) / 4);
    const clean = findSegments(logOf(1400, rise)).segments.map(({ kind, from, to }) => [kind, from, to]);
    for (const at of [150, 500, 700, 1200]) {
      const spiked = findSegments(logOf(1400, (t) => rise(t) * (t === at ? 6 : 1)));
      expect(spiked.segments.map((s) => s.kind)).toEqual(clean.map(([kind]) => kind));
      spiked.segments.forEach((s, k) => {
        expect(Math.abs(s.from - Number(clean[k][1]))).toBeLessThanOrEqual(1);
      });
      expect(spiked.notes.join()).toMatch(/excursions? of a single reading/);
    }
  });
});
