import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import type { Notebook } from '../command/headless/notebook-file';
import { failureError, runNotebook } from '../command/headless/run-notebook';
import { FILES_READ_VARIABLE, type FileRead, filesRead } from './files-read';

/** A notebook that has been run, and the files that its cells read. */
export interface HeardRun {
  readonly executed: Notebook;
  readonly reads: readonly FileRead[];
}

/**
 * Runs a notebook where it lies and listens to what its cells read from disk.
 * @param notebook what to run, with its inputs set
 * @param path where it lies
 * @param variables environment variables for the run, besides those of this process
 * @throws BlankoffError where a cell fails, with cell and line
 */
export async function runAndListen(
  notebook: Notebook,
  path: string,
  variables: Readonly<Record<string, string>> = {},
): Promise<HeardRun> {
  const folder = mkdtempSync(join(tmpdir(), 'blankoff-run-'));
  const list = join(folder, 'files-read.ndjson');
  try {
    const environment = { ...process.env, ...variables, [FILES_READ_VARIABLE]: list };
    const run = await runNotebook(notebook, { folder: dirname(resolve(path)), environment });
    if (run.failure) throw failureError(basename(path), run.failure);
    return { executed: run.notebook, reads: filesRead(list) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
