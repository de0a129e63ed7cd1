import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { readNotebook, writeNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { runAndListen } from '../../kernel-helpers/files/run-and-listen';
import { writeTrial } from './trial-notebook';

const root = resolve(__dirname, '../..');
// Plain scripts, which also run before anything is compiled.
const steps = require(join(root, 'kernel-helpers/set-up/steps.js')) as {
  installPythonPackages(): void;
  installKernel(environment?: string): void;
  inVenv(name: string): string;
};

describe('a hosted notebook service', () => {
  const read = (name: string): string => readFileSync(join(root, '.binder', name), 'utf8');

  it('is told of the pinned packages and of a Node that the project takes', () => {
    const environment = read('environment.yml');
    const list = /- -r (\S+)/.exec(environment)?.[1] ?? '';
    expect(existsSync(join(root, '.binder', list))).toBe(true);
    expect(Number(/nodejs=(\d+)/.exec(environment)?.[1])).toBeGreaterThanOrEqual(20);
  });

  it('builds with a script that a shell understands, and that may be run', () => {
    const script = join(root, '.binder/postBuild');
    execFileSync('sh', ['-n', script]);
    expect(statSync(script).mode & 0o111).not.toBe(0);
    const run = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).scripts as Record<string, string>;
    for (const [, name] of read('postBuild').matchAll(/npm run (\S+)/g)) expect(run[name]).toBeTruthy();
  });

  it('gets the kernel where its Jupyter looks', () => {
    const prefix = mkdtempSync(join(tmpdir(), 'blankoff-prefix-'));
    const line =
      read('postBuild')
        .split('\n')
        .find((text) => text.startsWith('node -e')) ?? '';
    execFileSync('sh', ['-c', line], { cwd: root, env: { ...process.env, prefix } });
    const spec = JSON.parse(readFileSync(join(prefix, 'share/jupyter/kernels/tslab/kernel.json'), 'utf8'));
    expect(existsSync(spec.argv[1])).toBe(true);
    rmSync(prefix, { recursive: true });
  });
});

describe('nbconvert, without a kernel', () => {
  let html: string;

  beforeAll(async () => {
    steps.installPythonPackages();
    const path = writeTrial('preview', {
      text: '# A preview\n\nSome **prose**.',
      tools: "import { intervalsChart, show, toDataFrame, readLogFile } from 'blankoff/notebook';",
      table: "show([{ what: 'a row', value: 3 }], { caption: 'a table' });",
      chart:
        "show(intervalsChart([{ name: 'a load', estimate: { value: 1, low: 0.5, high: 2 } }], 'Pa m3/s', { what: 'gas load' }));",
      frame: "show(toDataFrame(await readLogFile('log.csv'), { from: 20, to: 24 }), { caption: 'a frame' });",
      words: "show('some words'); console.log('printed');",
    });
    const { executed } = await runAndListen(readNotebook(path), path);
    writeNotebook(path, executed);
    const args = ['--to', 'html', '--log-level', 'ERROR', path];
    const result = spawnSync(steps.inVenv('jupyter-nbconvert'), args, { encoding: 'utf8' });
    expect(result.status, result.stderr).toBe(0);
    html = readFileSync(join(dirname(path), 'preview.html'), 'utf8');
  }, 180_000);

  it.each([
    ['prose', '<strong>prose</strong>'],
    ['a table', '<caption>a table</caption>'],
    ['a chart as a picture', 'src="data:image/png;base64,iVBOR'],
    ['a frame', '<caption>a frame</caption>'],
    ['words', 'some words'],
    ['prints', 'printed'],
    ['the code', 'toDataFrame'],
  ])('shows %s', (_, text) => {
    expect(html).toContain(text);
  });
});
