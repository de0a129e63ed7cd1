import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Notebook, plainTextOf } from '../command/headless/notebook-file';

/** Where things lie in a packed investigation. */
export const CASE = {
  metadata: 'ro-crate-metadata.json',
  hashes: 'sha256sums.txt',
  notebook: 'notebook.ipynb',
  executed: 'executed.ipynb',
  findings: 'findings.txt',
  page: 'page.html',
  lock: 'package-lock.json',
  record: 'case.json',
  logs: 'logs',
} as const;

/** Name of the description beside each log. */
export const DATA_PACKAGE = 'datapackage.json';

/** What `case.json` holds: how to run the notebook again. */
export interface CaseRecord {
  readonly format: 'blankoff case 1';
  readonly blankoff: string;
  readonly node: string;
  /** The notebook's file name when it was packed. */
  readonly notebook: string;
  /** Values of the notebook's inputs by name, as texts. */
  readonly parameters: Readonly<Record<string, string>>;
  /** Files that the notebook asks for: the path as it stands in it, and where the copy lies. */
  readonly files: readonly { readonly asked: string; readonly entry: string; readonly sha256: string }[];
  readonly packed: string;
  readonly who: string;
}

/**
 * SHA-256 of bytes.
 * @returns lower-case hex
 */
export function sha256Of(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** What a notebook finds, as text: what its cells tagged `finding` show; empty where it has none. */
export function findingsOf(executed: Notebook): string {
  const text = plainTextOf(executed, 'finding');
  return text === '' ? '' : `${text}\n`;
}

/** The folder of this package, found from its own files. */
export function packageFolder(): string {
  let folder = __dirname;
  while (!existsSync(join(folder, 'package.json'))) folder = dirname(folder);
  return folder;
}

/** The version of this package. */
export function packageVersion(): string {
  return (JSON.parse(readFileSync(join(packageFolder(), 'package.json'), 'utf8')) as { version: string }).version;
}
