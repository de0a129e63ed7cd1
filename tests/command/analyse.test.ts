import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { analyseCommand, analyseOptions } from '../../kernel-helpers/command/analyse';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'blankoff-analyse-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
afterEach(() => vi.restoreAllMocks());

/** Runs the command in this process and catches what it writes. */
async function run(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  let out = '';
  let err = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += text;
    return true;
  });
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    err += text;
    return true;
  });
  try {
    return { code: await analyseCommand(args), out, err };
  } finally {
    vi.restoreAllMocks();
  }
}

/** A log file of a chamber that is pumped at 0.1 /s, isolated at 600 s (0.02 mbar/s) and pumped again at 900 s. */
function madeFile(name: string, header: string): string {
  const lines = [header];
  let p = 1000;
  for (let t = 0; t <= 1200; t++) {
    const isolated = t >= 600 && t < 900;
    p = isolated ? p + 0.02 : 0.2 + (p - 0.2) * Math.exp(-0.1);
    lines.push(`${t};${p.toPrecision(5)}`);
  }
  const path = join(folder, name);
  writeFileSync(path, lines.join('\n'));
  return path;
}

describe('blankoff analyse LOG', () => {
  it('writes a report that a technician can read, and exits with 0', async () => {
    const { code, out, err } = await run(
      madeFile('a.csv', 't (s);p (mbar)'),
      '--volume',
      '10 L +- 5 %',
      '--gauge',
      'piezo',
    );
    expect(code).toBe(0);
    expect(err).toBe('');
    expect(out).toMatch(/0:10:0\d {2}.* isolation/);
    expect(out).toMatch(/mean rate +0\.0200\d* ± .* mbar\/s \(95 %\)/);
    expect(out).toMatch(/mean load +0\.200 ± 0\.0\d+ mbar L\/s \(95 %\)/);
    expect(out).toContain('the uncertainty of the volume was taken as k=2');
    for (const line of out.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
  });

  it('refuses a log whose stamps are all the same, or whose cells are words, by its line', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => i);
    const written = (name: string, row: (i: number) => string): string => {
      const path = join(folder, name);
      writeFileSync(path, `Time,PG (mTorr)\n${rows.map(row).join('\n')}\n`);
      return path;
    };
    const same = written('same.csv', (i) => `2026-05-06 08:00:00,${5 + i}`);
    await expect(run(same)).rejects.toThrow(
      'same.csv:2, column 1: met the same stamp, "2026-05-06 08:00:00", in all 30',
    );
    const words = written('words.csv', (i) => `2026-05-06 08:00:${10 + i},${i % 2 ? 'high' : 'low'}`);
    const told = 'words.csv:2, column 2: met "low" in "PG (mTorr)", expected a number';
    await expect(run(words)).rejects.toThrow(told);
    await expect(run(words, '--channel', 'PG')).rejects.toThrow(told);
  });

  it('gives a pressure that came once with a wrong stamp no say', async () => {
    const path = madeFile('stray.csv', 't (s);p (mbar)');
    const lines = readFileSync(path, 'utf8').split('\n');
    writeFileSync(path, [...lines.slice(0, 700), '90000000;500', ...lines.slice(700)].join('\n'));
    const { out } = await run(path);
    expect(out).toContain('stray.csv: 1201 rows, 20 min');
    expect(out.replace(/\s+/g, ' ')).toContain('the row in line 701 has a stamp out of line');
    expect(out).toMatch(/mean rate +0\.0200/);
  });

  it('writes JSON with every key in SI, and nothing else on stdout', async () => {
    const { code, out } = await run(madeFile('a.csv', 't (s);p (mbar)'), '--volume=10 L ± 5 %', '--json');
    expect(code).toBe(0);
    const json = JSON.parse(out);
    expect(json.log).toMatchObject({ file: 'a.csv', rows: 1201, start: null, duration_s: 1200, questions: [] });
    expect(json.log.sha256).toMatch(/^[0-9a-f]{64}$/);
    expect(Object.keys(json.log.channels[0])).toEqual([
      'name',
      'quantity',
      'unit',
      'unit_from',
      'min',
      'max',
      'si_unit',
      'flags',
    ]);
    expect(json.segments[0]).toEqual({
      kind: expect.any(String),
      start_s: expect.any(Number),
      end_s: expect.any(Number),
      grounds: expect.any(Array),
    });
    const [isolation] = json.isolations;
    for (const key of ['rate_Pa_per_s', 'initial_rate_Pa_per_s', 'final_rate_Pa_per_s', 'gas_load_Pa_m3_per_s']) {
      expect(Object.keys(isolation[key])).toEqual(['value', 'low', 'high']);
    }
    expect(isolation.rate_Pa_per_s.value).toBeCloseTo(2, 2);
    expect(isolation.gas_load_Pa_m3_per_s.value).toBeCloseTo(0.02, 4);
    expect(json.pump_downs[0].effective_speed_m3_per_s.low).toBeLessThan(1e-3);
    expect(json.pump_downs[0].effective_speed_m3_per_s.high).toBeGreaterThan(1e-3);
    expect(json.finding).toMatchObject({ verdict: expect.any(String), conforms: null });
    for (const key of ['main_cause', 'present', 'real_leak_Pa_m3_per_s', 'grounds', 'next_test']) {
      expect(json.finding).toHaveProperty(key);
    }
  });

  it('asks what it must know, on stderr and in the JSON, and exits with 2', async () => {
    const path = join(folder, 'no-unit.txt');
    writeFileSync(
      path,
      ['time (s),reading_p', ...Array.from({ length: 50 }, (_, i) => `${i},${0.3 + 0.01 * i}`)].join('\n'),
    );
    const { code, out, err } = await run(path, '--json', '--channel', 'reading_p');
    expect(code).toBe(2);
    expect(err).toContain('no-unit.txt: a question first');
    expect(err).toContain('answer with --unit');
    const json = JSON.parse(out);
    expect(json.log.questions[0]).toMatchObject({ about: 'unit', column: 'reading_p' });
    expect(json.finding).toBeNull();
    expect((await run(path, '--json', '--channel', 'reading_p', '--unit', 'mbar')).code).toBe(0);
    expect((await run(path, '--json', '--unit', 'reading_p=mbar')).code).toBe(0);
  });

  it('asks for the volume where the limit is a throughput', async () => {
    const { code, err } = await run(madeFile('a.csv', 't (s);p (mbar)'), '--limit', '1e-4 mbar L/s');
    expect(code).toBe(2);
    expect(err.replace(/\s+/g, ' ')).toContain('what is the volume that was isolated?');
  });

  it('judges a limit of the rate of rise by the rise itself', async () => {
    const path = madeFile('a.csv', 't (s);p (mbar)');
    const limit = (text: string) => run(path, '--gauge', 'capacitance', '--limit', text, '--json');
    const conforms = async (text: string) => JSON.parse((await limit(text)).out).finding.conforms;
    expect(await conforms('1.5 mbar/min after 10 s over 2 min')).toBe('yes');
    expect(await conforms('1 mbar/min after 10 s over 2 min')).toBe('no');
    expect(await conforms('1.5 mbar/min after 10 s over 20 min')).toBe('inconclusive');
  });

  it('times pump-downs to set points', async () => {
    const { out } = await run(madeFile('a.csv', 't (s);p (mbar)'), '--setpoint', '100 mbar', '--setpoint', '1e-3 mbar');
    // calc: ln(1000 / 100) / 0.1 = 23.0 s, near enough to the base of 0.2 mbar.
    expect(out).toMatch(/0:00:00: 100 mbar after 2[23] s/);
    expect(out).toContain('0.001 mbar is not reached');
  });

  it('takes a correction with its reason', async () => {
    const correct = 'isolation from 620 s to 800 s: valve was still moving';
    const { out } = await run(madeFile('a.csv', 't (s);p (mbar)'), '--json', '--correct', correct);
    const { isolations } = JSON.parse(out);
    expect(isolations.some((i: { start_s: number; end_s: number }) => i.start_s === 620 && i.end_s === 800)).toBe(true);
  });

  it('reads several files that continue each other', async () => {
    const path = madeFile('a.csv', 't (s);p (mbar)');
    const lines = readFileSync(path, 'utf8').split('\n');
    const halves = [lines.slice(0, 601), [lines[0], ...lines.slice(601)]].map((part, i) => {
      const half = join(folder, `part-${i}.csv`);
      writeFileSync(half, part.join('\n'));
      return half;
    });
    const { code, out } = await run(...halves, '--json');
    expect(code).toBe(0);
    expect(JSON.parse(out).log.rows).toBe(1201);
  });
});

describe('options that cannot be used', () => {
  it.each([
    [['--volme', '3 L'], /^analyse option: met "--volme", expected --volume\? \(blankoff analyse --help lists all\)$/],
    [
      ['--frobnicate'],
      /^analyse option: met "--frobnicate", expected one that there is: blankoff analyse --help lists all$/,
    ],
    [['--gauge', 'bellows'], /--gauge: met "bellows", expected one of thermal, capacitance/],
    [['--volume', '3 mbar'], /--volume: quantity: met "3 mbar"/],
    [['--limit', 'tight'], /--limit: quantity: met "tight"/],
    [['--unit', 'parsec'], /--unit: quantity: met "parsec"/],
    [['--date-order', 'xyz'], /--date-order: met "xyz", expected one of dmy, mdy, ymd/],
    [['--law', 'log x y'], /--law: met "log x y"|--law/],
    [['--correct', 'isolation 3 4'], /--correct: met "isolation 3 4", expected KIND from TIME to TIME: REASON/],
    [['--risk', 'high'], /--risk: met "high", expected a percentage above 0 and below 50/],
    [['--risk', '200'], /--risk: met "200", expected a percentage above 0 and below 50/],
    [['--gauge', 'pirani'], /--gauge: met "pirani", expected thermal, which is how/],
    [['--gauge', 'ion'], /--gauge: met "ion", expected hot-cathode/],
    [['--gauge', 'convection gauge'], /--gauge: met "convection gauge", expected thermal, which is how/],
    [['--gauge', 'ion'], /--gauge: met "ion", expected hot-cathode/],
    [['--gauge', 'Penning'], /--gauge: met "Penning", expected cold-cathode/],
    [['--volume'], /analyse --volume/],
    [['--channel', 'q'], /channel/],
  ])('%j are refused with what was expected', async (args, message) => {
    await expect(run(madeFile('a.csv', 't (s);p (mbar)'), ...args)).rejects.toThrow(message);
  });

  it('a log that is not there is refused by name', async () => {
    await expect(run(join(folder, 'gone.csv'))).rejects.toThrow(/gone\.csv: met no such file, expected a log/);
  });

  it('no log at all is refused with the usage', async () => {
    await expect(run()).rejects.toThrow('analyse: met "no log", expected a log: blankoff analyse LOG... [options]');
  });
});

describe('--help', () => {
  it('names every option within 80 columns', async () => {
    const { code, out } = await run('--help');
    expect(code).toBe(0);
    for (const name of Object.keys(analyseOptions)) expect(out).toContain(`--${name}`);
    for (const line of out.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
  });
});
