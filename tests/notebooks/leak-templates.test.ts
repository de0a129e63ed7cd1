import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type Notebook, readNotebook, tagsOf } from '../../kernel-helpers/command/headless/notebook-file';
import { setParameters } from '../../kernel-helpers/command/headless/parameters';
import { runNotebook } from '../../kernel-helpers/command/headless/run-notebook';
import { readCell } from '../../kernel-helpers/kernel/read-cell';

const folder = resolve(__dirname, '../../notebooks');
const datasets = resolve(__dirname, '../../datasets');
const scratch = mkdtempSync(join(tmpdir(), 'templates-'));
afterAll(() => rmSync(scratch, { recursive: true }));

const NAMES = ['rate-of-rise', 'before-and-after', 'find-the-section', 'service-call'] as const;
type Name = (typeof NAMES)[number];

const template = (name: Name): Notebook => readNotebook(join(folder, `${name}.ipynb`));

/** What a notebook shows as text in one line, by cell, run on a real kernel with these values given from outside. */
async function shown(name: Name, values: Readonly<Record<string, string>> = {}): Promise<Map<string, string>> {
  const notebook = setParameters(template(name), new Map(Object.entries(values)));
  const { failure, notebook: run } = await runNotebook(notebook, { folder });
  expect(failure).toBeNull();
  return new Map(
    run.cells
      .filter((cell) => cell.cell_type === 'code')
      .map((cell) => [
        cell.id ?? '',
        (cell.outputs ?? [])
          .map((output) => ('data' in output ? [output.data['text/plain']].flat().join('') : ''))
          .join('\n')
          .replace(/\s+/g, ' '),
      ]),
  );
}

/** A demo log without the name of its unit: what nobody can guess from its readings. */
function withoutUnit(file: string): string {
  const rows = readFileSync(join(datasets, file), 'utf8').split('\n');
  const header = rows.findIndex((row) => row.startsWith('time'));
  const path = join(scratch, `no-unit-${file}`);
  const columns = rows.slice(header + 1).map((row) => row.split(',').slice(0, 2).join(','));
  writeFileSync(path, ['time [s],gauge', ...columns].join('\n'));
  return path;
}

/** Ids of the cells that run again when a name gets another value. */
function follow(notebook: Notebook, name: string): string[] {
  const cells = notebook.cells
    .filter((cell) => cell.cell_type === 'code')
    .map((cell) => ({ id: cell.id ?? '', ...readCell(cell.source, tagsOf(cell)).names }));
  const changed = new Set([name]);
  const again = new Set<string>();
  for (let found = true; found; ) {
    found = false;
    for (const { id, uses, defines } of cells) {
      if (again.has(id) || ![...uses].some((used) => changed.has(used))) continue;
      again.add(id);
      for (const defined of defines.keys()) changed.add(defined);
      found = true;
    }
  }
  return [...again];
}

describe.each(NAMES)('%s', (name) => {
  const text = template(name)
    .cells.filter((cell) => cell.cell_type === 'markdown')
    .map((cell) => cell.source)
    .join('\n');

  it('opens with what it answers, what to have at hand and what to take care of', () => {
    const [opening] = template(name).cells;
    for (const words of ['?**', '**Have at hand:**', '**Take care.** Local codes', 'invented']) {
      expect(opening.source).toContain(words);
    }
  });

  it('names the cautions: implosion, over-pressure, closed vessels, oxygen, toxic gas', () => {
    for (const words of [/implo/, /relief/, /atmosphere/, /oxygen/i, /toxic/i, /oil/]) expect(text).toMatch(words);
  });

  it('says how to hand it on', () => {
    expect(text).toContain(`npx blankoff share ${name}.ipynb`);
    expect(text).toContain(`npx blankoff pack ${name}.ipynb`);
  });
});

describe('what runs again', () => {
  it.each([
    ['rate-of-rise', 'limit', ['read', 'happened', 'rates', 'rises', 'plateau']],
    ['rate-of-rise', 'volume', ['read', 'happened', 'rates', 'rises', 'plateau']],
    ['rate-of-rise', 'nextFor', ['read', 'happened', 'rates', 'analysis', 'finding']],
    ['rate-of-rise', 'pressureUnit', ['read', 'happened', 'rates', 'analysis']],
    ['before-and-after', 'limit', ['read', 'happened', 'rates', 'difference', 'stage']],
    ['before-and-after', 'volume', ['read', 'happened', 'rates', 'difference', 'stage']],
    ['find-the-section', 'limit', ['read', 'happened', 'rises']],
    ['find-the-section', 'sections', ['read', 'happened']],
    ['service-call', 'barometer', ['helpers', 'zero', 'pump', 'line-log', 'line', 'chamber-analysis', 'tracer']],
    ['service-call', 'limit', ['helpers', 'atmosphere', 'zero', 'pump', 'line-log', 'line-loads', 'tracer']],
    ['service-call', 'chamberVolume', ['helpers', 'atmosphere', 'line-log', 'line-loads', 'chamber-log', 'tracer']],
  ] as const)('%s: a move of %s leaves alone what does not depend on it', (name, moved, spared) => {
    const again = follow(template(name), moved);
    expect(again.length).toBeGreaterThan(0);
    const ids = template(name).cells.map((cell) => cell.id);
    for (const id of spared) {
      expect(ids).toContain(id);
      expect(again).not.toContain(id);
    }
  });
});

describe('on their own demo logs they say what was made', { timeout: 60_000 }, () => {
  it('rate-of-rise: gas trapped in a hole, no leak, within the limit', async () => {
    const cells = await shown('rate-of-rise');
    expect(cells.get('finding')).toMatch(/verdict +virtual leak/);
    expect(cells.get('finding')).toMatch(/conforms +yes/);
    // The numbers are those of the stretches in what happened.
    expect(cells.get('repeat')).toMatch(/isolation 4, at .* isolation 7, at .* isolation 10, at /);
    expect(cells.get('happened-shown')).toMatch(/ 10 what: isolation from: 2:30:15/);
    expect(cells.get('smallest')).toMatch(/a leak at the limit makes \S+ Torr, /);
  });

  it('before-and-after: the rise fell to about an eighth, and the leak is within the limit', async () => {
    const cells = await shown('before-and-after');
    // Made: loads of 3.9e-3 and 4.6e-4 Pa m3/s at the isolations (truth file): a factor 0.118.
    expect(cells.get('verdict')).toMatch(/smaller after, by a factor 0\.11[78]/);
    expect(cells.get('finding-before')).toMatch(/conforms +no/);
    expect(cells.get('finding-after')).toMatch(/conforms +yes/);
    // Made: a leak of 3.5e-2 mbar L/s, and of 6e-4 after the repair.
    const leak = (when: string): number[] =>
      new RegExp(`${when}: real leak: (\\S+) mbar L/s \\(95 %: (\\S+) to (\\S+)\\)`)
        .exec(cells.get('loads')!)!
        .slice(2)
        .map(Number);
    const [before, after] = [leak('before'), leak('after')];
    expect(before[0]).toBeLessThan(0.035);
    expect(before[1]).toBeGreaterThan(0.035);
    expect(after[0]).toBeLessThan(6e-4);
    expect(after[1]).toBeGreaterThan(6e-4);
  });

  it('find-the-section: section B', async () => {
    const cells = await shown('find-the-section');
    expect(cells.get('next')).toContain('isolate "section B" alone');
    expect(cells.get('remarks')).toContain('isolated: section B shut off');
  });

  it('service-call: water in the oil that the ballast cleared, and a leak in the pipe', async () => {
    const cells = await shown('service-call');
    expect(cells.get('pump')).toContain('there was vapour in the oil, and it is gone');
    expect(cells.get('line')).toContain('above the limit of 0.01 mbar L/s: pipe to do');
    expect(cells.get('chamber-analysis')).toMatch(/verdict +outgassing/);
    expect(cells.get('stands')).toMatch(/not as it should be: line, section by section; tracer/);
    expect(cells.get('stands')).toMatch(/next, tracer +again there, to be sure: tracer at the flange/);
  });
});

describe('with logs that cannot answer they say so', { timeout: 60_000 }, () => {
  const noUnit = withoutUnit('sections-valved-off.csv');

  it('a unit that is unknown is asked for, and taken once it is told', async () => {
    const open = await shown('rate-of-rise', { file: noUnit });
    expect(open.get('happened-shown')).toMatch(/names no unit.*mbar/);
    expect(open.get('finding')).toContain('names no unit');
    const told = await shown('rate-of-rise', { file: noUnit, logUnit: 'Pa' });
    expect(told.get('rises-table')).toContain('Torr/s');
    expect(told.get('finding')).toContain('verdict');
  });

  it('a thermal gauge: the gas that is not known is named as what to improve, and once it is told it is no part of it', async () => {
    const log = { file: '../datasets/failed-pump-down.csv', gauge: 'thermal' };
    const open = (await shown('rate-of-rise', log)).get('loads')!;
    expect(open).toMatch(/gas factor .*gas not known/);
    const told = await shown('rate-of-rise', { ...log, gas: 'air' });
    expect(told.get('loads')).not.toContain('gas factor');
    expect(told.get('given')).toMatch(/gas in the chamber +air/);
  });

  it('no isolation: no load is known, and the test to make is named', async () => {
    const cells = await shown('rate-of-rise', { file: '../datasets/service-pump-shut.csv' });
    expect(cells.get('rises')).toContain('No isolation in this log');
    expect(cells.get('finding')).toMatch(/verdict +undetermined/);
    expect(cells.get('finding')).toContain('shut the valve between pump and chamber');
  });

  it('one isolation and no volume: rates, no loads, nothing passed', async () => {
    const cells = await shown('rate-of-rise', { file: '../datasets/before-repair.csv', volume: '', limit: '' });
    expect(cells.get('repeat')).toContain('Only one isolation');
    expect(cells.get('loads')).toContain('the volume was not given');
    expect(cells.get('finding')).not.toMatch(/conforms/);
    expect(cells.get('given')).toMatch(/limit +not given/);
  });

  it('a comparison without an isolation on one side is not made', async () => {
    const cells = await shown('before-and-after', {
      fileBefore: '../datasets/service-pump-shut.csv',
      fileAfter: noUnit,
    });
    expect(cells.get('rises')).toContain('before: no isolation');
    expect(cells.get('happened-shown')).toContain('names no unit');
    expect(cells.get('verdict')).toContain('cannot be told');
  });

  it('isolations that do not go with the list of sections are counted', async () => {
    const cells = await shown('find-the-section', { files: '../datasets/before-repair.csv' });
    expect(cells.get('where')).toMatch(/met 1, expected 3/);
  });

  it('a service call with nothing lists all that is missing, and begins with the gauge', async () => {
    const files = ['atmosphere', 'zero', 'pumpShut', 'pumpBallast', 'pumpShutAgain', 'line', 'chamber', 'tracer'];
    const given = ['barometer', 'target', 'ultimate', 'chamberVolume', 'limit', 'sections'];
    const empty = Object.fromEntries([...files.map((file) => `${file}File`), ...given].map((name) => [name, '']));
    const cells = await shown('service-call', empty);
    const stands = cells.get('stands')!;
    expect(stands).toMatch(/next, gauge at atmosphere/);
    expect(stands.match(/no log was given/g)?.length).toBe(8);
    expect(cells.get('given')).not.toContain('SHA-256');
  });

  it('a service call whose log cannot be read says so in that step, and goes on', async () => {
    const empty = join(scratch, 'empty.csv');
    writeFileSync(empty, '');
    const cells = await shown('service-call', { pumpShutFile: empty });
    expect(cells.get('pump')).toMatch(/ballast shut state: cannot tell shows: empty\.csv: met an empty file/);
    expect(cells.get('pump')).toContain('name another log in "What is known"');
    expect(cells.get('pump')).toMatch(
      /there is no level with ballast shut beside it to do: .*ballast shut, and record/,
    );
    expect(cells.get('given')).toMatch(/pump, ballast shut +empty\.csv: met an empty file/);
    // What the other logs show is said all the same.
    expect(cells.get('line')).toContain('above the limit of 0.01 mbar L/s: pipe');
    expect(cells.get('chamber-analysis')).toMatch(/verdict +outgassing/);
    expect(cells.get('stands')).toMatch(/not as it should be: line, section by section; tracer/);
  });

  it('a service call with logs that are not there shows every step as open, each with something to do', async () => {
    const files = ['atmosphere', 'zero', 'pumpShut', 'pumpBallast', 'pumpShutAgain', 'line', 'chamber', 'tracer'];
    const gone = Object.fromEntries(files.map((file) => [`${file}File`, `${file}-not-there.csv`]));
    const stands = (await shown('service-call', gone)).get('stands')!;
    expect(stands.match(/not-there\.csv: met no such file/g)?.length).toBe(8);
    expect(stands.match(/name another log/g)?.length).toBe(9);
  });

  it('a service call puts the gauge that is open first, with what to do', async () => {
    const bad = join(scratch, 'no-reading.csv');
    writeFileSync(bad, ['time [s],gauge [mbar]', ...Array.from({ length: 40 }, (_, i) => `${10 * i},---`)].join('\n'));
    const others = ['pumpShut', 'pumpBallast', 'pumpShutAgain', 'line', 'chamber', 'tracer'];
    const none = Object.fromEntries(others.map((file) => [`${file}File`, '']));
    const unread = (await shown('service-call', { ...none, atmosphereFile: '', zeroFile: bad })).get('stands')!;
    expect(unread).toMatch(/next, gauge at atmosphere +vent with dry gas/);
    const given = (await shown('service-call', { ...none, zeroFile: bad })).get('stands')!;
    expect(given).toMatch(/next, gauge at zero +mend what it says/);
  });
});
