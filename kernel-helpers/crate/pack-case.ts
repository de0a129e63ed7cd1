import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { BlankoffError } from '../../src/errors';
import { type CrateFile, crateMetadata } from '../../src/investigation/crate-metadata';
import { READINGS_PATH } from '../../src/investigation/data-package';
import { parseLog } from '../../src/log';
import type { GaugeLog } from '../../src/log/gauge-log';
import { notebookText, readNotebook, withoutOutputs } from '../command/headless/notebook-file';
import { parameterValues, setParameters } from '../command/headless/parameters';
import { runAndListen } from '../files/run-and-listen';
import { pageOf } from '../page/share-page';
import {
  CASE,
  type CaseRecord,
  DATA_PACKAGE,
  findingsOf,
  packageFolder,
  packageVersion,
  sha256Of,
} from './case-layout';
import { descriptionOf } from './log-description';
import { writeArchive } from './zip-archive';

/** How an investigation is packed. */
export interface PackOptions {
  /** Values for the notebook's inputs, by name. */
  readonly set?: ReadonlyMap<string, string>;
  /** Who packs it; shown as not given where absent. */
  readonly who?: string;
  /** Licence of the content, an address or a sentence. */
  readonly licence?: string;
  /** Whether the live page is left out. */
  readonly withoutPage?: boolean;
  /** Day of packing, ISO 8601; today where absent. */
  readonly date?: string;
}

const utf8 = new TextEncoder();

/**
 * Runs a notebook and packs it with everything that somebody else needs to check it: notebook as written and as executed,
 * the logs that it read with their readings and units, the page, the lock file, the inputs, and the SHA-256 of all.
 * @param path the notebook
 * @param options inputs, who, licence, whether with a page
 * @returns the bytes of the zip
 * @throws BlankoffError where a cell fails (with cell and line) or a file it read has changed meanwhile
 */
export async function packCase(path: string, options: PackOptions = {}): Promise<Uint8Array> {
  const set = options.set ?? new Map<string, string>();
  const notebook = setParameters(readNotebook(path), set);
  const run = await runAndListen(notebook, path);
  const { executed, reads } = run;
  const date = options.date ?? new Date().toISOString().slice(0, 10);
  const contents = new Map<string, Uint8Array>();
  const described: CrateFile[] = [];
  const add = (file: Omit<CrateFile, 'bytes' | 'sha256'>, content: string | Uint8Array): CrateFile => {
    const bytes = typeof content === 'string' ? utf8.encode(content) : content;
    const whole = { ...file, bytes: bytes.length, sha256: sha256Of(bytes) };
    contents.set(file.path, bytes);
    described.push(whole);
    return whole;
  };

  const ipynb = 'application/x-ipynb+json';
  add(
    { path: CASE.notebook, name: 'notebook', role: 'notebook', mediaType: ipynb },
    notebookText(withoutOutputs(notebook)),
  );
  add(
    { path: CASE.executed, name: 'notebook with its results', role: 'executed notebook', mediaType: ipynb },
    notebookText(executed),
  );
  const findings = findingsOf(executed);
  if (findings !== '') {
    add({ path: CASE.findings, name: 'what it finds, as text', role: 'record', mediaType: 'text/plain' }, findings);
  }
  const files = reads.map((read, i) => {
    const entry = `${CASE.logs}/${i + 1}/${plainName(read.path)}`;
    const bytes = readFileSync(read.path);
    if (sha256Of(bytes) !== read.sha256) {
      throw new BlankoffError(
        'pack',
        `${basename(read.path)}: changed while it was packed; pack again when it is at rest`,
      );
    }
    const log = add({ path: entry, name: 'log', role: 'log', mediaType: 'application/octet-stream' }, bytes);
    if (read.description) addDescription(add, log, parseLog(bytes, read.description), `${CASE.logs}/${i + 1}`);
    return { asked: read.asked, entry, sha256: read.sha256 };
  });
  if (!options.withoutPage) {
    const page = await pageOf(notebook, basename(path), run, { who: options.who, date });
    add({ path: CASE.page, name: 'live page', role: 'page', mediaType: 'text/html' }, page.html);
  }
  const lock = join(packageFolder(), CASE.lock);
  add(
    { path: CASE.lock, name: 'exact versions of all packages', role: 'record', mediaType: 'application/json' },
    readFileSync(lock),
  );
  const record: CaseRecord = {
    format: 'blankoff case 1',
    blankoff: packageVersion(),
    node: process.versions.node,
    notebook: basename(path),
    parameters: Object.fromEntries(parameterValues(notebook)),
    files,
    packed: date,
    who: options.who ?? '',
  };
  add(
    { path: CASE.record, name: 'how to run it again', role: 'record', mediaType: 'application/json' },
    `${JSON.stringify(record, null, 2)}\n`,
  );

  const metadata = crateMetadata({
    title: `Investigation: ${basename(path, '.ipynb')}`,
    description: 'A vacuum investigation: notebook, logs, results, and what is needed to run it again.',
    date,
    who: record.who,
    licence: options.licence ?? 'No licence was given; ask whoever sent it before passing it on.',
    runsOn: `blankoff ${record.blankoff}, Node.js ${record.node}`,
    files: described,
  });
  contents.set(CASE.metadata, utf8.encode(`${JSON.stringify(metadata, null, 2)}\n`));
  contents.set(CASE.hashes, utf8.encode(hashList(contents)));
  return writeArchive(contents);
}

/** Lines as `sha256sum -c` reads them, so that nothing of ours is needed to check them. */
function hashList(contents: ReadonlyMap<string, Uint8Array>): string {
  const paths = [...contents.keys()].sort();
  return paths.map((path) => `${sha256Of(contents.get(path) as Uint8Array)}  ${path}\n`).join('');
}

/** A log's readings and data package, beside the log. */
function addDescription(
  add: (file: Omit<CrateFile, 'bytes' | 'sha256'>, content: string) => CrateFile,
  file: CrateFile,
  log: GaugeLog,
  folder: string,
): void {
  const described = descriptionOf(log, { ...file, path: file.path.slice(folder.length + 1) });
  add(
    { path: `${folder}/${READINGS_PATH}`, name: 'readings in SI units', role: 'readings', mediaType: 'text/csv' },
    described.readings,
  );
  add(
    {
      path: `${folder}/${DATA_PACKAGE}`,
      name: 'units and columns of the log',
      role: 'record',
      mediaType: 'application/json',
    },
    described.dataPackage,
  );
}

/** A file name that every machine can store, since the log's own name comes from strangers. */
function plainName(path: string): string {
  const name = basename(path)
    .replace(/[^\w.-]/g, '_')
    .replace(/^[._]+|[. ]+$/g, '');
  return name === '' || name === READINGS_PATH || name === DATA_PACKAGE ? `log-${name}` : name.slice(-100);
}
