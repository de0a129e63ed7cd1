import { describe, expect, it } from 'vitest';
import { fitRecord, judge, parseLimit } from '../../src/fits';
import { quantity } from '../../src/units';
import { channel, evenly, madeLog, normal, seeded, stretch } from './made-logs';

describe('reading a limit', () => {
  it('knows a throughput', () => {
    const limit = parseLimit('1e-4 mbar L/s');
    expect(limit.kind).toBe('throughput');
    expect(limit.value).toBeCloseTo(1e-5, 15);
    expect([limit.afterS, limit.overS, limit.fromBelowPa]).toEqual([null, null, null]);
  });

  it('knows the limit of a furnace: rate, dwell, window and start', () => {
    const limit = parseLimit('10 mTorr/h after 15 min over 1 h from below 50 mTorr');
    expect(limit.kind).toBe('rate of rise');
    // 1 mTorr = 0.133322368... Pa exactly by definition of the torr (101325/760 Pa).
    expect(limit.value).toBeCloseTo((10 * 101325) / 760 / 1000 / 3600, 12);
    expect(limit.afterS).toBe(900);
    expect(limit.overS).toBe(3600);
    expect(limit.fromBelowPa).toBeCloseTo((50 * 101325) / 760 / 1000, 10);
  });

  it.each(['<= 5 Pa/min', 'max. 5 Pa/min', '5 Pa/min'])('takes %s alike', (text) => {
    expect(parseLimit(text).value).toBeCloseTo(5 / 60, 12);
  });

  it.each(['12 L', '', 'tight', '0 mbar L/s'])('refuses "%s"', (text) => {
    expect(() => parseLimit(text)).toThrow(/quantity: met/);
  });
});

describe('judging by guarded acceptance', () => {
  it('passes only what is within the limit at the stated risk', () => {
    // A normal value of 1 +- 0.1 (k = 1): P(below 1.1645) = 0.95, P(below 0.8355) = 0.05 (normal quantile 1.645).
    const value = { value: 1, low: 1 - 0.1959964, high: 1 + 0.1959964 };
    expect(judge(1.17, value).conforms).toBe('yes');
    expect(judge(1.16, value).conforms).toBe('inconclusive');
    expect(judge(0.84, value).conforms).toBe('inconclusive');
    expect(judge(0.83, value).conforms).toBe('no');
    expect(judge(1.1645, value).probability).toBeCloseTo(0.95, 3);
    expect(judge(1.16, value, { risk: 0.1 }).conforms).toBe('yes');
  });

  it('states its rule, its risk and the figures', () => {
    const said = judge(1.17, { value: 1, low: 0.8, high: 1.2 }, { of: 'gas load' });
    expect(said.rule).toContain('JCGM 106');
    expect(said.risk).toContain('at most 5 %');
    expect(said.text).toContain('the gas load of 1.00 is within 1.17');
  });

  it.each([
    [0.2, '80 %', '20 %'],
    [0.1, '90 %', '10 %'],
    [0.05, '95 %', '5 %'],
    [0.025, '97.5 %', '2.5 %'],
    [0.001, '99.9 %', '0.1 %'],
  ])('writes the risk of %s as it judges', (risk, yes, no) => {
    const { rule, risk: said } = judge(1.17, { value: 1, low: 0.8, high: 1.2 }, { risk });
    expect(rule).toContain(`at least ${yes}, no where with at most ${no}`);
    expect(said).toContain(`at most ${no}`);
  });

  it('gives a false yes in at most 5 % of measurements whose true value lies just above the limit', () => {
    const random = seeded(4);
    let passed = 0;
    const runs = 4000;
    for (let run = 0; run < runs; run++) {
      const measured = 1.0001 + 0.1 * normal(random);
      const half = 0.1 * 1.959964;
      if (judge(1, { value: measured, low: measured - half, high: measured + half }).conforms === 'yes') passed++;
    }
    expect(passed / runs).toBeLessThan(0.06);
    expect(passed / runs).toBeGreaterThan(0.03);
  });
});

describe('a record against its limit', () => {
  // A furnace that rises by 8 mTorr/h after a first quarter of an hour in which it rises faster.
  const mTorr = 101325 / 760 / 1000;
  const time = evenly(500, 10);
  const random = seeded(9);
  const pa = Float64Array.from(time, (t) => {
    const rise = (8 * t) / 3600 - 5 * Math.expm1(-t / 200);
    return (30 + rise + 0.02 * normal(random)) * mTorr;
  });
  const log = madeLog(time, [channel('p', pa, { resolution: 0.001 * mTorr })]);
  const segmented = {
    channel: 'p',
    segments: [stretch(log, 'isolation')],
    events: [],
    corrections: [],
    notes: [],
  };
  const judged = (limit: string, more = {}) =>
    fitRecord(log, segmented, { limit: parseLimit(limit), gauge: 'capacitance', ...more }).conformity!;

  it('is judged with the dwell and window that the limit names', () => {
    expect(judged('10 mTorr/h after 15 min over 1 h from below 50 mTorr').conforms).toBe('yes');
    expect(judged('7 mTorr/h after 15 min over 1 h from below 50 mTorr').conforms).toBe('no');
    expect(judged('10 mTorr/h').conforms).toBe('no');
  });

  it('is inconclusive where the conditions of the limit are not met, and says which', () => {
    const short = judged('10 mTorr/h after 15 min over 2 h');
    expect(short.conforms).toBe('inconclusive');
    expect(short.text).toBe('the isolation lasts 4990 s; the limit asks for 8100 s');
    const high = judged('10 mTorr/h after 15 min over 1 h from below 20 mTorr');
    expect(high.conforms).toBe('inconclusive');
    expect(high.text).toMatch(/starts at .* not below/);
  });

  it('needs the volume for a throughput', () => {
    expect(judged('1e-4 mbar L/s').text).toBe('a limit as a throughput needs the volume');
    expect(judged('1e-4 mbar L/s', { volume: quantity('10 L') }).conforms).toBe('yes');
  });
});
