import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CAUSES, caution, recordEvidence, whatToDo } from '../../src/causes';
import { candidates } from '../../src/causes/next-test';
import { subCausesOf } from '../../src/causes/sub-causes';
import { fitRecord } from '../../src/fits';
import { madeLog, madeSegments } from './made-log';

const time = Float64Array.from({ length: 200 }, (_, i) => 3 * i);
const log = madeLog(
  time,
  time.map((t) => 1 + 0.01 * t),
);
const segmented = madeSegments(log, [['isolation', 0, 199]]);
const evidence = recordEvidence(log, segmented, fitRecord(log, segmented));

interface Test {
  readonly what: string;
  readonly needs: readonly string[];
}

/** Every test that a finding can propose: those that are weighed, and those that tell kinds apart. */
const tests: readonly Test[] = [
  ...candidates(evidence, true, false).map(({ what, needs }) => ({ what, needs })),
  ...subCausesOf(
    CAUSES.map((cause) => ({ cause, probability: 0.5 })),
    {
      evidence,
      weighing: { draws: [], likelihood: {} as never, weightOf: new Map() },
      gas: null,
      plateaus: [],
      shelves: [{ fromS: 0, toS: 1, pa: 611, freezing: true, ends: true, vapours: [], text: 'water freezes' }],
    },
  ).map(({ nextTest, needs }) => ({ what: nextTest, needs })),
];

/** What must stand beside a test whose words match (grounds: docs/safety.md). */
const RULES: readonly (readonly [RegExp, RegExp])[] = [
  [/isolat|foreline at both ends|with and without/, /closed for long|ventilat/],
  [/\bwarm the\b|thaw/, /closed wet vessel/],
  [/\blet dry\b|reference leak|tracer/, /filaments/],
  [/nitrogen in to atmosphere/, /relief device/],
  [/tracer/, /ventilat/],
  [/cool a trap/, /oxygen condenses/],
  [/cool a trap/, /evacuate before cooling/],
  [/blank the pump off|ballast open/, /exhaust|toxic/],
  [/change the oil/, /hazardous waste/],
  [/cooling water off/, /heaters/],
];

describe('every test that can be proposed', () => {
  it('is there: those of the record and those of the kinds behind a cause', () => {
    expect(tests.length).toBeGreaterThanOrEqual(20);
  });

  it.each(tests.map((test) => [test.what, test] as const))('%s: says what must be true before', (_, {
    what,
    needs,
  }) => {
    expect(needs.length).toBeGreaterThan(0);
    for (const [words, need] of RULES) if (words.test(what)) expect(needs.join('; '), String(words)).toMatch(need);
  });

  it('uses every rule at least once, so that none checks nothing', () => {
    for (const [words] of RULES)
      expect(
        tests.some(({ what }) => words.test(what)),
        String(words),
      ).toBe(true);
  });

  it('cools no trap while an air leak is not excluded', () => {
    expect(candidates(evidence, false, false).some(({ what }) => /trap|nitrogen trap/.test(what))).toBe(false);
    for (const cause of CAUSES) expect(whatToDo(cause, null).join(' '), cause).not.toMatch(/cool a trap/);
  });
});

describe('docs/safety.md', () => {
  const page = readFileSync(join(__dirname, '../../docs/safety.md'), 'utf8');
  const rows = page.split('\n').filter((line) => line.startsWith('| ') && !line.startsWith('| ---'));

  it('gives a ground for each of its cautions', () => {
    for (const row of rows.slice(1)) {
      const cells = row.split('|').slice(1, -1);
      expect(cells.length, row).toBe(3);
      for (const cell of cells) expect(cell.trim().length, row).toBeGreaterThan(3);
    }
  });

  it('has every caution of a finding', () => {
    const words = {
      trap: /liquid-nitrogen trap/,
      closed: /boiling, subliming or trapped/,
      warm: /warm a closed wet/,
      filament: /[Ff]ilaments/,
      inlet: /relief device/,
      local: /local codes/,
    };
    for (const [name, pattern] of Object.entries(words)) {
      expect(page, name).toMatch(pattern);
      expect(caution(name as keyof typeof words), name).toMatch(pattern);
    }
  });
});
