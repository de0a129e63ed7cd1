import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { displayBundle } from '../../kernel-helpers/display';
import { tableText } from '../../kernel-helpers/display/table';
import { analyse, parseLimit, pressureChart, quantity, readLog } from '../../src';

const path = join(__dirname, '../../datasets/failed-pump-down.csv');
const log = readLog(new Uint8Array(readFileSync(path)), { file: 'failed-pump-down.csv' });
const analysis = analyse(log, {
  volume: quantity('12.4 L ± 5 %'),
  gauge: 'thermal',
  limit: parseLimit('1e-4 mbar L/s'),
});
const text = (thing: unknown, options = {}): string => String(displayBundle(thing, options).data['text/plain']);
const html = (thing: unknown): string => String(displayBundle(thing).data['text/html']);

/** On the demo log; what is found in it is judged elsewhere, here only that it is shown. */
describe('results of an analysis', () => {
  const { segmented, fits, finding } = analysis;

  it('show every segment with its times and grounds, and every event but the crossings', () => {
    for (const segment of segmented.segments) {
      expect(html(segmented)).toContain(`>${segment.kind}</td>`);
      for (const ground of segment.grounds) expect(html(segmented)).toContain(ground);
    }
    const crossings = segmented.events.filter(({ kind }) => kind === 'crossing').length;
    expect(crossings).toBeGreaterThan(0);
    expect(text(segmented)).toMatch(new RegExp(`${crossings} crossings of the usual set points \\S+ Pa`));
    expect(text(segmented)).toMatch(/isolation +0:15:02 +0:25:00/);
  });

  it('number segments as the chart of pressure does', () => {
    const { usermeta } = pressureChart(log, segmented);
    const told = [...usermeta.text.matchAll(/^(\d+) ([a-z-]+)/gm)];
    expect(told).toHaveLength(segmented.segments.length);
    for (const [, number, kind] of told) expect(text(segmented)).toMatch(new RegExp(`^${number} +${kind} `, 'm'));
  });

  it('show a temperature in the unit of the log, not in kelvin', () => {
    const bytes = new TextEncoder().encode('time s,p mbar,T_wall [degC]\n0,1,21.0\n10,1,21.5\n20,1,21.9\n');
    const shown = text(readLog(bytes));
    expect(shown).toMatch(/21 degC +21\.9 degC/);
    expect(shown).not.toMatch(/29\d(\.\d+)? K/);
  });

  it('show a segment without a reading as that', () => {
    expect(text(segmented)).toMatch(/unknown +0:00:00 +0:00:48 +no reading +no reading/);
  });

  it('show a rate with its gas load in the units asked for, and the whole budget', () => {
    const shown = text(fits.isolations[0], { pressure: 'mbar', load: 'mbar L/s' });
    expect(shown).toMatch(/mean rate of rise +[\d.]+ .* mbar\/s \(95 %\)/);
    expect(shown).toMatch(/gas load +[\d.]+ .* mbar L\/s \(95 %\)/);
    for (const { name } of fits.isolations[0].budget) expect(shown).toContain(name);
    expect(shown).toMatch(/rate of rise\s+value: \S+ mbar\/s\s+standard uncertainty: \S+ mbar\/s/);
    expect(shown).not.toContain('Pa/s');
  });

  it('say what needs a volume where there is none', () => {
    const without = analyse(log, { gauge: 'thermal' });
    expect(text(without.fits.isolations[0])).toMatch(/gas load +needs the volume/);
    expect(text(without.fits.pumpDowns[0])).toMatch(/effective pumping speed +needs the volume/);
    expect(text(without.finding)).toMatch(/real leak +needs the volume/);
  });

  it('show a finding: verdict, causes with their probabilities, leak, conformity, grounds, cautions', () => {
    const shown = text(finding).replace(/\s+/g, ' ');
    expect(shown).toContain(`verdict ${finding.verdict}`);
    expect(shown).toContain(`conforms ${finding.conforms}`);
    for (const words of [...finding.grounds, ...finding.cautions]) expect(shown).toContain(words);
    for (const { cause } of finding.present) expect(html(finding)).toContain(`>${cause}</td>`);
    expect(shown).not.toContain(' 100 %');
  });

  it('show as one where the whole analysis is shown', () => {
    const parts = [segmented, fits, finding].map((part) => text(part));
    expect(text(analysis)).toBe(parts.join('\n\n'));
  });
});

describe('a table as text', () => {
  it('breaks long cells at blanks and keeps columns lined up', () => {
    const long = `${'word '.repeat(20)}end`;
    const lines = tableText({
      head: ['a', 'b'],
      rows: [
        ['x', long],
        ['y', 'z'],
      ],
    }).split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(63);
    expect(lines.slice(1, -1).every((line, k) => line.startsWith(k === 0 ? 'x  word' : '   word'))).toBe(true);
    expect(lines.join(' ').replace(/\s+/g, ' ')).toContain(long);
  });

  it('that would be too wide for a terminal is told row by row', () => {
    const wide = 'w'.repeat(70);
    expect(tableText({ head: ['a', 'b', 'c'], rows: [['one', wide, [wide, 'more']]] })).toBe(
      `one\n  b: ${wide}\n  c: ${wide}\n    more`,
    );
  });
});
