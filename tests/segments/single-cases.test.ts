import { describe, expect, it } from 'vitest';
import type { GaugeLog } from '../../src/log/gauge-log';
import {
  chooseChannel,
  correctSegments,
  crossings,
  findSegments,
  type SegmentKind,
  steadySince,
  timeToSetPoint,
} from '../../src/segments';
import { asLog, gaugeColumn, randomFrom } from './made-records';

/** A log of one gauge, one reading per step, with relative noise. */
function logOf(count: number, stepS: number, pa: (t: number) => number, noise = 0.002, seed = 1): GaugeLog {
  const r = randomFrom(seed);
  const time = Float64Array.from({ length: count }, (_, i) => i * stepS);
  const values = time.map((t) => pa(t) * (1 + noise * (r() + r() + r() + r() - 2) * 1.73));
  return asLog('made.csv', time, [gaugeColumn('p', values)]);
}

const kinds = (log: GaugeLog): SegmentKind[] => findSegments(log).segments.map((s) => s.kind);
const isolations = (log: GaugeLog): number => kinds(log).filter((k) => k === 'isolation').length;

describe('a slow fill by a pump that the logger does not resolve', () => {
  const fill = (t: number): number => (t >= 3000 && t < 3900 ? 2.2 * (t - 2970) : 0);
  const shut = (t: number): number => (t >= 9000 && t < 9900 ? 0.004 * (t - 8970) : 0);
  const pumpedFrom = (t: number): number => 2e4 * Math.exp(-t / 12);

  it('is a fill where another isolation of the record rises far more slowly', () => {
    const log = logOf(420, 30, (t) => 1 + pumpedFrom(t) + fill(t) + shut(t));
    const { segments } = findSegments(log);
    expect(segments.filter((s) => s.kind === 'fill').map((s) => s.startS)).toEqual([3000]);
    expect(segments.filter((s) => s.kind === 'isolation').map((s) => s.startS)).toEqual([9000]);
  });

  it('is not told from a big leak where there is no other, or where the chamber stood open in between', () => {
    const alone = findSegments(logOf(300, 30, (t) => 1 + pumpedFrom(t) + fill(t))).segments;
    expect(alone.filter((s) => s.kind === 'isolation').map((s) => s.startS)).toEqual([3000]);
    const mended = logOf(420, 30, (t) => {
      if (t >= 5400 && t < 6300) return 101325;
      return 1 + pumpedFrom(t < 6300 ? t : t - 6300) + fill(t) + shut(t);
    });
    const { segments } = findSegments(mended);
    // One row late: its first reading has hardly risen.
    expect(segments.filter((s) => s.kind === 'isolation').map((s) => s.startS)).toEqual([3000, 9030]);
    expect(segments.filter((s) => s.kind === 'atmosphere').map((s) => [s.startS, s.endS])).toEqual([[5400, 6270]]);
  });
});

describe('pressures at the ends of a stretch', () => {
  it('are the first and the last reading where there are few', () => {
    const minutes = [0, 1, 2, 4, 9];
    const log = asLog(
      'few.csv',
      Float64Array.from(minutes, (m) => 60 * m),
      [gaugeColumn('p', [20, 30, 36.5, 43.5, 51.5])],
    );
    const { segments } = findSegments(log);
    expect(segments.map(({ startPa, endPa }) => [startPa, endPa])).toEqual([[20, 51.5]]);
  });

  it('are the atmosphere that a steep fall begins at, and medians in noise', () => {
    const log = logOf(400, 1, (t) => 0.5 + 101325 * Math.exp(-t / 2), 0.01);
    log.channels[0].values[399] *= 1.05;
    const { segments } = findSegments(log);
    expect(segments[0].startPa).toBe(log.channels[0].values[0]);
    const last = log.channels[0].values.slice(-3).sort();
    expect(segments[segments.length - 1].endPa).toBe(last[1]);
  });
});

describe('records without an isolation', () => {
  it('a base on the edge of a decade, read to three digits, has none', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const log = logOf(4000, 1, (t) => 1.0026 + 30 * Math.exp(-t / 50), 0.0022, seed);
      const { values } = log.channels[0];
      for (let i = 0; i < values.length; i++) values[i] = Number(values[i].toPrecision(3));
      expect(isolations(log)).toBe(0);
    }
  });

  it('gas turned on beside the pump, and a tracer that comes and goes in its time, have none', () => {
    for (const size of [0.08, 0.3, 3, 100]) {
      const on = (t: number): number => 1 - Math.exp(-t / 20);
      const flow = (t: number): number => (t < 900 ? 0 : t < 1100 ? on(t - 900) : on(200) * Math.exp(-(t - 1100) / 20));
      const log = logOf(2000, 2, (t) => 4 * (1 + size * flow(t)) + 1000 * Math.exp(-t / 20), 0.004);
      expect(isolations(log)).toBe(0);
      expect(kinds(log)).toContain('regulated');
    }
  });

  it('a tail of t^-1 with noise has none', () => {
    for (let seed = 1; seed <= 30; seed++) {
      expect(isolations(logOf(3000, 10, (t) => 1e-2 / (1 + t / 60), 0.02, seed))).toBe(0);
    }
  });

  it('a base that breathes with the temperature of the hall has none', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const log = logOf(4000, 20, (t) => 1e-4 * (1 + 0.12 * Math.sin((6.283 * t) / 30000 + seed)), 0.005, seed);
      expect(isolations(log)).toBe(0);
    }
  });

  it('a pump that is throttled has none: the pressure bends over gently', () => {
    const rise = (s: number): number => (9e-3 * (1 - Math.exp(-s / 120))) / (1 + s / 2000);
    const log = logOf(4000, 5, (t) => 1e-3 + (t < 1500 ? 0 : rise(t - 1500)));
    expect(isolations(log)).toBe(0);
  });

  it('a bake-out is called so', () => {
    const log = logOf(4000, 10, (t) => 1e-5 * 30 ** (0.5 - 0.5 * Math.cos((6.283 * Math.max(0, t - 5000)) / 36000)));
    expect(kinds(log)).toContain('bake-out');
    expect(isolations(log)).toBe(0);
  });

  it('a burst that is pumped away is an event, not a segment', () => {
    const log = logOf(600, 1, (t) => 1e-3 + (t >= 300 ? 2e-2 * Math.exp(-(t - 300) / 8) : 0));
    const found = findSegments(log);
    expect(found.segments.filter((s) => s.kind === 'isolation')).toEqual([]);
    const burst = found.events.filter((e) => e.kind === 'burst');
    expect(burst).toHaveLength(1);
    expect(burst[0].text).toMatch(/^a burst of gas from 0.001 Pa to 0.01\d* Pa, pumped away$/);
    expect(Math.abs(burst[0].atS - 300)).toBeLessThanOrEqual(2);
    expect(burst[0].numbers.rise_Pa).toBeGreaterThan(1e-2);
  });
});

describe('isolations of every shape', () => {
  const around =
    (inside: (s: number) => number, base = 1e-3) =>
    (t: number) =>
      t < 400 ? base : t < 800 ? inside(t - 400) : base + (inside(400) - base) * Math.exp(-(t - 800) / 5);

  it.each([
    ['linear', (s: number) => 1e-3 + 2e-5 * s],
    ['bending over', (s: number) => 1e-3 + 4e-3 * (1 - Math.exp(-s / 100))],
    ['with a burst at closing', (s: number) => 1.6e-3 + 1e-5 * s],
  ])('%s', (_, inside) => {
    const found = findSegments(logOf(1200, 1, around(inside)));
    const one = found.segments.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].from - 400)).toBeLessThanOrEqual(3);
    expect(Math.abs(one[0].to - 799)).toBeLessThanOrEqual(3);
  });

  it('flat: a fall that stops at once and later goes on', () => {
    const fall = (t: number): number => 1000 * Math.exp(-t / 60);
    const log = logOf(1500, 1, (t) => (t < 300 ? fall(t) : t < 700 ? fall(300) : fall(t - 400)) + 1e-3);
    const one = findSegments(log).segments.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].from - 300)).toBeLessThanOrEqual(3);
    expect(Math.abs(one[0].to - 699)).toBeLessThanOrEqual(3);
  });

  it('alone in its log, with five readings', () => {
    const log = asLog('rise.csv', Float64Array.of(0, 60, 180, 300, 600), [gaugeColumn('p', [20, 30, 43, 50, 58])]);
    expect(kinds(log)).toEqual(['isolation']);
  });

  it('of two readings', () => {
    expect(kinds(asLog('rise.csv', Float64Array.of(0, 60), [gaugeColumn('p', [20, 30])]))).toEqual(['isolation']);
  });

  it('of the worked example of US 40 CFR 1065.644: 25.3 to 50.6 kPa in 70 s', () => {
    expect(kinds(asLog('decay.csv', Float64Array.of(0, 70), [gaugeColumn('p', [25_300, 50_600])]))).toEqual([
      'isolation',
    ]);
  });

  it.each([
    5, 20, 200, 5000,
  ])('as a whole record of %d readings: straight, bent over, or to half an atmosphere', (n) => {
    const part = (t: number): number => t / (n - 1);
    expect(kinds(logOf(n, 1, (t) => 1 + 9 * part(t)))).toEqual(['isolation']);
    expect(kinds(logOf(n, 1, (t) => 1 + 2300 * (1 - Math.exp(-6 * part(t)))))).toEqual(['isolation']);
    expect(kinds(logOf(n, 1, (t) => 1 + 5e4 * part(t)))).toEqual(['isolation']);
  });

  it('by a big leak, through four decades within minutes, where the pump is faster than the logger', () => {
    // calc: base 1 Pa = leak/S, V/S 0.2 s, so that it rises by 5 Pa/s when it is shut
    const log = logOf(1500, 2, (t) => (t < 600 || t >= 1200 ? 1 : 1 + 5 * (t - 600)));
    const found = findSegments(log).segments;
    expect(found.some((s) => s.kind === 'fill')).toBe(false);
    const one = found.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].startS - 600)).toBeLessThanOrEqual(4);
    expect(Math.abs(one[0].endS - 1198)).toBeLessThanOrEqual(4);
  });

  it('on gas that held the chamber before, with a plateau of vapour (calc: ice at 54 Pa, V/C 20 s)', () => {
    const log = logOf(1200, 1, (t) => {
      if (t < 300) return 4;
      if (t < 700) return 10;
      return t < 850 ? 54 - 44 * Math.exp(-(t - 700) / 20) : 4 + 50 * Math.exp(-(t - 850) / 3);
    });
    const found = findSegments(log).segments;
    expect(found.map((s) => s.kind)).toContain('regulated');
    const one = found.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].startS - 700)).toBeLessThanOrEqual(2);
    expect(Math.abs(one[0].endS - 849)).toBeLessThanOrEqual(2);
  });

  it('a burst of ten times the base at closing, and the rise after it', () => {
    const log = logOf(1200, 1, (t) => (t < 400 ? 1e-3 : t < 800 ? 1.1e-2 + 1e-5 * (t - 400) : 1e-3));
    const one = findSegments(log).segments.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].from - 400)).toBeLessThanOrEqual(2);
    expect(Math.abs(one[0].to - 799)).toBeLessThanOrEqual(2);
  });

  it('after a fill, where the gas that is shut in cools', () => {
    const log = logOf(
      1500,
      1,
      (t) => {
        if (t < 300) return 1 + 1e5 * Math.exp(-t / 10);
        if (t < 500) return 1 + 300 * (t - 300);
        return t < 900 ? 6e4 - 400 * (1 - Math.exp(-(t - 500) / 200)) : 1 + 6e4 * Math.exp(-(t - 900) / 10);
      },
      2e-5,
    );
    const found = findSegments(log).segments;
    expect(found.map((s) => s.kind)).toContain('fill');
    const one = found.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(one[0].startS).toBeLessThan(520);
  });
});

describe('a gauge on the side of the pump', () => {
  const pa = (t: number): number => {
    if (t < 300) return 1e-3;
    if (t < 700) return 1e-4 + 9e-4 * Math.exp(-(t - 300) / 2);
    return 1e-3 + 4e-3 * Math.exp(-(t - 700) / 4);
  };

  it('is noticed', () => {
    const found = findSegments(logOf(1200, 1, pa));
    const one = found.segments.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(one[0].pumpSide).toBe(true);
    expect(Math.abs(one[0].from - 300)).toBeLessThanOrEqual(3);
    expect(Math.abs(one[0].to - 699)).toBeLessThanOrEqual(3);
    expect(found.notes.join()).toMatch(/pump's side/);
  });

  it('is believed when told, either way', () => {
    const rising = logOf(1200, 1, (t) => (t < 400 ? 1e-3 : 1e-3 + 2e-5 * (t - 400)));
    const told = findSegments(rising, { gaugeSide: 'pump' }).segments.filter((s) => s.kind === 'isolation');
    expect(told.map((s) => s.pumpSide)).toEqual([true]);
    const chamber = findSegments(logOf(1200, 1, pa), { gaugeSide: 'chamber' });
    expect(chamber.segments.some((s) => s.pumpSide)).toBe(false);
  });
});

describe('flags, outages, gaps and remarks', () => {
  it('uses no flagged reading', () => {
    const log = logOf(1200, 1, (t) => (t < 400 || t >= 800 ? 1e-3 : 1e-3 + 2e-5 * (t - 400)));
    const spoiled = log.channels[0];
    for (let i = 5; i < 1200; i += 7) {
      spoiled.values[i] = i % 2 === 0 ? 9.9e9 : Number.NaN;
      spoiled.flags[i] = i % 2 === 0 ? 4 : 1;
    }
    const one = findSegments(log).segments.filter((s) => s.kind === 'isolation');
    expect(one).toHaveLength(1);
    expect(Math.abs(one[0].from - 400)).toBeLessThanOrEqual(3);
  });

  it('calls a long outage unknown, and a pause a gap', () => {
    const log = logOf(900, 1, () => 1e-3);
    log.channels[0].flags.fill(4, 300, 400);
    const found = findSegments({ ...log, remarks: [{ atS: 12, text: 'door shut' }] });
    expect(found.segments.map(({ kind, from, to }) => [kind, from, to])).toContainEqual(['unknown', 300, 399]);
    expect(found.events.find((e) => e.kind === 'gap')!.numbers.for_s).toBe(101);
    expect(found.events.find((e) => e.kind === 'remark')!.text).toBe('door shut');
  });
});

describe('logs that are hardly one', () => {
  const seconds = (n: number): Float64Array => Float64Array.from({ length: n }, (_, i) => i);

  it('a gauge that stands, at zero, or about its zero, is steady', () => {
    const r = randomFrom(11);
    const about = Array.from({ length: 300 }, () => (r() - 0.5) * 1e-3);
    for (const values of [new Array(300).fill(5), new Array(300).fill(0), about]) {
      expect(kinds(asLog('a.csv', seconds(300), [gaugeColumn('p', values)]))).toEqual(['steady']);
    }
  });

  it('without two good readings is refused', () => {
    const log = asLog('a.csv', seconds(5), [gaugeColumn('p', [1, Number.NaN, Number.NaN, Number.NaN, Number.NaN])]);
    expect(() => findSegments(log)).toThrow('channels "p": met "fewer than two good readings", expected two at least');
  });

  it('any walk with jumps, pauses, equal stamps, negatives and flags is covered row by row, without NaN', () => {
    const r = randomFrom(7);
    for (let k = 0; k < 300; k++) {
      const count = 10 + Math.floor(300 * r() * r());
      const time = new Float64Array(count);
      const values = new Float64Array(count);
      let p = 10 ** (r() * 10 - 5);
      for (let i = 0; i < count; i++) {
        time[i] = (i > 0 ? time[i - 1] : 0) + (r() < 0.1 ? 0 : r() < 0.02 ? 100 * r() : 1);
        p = r() < 0.02 ? 10 ** (r() * 10 - 5) : p * (1 + 0.2 * (r() - 0.5));
        values[i] = r() < 0.01 ? -p : r() < 0.3 ? Number(p.toPrecision(2)) : p;
      }
      const channel = gaugeColumn('p', values);
      for (let i = 2; i < count; i++) if (r() < 0.05) channel.flags[i] = 4;
      const { segments, events } = findSegments(asLog('walk.csv', time, [channel]));
      expect(segments[0].from).toBe(0);
      expect(segments[segments.length - 1].to).toBe(count - 1);
      for (let j = 1; j < segments.length; j++) expect(segments[j].from).toBe(segments[j - 1].to + 1);
      for (const s of segments) expect(s.kind === 'unknown' || Number.isFinite(s.startPa + s.endPa)).toBe(true);
      for (const e of events) expect([e.atS, ...Object.values(e.numbers)].every(Number.isFinite)).toBe(true);
    }
  });
});

describe('the channel', () => {
  const time = Float64Array.from({ length: 100 }, (_, i) => i);
  const fall = Array.from(time, (t) => 100 * Math.exp(-t / 10) + 1);

  it('is chosen among gauges that follow each other, with a note', () => {
    const log = asLog('two.csv', time, [
      gaugeColumn(
        'A',
        fall.map((p) => 1.1 * p),
      ),
      gaugeColumn('B', fall),
    ]);
    log.channels[0].flags.fill(1, 0, 50);
    const { channel, notes } = chooseChannel(log);
    expect(channel.name).toBe('B');
    expect(notes[0]).toMatch(/"A" follows it/);
  });

  it('is asked for where they do not', () => {
    const log = asLog('two.csv', time, [
      gaugeColumn('A', fall),
      gaugeColumn(
        'foreline',
        fall.map(() => 30),
      ),
    ]);
    expect(() => chooseChannel(log)).toThrow(
      /^the log has 2 pressure .* do not follow each other; which one is to be judged\? \(answer with --channel NAME\)$/,
    );
    expect(chooseChannel(log, 'fore').channel.name).toBe('foreline');
  });

  it('leaves set points out, and says what is wrong with a name', () => {
    const log = asLog('two.csv', time, [
      gaugeColumn('p', fall),
      gaugeColumn(
        'p set point',
        fall.map(() => 5),
      ),
    ]);
    expect(chooseChannel(log).channel.name).toBe('p');
    expect(() => chooseChannel(log, 'q')).toThrow(
      'channel: met "q", expected the name of one pressure channel, one of "p"',
    );
  });
});

describe('set points', () => {
  it('are crossed once, whatever the noise: hysteresis', () => {
    const r = randomFrom(3);
    const time = Float64Array.from({ length: 2000 }, (_, i) => i);
    const pa = time.map((t) => 100 * Math.exp(-t / 400) * (1 + 0.03 * (r() - 0.5)));
    const found = crossings(time, pa, 20);
    expect(found).toHaveLength(1);
    expect(found[0].down).toBe(true);
    // calc: 400 ln 5 = 643.8 s
    expect(Math.abs(found[0].atS - 643.8)).toBeLessThan(15);
  });

  it('take 23.0 s from 100 to 10 at V/S = 10 s (calc: 10 ln 10)', () => {
    const log = asLog(
      'a.csv',
      Float64Array.from({ length: 400 }, (_, i) => i / 4),
      [
        gaugeColumn(
          'p',
          Array.from({ length: 400 }, (_, i) => 100 * Math.exp(-i / 40)),
        ),
      ],
    );
    const [segment] = findSegments(log).segments;
    expect(segment.kind).toBe('pump-down');
    expect(timeToSetPoint(log, 'p', segment, 10)!).toBeCloseTo(23.026, 2);
    expect(timeToSetPoint(log, 'p', segment, 1e-9)).toBeNull();
    expect(timeToSetPoint(log, 'p', segment, 500)).toBe(0);
    expect(() => timeToSetPoint(log, 'p', segment, 0)).toThrow('set point: met 0, expected a positive pressure in Pa');
  });

  it('steady since', () => {
    const found = findSegments(logOf(900, 1, (t) => 1e-3 + 100 * Math.exp(-t / 10)));
    const { sinceS, forS } = steadySince(found)!;
    expect(sinceS).toBeGreaterThan(100);
    expect(sinceS).toBeLessThan(300);
    expect(sinceS + forS).toBe(899);
    expect(steadySince(findSegments(logOf(300, 1, (t) => 100 * Math.exp(-t / 40))))).toBeNull();
  });
});

describe('corrections', () => {
  const log = logOf(1200, 1, (t) => (t < 400 ? 1e-3 : t < 800 ? 1e-3 + 2e-5 * (t - 400) : 1e-3));

  it('move a boundary, with the reason kept, and leave the found segments as they were', () => {
    const found = findSegments(log);
    const before = JSON.stringify(found);
    const changed = correctSegments(found, [{ kind: 'isolation', fromS: 410, toS: 700, reason: 'valve log' }], log);
    const one = changed.segments.find((s) => s.correction !== undefined)!;
    expect([one.from, one.to, one.kind]).toEqual([410, 700, 'isolation']);
    expect(one.grounds).toEqual(['a person says so: valve log']);
    expect(changed.corrections).toHaveLength(1);
    expect(JSON.stringify(found)).toBe(before);
    for (let k = 1; k < changed.segments.length; k++) {
      expect(changed.segments[k].from).toBe(changed.segments[k - 1].to + 1);
    }
  });

  it('exclude a stretch, and come with the options too', () => {
    const corrections = [{ kind: 'exclude', fromS: 500, toS: 600, reason: 'hammering nearby' }] as const;
    const { segments } = findSegments(log, { corrections });
    expect(segments.some((s) => s.from <= 600 && s.to >= 500)).toBe(false);
    expect(segments.filter((s) => s.kind === 'isolation')).toHaveLength(2);
  });

  it('need a reason and an order', () => {
    const found = findSegments(log);
    const wrong = { kind: 'steady', fromS: 10, toS: 5, reason: 'x' } as const;
    expect(() => correctSegments(found, [wrong], log)).toThrow(
      'correction: met "10 s to 5 s", expected a start before its end, s from the first row',
    );
    expect(() => correctSegments(found, [{ ...wrong, toS: 20, reason: ' ' }], log)).toThrow(
      'expected a reason in words',
    );
  });
});

describe('speed', () => {
  it('a million rows are segmented in seconds', () => {
    const count = 1_000_000;
    const log = logOf(count, 1, (t) => {
      const phase = t % 100000;
      if (phase < 60000) return 1e-4 + 1e5 * Math.exp(-phase / 300);
      return phase < 70000 ? 1e-4 + 1e-7 * (phase - 60000) : 1e-4 + 1e-3 * Math.exp(-(phase - 70000) / 300);
    });
    const started = performance.now();
    const found = findSegments(log);
    const took = performance.now() - started;
    console.log(`a million rows: ${Math.round(took)} ms`);
    expect(found.segments.filter((s) => s.kind === 'isolation')).toHaveLength(10);
    expect(took).toBeLessThan(10_000);
  });
});
