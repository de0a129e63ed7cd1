import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { packCase } from '../crate/pack-case';
import { settings } from './settings';

/** How `pack` is called. */
export const packUsage =
  'blankoff pack NOTEBOOK -o CASE.zip [--set NAME=VALUE]... [--who NAME] [--licence TEXT] [--no-page]';

/**
 * `blankoff pack`: runs a notebook and packs it with its logs, results and hashes, so that somebody else can check it.
 * @param args what stands after `pack` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood
 */
export async function packCommand(args: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      set: { type: 'string', multiple: true, default: [] },
      output: { type: 'string', short: 'o' },
      who: { type: 'string' },
      licence: { type: 'string' },
      'no-page': { type: 'boolean', default: false },
      help: { type: 'boolean', short: 'h' },
    },
  });
  if (values.help) {
    process.stdout.write(`usage: ${packUsage}\n`);
    return 0;
  }
  if (positionals.length !== 1 || !values.output) {
    throw new ArgumentError('pack', positionals.join(' ') || 'no notebook', `one notebook and -o: ${packUsage}`);
  }
  const zip = await packCase(resolve(positionals[0]), {
    set: settings(values.set ?? []),
    who: values.who,
    licence: values.licence,
    withoutPage: values['no-page'],
  });
  mkdirSync(dirname(resolve(values.output)), { recursive: true });
  writeFileSync(values.output, zip);
  process.stdout.write(
    `${values.output}: ${(zip.length / 1024).toFixed(0)} KiB. Check it with: blankoff verify ${values.output}\n`,
  );
  return 0;
}
