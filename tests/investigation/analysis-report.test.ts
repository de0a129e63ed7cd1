import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { tablesOfSegments } from '../../kernel-helpers/display/tables-of-results';
import { parseLimit } from '../../src/fits';
import { type Analysis, analyse } from '../../src/investigation/analyse';
import { analysisReport } from '../../src/investigation/analysis-report';
import { readLog } from '../../src/log';
import type { LogEvent } from '../../src/segments';
import { quantity } from '../../src/units';

/** Invented: pumped to 100 Pa, shut for ten minutes, pumped again; a row every two seconds. */
function pascals(i: number): number {
  if (i < 300) return 100 + 9000 * Math.exp(-i / 10);
  return i < 600 ? 100 + 2 * (i - 300) : 100 + 600 * Math.exp(-(i - 600) / 10);
}

function analysed(stamp: (s: number) => string, header = 'Time'): Analysis {
  const rows = Array.from({ length: 900 }, (_, i) => `${stamp(2 * i)},${pascals(i).toPrecision(9)}`);
  return analyse(readLog(new TextEncoder().encode(`${header},p (Pa)\n${rows.join('\n')}\n`)));
}

const dated = (from: string) => (s: number) => new Date(Date.parse(from) + 1000 * s).toISOString().slice(0, 19);

/** A part of a report, its lines joined. */
function part(report: string, title: string): string {
  const [, rest = ''] = report.split(`\n${title}\n`);
  return rest.split('\n\n')[0];
}

describe('times in a report and in tables', () => {
  it('are by the clock, too, where the log has one', () => {
    const analysis = analysed(dated('2026-03-04T09:00:00Z'));
    const report = analysisReport(analysis);
    expect(part(report, 'WHAT HAPPENED')).toMatch(/from +clock +for/);
    expect(part(report, 'WHAT HAPPENED')).toMatch(/0:10:0\d +09:10:0\d +10\.0 min +isolation/);
    expect(part(report, 'RATE OF RISE')).toMatch(/isolation at 0:10:0\d \(09:10:0\d\)/);
    const [segments] = tablesOfSegments(analysis.segmented, {});
    expect(segments.head.slice(0, 5)).toEqual(['no.', 'what', 'from', 'to', 'from, by the clock']);
    const isolation = segments.rows.find(([, kind]) => kind === 'isolation');
    expect(isolation?.slice(2, 5).join(' ')).toMatch(/^0:10:0\d 0:20:0\d 09:10:0\d$/);
  });

  it('have the date where the record goes over midnight', () => {
    const report = analysisReport(analysed(dated('2026-03-04T23:55:00Z')));
    expect(part(report, 'WHAT HAPPENED')).toMatch(/0:10:0\d +2026-03-05 00:05:0\d +10\.0 min +isolation/);
  });

  it('count from the first row alone where the log tells no more', () => {
    const analysis = analysed(String, 'time (s)');
    expect(analysisReport(analysis)).not.toContain('clock');
    expect(tablesOfSegments(analysis.segmented, {})[0].head.join()).not.toContain('by the clock');
  });

  it('keep to 80 columns', () => {
    for (const stamp of [dated('2026-03-04T23:55:00Z'), String])
      for (const line of analysisReport(analysed(stamp, stamp === String ? 'time (s)' : 'Time')).split('\n'))
        expect(line.length, line).toBeLessThanOrEqual(80);
  });
});

describe('events in a report', () => {
  const analysis = analysed(String, 'time (s)');
  const withEvents = (count: number): string => {
    const events = Array.from(
      { length: count },
      (_, i): LogEvent => ({ kind: i % 2 === 0 ? 'step' : 'burst', atS: i, text: `number ${i}`, numbers: {} }),
    );
    const hidden: LogEvent[] = [{ kind: 'crossing', atS: 0, text: 'not told', numbers: {} }];
    const segmented = { ...analysis.segmented, events: [...events, ...hidden] };
    return part(analysisReport({ ...analysis, segmented }), 'WHAT HAPPENED');
  };

  it('are counted by kind where they are more than a report lists', () => {
    const told = withEvents(17);
    expect(told).toContain('number 11');
    expect(told).not.toContain('number 12');
    expect(told).toContain('... and 5 more events (3 step, 2 burst): --json lists all');
    expect(withEvents(13)).toContain('... and 1 more event (1 step): --json lists all');
  });

  it('are all there where they are not', () => {
    const told = withEvents(12);
    expect(told).toContain('number 11');
    expect(told).not.toMatch(/more event|not told/);
  });
});

/** The demo log (invented, see datasets/README.md), once; what is said of it follows from what is found in it. */
const demo = readLog(new Uint8Array(readFileSync(join(__dirname, '../../datasets/failed-pump-down.csv'))), {
  file: 'failed-pump-down.csv',
});
const known = { volume: quantity('12.4 L ± 5 %') };
const joined = (analysis: Analysis): string => analysisReport(analysis).replace(/\s+/g, ' ');

describe('that the gas is not known', () => {
  const hint = 'most of the uncertainty of the load is that the gas is not known: where it is, say so (--gas air)';
  const thermal = analyse(demo, { ...known, gauge: 'thermal' });

  it('is said where it makes most of the uncertainty, and nowhere else', () => {
    expect(thermal.fits.isolations.at(-1)?.budget.find(({ name }) => name === 'gas factor')?.share).toBeGreaterThan(
      0.5,
    );
    expect(joined(thermal)).toContain(hint);
    expect(joined(analyse(demo, { ...known, gauge: 'thermal', gas: 'air' }))).not.toContain(hint);
    expect(joined(analyse(demo, { ...known, gauge: 'capacitance' }))).not.toContain(hint);
    // Without a volume there is no load whose uncertainty could be told.
    expect(joined(analyse(demo, { gauge: 'thermal' }))).not.toContain(hint);
  });
});

describe('what is present and what is only not excluded', () => {
  const thermal = analyse(demo, { ...known, gauge: 'thermal' });
  const withProbability = (probability: number): string => {
    const [one] = thermal.finding.present;
    const finding = { ...thermal.finding, present: [{ ...one, cause: 'permeation' as const, probability }] };
    return joined({ ...thermal, finding });
  };

  it('are told apart at one half', () => {
    expect(withProbability(0.5)).toMatch(/ present permeation, 50 % sure/);
    expect(withProbability(0.49)).toMatch(/ not excluded permeation, 49 % sure/);
    expect(withProbability(0.49)).not.toMatch(/ present permeation/);
  });

  it('a feed that passes is not excluded as long as a leak is not', () => {
    const ground = 'real leak stands for all three, and a feed that passes is not excluded';
    const leak = thermal.finding.mainCause.find(({ cause }) => cause === 'real leak')?.probability ?? 0;
    expect(leak).toBeGreaterThan(0.03);
    expect(thermal.finding.grounds.join()).toContain(ground);
    const held = Array.from({ length: 900 }, (_, i) => `${2 * i},${i < 300 ? 9000 * Math.exp(-i / 10) + 100 : 100}`);
    const still = analyse(readLog(new TextEncoder().encode(`time (s),p (Pa)\n${held.join('\n')}\n`)));
    expect(still.finding.grounds.join()).not.toContain(ground);
  });
});

describe('a leak that the record may do without', () => {
  const { finding, ...rest } = analyse(demo, { ...known, gauge: 'thermal' });
  const withLeak = (low: number): string =>
    joined({ ...rest, finding: { ...finding, realLeak: { value: 0.01, low, high: 0.02 } } });

  it('is said to be one where its interval begins at nothing, and nowhere else', () => {
    expect(withLeak(0)).toContain('the record may do without one');
    expect(withLeak(0.005)).not.toContain('the record may do without one');
  });
});

describe('a limit that all gas together exceeds and the leak does not', () => {
  const said = 'what comes besides is no leak';
  const limit = parseLimit('1e-2 mbar L/s');
  const analysis = analyse(demo, { ...known, gauge: 'thermal', gas: 'air', limit });
  const withConformity = (leak: 'yes' | 'no', all: 'yes' | 'no'): string => {
    const { conformity } = analysis.fits;
    if (conformity === null) throw new Error('no conformity');
    const fits = { ...analysis.fits, conformity: { ...conformity, conforms: all } };
    return joined({ ...analysis, fits, finding: { ...analysis.finding, conforms: leak } });
  };

  it('is told as that, and only that', () => {
    expect(withConformity('yes', 'no')).toContain(said);
    expect(withConformity('yes', 'yes')).not.toContain(said);
    expect(withConformity('no', 'no')).not.toContain(said);
  });
});

describe('a limit whose conditions the record does not meet', () => {
  it('is said not to be judged, and why, where the answer stands', () => {
    const limit = parseLimit('10 mTorr/h after 15 min over 1 h');
    const report = part(analysisReport(analyse(demo, { gauge: 'capacitance', limit })), 'IN SHORT').replace(
      /\s+/g,
      ' ',
    );
    expect(report).toContain(
      'the rise against the limit of 10 mTorr/h after 15 min over 1 h: not judged: the isolation lasts',
    );
    const met = analyse(demo, { gauge: 'capacitance', limit: parseLimit('10 mTorr/h over 5 min') });
    expect(part(analysisReport(met), 'IN SHORT')).toMatch(
      /the rise against the limit of 10 mTorr\/h over 5 min: above it/,
    );
    expect(met.fits.conformity?.text).toMatch(/with a probability of over 99\.9 %$/);
  });
});
