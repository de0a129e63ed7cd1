import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BlankoffError } from '../../src/errors';
import { describeLog, parseLog, readLog } from '../../src/log';

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
const RUNS = { numRuns: 300 };

interface Dialect {
  readonly separator: string;
  readonly mark: string;
  readonly end: string;
  readonly bom: boolean;
  readonly preamble: readonly string[];
  readonly time: keyof typeof STAMPS;
  readonly unit: keyof typeof PA;
  readonly digits: number;
  readonly style: 'exponent' | 'fixed' | 'shortest';
  readonly quoted: boolean;
  readonly texts: boolean;
}

/** Factors of NIST SP 811, written out once more. */
const PA = { Pa: 1, hPa: 100, mbar: 100, kPa: 1000, Torr: 101325 / 760, mTorr: 101.325 / 760 };

const two = (n: number): string => String(n).padStart(2, '0');
const day = (s: number): Date => new Date(Date.UTC(2024, 4, 17, 21, 30, 0) + Math.round(s * 1000));
const clock = (d: Date): string => d.toISOString().slice(11, 23);
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

const STAMPS = {
  'Time (s)': (s: number): string => s.toFixed(3),
  'Time (min)': (s: number): string => (s / 60).toFixed(9),
  'Elapsed [h]': (s: number): string => (s / 3600).toFixed(11),
  t_ms: (s: number): string => String(Math.round(s * 1000)),
  Stamp: (s: number): string => day(s).toISOString().slice(0, 23),
  Zoned: (s: number): string => day(s).toISOString(),
  Date: (s: number): string => `${two(day(s).getUTCDate())}.${two(day(s).getUTCMonth() + 1)}.2024 ${clock(day(s))}`,
  'Date US': (s: number): string =>
    `${two(day(s).getUTCMonth() + 1)}/${two(day(s).getUTCDate())}/2024 ${clock(day(s))}`,
  'Date named': (s: number): string => `${day(s).getUTCDate()}-${MONTHS[day(s).getUTCMonth()]}-2024 ${clock(day(s))}`,
  Timestamp: (s: number): string => (day(s).getTime() / 1000).toFixed(3),
  'Time of day': (s: number): string => clock(day(s)),
  Elapsed: (s: number): string => {
    const ms = Math.round(s * 1000);
    const text = `${two(Math.floor(ms / 3_600_000))}:${two(Math.floor(ms / 60_000) % 60)}:${two(Math.floor(ms / 1000) % 60)}`;
    return `${text}.${String(ms % 1000).padStart(3, '0')}`;
  },
};

const dialect: fc.Arbitrary<Dialect> = fc.record({
  separator: fc.constantFrom(',', ';', '\t', '|'),
  mark: fc.constantFrom('.', ','),
  end: fc.constantFrom('\n', '\r\n', '\r'),
  bom: fc.boolean(),
  preamble: fc.constantFrom<readonly string[]>(
    [],
    ['Recorder 4'],
    ['# invented chamber', '# shift 2'],
    ['Recorder 4', '', ''],
  ),
  time: fc.constantFrom(...(Object.keys(STAMPS) as (keyof typeof STAMPS)[])),
  unit: fc.constantFrom(...(Object.keys(PA) as (keyof typeof PA)[])),
  /** With three decimals throughout, a comma could part thousands. */
  digits: fc.integer({ min: 4, max: 9 }),
  style: fc.constantFrom<Dialect['style']>('exponent', 'fixed', 'shortest'),
  quoted: fc.boolean(),
  texts: fc.boolean(),
});

/** A pressure that moves on from reading to reading, and rows 0.2 s to 90 s apart, in steps of a millisecond. */
const record = fc
  .array(fc.tuple(fc.integer({ min: 200, max: 90_000 }), fc.double({ min: -0.4, max: 0.4, noNaN: true })), {
    minLength: 70,
    maxLength: 120,
  })
  .map((steps) => {
    let [t, logP] = [0, 3];
    return steps.map(([ms, change]) => {
      const row = { t: t / 1000, p: Math.exp(logP) };
      t += ms;
      logP = Math.max(-3, Math.min(8, logP + change));
      return row;
    });
  });

function numberText(value: number, { digits, style, mark }: Dialect): string {
  const text =
    style === 'exponent' ? value.toExponential(digits) : style === 'fixed' ? value.toFixed(digits) : String(value);
  return text.replace('.', mark);
}

function write(rows: readonly { t: number; p: number }[], d: Dialect): { text: string; values: number[] } {
  const { separator, end, mark } = d;
  const cells = rows.map(({ t, p }, i) => {
    const stamp = STAMPS[d.time](t);
    const time = /^\d+\.\d+$/.test(stamp) ? stamp.replace('.', mark) : stamp;
    const quote = (cell: string): string => (d.quoted ? `"${cell}"` : cell);
    const row = [quote(time), ...(d.texts ? [quote(i % 3 ? 'N2' : 'Ar, dry;')] : []), numberText(p, d)];
    return row.join(separator);
  });
  const header = [d.time, ...(d.texts ? ['Gas'] : []), `Chamber pressure (${d.unit})`].join(separator);
  const text = `${[...d.preamble, header, ...cells].join(end)}${end}`;
  const values = rows.map(({ p }) => Number(numberText(p, d).replace(',', '.')));
  return { text: d.bom ? `\ufeff${text}` : text, values };
}

describe('a log written in any dialect', () => {
  it('comes back with its times and readings', () => {
    fc.assert(
      fc.property(record, dialect, (rows, d) => {
        fc.pre(!(d.separator === ',' && d.mark === ',') && (!d.texts || d.quoted));
        const { text, values } = write(rows, d);
        const log = readLog(encode(text));
        expect(log.rows).toBe(rows.length);
        expect(log.questions).toEqual([]);
        rows.forEach(({ t }, i) => {
          expect(Math.abs(log.time[i] - t)).toBeLessThan(1e-6);
        });
        const channel = log.channels.find((c) => c.quantity === 'pressure')!;
        values.forEach((v, i) => {
          expect(Math.abs(channel.values[i] - v * PA[d.unit])).toBeLessThanOrEqual(1e-12 * Math.abs(v * PA[d.unit]));
        });
      }),
      RUNS,
    );
  });

  it('is read the same by its own description after a trip through JSON', () => {
    fc.assert(
      fc.property(record, dialect, (rows, d) => {
        fc.pre(!(d.separator === ',' && d.mark === ',') && (!d.texts || d.quoted));
        const bytes = encode(write(rows, d).text);
        const description = JSON.parse(JSON.stringify(describeLog(bytes)));
        expect(parseLog(bytes, description).channels).toEqual(readLog(bytes).channels);
      }),
      { numRuns: 50 },
    );
  });
});

describe('numbers', () => {
  it('are read as the platform reads them, to the last bit', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e25, max: 1e25 }), {
          minLength: 3,
          maxLength: 20,
        }),
        fc.constantFrom('shortest', 'exponent', 'precision'),
        (values, style) => {
          const texts = values.map((v) =>
            style === 'shortest' ? String(v) : style === 'exponent' ? v.toExponential() : v.toPrecision(17),
          );
          const log = readLog(
            encode(`Time (s),Count,p (Pa)\n${texts.map((v, i) => `${i},${v},${i + 1}`).join('\n')}\n`),
            {
              columns: { Count: { quantity: 'number', role: 'channel' } },
            },
          );
          const channel = log.channels.find(({ name }) => name === 'Count');
          fc.pre(channel !== undefined);
          expect([...channel!.values]).toEqual(texts.map(Number));
        },
      ),
      RUNS,
    );
  });
});

describe('hostile input', () => {
  const bounded = (bytes: Uint8Array): void => {
    const start = performance.now();
    try {
      const log = readLog(bytes, { file: 'x' });
      expect(log.channels.every((c) => c.values.length === log.rows && c.flags.length === log.rows)).toBe(true);
      expect(log.time.every((t, i) => Number.isFinite(t) && (i === 0 || t >= log.time[i - 1]))).toBe(true);
    } catch (error) {
      if (!(error instanceof BlankoffError)) throw error;
      expect(error.message.length).toBeLessThan(600);
    }
    expect(performance.now() - start).toBeLessThan(8000);
  };

  it('of random bytes ends in a clear error or a log', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 3000 }), bounded), RUNS);
  });

  it('of random text made of the stuff of logs ends in a clear error or a log', () => {
    const stuff = fc.constantFrom(
      '0',
      '1',
      '9',
      '.',
      ',',
      ';',
      '\t',
      ' ',
      '\n',
      '\r',
      '"',
      ':',
      '-',
      '/',
      'E',
      'p',
      'Pa',
      'time',
      '#',
      '1e-3',
      '2024-01-02',
      '10:20:30',
      '>',
      'OFF',
      '\0',
      '{',
      '[',
      'µ',
    );
    fc.assert(
      fc.property(fc.array(stuff, { maxLength: 600 }), (parts) => bounded(encode(parts.join('')))),
      { numRuns: 600 },
    );
  });

  it('of damaged good logs ends in a clear error or a log', () => {
    fc.assert(
      fc.property(record, dialect, fc.array(fc.tuple(fc.nat(), fc.nat(255)), { maxLength: 40 }), (rows, d, damage) => {
        const bytes = encode(write(rows, d).text);
        for (const [at, byte] of damage) bytes[at % bytes.length] = byte;
        bounded(bytes);
      }),
      RUNS,
    );
  });

  it('of a time of day that damage makes none leaves out that row alone', () => {
    const clock = (s: number): string => new Date(1000 * s).toISOString().slice(11, 19);
    const evening = 21 * 3600 + 30 * 60;
    const midnight = 24 * 3600 - 30;
    for (const [start, at, part, damage] of [
      [evening, 3, '.4', '\u00a04'],
      [evening, 30, '.4', ' 4'],
      [midnight, 11, '"23', '"-3'],
    ] as const) {
      const rows = Array.from({ length: 60 }, (_, i) => `"${clock(start + i)}.400",${i + 1}`);
      const damaged = rows.map((row, i) => (i === at ? row.replace(part, damage) : row));
      const log = readLog(encode(`Time of day,Chamber pressure (Pa)\n${damaged.join('\n')}\n`), { file: 'x' });
      expect(log.rows).toBe(59);
      expect(log.time[58]).toBeCloseTo(59, 9);
      expect(log.leftOut).toEqual({ 'rows without a readable time': 1 });
    }
  });

  const repeated = (text: string, count: number): Uint8Array => encode(text.repeat(count));
  for (const [what, bytes] of [
    ['one line of ten megabytes', repeated('1.5,', 2_500_000)],
    ['a hundred thousand columns', encode(`${'1,'.repeat(100_000)}\n`.repeat(3))],
    ['a million lone quotes', repeated(',"a', 1_000_000)],
    ['a million lone quotes in lines', repeated('1,"a\n', 1_000_000)],
    ['a million open brackets', repeated('[', 1_000_000)],
    ['a million separators', encode(`t (s),p (Pa)\n${'1,2\n'.repeat(100)}${','.repeat(1_000_000)}\n`)],
    ['many columns over empty lines', encode(`${'1,'.repeat(4000)}1\n${'1,2\n'.repeat(400_000)}`)],
    [
      'stamps without any order',
      encode(
        `t (s),p (Pa)\n${Array.from({ length: 200_000 }, (_, i) => `${(i * 7919) % 200_003},${(i % 97) + 1}`).join('\n')}\n`,
      ),
    ],
    [
      'zeros by turns',
      encode(`t (s),p (Pa)\n${Array.from({ length: 300_000 }, (_, i) => `${i},${i % 2 ? 0 : 5e-6}`).join('\n')}\n`),
    ],
    [
      'cells that all differ and are no numbers',
      encode(`t (s),p (Pa)\n0,1\n1,2\n${Array.from({ length: 100_000 }, (_, i) => `${i},x${i}`).join('\n')}\n`),
    ],
    ['a header of brackets', encode(`${'(['.repeat(20_000)},p (Pa)\n1,2\n2,3\n`)],
  ] as const) {
    it(`of ${what} ends soon`, () => bounded(bytes));
  }
});
