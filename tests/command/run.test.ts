import { spawn } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { plainTextOf, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';

const root = resolve(__dirname, '../..');
const folder = mkdtempSync(join(tmpdir(), 'blankoff-run-'));
mkdirSync(join(folder, 'node_modules'));
symlinkSync(root, join(folder, 'node_modules/blankoff'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function write(name: string, cells: readonly { source: string; tags?: readonly string[] }[]): void {
  const all = cells.map(({ source, tags = [] }, k) => ({
    cell_type: 'code',
    id: `c${k}`,
    metadata: { tags },
    source,
    outputs: [],
    execution_count: null,
  }));
  writeFileSync(join(folder, name), JSON.stringify({ cells: all, metadata: {}, nbformat: 4, nbformat_minor: 5 }));
}

write('volume.ipynb', [
  { source: "import { quantity, show } from 'blankoff/notebook';" },
  { source: "const volume = '12.4 L ± 5 %';", tags: ['parameters'] },
  { source: "show(quantity(volume, 'volume')); show([{ volume: volume }]);", tags: ['finding'] },
]);
write('broken.ipynb', [
  { source: "import { quantity, show } from 'blankoff/notebook';" },
  { source: "show('so far');" },
  { source: "const pressure = 3;\n\nshow(quantity('five', 'pressure'));" },
  { source: "show('never');" },
]);

/** Does not block this process, which has to answer the test runner within a minute. */
async function run(args: readonly string[], plain = ''): Promise<{ status: number | null; stderr: string }> {
  const command = join(root, 'kernel-helpers/command/blankoff.js');
  const env = { ...process.env, BLANKOFF_PLAIN: plain };
  const child = spawn(process.execPath, [command, 'run', ...args], {
    cwd: folder,
    env,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const status = await new Promise<number | null>((done) => child.on('close', done));
  return { status, stderr };
}

/** The command as it is installed, from another folder than its own. */
describe.each([
  ['with the extension', ''],
  ['on plain tslab', '1'],
])('blankoff run %s', (_way, plain) => {
  it('runs a notebook with another volume, and writes the copy and the page', { timeout: 60_000 }, async () => {
    const args = ['volume.ipynb', '--set', 'volume=8 L', '-o', 'new/out.ipynb', '--html', 'new/out.html'];
    const { status, stderr } = await run(args, plain);
    expect(stderr).toBe('volume.ipynb: all cells ran, written to new/out.ipynb\n');
    expect(status).toBe(0);
    const executed = readNotebook(join(folder, 'new/out.ipynb'));
    expect(plainTextOf(executed, 'finding')).toBe('8 L\n\nvolume\n8 L');
    expect(executed.cells[1].source).toBe("const volume = '8 L';");
    expect(readNotebook(join(folder, 'volume.ipynb')).cells[1].source).toContain('12.4');
    expect(readFileSync(join(folder, 'new/out.html'), 'utf8')).toContain('<td>8 L</td>');
  });

  it('gives the same bytes each time', { timeout: 60_000 }, async () => {
    const bytes: string[][] = [];
    for (const name of ['a', 'b']) {
      await run(['volume.ipynb', '-o', `${name}.ipynb`, '--html', `${name}.html`], plain);
      bytes.push(['ipynb', 'html'].map((ending) => readFileSync(join(folder, `${name}.${ending}`), 'utf8')));
    }
    expect(bytes[0]).toEqual(bytes[1]);
  });

  it('stops at the first error with cell and line, and shows how far it came', { timeout: 60_000 }, async () => {
    const { status, stderr } = await run(['broken.ipynb', '-o', 'broken-out.ipynb'], plain);
    expect(status).toBe(1);
    // Stock tslab does not tell the line of an error that is thrown inside a package.
    const place = plain ? 'broken.ipynb, cell 3' : 'broken.ipynb, cell 3, line 3';
    expect(stderr).toContain(`${place}: QuantityError: quantity: met "five", expected `);
    const texts = JSON.stringify(readNotebook(join(folder, 'broken-out.ipynb')).cells.map((cell) => cell.outputs));
    expect(texts).toContain('so far');
    expect(texts).not.toContain('"never"');
  });
});

describe('blankoff run refuses', () => {
  it(
    'a parameter that the notebook does not have, with the list of those it has, and runs nothing',
    { timeout: 60_000 },
    async () => {
      const { status, stderr } = await run(['volume.ipynb', '--set', 'volum=8 L', '-o', 'none.ipynb']);
      expect([status, stderr]).toEqual([1, 'blankoff: --set: met "volum", expected one of volume\n']);
      expect(existsSync(join(folder, 'none.ipynb'))).toBe(false);
    },
  );

  it('a notebook that lies where blankoff is not found, with what to do', { timeout: 60_000 }, async () => {
    const lost = mkdtempSync(join(tmpdir(), 'blankoff-lost-'));
    copyFileSync(join(folder, 'volume.ipynb'), join(lost, 'lost.ipynb'));
    const { status, stderr } = await run([join(lost, 'lost.ipynb')]);
    rmSync(lost, { recursive: true, force: true });
    expect(status).toBe(1);
    expect(stderr).toMatch(
      /^lost\.ipynb, cell 1, line 1: Cannot find module 'blankoff\/notebook'.*: move or copy it there/,
    );
  });

  it('a file that is not there, an option that it does not know, and no file at all', { timeout: 60_000 }, async () => {
    expect((await run(['none.ipynb'])).stderr).toBe(
      'blankoff: none.ipynb: met no such file, expected a notebook (.ipynb); a path begins at the folder you are in\n',
    );
    expect((await run(['volume.ipynb', '--sett', 'a=1'])).stderr).toMatch(/^blankoff: .*--sett/);
    expect((await run([])).stderr).toMatch(/^blankoff: run: met "no notebook", expected one notebook: blankoff run/);
    for (const args of [['none.ipynb'], ['--sett'], []]) expect((await run(args)).status).toBe(1);
  });
});
