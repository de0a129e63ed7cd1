import { describe, expect, it } from 'vitest';
import { tablesOfSegments } from '../../kernel-helpers/display/tables-of-results';
import { type Analysis, analyse } from '../../src/investigation/analyse';
import { analysisReport } from '../../src/investigation/analysis-report';
import { readLog } from '../../src/log';
import type { LogEvent } from '../../src/segments';

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
    expect(segments.head.slice(0, 4)).toEqual(['what', 'from', 'to', 'from, by the clock']);
    const isolation = segments.rows.find(([kind]) => kind === 'isolation');
    expect(isolation?.slice(1, 4).join(' ')).toMatch(/^0:10:0\d 0:20:0\d 09:10:0\d$/);
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
