import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { notebookOf } from '../browser/jupyter-lab';

const root = resolve(__dirname, '../..');
const steps = require(join(root, 'kernel-helpers/set-up/steps.js')) as {
  installPythonPackages(): void;
  installKernel(): void;
  inVenv(name: string): string;
  venv: string;
};

/** Runs a Python script of this folder in the environment with Jupyter's own clients; gives back what it prints. */
function python(script: string, args: readonly string[], environment: NodeJS.ProcessEnv): Promise<unknown> {
  const child = spawn(steps.inVenv('python'), [join(__dirname, script), ...args], {
    env: { ...process.env, JUPYTER_PATH: `${steps.venv}/share/jupyter`, ...environment },
    cwd: root,
  });
  return new Promise((done, fail) => {
    let [text, words] = ['', ''];
    child.stdout.on('data', (chunk: Buffer) => {
      text += chunk;
    });
    child.stderr.on('data', (chunk: Buffer) => {
      words += chunk;
    });
    child.on('close', (code) => (code === 0 ? done(JSON.parse(text)) : fail(new Error(words))));
  });
}

beforeAll(() => {
  steps.installPythonPackages();
  steps.installKernel();
}, 240_000);

describe('the protocol tests of jupyter_kernel_test', () => {
  interface Outcome {
    readonly passed: string[];
    readonly failed: Record<string, string>;
  }

  it('find three faults in stock tslab', async () => {
    const { failed } = (await python('protocol_test.py', ['plain'], {})) as Outcome;
    expect(Object.keys(failed).map((name) => name.split(' ')[0])).toEqual([
      'test_execute_result',
      'test_error',
      'test_kernel_info',
    ]);
  }, 120_000);

  it('find none with the extension', async () => {
    const { failed, passed } = (await python('protocol_test.py', ['reactive'], {})) as Outcome;
    expect(failed).toEqual({});
    expect(passed).toHaveLength(9);
  }, 120_000);
});

describe('a notebook through nbclient', () => {
  interface Output {
    readonly output_type: string;
    readonly text?: string;
    readonly data?: Record<string, string>;
    readonly evalue?: string;
  }
  interface Run {
    readonly replies: string[];
    readonly failure: string | null;
    readonly cells: { source: string; outputs: Output[] }[];
  }
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(root, 'out', 'nbclient-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const run = (path: string, plain: boolean): Promise<Run> =>
    python('run_notebook.py', [path], plain ? { BLANKOFF_PLAIN: '1' } : {}) as Promise<Run>;
  /** What a reader sees, whether it is a stream or a result, and with or without the name of an input before its value. */
  const words = ({ cells }: Run): string[] =>
    cells.map(({ outputs }) =>
      outputs
        .map(({ text, data }) => (text ?? data?.['text/plain'] ?? '').trimEnd())
        // Stock tslab does not tell an input its name.
        .map((text, i) => (outputs[i].data && !text.includes('\n') ? text.replace(/^[\w ]+: /, '') : text))
        .join('\n'),
    );

  const written = (name: string, cells: Record<string, string>): string => {
    const path = join(folder, `${name}.ipynb`);
    writeFileSync(path, notebookOf(cells));
    return path;
  };

  it('runs top to bottom with the extension on and off, with the same outputs', async () => {
    const path = written('both', {
      kit: `import { input, show, formatQuantity } from 'blankoff/notebook';`,
      volume: `const volume = input('12.4 L ± 5 %', { label: 'volume' });`,
      words: 'console.log(formatQuantity(volume)); volume.unit',
      wait: 'await new Promise((r) => setTimeout(r, 50)); show([{ a: 1, b: 2 }]);',
      again: 'const again = 1;',
    });
    const [on, off] = [await run(path, false), await run(path, true)];
    expect([on.failure, off.failure]).toEqual([null, null]);
    expect([...on.replies, ...off.replies].every((status) => status === 'ok')).toBe(true);
    expect(words(on)).toEqual(words(off));
    expect(words(on)[2]).toBe('12.4 ± 0.6 L (k = 2)\nL');
  }, 120_000);

  it('stops at an error with its name and text, which stock tslab does not tell', async () => {
    const path = written('fails', { kit: `import 'blankoff/notebook';`, bad: 'throw new RangeError("too far");' });
    expect((await run(path, false)).failure).toContain('RangeError: too far');
    expect((await run(path, true)).failure).not.toContain('RangeError: too far\n    cell');
  }, 120_000);

  it('of the failed pump-down runs with the extension on and off, with the same outputs', async () => {
    const path = join(root, 'notebooks/failed-pump-down.ipynb');
    const [on, off] = [await run(path, false), await run(path, true)];
    expect([on.failure, off.failure]).toEqual([null, null]);
    expect([...on.replies, ...off.replies].every((status) => status === 'ok')).toBe(true);
    expect(words(on)).toEqual(words(off));
  }, 120_000);
});
