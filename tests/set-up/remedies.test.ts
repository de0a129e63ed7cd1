import { spawnSync } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const folder = mkdtempSync(join(tmpdir(), 'blankoff-bare-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A bare clone, as far as the set-up looks at one: nothing is installed. */
for (const path of [
  'package.json',
  'package-lock.json',
  'kernel-helpers/set-up',
  'kernel-helpers/data-frames/tensor-shim',
]) {
  cpSync(join(root, path), join(folder, path), { recursive: true });
}
const emptyPath = join(folder, 'no-programs');
mkdirSync(emptyPath);

/** Runs one step of the set-up on a machine that lacks something; returns what it says, line by line. */
function saysOf(
  step: string,
  environment: NodeJS.ProcessEnv,
  before = '',
): { status: number | null; errors: string[] } {
  const script = `${before}; const s = require('./kernel-helpers/set-up/steps.js'); s.main(() => { s.${step}(); });`;
  const { status, stderr } = spawnSync(process.execPath, ['-e', script], {
    cwd: folder,
    encoding: 'utf8',
    env: { ...process.env, ...environment },
  });
  return { status, errors: stderr.split('\n').filter((line) => line.startsWith('blankoff: ')) };
}

/** A program of that name on an otherwise empty machine. */
function withProgram(name: string, script: string): NodeJS.ProcessEnv {
  const path = mkdtempSync(join(folder, 'programs-'));
  writeFileSync(join(path, name), `#!/bin/sh\n${script}\n`);
  chmodSync(join(path, name), 0o755);
  return { PATH: path };
}

/** Each of these is one line with what to do, never a trace. */
describe.skipIf(process.platform === 'win32')('on a machine that lacks something, the set-up says', () => {
  it('which Node it needs', () => {
    const old = "Object.defineProperty(process.versions, 'node', { value: '18.20.4' })";
    expect(saysOf('installPackages', {}, old)).toEqual({
      status: 1,
      errors: ['blankoff: Node 18.20.4 is too old: install Node 20.19 or later (22.12 or later)'],
    });
  });

  it('to install Python, where there is none or an old one', () => {
    const wanted = {
      status: 1,
      errors: ['blankoff: no Python 3.11 or later: install python3 (Debian: apt-get install python3 python3-venv)'],
    };
    expect(saysOf('installPythonPackages', { PATH: emptyPath })).toEqual(wanted);
    expect(saysOf('installPythonPackages', withProgram('python3', 'exit 1'))).toEqual(wanted);
  });

  it('to install the venv module, where Python comes without', () => {
    const { status, errors } = saysOf('installPythonPackages', withProgram('python3', '[ "$1" = -c ]'));
    expect(status).toBe(1);
    expect(errors).toEqual([
      'blankoff: python3 -m venv failed (exit code 1): the venv module is missing (Debian: apt-get install python3-venv)',
    ]);
  });

  it('to look at the connection, where packages cannot be had', { timeout: 60_000 }, () => {
    const offline = {
      npm_config_registry: 'http://127.0.0.1:9',
      npm_config_fetch_retries: '0',
      npm_config_cache: join(folder, 'empty-cache'),
      npm_config_update_notifier: 'false',
      npm_execpath: '',
    };
    const { status, errors } = saysOf('installPackages', offline);
    expect(status).toBe(1);
    expect(errors).toEqual([
      'blankoff: npm ci failed (exit code 1): check the connection to the package registry (npm ping), then run this again',
    ]);
  });
});
