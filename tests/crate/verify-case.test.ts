import { beforeAll, describe, expect, it } from 'vitest';
import { CASE, packageVersion, sha256Of } from '../../kernel-helpers/crate/case-layout';
import { verifyCase } from '../../kernel-helpers/crate/verify-case';
import { readArchive, writeArchive } from '../../kernel-helpers/crate/zip-archive';
import { packTrial } from './packed-trial';

type Files = Map<string, Uint8Array>;

const text = (bytes: Uint8Array | undefined): string => new TextDecoder().decode(bytes);
const bytes = (words: string): Uint8Array => new TextEncoder().encode(words);

/** The list of hashes made anew, and those in the metadata, as somebody does who wants to hide a change. */
function rehash(files: Files): void {
  const record = JSON.parse(text(files.get(CASE.metadata))) as { '@graph': Record<string, unknown>[] };
  for (const entity of record['@graph']) {
    const file = files.get(decodeURI(String(entity['@id'])));
    if (file && entity.sha256) entity.sha256 = sha256Of(file);
  }
  files.set(CASE.metadata, bytes(JSON.stringify(record)));
  const paths = [...files.keys()].filter((path) => path !== CASE.hashes).sort();
  files.set(CASE.hashes, bytes(paths.map((path) => `${sha256Of(files.get(path)!)}  ${path}\n`).join('')));
}

let packed: Uint8Array;

beforeAll(async () => {
  packed = await packTrial('case');
}, 120_000);

const check = (change: (files: Files) => void, rerun = false) => {
  const files = readArchive(packed, 'case.zip');
  change(files);
  return verifyCase(writeArchive(files), 'case.zip', { rerun });
};

const edit = (path: string, from: string, to: string) => (files: Files) => {
  const before = text(files.get(path));
  expect(before).toContain(from);
  files.set(path, bytes(before.replace(from, to)));
};

describe('a packed investigation', () => {
  it('holds when nothing was touched, rerun included', async () => {
    expect(await check(() => {}, true)).toEqual({ problems: [], remarks: [], rerun: true });
  }, 60_000);

  it('says that another version packed it, and holds all the same', async () => {
    const { problems, remarks, rerun } = await check((files) => {
      edit(CASE.record, `"blankoff": "${packageVersion()}"`, '"blankoff": "0.0.9"')(files);
      edit(CASE.page, `<dt>blankoff</dt><dd>${packageVersion()}</dd>`, '<dt>blankoff</dt><dd>0.0.9</dd>')(files);
      rehash(files);
    }, true);
    expect({ problems, rerun }).toEqual({ problems: [], rerun: true });
    expect(remarks).toHaveLength(1);
    expect(remarks[0]).toContain(`packed with blankoff 0.0.9, checked with ${packageVersion()}`);
  }, 60_000);

  it('does not excuse another result by another version', async () => {
    const { problems } = await check((files) => {
      edit(CASE.record, `"blankoff": "${packageVersion()}"`, '"blankoff": "0.0.9"')(files);
      edit(CASE.executed, 'load 0.012', 'load 0.011')(files);
      rehash(files);
    }, true);
    expect(problems.join('\n')).toMatch(/executed\.ipynb, cell 4, output 1.*rerun/s);
  }, 60_000);

  it.each<[string, string, (files: Files) => void]>([
    ['a byte of the log', 'logs/1/log.csv', edit('logs/1/log.csv', '0.40', '0.41')],
    ['a byte of the readings', 'logs/1/readings.csv', edit('logs/1/readings.csv', '30,', '31,')],
    ['a number in an output', CASE.executed, edit(CASE.executed, 'load 0.012', 'load 0.011')],
    ['a changed input', CASE.notebook, edit(CASE.notebook, '12 L', '13 L')],
    ['a recorded input', CASE.record, edit(CASE.record, '12 L', '13 L')],
    ['the lock file', CASE.lock, edit(CASE.lock, 'blankoff', 'blankofg')],
    ['a path in the list of hashes', 'cage.json: missing', edit(CASE.hashes, 'case.json', 'cage.json')],
    ['a hash in the metadata', CASE.metadata, edit(CASE.metadata, '"sha256": "', '"sha256": "0')],
    ['a missing log', 'logs/1/log.csv', (files) => void files.delete('logs/1/log.csv')],
    ['a missing list of hashes', CASE.hashes, (files) => void files.delete(CASE.hashes)],
    ['missing metadata', CASE.metadata, (files) => void files.delete(CASE.metadata)],
    ['a missing record', CASE.record, (files) => void files.delete(CASE.record)],
    ['a byte of the page', CASE.page, edit(CASE.page, 'not given', 'not taken')],
    ['a unit in the data package', 'logs/1/datapackage.json', edit('logs/1/datapackage.json', '"mbar"', '"Torr"')],
    ['an added file', 'extra.txt', (files) => void files.set('extra.txt', bytes('x'))],
  ])('does not hold with %s, and the place is named', async (_, place, change) => {
    const { problems } = await check(change);
    expect(problems.join('\n')).toContain(place);
  });

  const changed = (path: string, change: (record: Record<string, unknown>) => void) => (files: Files) => {
    const record = JSON.parse(text(files.get(path))) as Record<string, unknown>;
    change(record);
    files.set(path, bytes(JSON.stringify(record)));
  };
  const recordWith = (values: object) => changed(CASE.record, (record) => void Object.assign(record, values));
  const graphWith =
    (...entities: readonly unknown[]) =>
    (files: Files) =>
      changed(CASE.metadata, (record) => (record['@graph'] as unknown[]).push(...entities))(files);

  it.each<[string, string, (files: Files) => void]>([
    ['nothing among the entities', `${CASE.metadata}: no JSON-LD`, graphWith(null)],
    ['a text among the entities', `${CASE.metadata}: no JSON-LD`, graphWith('x')],
    [
      'metadata that are nothing',
      `${CASE.metadata}: no JSON-LD`,
      (files) => void files.set(CASE.metadata, bytes('null')),
    ],
    [
      'metadata of no end',
      `${CASE.metadata}: no JSON`,
      (files) => void files.set(CASE.metadata, bytes('['.repeat(1e5))),
    ],
    [
      'an address that is none',
      `${CASE.metadata}: describes a file of no name`,
      graphWith({ '@id': '%E0%A4%A', '@type': 'File' }),
    ],
    [
      'a file without address',
      `${CASE.metadata}: describes a file of no name`,
      graphWith({ '@id': {}, '@type': ['File'] }),
    ],
    [
      'a file that the metadata do not tell of',
      `${CASE.metadata}: does not describe logs/1/log.csv`,
      changed(CASE.metadata, (record) => {
        const graph = record['@graph'] as { '@id': string }[];
        record['@graph'] = graph.filter((entity) => entity['@id'] !== 'logs/1/log.csv');
      }),
    ],
    ['a record that is nothing', `${CASE.record}: met format`, (files) => void files.set(CASE.record, bytes('null'))],
    ['a record of no files', `${CASE.record}: incomplete`, recordWith({ files: [null] })],
    ['a record of odd files', `${CASE.record}: incomplete`, recordWith({ files: [{ entry: {} }] })],
    ['a record without inputs', `${CASE.record}: incomplete`, recordWith({ parameters: null })],
    ['a record whose notebook has no name', `${CASE.record}: incomplete`, recordWith({ notebook: 7 })],
  ])('does not hold with %s and all hashes made anew, and nothing breaks', async (_, place, change) => {
    const { problems } = await check((files) => {
      change(files);
      try {
        rehash(files);
      } catch {
        // What a stranger made of the metadata cannot be given new hashes; the list can.
        const paths = [...files.keys()].filter((path) => path !== CASE.hashes).sort();
        files.set(CASE.hashes, bytes(paths.map((path) => `${sha256Of(files.get(path)!)}  ${path}\n`).join('')));
      }
    }, true);
    expect(problems.join('\n')).toContain(place);
  });

  it.each<[string, RegExp, (files: Files) => void]>([
    [
      'a number in an output',
      /executed\.ipynb, cell 4, output 1.*rerun/s,
      edit(CASE.executed, 'load 0.012', 'load 0.011'),
    ],
    ['an input in the notebook', /input volume/, edit(CASE.notebook, '12 L', '13 L')],
    [
      'an input in notebook, executed notebook and record',
      /executed\.ipynb, cell \d, output 1.*rerun/s,
      (files) => {
        for (const path of [CASE.notebook, CASE.executed, CASE.record]) {
          files.set(path, bytes(text(files.get(path)).replaceAll('12 L', '13 L')));
        }
      },
    ],
    [
      'the log and its hash in the record',
      /executed\.ipynb, cell \d, output 1.*rerun/s,
      (files) => {
        edit('logs/1/log.csv', '0.40', '0.50')(files);
        const hash = /"sha256": "(\w+)"/.exec(text(files.get(CASE.record)))![1];
        edit(CASE.record, hash, sha256Of(files.get('logs/1/log.csv')!))(files);
      },
    ],
    ['the code beside a result', /text of cell 5 of all/, edit(CASE.executed, '/ 30', '/ 31')],
    [
      'a number in the findings',
      /^findings\.txt, number 1 after "found a rise of": packed "2\.?\d*", rerun "1\.?\d*"$/m,
      edit(CASE.findings, 'rise of 1', 'rise of 2'),
    ],
    ['a reading', /logs\/1\/readings\.csv: not what the rerun reads/, edit('logs/1/readings.csv', '30,', '31,')],
    ['a unit of a log', /logs\/1\/datapackage\.json: not what/, edit('logs/1/datapackage.json', '"mbar"', '"Torr"')],
    ['a number saved in the page', /page\.html.*: packed.*made again/s, edit(CASE.page, 'load 0.012', 'load 0.011')],
    [
      'the script of the page',
      /page\.html.*: packed.*made again/s,
      edit(CASE.page, 'self.blankoffCells', 'self.blankoffcells'),
    ],
    ['the log behind the record', /not the log that the notebook read/, edit('logs/1/log.csv', '0.40', '0.50')],
  ])(
    'does not hold with %s changed and all hashes made anew',
    async (_, words, change) => {
      const { problems } = await check((files) => {
        change(files);
        rehash(files);
      }, true);
      expect(problems.join('\n')).toMatch(words);
    },
    60_000,
  );
});
