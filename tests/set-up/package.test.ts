import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { builtinModules } from 'node:module';
import { tmpdir } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

/** A stranger's folder that has the package installed. */
const folder = mkdtempSync(join(tmpdir(), 'blankoff-user-'));
mkdirSync(join(folder, 'node_modules'));
symlinkSync(root, join(folder, 'node_modules/blankoff'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function filesUnder(path: string, ending: string): string[] {
  return (readdirSync(path, { recursive: true }) as string[])
    .filter((name) => name.endsWith(ending))
    .map((name) => join(path, name));
}

function compile(source: string, compilerOptions: Readonly<Record<string, unknown>>): string {
  writeFileSync(join(folder, 'user.ts'), source);
  const options = { noEmit: true, strict: true, target: 'ES2022', lib: ['ES2022'], ...compilerOptions };
  writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions: options, files: ['user.ts'] }));
  const tsc = join(root, 'node_modules/typescript/bin/tsc');
  return spawnSync(process.execPath, [tsc], { cwd: folder, encoding: 'utf8' }).stdout.trim();
}

/** Uses whose types would pass silently if a declaration had become `any`. */
const core = `
import { isBlankoffError, quantity, type GaugeLog } from 'blankoff';
const volume = quantity('12.4 L ± 5 %');
const si: number = volume.si;
// @ts-expect-error a quantity is no text
const text: string = volume;
declare const log: GaugeLog;
// @ts-expect-error columns are typed arrays
const rows: string[] = log.time;
export const used = [si, text, rows, isBlankoffError(1)];
`;

describe('the built package', () => {
  it.each(['.', './notebook'])('has the files that the entry %s promises', (entry) => {
    const { types, default: main } = manifest.exports[entry];
    expect([types, main].filter((path) => !existsSync(join(root, path)))).toEqual([]);
    const listed = entry === '.' ? manifest.types : manifest.typesVersions['*'].notebook[0];
    expect(`./${listed}`).toBe(types);
  });

  it('can be required from another folder, both doors, and the notebook has all of the core', () => {
    const script = `
      const core = require('blankoff'), notebook = require('blankoff/notebook');
      const missing = Object.keys(core).filter((name) => notebook[name] !== core[name]);
      console.log(JSON.stringify({ missing, show: typeof notebook.show, names: Object.keys(core).length }));`;
    const { stdout, stderr } = spawnSync(process.execPath, ['-e', script], { cwd: folder, encoding: 'utf8' });
    expect(stderr).toBe('');
    const result = JSON.parse(stdout);
    expect(result).toMatchObject({ missing: [], show: 'function' });
    expect(result.names).toBeGreaterThan(20);
  });

  it.each([
    ['node10', 'CommonJS'],
    ['node16', 'node16'],
  ])('has types that compile under TypeScript 5.0.4, resolved as %s, without those of Node or a page', (resolution, module) => {
    expect(compile(core, { moduleResolution: resolution, module, types: [] })).toBe('');
  });

  it('has types for notebooks as tslab resolves them', () => {
    const source = `
import { show, toDataFrame, quantity } from 'blankoff/notebook';
show(quantity('1 Pa'));
// @ts-expect-error a frame is no text
const text: string = toDataFrame({ a: [1] });
show(text, { maxRows: 3 });
`;
    const options = { moduleResolution: 'node10', module: 'CommonJS', skipLibCheck: true };
    expect(compile(source, { ...options, typeRoots: [join(root, 'node_modules/@types')], types: ['node'] })).toBe('');
  });

  it('declares nothing that TypeScript 5.0 silently takes for any', () => {
    const files = filesUnder(join(root, 'dist'), '.d.ts');
    expect(files.length).toBeGreaterThan(10);
    // Typed arrays have no type parameter there.
    const tooNew = files.filter((path) => /\b(?:Float64|Float32|Uint8|Int32)Array</.test(readFileSync(path, 'utf8')));
    expect(tooNew.map((path) => relative(root, path))).toEqual([]);
  });

  it('has a core that needs nothing of Node: a browser can run it', () => {
    const files = filesUnder(join(root, 'dist/src'), '.js');
    expect(files.length).toBeGreaterThan(10);
    const builtin = new Set(builtinModules.flatMap((name) => [name, `node:${name}`]));
    const wrong = files.flatMap((path) =>
      [...readFileSync(path, 'utf8').matchAll(/require\("([^"]+)"\)/g)]
        .filter(([, name]) => builtin.has(name) || name.startsWith('node:') || name.includes('kernel-helpers'))
        .map(([, name]) => `${relative(root, path)} requires ${name}`),
    );
    expect(wrong).toEqual([]);
  });

  it('has a command that starts', () => {
    const { status, stderr } = spawnSync(process.execPath, [join(root, manifest.bin.blankoff), '--help'], {
      encoding: 'utf8',
    });
    expect([status, stderr === '' || stderr.includes('usage')]).toEqual([0, true]);
  });
});
