import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { packageVersion, sha256Of } from '../crate/case-layout';
import { runAndListen } from '../files/run-and-listen';
import { reportPage, reportsOf } from '../page/report-page';
import { notebookText, readNotebook, withoutOutputs } from './headless/notebook-file';
import { setParameters } from './headless/parameters';
import { settings } from './settings';

/** How `report` is called. */
export const reportUsage = 'blankoff report NOTEBOOK -o REPORT.html [--set NAME=VALUE]... [--who NAME]';

/**
 * `blankoff report`: runs a notebook and writes the last report that it shows as one page for paper.
 * @param args what stands after `report` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood or no report is shown
 */
export async function reportCommand(args: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      set: { type: 'string', multiple: true, default: [] },
      output: { type: 'string', short: 'o' },
      who: { type: 'string' },
      help: { type: 'boolean', short: 'h' },
    },
  });
  if (values.help) {
    process.stdout.write(`usage: ${reportUsage}\n`);
    return 0;
  }
  if (positionals.length !== 1 || !values.output) {
    throw new ArgumentError('report', positionals.join(' ') || 'no notebook', `one notebook and -o: ${reportUsage}`);
  }
  const path = resolve(positionals[0]);
  const notebook = setParameters(readNotebook(path), settings(values.set ?? []));
  const { executed } = await runAndListen(notebook, path);
  const report = reportsOf(executed).at(-1);
  if (!report) {
    throw new ArgumentError(
      basename(path),
      'no report among what it shows',
      'a cell with show(rateOfRiseReport(analysis, { … }))',
    );
  }
  const html = reportPage(report, [
    ['Notebook', basename(path)],
    ['SHA-256 of the notebook', sha256Of(new TextEncoder().encode(notebookText(withoutOutputs(notebook))))],
    ['blankoff', packageVersion()],
    ['Made on', new Date().toISOString().slice(0, 10)],
    ['Made by', values.who || 'not given'],
  ]);
  mkdirSync(dirname(resolve(values.output)), { recursive: true });
  writeFileSync(values.output, html);
  process.stdout.write(`${values.output}: open it in a browser and print it, on A4 or Letter.\n`);
  return 0;
}
