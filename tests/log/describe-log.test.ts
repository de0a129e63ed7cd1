import { describe, expect, it } from 'vitest';
import { describeLog, type LogDescription, parseLog, readLog, requireAnswers } from '../../src/log';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe('describeLog', () => {
  it('gives the grounds of each guess', () => {
    const { grounds } = describeLog(bytes('Zeit;Druck (mbar)\n13.03.2024 10:00:00;1,5\n13.03.2024 10:00:01;1,4\n'));
    expect(grounds.separator).toBe('semicolon: 100 % of the lines then have 2 cells');
    expect(grounds.decimalMark).toBe('2 numbers with a comma');
    expect(grounds.dateOrder).toBe('day-month-year: 13.03.2024 in line 2 fits no other order');
  });

  it('can be edited, and parsing obeys the edit and drops the question', () => {
    const log = bytes('Time (s),Chamber pressure\n0,5.5\n1,6.5\n2,7.5\n');
    const found = describeLog(log);
    expect(found.questions.map(({ about }) => about)).toEqual(['unit']);
    const columns = found.columns.map((column) => (column.column === 2 ? { ...column, unit: 'Torr' } : column));
    const read = parseLog(log, { ...found, columns });
    expect(read.questions).toEqual([]);
    expect(read.channels[0]).toMatchObject({ quantity: 'pressure', unit: 'Torr', siUnit: 'Pa' });
    expect(read.channels[0].values[2]).toBeCloseTo((7.5 * 101325) / 760, 9);
  });

  it('lets the order of a date be chosen by an edit', () => {
    const log = bytes('Date,p (Pa)\n03/04/2024 10:00:00,5\n03/04/2024 10:00:01,6\n03/04/2024 10:00:02,7\n');
    const found = describeLog(log);
    const edited: LogDescription = { ...found, time: { ...found.time, format: 'month-day-year' } };
    expect(parseLog(log, found).start).toBeNull();
    expect(parseLog(log, edited).start).toBe('2024-03-04T10:00:00');
    expect(parseLog(log, edited).questions).toEqual([]);
  });

  it('lets columns be left out, and clamps be told', () => {
    const log = bytes('Time (s),A (Pa),B (Pa)\n0,5,1\n1,9,1\n2,9,1\n');
    const read = readLog(log, { columns: { A: { clampHigh: 9 }, B: { role: 'ignored' } } });
    expect(read.channels.map(({ name }) => name)).toEqual(['A (Pa)']);
    expect([...read.channels[0].flags]).toEqual([0, 4, 4]);
  });
});

describe('requireAnswers', () => {
  it('throws all open questions with how to answer them', () => {
    const log = readLog(bytes('Time,Chamber pressure\n0,5.5\n1,6.5\n2,7.5\n'));
    expect(() => requireAnswers(log)).toThrow(
      'time in "Time" names no unit; its values are 0, 1, 2 and so on (answer with --time-unit min, or { timeUnit: "min" })\n' +
        'column "Chamber pressure" names no unit; its readings run from 5.5 to 7.5 (answer with --unit "Chamber pressure=mbar", or ' +
        '{ columns: { "Chamber pressure": { unit: "mbar" } } })',
    );
  });

  it('asks which gauge is meant before the unit of one that may not be', () => {
    const text = 'Time (s),Oven (Torr),Line pressure,Line pressure set point\n0,5.5,2,1\n1,6.5,3,1\n2,7.5,2,1\n';
    const log = readLog(bytes(text));
    expect(log.questions.map(({ about }) => about)).toEqual(['unit']);
    expect(() => requireAnswers(log)).toThrow(
      'the log has 2 pressure channels: which one is to be judged? They are "Oven (Torr)" (Torr), ' +
        '"Line pressure" (needs its unit) (answer with --channel NAME, or { channels: ["NAME"] })',
    );
    expect(() => requireAnswers(log, 'oven')).not.toThrow();
    expect(() => requireAnswers(log, 'Line pressure')).toThrow('names no unit');
    expect(() => requireAnswers(readLog(bytes(text), { channels: ['Oven (Torr)'] }))).not.toThrow();
    expect(() => requireAnswers(readLog(bytes(text), { channels: ['Line pressure'] }))).toThrow('names no unit');
  });

  it('passes a log without questions', () => {
    expect(() => requireAnswers(readLog(bytes('Time (s),p (Pa)\n0,5.5\n1,6.5\n')))).not.toThrow();
  });
});
