import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { displayBundle } from '../../kernel-helpers/display';
import { readSetPoints, runNow, setPointsPassed } from '../../src';
import { ArgumentError, QuantityError, QuestionError } from '../../src/errors';
import { type GaugeLog, readLog } from '../../src/log';
import { quantity } from '../../src/units';

/** The demo log as it stood at a second; what truly happened in it is in `datasets/watch-a-run.ts`. */
const lines = readFileSync(join(__dirname, '../../datasets/watch-a-run.csv'), 'utf8').trimEnd().split('\n');
const at = (second: number): GaugeLog =>
  readLog(new TextEncoder().encode(`${lines.slice(0, 4 + second).join('\n')}\n`), { file: 'run.csv' });
const truth = JSON.parse(readFileSync(join(__dirname, '../../datasets/truth.json'), 'utf8'))['watch-a-run.csv'] as {
  segments: Record<string, Record<string, number>>[];
};
const sum = (loads: Record<string, number>): number => Object.values(loads).reduce((all, one) => all + one, 0);
const last = truth.segments[truth.segments.length - 1];
const loadAtClosing = sum(last['loads at the start, Pa m3/s']);
const loadAtEnd = sum(last['loads at the end, Pa m3/s']);
const torr = (pa: number): number => pa / 133.322368;

describe('how a run stands while its log is being written', () => {
  it('over range from the start: the word, and no trend yet', () => {
    const now = runNow(at(20));
    expect(now.reading.flag).toBe('over range');
    expect([now.trend, now.doing, now.isolation]).toEqual([null, null, null]);
    expect(now.setPoints.map((point) => point.now)).toEqual([null, null, null]);
  });

  it('reads the last row in the unit of the log', () => {
    const now = runNow(at(900));
    expect(now.unit).toBe('Torr');
    expect(torr(now.reading.pa)).toBeCloseTo(Number(lines[3 + 900].split(',')[1]), 6);
    expect(now).toMatchObject({ atS: 900, stepS: 1, sinceLastRowS: null, doing: { kind: 'steady' } });
  });

  it('reads a dial that counts from the barometer in its absolute unit', () => {
    const rows = Array.from({ length: 60 }, (_, i) => `${i},${(-14 - 0.6 * (1 - Math.exp(-i / 9))).toFixed(4)}`);
    const log = readLog(new TextEncoder().encode(`time (s),chamber (psig)\n${rows.join('\n')}\n`), {
      barometerPa: 101325,
    });
    const now = runNow(log, { setPoints: [quantity('0.1 psia')] });
    expect(now.unit).toBe('psia');
    expect(now.setPoints[0].label).toBe('0.1 psia');
    // calc: 101325 Pa are 14.6959 psia, less the last row's 14.5993
    expect(displayBundle(now).data['text/plain']).toMatch(/^0\.09\d+ psia$/m);
  });

  it('a joint that gives way after the pressure stood for minutes is told within ten seconds', () => {
    expect(runNow(at(1080)).changes).toEqual([]);
    const [change] = runNow(at(1090)).changes;
    expect(change.kind).toBe('rise from rest');
    expect(Math.abs(change.atS - 1080)).toBeLessThanOrEqual(3);
  });

  it('once the new level stands it is a step, by the flow that came in over the pumping speed', () => {
    const [step, ...others] = runNow(at(1240)).changes;
    expect(others).toEqual([]);
    expect(step.kind).toBe('step');
    // calc: 0.07 Pa m3/s over 4 L/s less what the line takes, some 0.14 Torr
    expect(torr(step.toPa - step.fromPa)).toBeGreaterThan(0.12);
    expect(torr(step.toPa - step.fromPa)).toBeLessThan(0.16);
  });

  it('a short burst is told while it is pumped away', () => {
    const burst = runNow(at(1530)).changes.find(({ kind }) => kind === 'burst');
    expect(burst?.atS).toBeGreaterThanOrEqual(1499);
    expect(burst?.atS).toBeLessThanOrEqual(1503);
    expect(torr(burst!.toPa)).toBeGreaterThan(0.8);
  });

  it.each([
    1810, 1815, 1830, 1860, 1920, 2040, 2160,
  ])('a running isolation has its rate of rise %i s after the first row, with the true one in its interval', (second) => {
    const { isolation } = runNow(at(second), { volume: quantity('45 L') });
    expect(isolation?.segment.startS).toBeGreaterThanOrEqual(1798);
    const { gasLoad } = isolation!;
    // The truth is taken as going straight from the load at closing to that at the end of the record.
    const load = loadAtClosing + ((loadAtEnd - loadAtClosing) * (second - 1800)) / 720;
    expect(gasLoad!.low).toBeLessThan(load);
    expect(gasLoad!.high).toBeGreaterThan(load);
    if (second >= 1830) expect((gasLoad!.high - gasLoad!.low) / load).toBeLessThan(0.7);
    expect(isolation!.rate.low).toBeGreaterThan(0);
  });

  it('there is none while the pump is on', () => {
    for (const second of [400, 900, 1700]) expect(runNow(at(second)).isolation).toBeNull();
  });

  it('a set point is below, above, or about where it has come back no further than a tenth', () => {
    const states = (second: number): unknown => runNow(at(second)).setPoints.map((point) => [point.label, point.now]);
    expect(states(60)).toEqual([
      ['20 Torr', 'above'],
      ['500 mTorr', 'above'],
      ['200 mTorr', 'above'],
    ]);
    expect(states(900)).toEqual([
      ['20 Torr', 'below'],
      ['500 mTorr', 'below'],
      ['200 mTorr', 'below'],
    ]);
    expect(states(2160)).toEqual([
      ['20 Torr', 'below'],
      ['500 mTorr', 'about'],
      ['200 mTorr', 'above'],
    ]);
    const [roughing] = runNow(at(900)).setPoints;
    expect(Number(lines[3 + Math.floor(roughing.sinceS!)].split(',')[1])).toBeGreaterThan(20);
    expect(Number(lines[4 + Math.floor(roughing.sinceS!)].split(',')[1])).toBeLessThan(20);
  });

  it('asks where the unit is open, and refuses a gauge that is not there', () => {
    const bare = readLog(new TextEncoder().encode('time (s),p\n0,1\n1,2\n2,3\n3,2\n'), { file: 'bare.csv' });
    expect(() => runNow(bare)).toThrow(QuestionError);
    expect(() => runNow(at(900), { channel: 'none' })).toThrow(ArgumentError);
    expect(() => setPointsPassed(at(900), 'vessel [Torr]', [0])).toThrow(ArgumentError);
  });
});

describe('a list of set points', () => {
  it('is read with semicolons between them', () => {
    const read = readSetPoints('20 Torr; 500 mTorr;; 0.2 Torr ');
    // calc: 1 Torr = 101325/760 Pa
    expect(read.map(({ si }) => Number(((si * 760) / 101325).toPrecision(9)))).toEqual([20, 0.5, 0.2]);
    expect(readSetPoints(' ')).toEqual([]);
  });

  it('refuses what is no pressure', () => {
    expect(() => readSetPoints('20 L')).toThrow(QuantityError);
    expect(() => readSetPoints('-1 Torr')).toThrow(ArgumentError);
  });
});

describe('the large figures', () => {
  const now = runNow(at(1530));
  const html = String(displayBundle(now, { figurePx: 200 }).data['text/html']);
  const text = String(displayBundle(now).data['text/plain']);

  it('are paragraphs with a size of type, and nothing that a sanitiser takes away', () => {
    expect([...html.matchAll(/<(\w+)/g)].map(([, tag]) => tag).every((tag) => tag === 'p' || tag === 'strong')).toBe(
      true,
    );
    expect(html).toMatch(
      /^<p style="font-size:80px;line-height:1.2;margin:0"><strong style="font-size:200px;line-height:1.2">/,
    );
    expect(html).not.toMatch(/<(?:script|style|svg|img|a)\b|url\(|class=/);
  });

  it('are no larger than fits where there is little room, for a figure that is cut off reads as another number', () => {
    const narrow = String(displayBundle(now, { figurePx: 200, withinPx: 328 }).data['text/html']);
    const [, px, figure] = /<strong style="font-size:(\d+)px[^>]*>([\d.]+)</.exec(narrow) ?? [];
    expect(figure).toMatch(/^0\.\d{3}$/);
    expect(Number(px)).toBeLessThan(200);
    expect(Number(px)).toBeGreaterThan(80);
    // calc: a bold digit is at most 0.7 of its height wide in DejaVu Sans, the widest usual type
    expect(Number(px) * 0.7 * figure.length).toBeLessThanOrEqual(329);
  });

  it('say the same as text, reading first, and what came at once with a mark', () => {
    expect(text).toMatch(/^0\.\d{3} Torr\n▼ falls [\d.]+ ± [\d.]+ Torr\/min\n/);
    expect(text).toMatch(/^! burst of gas 29 s ago: 0\.1[12]\d to 0\.9\d\d Torr$/m);
    expect(text).toMatch(/^✔ below 20 Torr, passed 24 min ago$/m);
  });

  it('say on top that no row comes any more: after ten seconds, or five of the usual steps of a slow log', () => {
    const top = (state: object): string => String(displayBundle(state).data['text/plain']).split('\n')[0];
    expect(top({ ...now, sinceLastRowS: 5 })).not.toContain('no new row');
    expect(top({ ...now, sinceLastRowS: 10 })).toBe('! no new row for 10 s: what follows is old');
    expect(top({ ...now, stepS: 60, sinceLastRowS: 120 })).not.toContain('no new row');
    expect(top({ ...now, stepS: 60, sinceLastRowS: 300 })).toBe('! no new row for 5.0 min: what follows is old');
  });

  it('show what comes out of a file as text', () => {
    const odd = { ...now, channel: '<img src=x>', reading: { pa: Number.NaN, flag: 'over range' }, unit: 'Torr' };
    expect(String(displayBundle(odd).data['text/html'])).not.toContain('<img');
  });
});
