import { describe, expect, it } from 'vitest';
import { analyse, analysisJson, analysisReport } from '../../src/investigation';
import { readLog } from '../../src/log';
import { randomStream } from '../../src/numerics';
import { quantity } from '../../src/units';

const text = `time [s],p [mbar]\n${Array.from({ length: 200 }, (_, i) => `${10 * i},${(0.05 * (1 + 9 * Math.exp(-i / 20)) * (1 + 1e-3 * ((i * 7) % 5))).toPrecision(5)}`).join('\n')}\n`;
const analysis = analyse(readLog(new TextEncoder().encode(text), { file: 'pumped.csv' }));

describe('a record without an isolation', () => {
  it('says plainly that none was found and which test to do', () => {
    const { finding } = analysis;
    expect(finding.isolationsJudged).toBe(0);
    expect(finding.verdict).toBe('undetermined');
    expect(finding.grounds[0]).toMatch(/no isolation was found/);
    expect(finding.nextTest?.what).toMatch(/shut the valve between pump and chamber/);
  });

  it('asks whether a tight chamber was shut while nothing rose, and takes the answer', () => {
    // Invented: pumped to 0.5 Pa, shut after 1000 s, and nothing moves; the noise is 0.1 % of the reading.
    const random = randomStream(5);
    const pa = (i: number): number => 0.5 * (1 + 20000 * Math.exp(-i / 3)) * (1 + 1e-3 * random.normal());
    const rows = Array.from({ length: 200 }, (_, i) => `${10 * i},${pa(i).toPrecision(6)}`).join('\n');
    const flat = readLog(new TextEncoder().encode(`time [s],p [Pa]\n${rows}\n`), { file: 'tight.csv' });
    const hint = analyse(flat).finding.grounds[1];
    const [from, to] = [...hint.matchAll(/(\d+) s/g)].map(([, s]) => Number(s));
    expect(hint).toMatch(/if the valve to the pump was shut in that time, say when in a correction/);
    expect(from).toBeLessThan(1000);
    expect(to).toBeGreaterThan(1900);
    const shut = { kind: 'isolation', fromS: 1000, toS: 1990, reason: 'valve shut by hand' } as const;
    const told = analyse(flat, { corrections: [shut], volume: quantity('10 L') }).finding;
    expect(told.isolationsJudged).toBe(1);
    expect(told.verdict).toBe('none');
    expect(told.realLeak?.low).toBe(0);
    // A slope hides behind 0.5 mPa of noise in 100 readings over 990 s up to 2 x 0.17 uPa/s, times 10 L 3.5e-9 Pa m3/s (calc).
    expect(told.realLeak?.high).toBeLessThan(5e-8);
    expect(told.realLeak?.high).toBeGreaterThan(5e-10);
  });

  it('lists no probabilities that mean nothing', () => {
    expect(analysisReport(analysis)).toContain('undetermined: no isolation');
    expect(analysisReport(analysis)).not.toMatch(/permeation \d+ %/);
    expect(analysisJson(analysis).finding?.main_cause).toEqual([]);
  });
});
