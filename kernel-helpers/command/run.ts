import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { readNotebook, writeNotebook } from './headless/notebook-file';
import { notebookPage } from './headless/notebook-page';
import { setParameters } from './headless/parameters';
import { failureError, runNotebook } from './headless/run-notebook';
import { settings } from './settings';

/** How `run` is called. */
export const runUsage = 'blankoff run NOTEBOOK [--set NAME=VALUE]... [-o OUT.ipynb] [--html OUT.html]';

function prepareFolderOf(path: string): void {
  mkdirSync(dirname(path), { recursive: true });
}

/**
 * `blankoff run`: runs a notebook on a fresh kernel, cell after cell, and writes the executed copy and its page.
 * @param args what stands after `run` on the command line
 * @returns the exit code: 0, or 1 where a cell failed (the copy and the page then show how far it came)
 */
export async function runCommand(args: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      set: { type: 'string', multiple: true, default: [] },
      output: { type: 'string', short: 'o' },
      html: { type: 'string' },
      help: { type: 'boolean', short: 'h' },
    },
  });
  if (values.help) {
    process.stdout.write(`usage: ${runUsage}\n`);
    return 0;
  }
  if (positionals.length !== 1) {
    throw new ArgumentError('run', positionals.join(' ') || 'no notebook', `one notebook: ${runUsage}`);
  }
  const path = resolve(positionals[0]);
  const name = basename(path);
  const notebook = setParameters(readNotebook(path), settings(values.set ?? []));
  const progress = process.stderr.isTTY
    ? (number: number, of: number): void => void process.stderr.write(`\rcell ${number} of ${of}\x1b[K`)
    : undefined;
  const run = await runNotebook(notebook, { folder: dirname(path), onCell: progress });
  if (progress) process.stderr.write('\r\x1b[K');
  for (const warning of run.warnings) process.stderr.write(`${name}, ${warning}\n`);
  if (values.output) {
    prepareFolderOf(values.output);
    writeNotebook(values.output, run.notebook);
  }
  if (values.html) {
    prepareFolderOf(values.html);
    writeFileSync(values.html, notebookPage(run.notebook, name));
  }
  if (run.failure) {
    process.stderr.write(`${failureError(name, run.failure).message}\n`);
    return 1;
  }
  process.stderr.write(`${name}: all cells ran${values.output ? `, written to ${values.output}` : ''}\n`);
  return 0;
}
