import { sharePage } from '../page/share-page';
import { notebookAndOutput, notebookOptions, type OptionSpec, printedHelp, readOptions } from './options';
import { settings } from './settings';
import { writeOut } from './write-out';

const usage = 'blankoff share NOTEBOOK -o PAGE.html [options]';
const about =
  'Makes of a notebook one page that opens in any browser, offline, and still\n' +
  'computes: its inputs can be moved.\n\n' +
  'example: blankoff share notebooks/rate-of-rise.ipynb -o out/page.html';

const shareOptions: Readonly<Record<string, OptionSpec>> = {
  output: { short: 'o', value: 'PAGE.html', help: 'where to write the page' },
  ...notebookOptions,
};

/**
 * `blankoff share`: makes of a notebook one page that works offline and still computes.
 * @param args what stands after `share` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood
 */
export async function shareCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('share', args, shareOptions);
  if (printedHelp(given, usage, about, shareOptions)) return 0;
  const { path, output } = notebookAndOutput('share', given, usage);
  const page = await sharePage(path, { set: settings(given.texts('set')), who: given.text('who') });
  writeOut(output, page.html);
  const size = (bytes: number): string => `${(bytes / 1024).toFixed(0)} KiB`;
  process.stdout.write(
    `${output}: ${size(page.weights.page)}, of which ${size(page.weights.logs)} logs. Open it in any browser.\n`,
  );
  return 0;
}
