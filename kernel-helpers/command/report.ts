import { basename } from 'node:path';
import { ArgumentError } from '../../src/errors';
import { packageVersion, sha256Of } from '../crate/case-layout';
import { runAndListen } from '../files/run-and-listen';
import { reportPage, reportsOf } from '../page/report-page';
import { notebookText, readNotebook, withoutOutputs } from './headless/notebook-file';
import { setParameters } from './headless/parameters';
import { notebookAndOutput, notebookOptions, type OptionSpec, printedHelp, readOptions } from './options';
import { settings } from './settings';
import { writeOut } from './write-out';

const usage = 'blankoff report NOTEBOOK -o REPORT.html [options]';
const about =
  'Runs a notebook and writes the last report that it shows as one page for paper.\n\n' +
  'rate-of-rise and before-and-after hold one; elsewhere put a cell with\nshow(rateOfRiseReport(analysis, {})) into yours (docs/sharing.md).\n\n' +
  'example: blankoff report rate-of-rise.ipynb -o out/report.html';

const reportOptions: Readonly<Record<string, OptionSpec>> = {
  output: { short: 'o', value: 'REPORT.html', help: 'where to write the page' },
  ...notebookOptions,
};

/**
 * `blankoff report`: runs a notebook and writes the last report that it shows as one page for paper.
 * @param args what stands after `report` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood or no report is shown
 */
export async function reportCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('report', args, reportOptions);
  if (printedHelp(given, usage, about, reportOptions)) return 0;
  const { path, output } = notebookAndOutput('report', given, usage);
  const notebook = setParameters(readNotebook(path), settings(given.texts('set')));
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
    ['Made by', given.text('who') || 'not given'],
  ]);
  writeOut(output, html);
  process.stdout.write(`${output}: open it in a browser and print it, on A4 or Letter.\n`);
  return 0;
}
