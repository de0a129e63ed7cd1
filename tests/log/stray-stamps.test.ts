import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type GaugeLog, readLog } from '../../src/log';

/**
 * Invented logs. What is expected is calculated (calc) from the stamps that were written: a row keeps its own time, or is left
 * out where its stamp alone is wrong.
 */
const START = Date.UTC(2026, 4, 6, 8, 30, 0);
const stampOf = (s: number): string => new Date(START + 1000 * s).toISOString().slice(0, 19).replace('T', ' ');
const pressureOf = (i: number): number => 100 + i;

function logOf(stamps: readonly string[], header = 'Time,PG (mTorr)'): GaugeLog {
  const rows = stamps.map((stamp, i) => `${stamp},${pressureOf(i)}`);
  return readLog(new TextEncoder().encode(`${header}\n${rows.join('\n')}\n`), { file: 'invented.csv' });
}

/** Every two seconds, with some stamps replaced. */
function stamped(count: number, wrong: Readonly<Record<number, number>> = {}): string[] {
  return Array.from({ length: count }, (_, i) => stampOf(wrong[i] ?? 2 * i));
}

/** Numbers of the rows that are left, by their pressure, and the seconds at which they stand. */
function rowsOf(log: GaugeLog): { readonly rows: readonly number[]; readonly time: readonly number[] } {
  const mTorr = 101325 / 760 / 1000;
  return { rows: Array.from(log.channels[0].values, (p) => Math.round(p / mTorr) - 100), time: [...log.time] };
}

const YEAR = 365 * 86_400;

describe('a row whose stamp alone is wrong', () => {
  const wrongs: readonly (readonly [string, Readonly<Record<number, number>>])[] = [
    ['before the log', { 150: -5400 }],
    ['back, within the log', { 150: 101 }],
    ['a year ahead', { 150: YEAR }],
    ['ahead, within the log', { 150: 400 }],
    ['back, two together', { 150: -5400, 151: -5398 }],
    ['ahead, three together', { 150: YEAR, 151: YEAR + 2, 152: YEAR + 4 }],
    ['the second', { 1: -900 }],
    ['the last but one', { 298: YEAR }],
  ];
  for (const [what, wrong] of wrongs) {
    it(`is left out and named: ${what}`, () => {
      const log = logOf(stamped(300, wrong));
      const out = Object.keys(wrong).map(Number);
      const kept = Array.from({ length: 300 }, (_, i) => i).filter((i) => !out.includes(i));
      expect(rowsOf(log)).toEqual({ rows: kept, time: kept.map((i) => 2 * i) });
      expect(log.leftOut).toEqual({ 'rows whose stamp is out of line': out.length });
      const lines = out.map((i) => `line ${i + 2}`).join(', ');
      expect(log.assumptions.filter((said) => said.includes('out of line'))).toEqual([
        out.length === 1
          ? `the row in ${lines} has a stamp out of line with the rows before and after it, which agree: left out`
          : `${out.length} rows have stamps out of line with the rows before and after them, which agree: left out (${lines})`,
      ]);
      expect(log.timeNotes.map(({ kind }) => kind)).not.toContain('step back');
    });
  }

  it('is left out where it stands between rows instead of in the place of one', () => {
    const stamps = stamped(300);
    stamps.splice(150, 0, stampOf(-5400));
    const log = logOf(stamps);
    expect([log.rows, log.time[299]]).toEqual([300, 598]);
    expect(log.timeNotes).toEqual([]);
  });

  it('is left out of times of day, of seconds, and of a log from the newest row to the oldest', () => {
    const clocks = stamped(300, { 150: -5400 }).map((stamp) => stamp.slice(11));
    const seconds = Array.from({ length: 300 }, (_, i) => String(i === 150 ? 7_000_000 : 2 * i));
    const newestFirst = stamped(300, { 150: YEAR }).reverse();
    for (const [stamps, header] of [
      [clocks, 'Time,PG (mTorr)'],
      [seconds, 'Time (s),PG (mTorr)'],
      [newestFirst, 'Time,PG (mTorr)'],
    ] as const) {
      const log = logOf(stamps, header);
      expect([log.rows, log.time[298], log.leftOut]).toEqual([299, 598, { 'rows whose stamp is out of line': 1 }]);
    }
  });

  it('is found wherever it stands and whatever it says', () => {
    const far = fc.oneof(fc.integer({ min: -YEAR, max: -10 }), fc.integer({ min: 700, max: YEAR }));
    fc.assert(
      fc.property(fc.integer({ min: 60, max: 300 }), fc.integer({ min: 1, max: 50 }), far, (count, at, seconds) => {
        const log = logOf(stamped(count, { [at]: seconds }));
        expect([log.rows, log.time.at(-1)]).toEqual([count - 1, 2 * (count - 1)]);
        expect(log.assumptions.join()).toContain(`line ${at + 2} `);
      }),
      { numRuns: 100 },
    );
  });
});

describe('what is no wrong stamp keeps its row', () => {
  it('a clock that stays changed, back or ahead', () => {
    const back = logOf(Array.from({ length: 300 }, (_, i) => stampOf(i < 150 ? 2 * i : 2 * i - 5400)));
    expect([back.rows, back.time[299]]).toEqual([300, 598]);
    expect(back.timeNotes.map(({ text }) => text)).toEqual(['the clock was set back by 5398 s in line 152']);
    expect(back.assumptions).toContain(
      'the clock was set back once (line 152): the rows after it follow one step after the row before',
    );
    const ahead = logOf(Array.from({ length: 300 }, (_, i) => stampOf(i < 150 ? 2 * i : 2 * i + 5400)));
    expect([ahead.rows, ahead.time[299], ahead.leftOut]).toEqual([300, 5998, {}]);
  });

  it('a clock set back by little more than a reading or two, at rows that fall between', () => {
    const log = logOf(
      Array.from({ length: 300 }, (_, i) => String(i < 150 ? 2 * i : 2 * i - 4.2)),
      'Time (s),p (Pa)',
    );
    expect([log.rows, log.leftOut]).toEqual([300, {}]);
    expect(log.timeNotes.map(({ text }) => text)).toEqual(['the clock was set back by 2.2 s in line 152']);
  });

  it('the hour that is lived twice in autumn, in a log with few rows an hour', () => {
    const minutes = [60, 80, 100, 120, 140, 160, 120, 140, 160, 180, 200, 220];
    const stamps = minutes.map((m) => `2026-10-25 0${Math.floor(m / 60)}:${String(m % 60).padStart(2, '0')}:00`);
    const log = logOf(stamps);
    expect([...log.time]).toEqual(minutes.map((_, i) => 1200 * i));
    expect(log.timeNotes.map(({ kind }) => kind)).toEqual(['clock change']);
  });

  it('rows that came late fill the hole that they left', () => {
    const order = Array.from({ length: 300 }, (_, i) => i);
    order.splice(200, 0, ...order.splice(100, 2));
    const log = logOf(order.map((i) => stampOf(2 * i)));
    expect([log.rows, log.time[299], log.leftOut]).toEqual([300, 598, {}]);
    expect(log.timeNotes.map(({ text }) => text)).toEqual([
      '2 rows came late, by up to 202 s, and were moved to their places; the first is in line 202',
    ]);
  });

  it('two clocks that write by turns', () => {
    const log = logOf(Array.from({ length: 300 }, (_, i) => stampOf(i % 2 === 0 ? i : i - 3600)));
    expect([log.rows, log.leftOut]).toEqual([300, {}]);
  });

  it('a time that starts again', () => {
    const log = logOf(
      Array.from({ length: 300 }, (_, i) => String(2 * (i % 100))),
      'Time (s),PG (mTorr)',
    );
    expect([log.rows, log.time[299], log.leftOut]).toEqual([300, 598, {}]);
    expect(log.assumptions).toContain(
      'time starts again 2 times (the first in line 102): each part follows one step after the one before',
    );
  });
});

describe('what is said of stamps and cells names the line', () => {
  it('of the first of several equal stamps, once', () => {
    const log = logOf(stamped(100, { 30: 58, 60: 118, 61: 118 }));
    expect(log.timeNotes.filter(({ kind }) => kind === 'equal stamps')).toEqual([
      { kind: 'equal stamps', row: 30, text: '3 of 100 rows have the stamp of the row before (the first in line 32)' },
    ]);
  });

  it('of a gap', () => {
    const log = logOf(Array.from({ length: 100 }, (_, i) => stampOf(i < 40 ? 2 * i : 2 * i + 600)));
    expect(log.timeNotes.map(({ text }) => text)).toEqual(['gap of 602 s before line 42']);
  });

  it('of a row that cannot be read', () => {
    const log = logOf(stamped(100).map((stamp, i) => (i === 50 ? '2026-13-45 08:00:00' : stamp)));
    expect(log.assumptions).toEqual(['line 52 left out: it is a row without a readable time']);
  });

  it('with the file, where there are several', () => {
    const bytes = [0, 100].map((from) => {
      const rows = Array.from({ length: 100 }, (_, i) => `${stampOf(i === 50 ? -9000 : 2 * (from + i))},${5 + i}`);
      return new TextEncoder().encode(`Time,PG (mTorr)\n${rows.join('\n').replace(',12\n', ',coffee\n')}\n`);
    });
    const log = readLog(bytes, { file: ['a.csv', 'b.csv'] });
    expect(log.assumptions.slice(-3)).toEqual([
      'a.csv: one cell makes no sense as a reading: "coffee" in column "PG (mTorr)", line 9',
      'b.csv: one cell makes no sense as a reading: "coffee" in column "PG (mTorr)", line 9',
      '2 rows have stamps out of line with the rows before and after them, which agree: left out ' +
        '(line 52 of a.csv, line 52 of b.csv)',
    ]);
  });
});

describe('a log whose rows all share one stamp', () => {
  it('is refused, for nothing in it can be placed in time', () => {
    expect(() => logOf(Array.from({ length: 300 }, () => stampOf(0)))).toThrow(
      'invented.csv:2, column 1: met the same stamp, "2026-05-06 08:30:00", in all 300 rows, expected stamps that go on; ' +
        'name another column (--time-column NAME) or the seconds from row to row (--step 10)',
    );
  });
});
