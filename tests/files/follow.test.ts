// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { appendFileSync, mkdirSync, mkdtempSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { wholeLines } from '../../kernel-helpers/files/follow-whole-lines';
import { type FrontEnd, openNotebook } from '../kernel/front-end';

const row = (s: number): string => `${s},${(1 + s / 1000).toFixed(4)}\n`;
const header = 'time (s),pressure (mbar)\n';
const rows = (from: number, to: number): string => Array.from({ length: to - from }, (_, i) => row(from + i)).join('');

let lab: FrontEnd;
let file: string;
let folder: string;

beforeAll(async () => {
  // Inside the repository, where a notebook finds the kit.
  mkdirSync(resolve(__dirname, '../../out'), { recursive: true });
  folder = mkdtempSync(resolve(__dirname, '../../out/follow-'));
  file = join(folder, 'run.csv');
  lab = await openNotebook({}, folder);
  await lab.run('kit', `import { follow, show, sinceLastRow } from 'blankoff/notebook';`);
});
afterAll(async () => {
  await lab.stop();
  rmSync(folder, { recursive: true, force: true });
});

const follows = (text: string): Promise<void> => lab.until(() => lab.shows('rows')[0] === text, `rows shows ${text}`);

describe('a log that is still being written', () => {
  it('that is not there yet is an error, which goes away when it is there', async () => {
    await lab.run('log', `const log = await follow('run.csv', { everyMs: 100 });`);
    expect(lab.shows('log')[0]).toContain('run.csv: met no such file, expected a log; this cell runs when it is there');
    await lab.run(
      'rows',
      'console.log(`${log.rows} rows, ${log.assumptions.filter((a) => a.includes("replaced")).length}`);',
    );
    writeFileSync(file, header + rows(0, 20));
    await follows('20 rows, 0\n');
    expect(lab.shows('log')).toEqual([]);
  });

  it('lets the cells that use it follow as rows arrive, and leaves a half-written line alone', async () => {
    appendFileSync(file, `${rows(20, 30)}30,1.0`);
    await follows('30 rows, 0\n');
    appendFileSync(file, '300\n');
    await follows('31 rows, 0\n');
  });

  it('is read to its end, with a last line that is not ended, once it rests', async () => {
    appendFileSync(file, '31,1.0310');
    await follows('32 rows, 0\n');
  });

  it('that is cut is read from its new beginning, and that is said', async () => {
    writeFileSync(file, header + rows(0, 12));
    await follows('12 rows, 1\n');
  });

  it('that is replaced by another file is noticed too', async () => {
    writeFileSync(join(folder, 'new.csv'), header + rows(0, 40));
    renameSync(join(folder, 'new.csv'), file);
    await follows('40 rows, 1\n');
  });

  it('is not followed any more by a cell that does not ask for it', async () => {
    await lab.run('log', 'const log = { rows: 1, assumptions: [] as string[] };');
    appendFileSync(file, rows(40, 50));
    await new Promise((done) => setTimeout(done, 400));
    expect(lab.shows('rows')).toEqual(['1 rows, 0\n']);
  });

  it('is read once where the front end is no page', async () => {
    await lab.run('once', `const once = await follow('run.csv'); console.log(once.rows);`, { controls: false });
    expect(lab.shows('once')).toEqual(['50\n']);
    appendFileSync(file, rows(50, 60));
    await new Promise((done) => setTimeout(done, 1300));
    expect(lab.shows('once')).toEqual(['50\n']);
  });

  it('says how long ago it last grew, in steps of five seconds, and goes on saying so', async () => {
    utimesSync(file, new Date(), new Date(Date.now() - 13_500));
    await lab.run('quiet', `const quiet = await sinceLastRow('run.csv'); console.log(quiet);`);
    expect(lab.shows('quiet')).toEqual(['10\n']);
    await lab.run('told', 'console.log(`told ${quiet}`);');
    await lab.until(() => lab.shows('told')[0] === 'told 15\n', 'fifteen seconds');
    appendFileSync(file, rows(60, 61));
    await lab.until(() => lab.shows('told')[0] === 'told 0\n', 'no time any more');
  });

  it('is watched by nobody where the front end is no page, or where there is none', async () => {
    const controls = { controls: false };
    await lab.run('nobody', `console.log(await sinceLastRow('run.csv'));`, controls);
    await lab.run('nothing', `console.log(await sinceLastRow('none.csv'));`);
    expect([lab.shows('nobody'), lab.shows('nothing')]).toEqual([['null\n'], ['null\n']]);
  });

  it('refuses to look at the file too often', async () => {
    await lab.run('often', `const often = await follow('run.csv', { everyMs: 1 });`);
    expect(lab.shows('often')[0]).toContain('everyMs: met 1, expected 100 to 600 000 ms');
  });
});

describe('the whole lines of a file', () => {
  const text = (bytes: Uint8Array, encoding: BufferEncoding = 'utf8'): string => Buffer.from(bytes).toString(encoding);

  it('end with the last line end, LF, CR or both', () => {
    expect(text(wholeLines(Buffer.from('a\nb\nc')))).toBe('a\nb\n');
    expect(text(wholeLines(Buffer.from('a\r\nb\r\nc')))).toBe('a\r\nb\r\n');
    expect(text(wholeLines(Buffer.from('a\rb')))).toBe('a\r');
    expect(text(wholeLines(Buffer.from('a')))).toBe('');
  });

  it('of UTF-16 are cut between characters, whichever half comes first', () => {
    const little = Buffer.from('\uFEFFa\nb\n\u0a0a\u0a00c', 'utf16le');
    expect(text(wholeLines(little), 'utf16le')).toBe('\uFEFFa\nb\n');
    const big = Buffer.from(little).swap16();
    expect(text(Buffer.from(wholeLines(big)).swap16(), 'utf16le')).toBe('\uFEFFa\nb\n');
  });
});
