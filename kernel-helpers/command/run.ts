import { basename, dirname, resolve } from 'node:path';
import { ArgumentError } from '../../src/errors';
import { printable } from '../../src/investigation/text-layout';
import { notebookText, plainTextOf, readNotebook } from './headless/notebook-file';
import { notebookPage } from './headless/notebook-page';
import { setParameters } from './headless/parameters';
import { failureError, runNotebook } from './headless/run-notebook';
import { notebookOptions, type OptionSpec, printedHelp, readOptions } from './options';
import { settings } from './settings';
import { requirePlaceFor, writeOut } from './write-out';

const usage = 'blankoff run NOTEBOOK [options]';
const about =
  'Runs a notebook on a fresh kernel, cell after cell, and prints the finding that\n' +
  'it shows (what cells tagged "finding" show). Exit code 1 where a cell fails.\n\n' +
  'example: blankoff run notebooks/failed-pump-down.ipynb --html out/page.html';

const runOptions: Readonly<Record<string, OptionSpec>> = {
  set: notebookOptions.set,
  output: { short: 'o', value: 'OUT.ipynb', help: 'write the executed notebook' },
  html: { value: 'OUT.html', help: 'write what it shows as one page, to read in a browser' },
  help: notebookOptions.help,
};

/**
 * `blankoff run`: runs a notebook on a fresh kernel, cell after cell, prints its finding and writes the executed copy and
 * its page where they are asked for.
 * @param args what stands after `run` on the command line
 * @returns the exit code: 0, or 1 where a cell failed (the copy and the page then show how far it came)
 */
export async function runCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('run', args, runOptions);
  if (printedHelp(given, usage, about, runOptions)) return 0;
  const { operands } = given;
  if (operands.length !== 1) {
    throw new ArgumentError('run', operands.join(' ') || 'no notebook', `one notebook: ${usage}`);
  }
  const [output, html] = [given.text('output'), given.text('html')];
  for (const place of [output, html]) if (place) requirePlaceFor(place);
  const path = resolve(operands[0]);
  const name = basename(path);
  const notebook = setParameters(readNotebook(path), settings(given.texts('set')));
  const progress = process.stderr.isTTY
    ? (number: number, of: number): void => void process.stderr.write(`\rcell ${number} of ${of}\x1b[K`)
    : undefined;
  const run = await runNotebook(notebook, { folder: dirname(path), onCell: progress });
  if (progress) process.stderr.write('\r\x1b[K');
  for (const warning of run.warnings) process.stderr.write(`${name}, ${warning}\n`);
  if (output) writeOut(output, notebookText(run.notebook));
  if (html) writeOut(html, notebookPage(run.notebook, name));
  if (run.failure) {
    process.stderr.write(`${failureError(name, run.failure).message}\n`);
    return 1;
  }
  const finding = plainTextOf(run.notebook, 'finding');
  // What logs and notebooks say must not steer the terminal.
  if (finding !== '') process.stdout.write(`${finding.split('\n').map(printable).join('\n')}\n`);
  const page = html ? '' : '; --html OUT.html writes all of it as a page';
  process.stderr.write(`${name}: all cells ran${output ? `, written to ${output}` : ''}${page}\n`);
  return 0;
}
