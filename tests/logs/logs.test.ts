import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BlankoffError } from '../../src/errors';
import { countFlags, describeLog, FLAG, type GaugeLog, parseLog, type ReadOptions, readLog } from '../../src/log';

/** What stands beside a file: how it is to be read, and what comes out. Only what is named is compared. */
interface Expected {
  /** What is awkward about it. */
  readonly says: string;
  /** The files that continue each other; the file of the same name where absent. */
  readonly files?: readonly string[];
  readonly options?: ReadOptions;
  /** The exact message of the error. */
  readonly error?: string;
  readonly rows?: number;
  readonly start?: string | null;
  readonly time_format?: string;
  /** Seconds from the first row. */
  readonly time?: readonly number[];
  readonly channels?: Readonly<Record<string, ExpectedChannel>>;
  /** Names of all channels, in order. */
  readonly names?: readonly string[];
  /** What the questions are about, in order. */
  readonly questions?: readonly string[];
  /** Words that one of the assumptions must hold, each. */
  readonly assumptions?: readonly string[];
  readonly remarks?: readonly (readonly [number, string])[];
  readonly notes?: readonly string[];
  readonly leftOut?: Readonly<Record<string, number>>;
  readonly encoding?: string;
  readonly compression?: string;
}

interface ExpectedChannel {
  readonly quantity: string;
  readonly unit?: string;
  readonly unitFrom?: string;
  readonly siUnit?: string;
  /** SI values; null stands for none. */
  readonly values?: readonly (number | null)[];
  /** Count of each flag. */
  readonly flags?: Readonly<Record<string, number>>;
  /** Rows with a flag, by its name. */
  readonly flagged?: Readonly<Record<string, readonly number[]>>;
  readonly texts?: readonly string[];
}

const folder = join(__dirname, 'files');
const names = readdirSync(folder);
const cases = names.filter((name) => name.endsWith('.expected.json'));

function read(expected: Expected, base: string): GaugeLog {
  const files =
    expected.files ?? names.filter((name) => name.startsWith(`${base}.`) && !name.endsWith('.expected.json'));
  const bytes = files.map((name) => new Uint8Array(readFileSync(join(folder, name))));
  const options = { file: files, ...expected.options };
  const input = bytes.length === 1 ? bytes[0] : bytes;
  const log = readLog(input, options);
  const again = parseLog(input, describeLog(input, options), options);
  expect(again).toEqual(log);
  return log;
}

function near(got: Float64Array, wanted: readonly (number | null)[], what: string): void {
  expect(got.length, `${what}: count`).toBe(wanted.length);
  wanted.forEach((value, i) => {
    if (value === null) expect(got[i], `${what}[${i}]`).toBeNaN();
    else
      expect(Math.abs(got[i] - value), `${what}[${i}]: ${got[i]}, wanted ${value}`).toBeLessThanOrEqual(
        1e-9 * Math.abs(value),
      );
  });
}

function compareChannel(log: GaugeLog, name: string, wanted: ExpectedChannel): void {
  const channel = log.channels.find((c) => c.name === name);
  expect(channel, `channel ${name} among ${log.channels.map((c) => c.name).join(', ')}`).toBeDefined();
  if (!channel) return;
  expect(channel.values.length).toBe(log.rows);
  expect(channel.flags.length).toBe(log.rows);
  const { values, flags, flagged, texts, ...fields } = wanted;
  expect(channel, name).toMatchObject(fields);
  if (values) near(channel.values, values, name);
  if (flags) expect(countFlags(channel), `flags of ${name}`).toEqual(flags);
  for (const [flag, rows] of Object.entries(flagged ?? {})) {
    const bit = FLAG[flag as keyof typeof FLAG];
    const found = [...channel.flags.keys()].filter((row) => channel.flags[row] & bit);
    expect(found, `${flag} in ${name}`).toEqual(rows);
  }
  if (texts) expect(channel.texts).toEqual(texts);
}

function compare(log: GaugeLog, expected: Expected): void {
  const { rows, start, time, channels = {}, questions = [], assumptions = [], remarks, notes, leftOut } = expected;
  expect(log.questions.map(({ about }) => about)).toEqual(questions);
  if (expected.names) expect(log.channels.map(({ name }) => name)).toEqual(expected.names);
  if (rows !== undefined) expect(log.rows).toBe(rows);
  if (start !== undefined) expect(log.start).toBe(start);
  if (expected.time_format) expect(log.description.time.format).toBe(expected.time_format);
  if (expected.encoding) expect(log.description.encoding).toBe(expected.encoding);
  if (expected.compression) expect(log.description.compression).toBe(expected.compression);
  if (time) {
    expect(log.time.length).toBe(time.length);
    time.forEach((t, i) => {
      expect(Math.abs(log.time[i] - t), `time[${i}]: ${log.time[i]}, wanted ${t}`).toBeLessThan(2e-6);
    });
  }
  for (const [name, wanted] of Object.entries(channels)) compareChannel(log, name, wanted);
  for (const words of assumptions) expect(log.assumptions.join('\n')).toContain(words);
  if (remarks) expect(log.remarks.map(({ atS, text }) => [Number(atS.toFixed(6)), text])).toEqual(remarks);
  if (notes) expect(log.timeNotes.map(({ kind }) => kind)).toEqual(notes);
  if (leftOut) expect(log.leftOut).toEqual(leftOut);
}

describe('awkward logs', () => {
  it('are nearly three hundred', () => {
    expect(cases.length).toBeGreaterThanOrEqual(285);
  });

  for (const name of cases) {
    const base = name.replace('.expected.json', '');
    const expected = JSON.parse(readFileSync(join(folder, name), 'utf8')) as Expected;
    it(`${base}: ${expected.says}`, () => {
      if (expected.error === undefined) {
        compare(read(expected, base), expected);
        return;
      }
      let message = 'no error';
      try {
        read(expected, base);
      } catch (error) {
        expect(error).toBeInstanceOf(BlankoffError);
        message = (error as Error).message;
      }
      expect(message).toBe(expected.error);
    });
  }
});
