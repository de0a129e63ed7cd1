import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { type Notebook, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { parameterValues } from '../../kernel-helpers/command/headless/parameters';
import { runNotebook } from '../../kernel-helpers/command/headless/run-notebook';
import { TEMPLATES } from '../../kernel-helpers/command/new/template-table';
import { writeAnswers } from '../../kernel-helpers/command/new/write-answers';

vi.setConfig({ testTimeout: 120_000 });

const root = resolve(__dirname, '../..');
let folder: string;

beforeAll(() => {
  // A place as a user has it: the package in node_modules, logs in a folder, notebooks in another one.
  folder = mkdtempSync(join(tmpdir(), 'blankoff-new-'));
  mkdirSync(join(folder, 'node_modules'));
  symlinkSync(root, join(folder, 'node_modules/blankoff'));
  mkdirSync(join(folder, 'logs'));
  // A measured log, whose origin and licence lie beside it in `tests/measured`.
  const bytes = gunzipSync(readFileSync(join(root, 'tests/measured/orifice-chamber.txt.gz')));
  writeFileSync(join(folder, 'logs/orifice.txt'), bytes);
  copyFileSync(join(root, 'datasets/virtual-leak.csv'), join(folder, 'logs/virtual-leak.csv'));
  writeFileSync(
    join(folder, 'logs/days.csv'),
    'date,p\n03/04/2024 10:00:00,5\n03/04/2024 10:00:10,4\n03/04/2024 10:00:20,3\n',
  );
  const two = Array.from({ length: 40 }, (_, i) => `${i},${(i % 9) + 1},${1000 - 20 * i}`);
  writeFileSync(join(folder, 'logs/two.csv'), `time (s),chamber (Pa),foreline (Pa)\n${two.join('\n')}\n`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Said {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

function make(...args: string[]): Said {
  const command = join(root, 'kernel-helpers/command/blankoff.js');
  return spawnSync(process.execPath, [command, 'new', ...args], { cwd: folder, encoding: 'utf8' });
}
const made = (name: string): Notebook => readNotebook(join(folder, `${name}.ipynb`));
const textOf = ({ cells }: Notebook): string => cells.map(({ source }) => source).join('\n');

/** Two logs for every template, with what a person has to say about each. */
const measured = ['logs/orifice.txt', '--channel', 'CH2', '--unit', 'mbar'];
const invented = ['logs/virtual-leak.csv'];

describe.each(Object.keys(TEMPLATES))('a copy of %s', (from) => {
  const { logs } = TEMPLATES[from];
  it.each([
    ['a measured log', measured],
    ['a simulated log', invented],
  ])('about %s says nothing of the demo, and runs', async (what, [log, ...options]) => {
    const name = `own/${from} ${what}`;
    const files = from === 'before-and-after' ? ['--log', log, '--log', log] : ['--log', log];
    const said = make(name, '--from', from, ...files, ...options);
    expect(said.stderr).toBe('');
    expect(said.status).toBe(0);
    expect(said.stdout).toContain('in which blankoff is installed');
    const notebook = made(name);
    expect(textOf(notebook)).not.toMatch(/invent|datasets|12\.4 L|31 L|come with this/i);
    expect(textOf(notebook)).toContain(`'../${log}'`);
    expect(textOf(notebook)).not.toMatch(new RegExp(`blankoff \\w+ ${from}\\.`));
    const { failure, notebook: run } = await runNotebook(notebook, { folder: join(folder, 'own') });
    expect(failure).toBeNull();
    const shown = JSON.stringify(run.cells.map(({ outputs }) => outputs ?? []));
    expect(shown).not.toContain('To be answered in the cell');
    // The large figures name no file.
    expect(shown).toContain(from === 'watch-a-run' ? 'trend of the last' : log.slice('logs/'.length));
    const values = parameterValues(notebook);
    for (const name of logs.slice(1)) if (from === 'service-call') expect(values.get(name)).toBe("''");
  });
});

describe('blankoff new', () => {
  it('is the first template where none is named, and shows pressures in the unit of the log', () => {
    expect(make('first', '--log', 'logs/virtual-leak.csv').status).toBe(0);
    const values = parameterValues(made('first'));
    expect(values.get('file')).toBe("'logs/virtual-leak.csv'");
    expect(values.get('pressureUnit')).toBe("'Torr'");
    expect([values.get('volume'), values.get('gauge')]).toEqual(["''", "'not known'"]);
  });

  it('takes what a person knows, and refuses what the template does not have', () => {
    expect(make('known', '--log', 'logs/virtual-leak.csv', '--set', 'volume=31 L').status).toBe(0);
    expect(parameterValues(made('known')).get('volume')).toBe("'31 L'");
    const said = make('other', '--log', 'logs/virtual-leak.csv', '--set', 'volum=31 L');
    expect([said.status, said.stderr]).toEqual([
      1,
      'blankoff: --set: met "volum", expected one of logUnit, channel, volume, gauge, target, limit, pressureUnit, loadUnit\n',
    ]);
  });

  it('asks what it has to know about the log, makes nothing meanwhile, and writes the answer into the cell', async () => {
    const asked = make('days', '--log', 'logs/days.csv');
    expect(asked.status).toBe(2);
    expect(asked.stderr).toMatch(/answer with --unit/);
    expect(asked.stderr).toMatch(/answer with --date-order/);
    expect(() => made('days')).toThrow(/days\.ipynb: met no such file/);
    expect(
      make('days', '--from', 'watch-a-run', '--log', 'logs/days.csv', '--unit', 'mbar', '--date-order', 'dmy').status,
    ).toBe(0);
    const notebook = made('days');
    expect(textOf(notebook)).toContain("follow(file, { dateOrder: 'dmy' as const, unit: logUnit || undefined");
    expect(parameterValues(notebook).get('logUnit')).toBe("'mbar'");
    const { failure, notebook: run } = await runNotebook(notebook, { folder });
    expect(failure).toBeNull();
    expect(JSON.stringify(run.cells)).toContain('3.00 mbar');
  });

  it('asks which gauge is meant where several do not follow each other', () => {
    const asked = make('gauges', '--log', 'logs/two.csv');
    expect(asked.status).toBe(2);
    expect(asked.stderr).toMatch(/answer with --channel/);
    expect(make('gauges', '--log', 'logs/two.csv', '--channel', 'foreline').status).toBe(0);
    expect(parameterValues(made('gauges')).get('channel')).toBe("'foreline'");
  });

  it('overwrites nothing', () => {
    writeFileSync(join(folder, 'mine.ipynb'), 'mine');
    const said = make('mine', '--log', 'logs/virtual-leak.csv');
    expect([said.status, said.stderr]).toEqual([
      1,
      'blankoff: new: met "mine.ipynb", expected a name that is free: nothing is overwritten\n',
    ]);
    expect(readFileSync(join(folder, 'mine.ipynb'), 'utf8')).toBe('mine');
  });

  it('says where a notebook must lie, where its import would not work', () => {
    const said = make(join(dirname(folder), 'nowhere'), '--log', 'logs/virtual-leak.csv');
    expect(said.status).toBe(1);
    expect(said.stderr).toMatch(/import … from 'blankoff\/notebook' does not work.*npm install it there/s);
  });

  it('refuses a template that takes no log, one that is not there, and logs too many or too few', () => {
    const refused = (...args: string[]): string => {
      const said = make('refused', ...args);
      expect(said.status).toBe(1);
      return said.stderr;
    };
    expect(refused('--from', 'size-a-system', '--log', 'logs/virtual-leak.csv')).toContain(
      'a template that takes a log',
    );
    expect(refused('--from', 'none', '--log', 'logs/virtual-leak.csv')).toContain(
      'expected a template: failed-pump-down',
    );
    expect(refused()).toContain('--log: met "0 given", expected 1 for this template: file');
    expect(refused('--log', 'a', '--log', 'b')).toContain('no more than 1 for this template');
    expect(refused('--log', 'none.csv')).toContain('none.csv: met no such file');
    expect(refused('--log', 'a', '--logg', 'b')).toContain('--logg');
  });

  it('has a help', () => {
    expect(make('--help')).toMatchObject({ status: 0, stderr: '' });
    expect(make('--help').stdout).toMatch(/^usage: blankoff new NAME --log FILE/);
  });
});

describe('answers are written', () => {
  const answers = { dateOrder: 'dmy', stepS: 2 } as const;
  it('where a log is read with options, without, and with options in a const', () => {
    expect(writeAnswers("await readLogFile(file, { unit: 'Pa' })", answers)).toBe(
      "await readLogFile(file, { dateOrder: 'dmy' as const, stepS: 2, unit: 'Pa' })",
    );
    expect(writeAnswers('await readLogFile(file)', answers)).toBe(
      "await readLogFile(file, { dateOrder: 'dmy' as const, stepS: 2 })",
    );
    expect(writeAnswers('const o = {};\nawait follow(file, o); await follow(other, o)', answers)).toBe(
      "const o = { dateOrder: 'dmy' as const, stepS: 2,};\nawait follow(file, o); await follow(other, o)",
    );
  });

  it('as texts, whatever stands in them', () => {
    const columns = { "it's \\ p": { unit: 'mbar', quantity: 'pressure' } } as const;
    expect(writeAnswers('await readLogFile(file)', { columns })).toBe(
      "await readLogFile(file, { columns: { 'it\\'s \\\\ p': { unit: 'mbar', quantity: 'pressure' } } as const })",
    );
  });

  it('nowhere else', () => {
    expect(writeAnswers('show(log)', answers)).toBe('show(log)');
    expect(writeAnswers('await readLogFile(file)', {})).toBe('await readLogFile(file)');
  });
});
