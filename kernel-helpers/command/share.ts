import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { sharePage } from '../page/share-page';
import { settings } from './settings';

/** How `share` is called. */
export const shareUsage = 'blankoff share NOTEBOOK -o PAGE.html [--set NAME=VALUE]... [--who NAME]';

/**
 * `blankoff share`: makes of a notebook one page that works offline and still computes.
 * @param args what stands after `share` on the command line
 * @returns the exit code: 0
 * @throws BlankoffError where a cell fails, ArgumentError where the call is not understood
 */
export async function shareCommand(args: readonly string[]): Promise<number> {
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
    process.stdout.write(`usage: ${shareUsage}\n`);
    return 0;
  }
  if (positionals.length !== 1 || !values.output) {
    throw new ArgumentError('share', positionals.join(' ') || 'no notebook', `one notebook and -o: ${shareUsage}`);
  }
  const page = await sharePage(resolve(positionals[0]), { set: settings(values.set ?? []), who: values.who });
  mkdirSync(dirname(resolve(values.output)), { recursive: true });
  writeFileSync(values.output, page.html);
  const size = (bytes: number): string => `${(bytes / 1024).toFixed(0)} KiB`;
  process.stdout.write(
    `${values.output}: ${size(page.html.length)}, of which ${size(page.weights.logs)} logs. Open it in any browser.\n`,
  );
  return 0;
}
