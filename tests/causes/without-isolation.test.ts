import { describe, expect, it } from 'vitest';
import { analyse, analysisJson, analysisReport } from '../../src/investigation';
import { readLog } from '../../src/log';

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

  it('lists no probabilities that mean nothing', () => {
    expect(analysisReport(analysis)).toContain('undetermined: no isolation');
    expect(analysisReport(analysis)).not.toMatch(/permeation \d+ %/);
    expect(analysisJson(analysis).finding?.main_cause).toEqual([]);
  });
});
