import { execFile } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';
import { type CellOutput, type Notebook, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { type NotebookRun, runNotebook } from '../../kernel-helpers/command/headless/run-notebook';
import { VEGA_LITE_MIME } from '../../kernel-helpers/display';

const root = resolve(__dirname, '../..');
const folder = join(root, 'notebooks');
const python = [join(root, '.venv/bin/python'), join(root, '.venv/Scripts/python.exe')].find(existsSync);
const notebooks = (readdirSync(folder, { recursive: true }) as string[])
  .filter((name) => name.endsWith('.ipynb') && !name.includes('.ipynb_checkpoints'))
  .sort();

/** With the kernel's extension, and on stock tslab as it is. */
const ways: readonly (readonly [string, NodeJS.ProcessEnv])[] = [
  ['with the extension', { ...process.env, BLANKOFF_PLAIN: '' }],
  ['on plain tslab', { ...process.env, BLANKOFF_PLAIN: '1' }],
];

async function runWithNbclient(path: string, env: NodeJS.ProcessEnv): Promise<Notebook> {
  if (!python) throw new Error('no .venv with nbclient: npm test sets it up');
  const script = join(__dirname, 'run-with-nbclient.py');
  const { stdout } = await promisify(execFile)(python, [script, path], { env, encoding: 'utf8', maxBuffer: 1e9 });
  return JSON.parse(stdout) as Notebook;
}

const outputsOf = (notebook: Notebook): CellOutput[] => notebook.cells.flatMap((cell) => cell.outputs ?? []);
const bundles = (notebook: Notebook): Record<string, unknown>[] =>
  outputsOf(notebook).flatMap((output) => ('data' in output ? [output.data] : []));

/** What a reader sees of a notebook: forms and texts, cell by cell. */
function seen(notebook: Notebook): unknown[] {
  return notebook.cells.map((cell) =>
    (cell.outputs ?? []).map((output) => {
      if (output.output_type === 'stream') return [output.name, [output.text].flat().join('')];
      if (output.output_type === 'error') return [output.ename, output.evalue];
      return [Object.keys(output.data).sort(), [output.data['text/plain']].flat().join('')];
    }),
  );
}

it('there are notebooks to run', () => {
  expect(notebooks).toContain('failed-pump-down.ipynb');
});

describe.each(notebooks)('%s', (name) => {
  const path = join(folder, name);
  const runs = new Map<NodeJS.ProcessEnv, Promise<NotebookRun>>();
  /** Each way is run once; what is looked at in the tests is that run. */
  const headless = (env: NodeJS.ProcessEnv): Promise<NotebookRun> => {
    const run = runs.get(env) ?? runNotebook(readNotebook(path), { folder: dirname(path), environment: env });
    runs.set(env, run);
    return run;
  };

  it.each(ways)('runs headless %s', { timeout: 120_000 }, async (_way, env) => {
    const { failure, warnings, notebook } = await headless(env);
    expect(failure).toBeNull();
    expect(warnings).toEqual([]);
    expect(bundles(notebook).length).toBeGreaterThan(0);
  });

  it.each(ways)('runs through nbclient %s and shows the same', { timeout: 180_000 }, async (_way, env) => {
    const [other, { notebook }] = await Promise.all([runWithNbclient(path, env), headless(env)]);
    expect(seen(other)).toEqual(seen(notebook));
  });

  it('shows the same with the extension and without', { timeout: 120_000 }, async () => {
    const [on, off] = await Promise.all(ways.map(([, env]) => headless(env)));
    expect(seen(on.notebook)).toEqual(seen(off.notebook));
  });

  it('sends every chart with a picture and words and never beside HTML, and every table with words', async () => {
    const { notebook } = await headless(ways[1][1]);
    for (const data of bundles(notebook)) {
      expect(String(data['text/plain'] ?? '').trim()).not.toBe('');
      if (data[VEGA_LITE_MIME] === undefined) continue;
      expect(data['text/html']).toBeUndefined();
      expect(String(data['image/png']).length).toBeGreaterThan(1000);
    }
  });

  it('tells no path of this machine', async () => {
    const { notebook } = await headless(ways[1][1]);
    expect(JSON.stringify(outputsOf(notebook))).not.toContain(relative('/', root));
  });
});
