import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { BlankoffError } from '../../src/errors';
import { READINGS_PATH } from '../../src/investigation/data-package';
import { parseLog } from '../../src/log';
import { type Notebook, readNotebook } from '../command/headless/notebook-file';
import { parameterValues } from '../command/headless/parameters';
import { type FileRead, PACKED_FILES_VARIABLE } from '../files/files-read';
import { type HeardRun, runAndListen } from '../files/run-and-listen';
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
import { compareOutputs, firstDifference, SAME_WITHIN } from './compare-outputs';
import { descriptionOf } from './log-description';
import { readArchive } from './zip-archive';

/** What checking an investigation brought. */
export interface Verification {
  /** Problems, each naming its place; empty where all that was checked holds. */
  readonly problems: readonly string[];
  /** Things to know that are no failure, such as another version of blankoff. */
  readonly remarks: readonly string[];
  /** Whether the notebook was run again. */
  readonly rerun: boolean;
}

/** How an investigation is checked. */
export interface VerifyOptions {
  /** Run the notebook again: it is the code of whoever packed it, so only on an explicit yes. */
  readonly rerun: boolean;
  /** Relative tolerance of numbers; 1e-6 where absent. */
  readonly tolerance?: number;
}

/**
 * Checks a packed investigation: the hashes of all its files, that nothing is missing or added, that its parts agree with
 * each other, and on request that a run in a clean kernel gives the same results.
 * @param bytes the zip
 * @param name its name, for messages
 * @param options whether to run it again, and the tolerance
 * @returns problems and remarks; nothing is thrown for a case that does not hold
 * @throws BlankoffError (`archive`) where it is no archive that may be unpacked
 */
export async function verifyCase(bytes: Uint8Array, name: string, options: VerifyOptions): Promise<Verification> {
  const files = readArchive(bytes, name);
  const problems = [...hashProblems(files), ...metadataProblems(files)];
  const record = caseRecord(files);
  if (typeof record === 'string') return { problems: [...problems, record], remarks: [], rerun: false };
  problems.push(...missingLogs(files, record));
  const versions = `packed with blankoff ${record.blankoff}, checked with ${packageVersion()}`;
  const remarks =
    record.blankoff === packageVersion()
      ? []
      : [`${versions}: small differences can come from that, and the page is not made again`];
  if (!options.rerun || problems.length > 0) return { problems, remarks, rerun: false };
  const found = await rerunProblems(files, record, options.tolerance ?? SAME_WITHIN);
  return { problems: [...problems, ...found], remarks, rerun: true };
}

function hashProblems(files: ReadonlyMap<string, Uint8Array>): string[] {
  const list = files.get(CASE.hashes);
  if (!list) return [`${CASE.hashes}: missing, so nothing vouches for the files`];
  const problems: string[] = [];
  const listed = new Map<string, string>();
  for (const [i, line] of new TextDecoder().decode(list).split('\n').entries()) {
    if (line === '') continue;
    const match = /^([0-9a-f]{64}) {2}(.+)$/.exec(line);
    if (match) listed.set(match[2], match[1]);
    else problems.push(`${CASE.hashes}:${i + 1}: met "${line.slice(0, 40)}", expected a SHA-256 and a path`);
  }
  for (const [path, hash] of listed) {
    const content = files.get(path);
    if (!content) problems.push(`${path}: missing`);
    else if (sha256Of(content) !== hash) problems.push(`${path}: its SHA-256 is not the one listed, so it was changed`);
  }
  for (const path of files.keys()) {
    if (path !== CASE.hashes && !listed.has(path)) problems.push(`${path}: not in the list of hashes, so it was added`);
  }
  return problems;
}

/** The crate's own description must name the same files with the same hashes. */
function metadataProblems(files: ReadonlyMap<string, Uint8Array>): string[] {
  const content = files.get(CASE.metadata);
  if (!content) return [`${CASE.metadata}: missing`];
  const graph = graphOf(content);
  if (!graph) return [`${CASE.metadata}: no JSON-LD with a graph`];
  const described = new Set<string>([CASE.metadata, CASE.hashes]);
  const problems = graph
    .filter((entity) => [entity['@type']].flat().includes('File'))
    .flatMap((entity) => {
      const path = pathOf(entity['@id']);
      if (path === undefined) return [`${CASE.metadata}: describes a file of no name that can be read`];
      described.add(path);
      const file = files.get(path);
      if (!file) return [`${CASE.metadata}: describes ${path}, which is missing`];
      return sha256Of(file) === entity.sha256
        ? []
        : [`${CASE.metadata}: another SHA-256 for ${path} than the file has`];
    });
  const silent = [...files.keys()].filter((path) => !described.has(path));
  return [...problems, ...silent.map((path) => `${CASE.metadata}: does not describe ${path}`)];
}

/** The entities of a crate's metadata, which come from a stranger; null where there are none. */
function graphOf(content: Uint8Array): Record<string, unknown>[] | null {
  try {
    const graph = (JSON.parse(new TextDecoder().decode(content)) as { '@graph': unknown } | null)?.['@graph'];
    return Array.isArray(graph) && graph.every((entity) => typeof entity === 'object' && entity !== null)
      ? graph
      : null;
  } catch {
    return null;
  }
}

function pathOf(id: unknown): string | undefined {
  try {
    return typeof id === 'string' ? decodeURI(id) : undefined;
  } catch {
    return undefined;
  }
}

function caseRecord(files: ReadonlyMap<string, Uint8Array>): CaseRecord | string {
  const content = files.get(CASE.record);
  if (!content) return `${CASE.record}: missing`;
  try {
    const record = JSON.parse(new TextDecoder().decode(content)) as CaseRecord | null;
    if (record?.format !== FORMAT) return `${CASE.record}: met format "${record?.format}", expected "${FORMAT}"`;
    return isWhole(record) ? record : `${CASE.record}: incomplete, so it does not say how to run the notebook again`;
  } catch {
    return `${CASE.record}: no JSON`;
  }
}

const FORMAT: CaseRecord['format'] = 'blankoff case 1';

/** Whether a record that was read has all that it is said to have. */
function isWhole(record: CaseRecord): boolean {
  const { blankoff, notebook, parameters, files, packed, who } = record as unknown as Record<string, unknown>;
  const areTexts = (values: readonly unknown[]): boolean => values.every((value) => typeof value === 'string');
  return (
    areTexts([blankoff, notebook, packed, who]) &&
    typeof parameters === 'object' &&
    parameters !== null &&
    areTexts(Object.values(parameters)) &&
    Array.isArray(files) &&
    files.every((file) => areTexts([file?.asked, file?.entry, file?.sha256]))
  );
}

function missingLogs(files: ReadonlyMap<string, Uint8Array>, record: CaseRecord): string[] {
  return record.files.flatMap(({ entry, sha256 }) => {
    const content = files.get(entry);
    if (!content) return [`${entry}: the notebook reads it, and it is missing`];
    return sha256Of(content) === sha256 ? [] : [`${entry}: not the log that the notebook read when it was packed`];
  });
}

async function rerunProblems(
  files: ReadonlyMap<string, Uint8Array>,
  record: CaseRecord,
  tolerance: number,
): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'blankoff-verify-'));
  try {
    for (const [path, content] of files) {
      const target = join(folder, 'case', path);
      mkdirSync(dirname(target), { recursive: true });
      writeFileSync(target, content);
    }
    // The cells find blankoff as they would beside an installed copy of it.
    mkdirSync(join(folder, 'node_modules'));
    symlinkSync(packageFolder(), join(folder, 'node_modules', 'blankoff'), 'junction');
    const list = join(folder, 'packed-files.json');
    const packed = Object.fromEntries(record.files.map((file) => [file.asked, join(folder, 'case', file.entry)]));
    writeFileSync(list, JSON.stringify(packed));

    const path = join(folder, 'case', CASE.notebook);
    const notebook = readNotebook(path);
    const problems = parameterProblems(Object.fromEntries(parameterValues(notebook)), record.parameters);
    const run = await runAndListen(notebook, path, { [PACKED_FILES_VARIABLE]: list });
    const executed = readNotebook(join(folder, 'case', CASE.executed));
    const differences = compareOutputs(executed, run.executed, tolerance);
    return [
      ...problems,
      ...sourceProblems(notebook, executed),
      ...differences.map((d) => `${CASE.executed}, cell ${d.cell}, ${d.place}: packed ${d.packed}, rerun ${d.rerun}`),
      ...findingsProblems(files, run.executed, tolerance),
      ...descriptionProblems(files, record, run.reads),
      ...(await pageProblems(files, record, notebook, run, tolerance)),
    ];
  } catch (error) {
    if (error instanceof BlankoffError) return [error.message];
    throw error;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The executed notebook must be the notebook with results, or its text would tell of another run. */
function sourceProblems(notebook: Notebook, executed: Notebook): string[] {
  const count = Math.max(notebook.cells.length, executed.cells.length);
  return Array.from({ length: count }, (_, i) => i)
    .filter((i) => notebook.cells[i]?.source !== executed.cells[i]?.source)
    .map((i) => `${CASE.executed}: the text of cell ${i + 1} of all is not that of ${CASE.notebook}`);
}

/** The findings as text must be those of the rerun: they are what is read and quoted. */
function findingsProblems(files: ReadonlyMap<string, Uint8Array>, rerun: Notebook, tolerance: number): string[] {
  const packed = new TextDecoder().decode(files.get(CASE.findings) ?? new Uint8Array());
  const difference = firstDifference(packed, findingsOf(rerun), tolerance);
  return difference
    ? [`${CASE.findings}${difference.place}: packed "${difference.packed}", rerun "${difference.rerun}"`]
    : [];
}

/** Readings and data package of each log, made again from what the rerun read. */
function descriptionProblems(
  files: ReadonlyMap<string, Uint8Array>,
  record: CaseRecord,
  reads: readonly FileRead[],
): string[] {
  return record.files.flatMap(({ asked, entry, sha256 }) => {
    const read = reads.find((one) => one.asked === asked);
    if (!read) return [`${entry}: the notebook no longer reads it`];
    const bytes = files.get(entry) as Uint8Array;
    const folder = dirname(entry);
    if (!read.description) return [];
    const file = { path: basename(entry), bytes: bytes.length, sha256 };
    const again = descriptionOf(parseLog(bytes, read.description), file);
    const compared: [string, string][] = [
      [`${folder}/${READINGS_PATH}`, again.readings],
      [`${folder}/${DATA_PACKAGE}`, again.dataPackage],
    ];
    return compared.flatMap(([path, text]) => {
      const packed = files.get(path);
      if (!packed) return [`${path}: missing`];
      return new TextDecoder().decode(packed) === text ? [] : [`${path}: not what the rerun reads from ${entry}`];
    });
  });
}

/** The page, made again by the same version of blankoff; its pictures are left out, as everywhere. */
async function pageProblems(
  files: ReadonlyMap<string, Uint8Array>,
  record: CaseRecord,
  notebook: Notebook,
  run: HeardRun,
  tolerance: number,
): Promise<string[]> {
  const page = files.get(CASE.page);
  if (!page || record.blankoff !== packageVersion()) return [];
  const again = await pageOf(notebook, record.notebook, run, { who: record.who, date: record.packed });
  const bare = (html: string): string =>
    html.replace(/src="data:image\/png;base64,[^"]*"/g, 'src=""').replace(/<dt>Node\.js<\/dt><dd>[^<]*<\/dd>/, '');
  const [packed, made] = [new TextDecoder().decode(page), again.html].map(bare);
  // The policy holds a hash of each script: what differs in a script is told by the script, and says more.
  const [packedRest, madeRest] = [packed, made].map((html) => html.replace(/(script-src)(?: '[^']*')*/, '$1'));
  const difference = firstDifference(packedRest, madeRest, tolerance) ?? firstDifference(packed, made, tolerance);
  return difference
    ? [
        `${CASE.page}${difference.place}: not the page that this blankoff makes of notebook and logs: ` +
          `packed "${difference.packed}", made again "${difference.rerun}"`,
      ]
    : [];
}

function parameterProblems(
  inNotebook: Readonly<Record<string, string>>,
  recorded: Readonly<Record<string, string>>,
): string[] {
  return [...new Set([...Object.keys(inNotebook), ...Object.keys(recorded)])]
    .filter((name) => inNotebook[name] !== recorded[name])
    .map((name) => {
      const [there, here] = [recorded[name] ?? 'nothing', inNotebook[name] ?? 'nothing'];
      return `${CASE.record}: input ${name} is ${there}, but ${here} in ${CASE.notebook}`;
    });
}
