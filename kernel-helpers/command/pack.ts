import { packCase } from '../crate/pack-case';
import { notebookAndOutput, notebookOptions, type OptionSpec, printedHelp, readOptions } from './options';
import { settings } from './settings';
import { writeOut } from './write-out';

const usage = 'blankoff pack NOTEBOOK -o CASE.zip [options]';
const about =
  'Runs a notebook and packs it with its logs, results and hashes, so that\n' +
  'somebody else can check it with blankoff verify.\n\n' +
  'example: blankoff pack notebooks/rate-of-rise.ipynb -o out/case.zip';

const packOptions: Readonly<Record<string, OptionSpec>> = {
  output: { short: 'o', value: 'CASE.zip', help: 'where to write the archive' },
  set: notebookOptions.set,
  who: notebookOptions.who,
  licence: { value: 'TEXT', help: 'licence of what is packed' },
  'no-page': { help: 'leave the live page out' },
  help: notebookOptions.help,
};

/**
 * `blankoff pack`: runs a notebook and packs it with its logs, results and hashes, so that somebody else can check it.
 * @param args what stands after `pack` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood
 */
export async function packCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('pack', args, packOptions);
  if (printedHelp(given, usage, about, packOptions)) return 0;
  const { path, output } = notebookAndOutput('pack', given, usage);
  const zip = await packCase(path, {
    set: settings(given.texts('set')),
    who: given.text('who'),
    licence: given.text('licence'),
    withoutPage: given.has('no-page'),
  });
  writeOut(output, zip);
  process.stdout.write(`${output}: ${(zip.length / 1024).toFixed(0)} KiB. Check it with: blankoff verify ${output}\n`);
  return 0;
}
