import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { readArchive, writeArchive } from '../../kernel-helpers/crate/zip-archive';

const text = (words: string): Uint8Array => new TextEncoder().encode(words);

/** Names that must never be written to a disk, by what is wrong with them. */
const refusedNames = [
  '../outside.txt',
  '../../etc/passwd',
  'logs/../../outside.txt',
  './log.csv',
  'logs//log.csv',
  '/etc/passwd',
  '//server/share',
  'C:/windows/log.csv',
  'c:log.csv',
  '..\\outside.txt',
  'logs\\..\\..\\outside.txt',
  'log\u0000.csv',
  'log\n.csv',
  'log\u202egnp.exe',
  'log\u2066.csv',
  'CON',
  'logs/nul.txt',
  'logs/com1',
  'log.',
  'log ',
  'a'.repeat(301),
  '__proto__/x',
];

describe('readArchive', () => {
  it('gives back what writeArchive put in, and the same files give the same bytes', () => {
    const files = new Map([
      ['b/log.csv', text('1;2')],
      ['a.txt', text('x')],
    ]);
    const zip = writeArchive(files);
    expect(writeArchive(new Map([...files].reverse()))).toEqual(zip);
    expect([...readArchive(zip, 'case.zip')].sort()).toEqual([...files].sort());
  });

  it.each(refusedNames)('refuses the entry name %j', (name) => {
    const zip = zipSync({ 'fine.txt': text('x'), [name]: text('x') });
    expect(() => readArchive(zip, 'case.zip')).toThrow(/^case\.zip: entry ".*" (has|leaves)/s);
  });

  it('refuses two names that are one file on some machines', () => {
    expect(() => readArchive(zipSync({ 'Log.csv': text('1'), 'log.csv': text('2') }), 'case.zip')).toThrow(
      'case.zip: entry "log.csv" is there twice',
    );
  });

  it('refuses a name that is a file and a folder', () => {
    expect(() => readArchive(zipSync({ log: text('1'), 'Log/a.csv': text('2') }), 'case.zip')).toThrow(
      'case.zip: entry "Log" is a file and a folder',
    );
  });

  it('never makes more of an entry than it says it holds', () => {
    const zip = zipSync({ 'zeros.bin': new Uint8Array(8 * 1024 ** 2) }, { level: 9 });
    const view = new DataView(zip.buffer);
    view.setUint32(view.getUint32(zip.length - 6, true) + 24, 100, true);
    let size = 0;
    try {
      size = readArchive(zip, 'case.zip').get('zeros.bin')?.length ?? 0;
    } catch (error) {
      expect((error as Error).message).toMatch(/^case\.zip: met bytes that are no whole zip archive/);
    }
    expect(size).toBeLessThanOrEqual(100);
  });

  it('refuses an archive that blows up', () => {
    const bomb = zipSync({ 'zeros.bin': new Uint8Array(64 * 1024 ** 2) }, { level: 9 });
    // 64 MiB of zeros shrink by a thousand at most; a nested or overlapping one claims more.
    const claimed = bomb.slice();
    const view = new DataView(claimed.buffer);
    const central = claimed.length - 22 - view.getUint32(claimed.length - 10, true);
    view.setUint32(central + 24, 0xfffffff0, true);
    expect(() => readArchive(claimed, 'case.zip')).toThrow(/more than is taken from strangers/);
  });

  it('refuses too many entries', () => {
    const many = Object.fromEntries(Array.from({ length: 2001 }, (_, i) => [`${i}`, text('')]));
    expect(() => readArchive(zipSync(many, { level: 0 }), 'case.zip')).toThrow('case.zip: more than 2000 entries');
  });

  it.each([
    ['nothing', new Uint8Array(0)],
    ['text', text('this is no archive')],
    ['a cut archive', writeArchive(new Map([['log.csv', text('1;2;3')]])).slice(0, 30)],
  ])('refuses %s', (_, bytes) => {
    expect(() => readArchive(bytes, 'case.zip')).toThrow(/^case\.zip: met bytes that are no whole zip archive/);
  });
});
