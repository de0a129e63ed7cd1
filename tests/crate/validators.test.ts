import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { readArchive } from '../../kernel-helpers/crate/zip-archive';
import { packTrial } from './packed-trial';

const root = resolve(__dirname, '../..');
// Plain scripts, which also run before anything is compiled.
const steps = require(join(root, 'kernel-helpers/set-up/steps.js')) as {
  installValidators(): void;
  inVenv(name: string, folder: string): string;
  validators: string;
};

let files: Map<string, Uint8Array>;

beforeAll(async () => {
  steps.installValidators();
  files = readArchive(await packTrial('validated'), 'case.zip');
}, 300_000);

/** Unpacks the case into a folder, with one file changed. */
function unpacked(name: string, path?: string, change?: (text: string) => string): string {
  const folder = join(root, 'out', 'page', name);
  rmSync(folder, { recursive: true, force: true });
  for (const [entry, bytes] of files) {
    mkdirSync(dirname(join(folder, entry)), { recursive: true });
    const text = new TextDecoder().decode(bytes);
    writeFileSync(join(folder, entry), entry === path && change ? change(text) : bytes);
  }
  return folder;
}

function run(program: string, args: readonly string[]): { status: number | null; out: string } {
  const result = spawnSync(steps.inVenv(program, steps.validators), args, { encoding: 'utf8' });
  return { status: result.status, out: result.stdout + (result.stdout === '' ? result.stderr : '') };
}

// The JSON-LD context of RO-Crate 1.2 comes out of the npm package ro-crate, since nothing is fetched here.
const context = require.resolve('ro-crate/lib/context.json');

function crateProblems(folder: string): { passed: boolean; issues: string[] } {
  const { out } = run('python', [join(__dirname, 'validate_crate.py'), folder, context]);
  return JSON.parse(out.trim().split('\n').at(-1) ?? '');
}

describe('independent validators', () => {
  it('roc-validator finds the crate a valid RO-Crate 1.2', () => {
    expect(crateProblems(unpacked('whole'))).toEqual({ passed: true, issues: [] });
  }, 60_000);

  it('roc-validator would have said it: a crate without a licence is none', () => {
    const folder = unpacked('no-licence', 'ro-crate-metadata.json', (text) => text.replace('"license"', '"licence"'));
    expect(crateProblems(folder).passed).toBe(false);
  }, 60_000);

  it('frictionless finds the data package of the log valid, and would have said it', () => {
    const whole = run('frictionless', ['validate', '--json', join(unpacked('whole'), 'logs/1/datapackage.json')]);
    expect(JSON.parse(whole.out)).toMatchObject({ valid: true, stats: { tasks: 2, errors: 0 } });
    const folder = unpacked('spoilt', 'logs/1/readings.csv', (text) => text.replace('\n10,', '\nten,'));
    const spoilt = run('frictionless', ['validate', '--json', join(folder, 'logs/1/datapackage.json')]);
    expect(JSON.parse(spoilt.out)).toMatchObject({ valid: false });
  }, 60_000);
});
