import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { printable } from '../../src/investigation/text-layout';
import { SAME_WITHIN } from '../crate/compare-outputs';
import { verifyCase } from '../crate/verify-case';

/** How `verify` is called. */
export const verifyUsage = 'blankoff verify CASE.zip [--rerun yes|no] [--tolerance 1e-6]';

const WHAT_HASHES_PROVE = [
  'Hashes show that no file was changed since it was packed by somebody who did not make new hashes as well. They do not',
  'show who packed it, when, or that the logs are what a gauge wrote. Only the rerun shows that the results follow from them.',
].join('\n');

/**
 * `blankoff verify`: checks the hashes of a packed investigation and, on an explicit yes, runs it again and compares.
 * @param args what stands after `verify` on the command line
 * @returns the exit code: 0 only where hashes and rerun hold, 1 where something differs, 2 where it was not run again
 * @throws BlankoffError where the archive cannot be taken, ArgumentError where the call is not understood
 */
export async function verifyCommand(args: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...args],
    allowPositionals: true,
    options: { rerun: { type: 'string' }, tolerance: { type: 'string' }, help: { type: 'boolean', short: 'h' } },
  });
  if (values.help) {
    process.stdout.write(`usage: ${verifyUsage}\n`);
    return 0;
  }
  if (positionals.length !== 1) {
    throw new ArgumentError('verify', positionals.join(' ') || 'no file', `one packed investigation: ${verifyUsage}`);
  }
  if (values.rerun !== undefined && values.rerun !== 'yes' && values.rerun !== 'no') {
    throw new ArgumentError('--rerun', values.rerun, 'yes or no');
  }
  const tolerance = values.tolerance === undefined ? SAME_WITHIN : Number(values.tolerance);
  if (!(tolerance > 0 && tolerance < 1))
    throw new ArgumentError('--tolerance', values.tolerance, 'a number from 0 to 1');
  const [path] = positionals;
  const name = basename(path);
  const bytes = readFileSync(path);
  const hashes = await verifyCase(bytes, name, { rerun: false });
  const rerun =
    hashes.problems.length === 0 && (values.rerun === undefined ? await askForRerun() : values.rerun === 'yes');
  const result = rerun ? await verifyCase(bytes, name, { rerun, tolerance }) : hashes;
  // What is told comes out of a stranger's file and must not steer the terminal.
  for (const problem of result.problems) process.stdout.write(`differs: ${printable(problem)}\n`);
  for (const remark of result.remarks) process.stdout.write(`note: ${printable(remark)}\n`);
  if (result.problems.length > 0) {
    process.stdout.write(`${name}: does not hold (${result.problems.length} found)\n`);
    return 1;
  }
  process.stdout.write(
    result.rerun
      ? `${name}: hashes hold, and a run in a clean kernel gives the same results within ${tolerance} relative\n`
      : `${name}: hashes hold; not run again, so the results are not checked (--rerun yes)\n`,
  );
  process.stdout.write(`${WHAT_HASHES_PROVE}\n`);
  return result.rerun ? 0 : 2;
}

async function askForRerun(): Promise<boolean> {
  if (!process.stdin.isTTY) return false;
  const reader = createInterface({ input: process.stdin, output: process.stdout });
  try {
    const answer = await reader.question(
      'The notebook is the code of whoever packed it and can do what you can do on this machine. Run it? (yes/no) ',
    );
    return answer.trim().toLowerCase() === 'yes';
  } finally {
    reader.close();
  }
}
