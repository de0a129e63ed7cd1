import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { notebookPage } from '../../kernel-helpers/command/headless/notebook-page';
import { runAndListen } from '../../kernel-helpers/files/run-and-listen';
import { reportPage, reportsOf } from '../../kernel-helpers/page/report-page';
import type { Report } from '../../src/investigation';
import { openChromium } from '../browser/jupyter-lab';
import { harmlessStrings, hostileStrings } from './hostile-strings';
import { writeTrial } from './trial-notebook';

const given = `{
  system: 'coating chamber 3 (invented)',
  gauge: { principle: 'capacitance diaphragm', serial: 'A-1', calibrated: '2026-01-10', zeroCheck: '0.0 mbar on 2026-02-01', place: 'flange on the door side' },
  volumeFrom: 'drawing, and a fill at a known flow',
  procedure: 'pumped, isolated at the gate valve, watched for ten minutes, three times',
  valves: 'the invented operator closed V1, then stopped the pump',
  pumpedBefore: '60 min',
  roomTemperature: { atStart: '21.0 degC', atEnd: '21.4 degC' },
  barometer: { atStart: '1009 hPa' },
  hoseBlank: 'below 1e-6 mbar L/s',
}`;

const cells = {
  tools:
    "import { analyse, beforeAfterReport, input, parseLimit, quantity, rateOfRiseReport, readLogFile, show } from 'blankoff/notebook';",
  known: "const volume = input('12.4 L ± 5 %', { label: 'volume' });",
  analysis:
    "const analysis = analyse(await readLogFile('log.csv'), { volume: volume, gauge: 'thermal', limit: parseLimit('1e-4 mbar L/s') });",
  bare: 'show(rateOfRiseReport(analysis));',
  both: `const whole = ${given};\nshow(beforeAfterReport({ analysis: analysis, given: whole }, { analysis: analysis }, { load: 'mbar L/s' }));`,
  one: "show(rateOfRiseReport(analysis, whole, { load: 'mbar L/s' }));",
  empty:
    "show(rateOfRiseReport(analyse(await readLogFile('log.csv'), { volume: volume, gauge: 'thermal', limit: parseLimit('0.2 mbar L/s') }), { pumpedBefore: '', volumeFrom: ' ' }));",
};

let reports: Report[];
let folder: string;
let browser: Browser;
let page: string;

beforeAll(async () => {
  const path = writeTrial('report', cells);
  const { executed } = await runAndListen(readNotebook(path), path);
  reports = reportsOf(executed);
  page = notebookPage(executed, 'report.ipynb');
  folder = join(dirname(path), 'looked-at');
  mkdirSync(folder, { recursive: true });
  browser = await openChromium();
}, 180_000);

afterAll(() => browser?.close());

const foot = [
  ['Notebook', 'report.ipynb'],
  ['SHA-256 of the notebook', 'f'.repeat(64)],
  ['blankoff', '0.1.0'],
  ['Made by', 'not given'],
] as const;

const textOf = (report: Report, what: string): string | undefined =>
  report.sections.flatMap(({ rows }) => rows).find((row) => row.what === what)?.values[0];

describe('a rate-of-rise report', () => {
  it('has all that was given, and the result of the analysis', () => {
    const report = reports[2];
    expect(report.report).toBe('rate of rise');
    expect(textOf(report, 'isolated volume')).toBe('12.4 ± 0.6 L (k = 2)');
    expect(textOf(report, 'where it sits')).toBe('flange on the door side');
    expect(textOf(report, 'barometer')).toBe('1009 hPa at the start, not given at the end');
    expect(textOf(report, 'gas load')).toMatch(/^[\d.e-]+ .*mbar L\/s \(95 %\)$/);
    expect(textOf(report, 'limit')).toBe('1e-4 mbar L/s');
    expect(textOf(report, 'decision')).toBe('the leak is above the limit');
    expect(textOf(report, 'SHA-256 of the log')).toMatch(/^[0-9a-f]{64}$/);
    expect(textOf(report, 'cautions')).toContain('certifies no equipment');
  });

  it('says of everything that was not given that it was not given, and guesses nothing', () => {
    const report = reports[0];
    const absent = report.sections
      .flatMap(({ rows }) => rows)
      .filter(({ values }) => values[0] === 'not given')
      .map(({ what }) => what);
    expect(absent).toEqual([
      'system',
      'how the volume was found',
      'tested by',
      'serial number',
      'calibrated on',
      'zero check',
      'where it sits',
      'procedure',
      'who closed which valves',
      'room temperature',
      'barometer',
      'blank of the test hose',
      'remarks',
    ]);
    expect(textOf(report, 'pumped before')).toMatch(/ min, with \d isolations? meanwhile, as far as the log shows$/);
  });

  it('takes what is left empty for not given, and says what the log shows of it', () => {
    expect(textOf(reports[3], 'pumped before')).toBe(textOf(reports[0], 'pumped before'));
    expect(textOf(reports[3], 'how the volume was found')).toBe('not given');
  });

  it('says what a limit was held against, and of all the gas together where that is judged otherwise', () => {
    const decision = textOf(reports[3], 'decision');
    expect(decision).toBe(
      'the leak is within the limit; all the gas together is too near the limit, or too little known, to say',
    );
  });

  it('puts two records beside each other, line by line', () => {
    const report = reports[1];
    expect(report.columns).toEqual(['before', 'after']);
    for (const { rows } of report.sections.slice(0, -1)) for (const { values } of rows) expect(values).toHaveLength(2);
    // The same log twice: the ratio is one.
    expect(report.sections.at(-1)?.rows[0].values).toEqual([expect.stringMatching(/^no difference shown; .* 1 \(/)]);
    expect(report.sections[1].rows.find(({ what }) => what === 'principle')?.values).toEqual([
      'capacitance diaphragm; judged as thermal',
      'thermal',
    ]);
  });

  it('is shown in a notebook as tables alone, which an untrusted notebook keeps', () => {
    expect(page).toContain(
      '<th scope="row" style="text-align:left">blank of the test hose</th><td style="text-align:left">below 1e-6 mbar L/s</td>',
    );
  });

  it.each([
    ['one sheet', 'A4', 2, 1],
    ['one sheet', 'Letter', 2, 1],
    ['two sheets', 'A4', 1, 2],
    ['two sheets', 'Letter', 1, 2],
  ] as const)('fits %s of %s (report %i)', async (_, format, which, sheets) => {
    const file = join(folder, `report-${which}.html`);
    writeFileSync(file, reportPage(reports[which], foot));
    const context = await browser.newContext({ offline: true });
    const sheet = await context.newPage();
    await sheet.goto(`file://${file}`);
    await sheet.screenshot({ path: join(folder, `report-${which}.png`), fullPage: true });
    const pdf = await sheet.pdf({
      format,
      preferCSSPageSize: false,
      path: join(folder, `report-${which}-${format}.pdf`),
    });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(sheets);
    await context.close();
  });

  it('makes of hostile texts the same elements as of harmless ones', async () => {
    const spoilt = (strings: readonly string[]): Report => ({
      ...reports[1],
      title: strings[5],
      columns: [strings[6], strings[7]],
      sections: [
        { title: strings[8], rows: strings.map((what, i) => ({ what, values: [what, strings.at(-i - 1) ?? ''] })) },
      ],
    });
    const shapes: string[][] = [];
    for (const strings of [harmlessStrings, hostileStrings]) {
      const sheet = await browser.newPage();
      const provenance = strings.map((text) => [text, text] as const);
      const file = join(folder, 'spoilt.html');
      writeFileSync(file, reportPage(spoilt(strings), provenance));
      await sheet.goto(`file://${file}`);
      shapes.push(
        (await sheet.evaluate(
          "[...document.querySelectorAll('*')].map((one) => one.tagName + one.getAttributeNames().join(' '))",
        )) as string[],
      );
      expect(await sheet.evaluate('self.broken ?? 0')).toBe(0);
      await sheet.close();
    }
    expect(shapes[1]).toEqual(shapes[0]);
  });
});
