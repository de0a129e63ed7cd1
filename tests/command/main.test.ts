import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const bin = join(root, 'kernel-helpers/command/blankoff.js');
const folder = mkdtempSync(join(tmpdir(), 'blankoff-main-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const call = (...args: string[]) => spawnSync(process.execPath, args, { cwd: folder, encoding: 'utf8' });
const COMMANDS = ['analyse', 'run', 'new', 'report', 'share', 'pack', 'verify'];

it.each([['--help'], ['help'], ['-h']])('%s says on stdout what each command does, with an example', (word) => {
  const { status, stdout, stderr } = call(bin, word);
  expect([status, stderr]).toEqual([0, '']);
  for (const name of COMMANDS) expect(stdout).toMatch(new RegExp(`\\n {2}${name} +\\S.*\\n +npx blankoff ${name} `));
  for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
});

it.each(COMMANDS)('help %s lists its options within 80 columns', (name) => {
  const { status, stdout } = call(bin, 'help', name);
  expect(status).toBe(0);
  expect(stdout).toContain(`usage: blankoff ${name}`);
  for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
});

it('--version says the version; an unknown command gets the nearest', () => {
  expect(call(bin, '--version').stdout).toMatch(/^blankoff \d+\.\d+\.\d+\n$/);
  const { status, stderr } = call(bin, 'analyze');
  expect(status).toBe(1);
  expect(stderr).toContain('met "analyze", expected analyse?');
});

it('a packed case that is not there is said in words', () => {
  const { status, stderr } = call(bin, 'verify', 'nothing.zip');
  expect([status, stderr]).toEqual([
    1,
    'blankoff: nothing.zip: met no such file, expected a packed investigation, as blankoff pack writes it\n',
  ]);
});

describe('what cannot be written is said before anything is run', () => {
  const notebook = join(root, 'notebooks/rate-of-rise.ipynb');

  it.each([
    ['share', '.', 'a folder'],
    ['pack', 'here.txt/case.zip', 'a file where a folder would have to be'],
    ['report', 'here.txt/more/report.html', 'a file where a folder would have to be'],
  ])('by %s, of %s', (name, output, met) => {
    writeFileSync(join(folder, 'here.txt'), 'x');
    const { status, stderr } = call(bin, name, notebook, '-o', output);
    expect([status, stderr]).toEqual([
      1,
      `blankoff: ${output}: met ${met}, expected a file that can be written: give another path\n`,
    ]);
  });

  it('an option without its value is named by its long name', () => {
    const { status, stderr } = call(bin, 'share', notebook, '-o');
    expect([status, stderr.split('(')[0]]).toEqual([1, 'blankoff: share --output: met "no value", expected one ']);
  });
});

it('in a clone that was not built, says in one line what to do', () => {
  const there = join(folder, 'clone/kernel-helpers/command');
  mkdirSync(there, { recursive: true });
  copyFileSync(bin, join(there, 'blankoff.js'));
  const { status, stderr } = call(join(there, 'blankoff.js'), 'analyse');
  expect([status, stderr]).toEqual([1, 'blankoff: not built yet: run npm start first, in the folder of blankoff\n']);
});
