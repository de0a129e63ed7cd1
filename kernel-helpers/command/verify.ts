import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { ArgumentError, BlankoffError } from '../../src/errors';
import { printable } from '../../src/investigation/text-layout';
import { SAME_WITHIN } from '../crate/compare-outputs';
import { verifyCase } from '../crate/verify-case';
import { whyUnreadable } from '../files/why-unreadable';
import { type OptionSpec, printedHelp, readOptions } from './options';

const usage = 'blankoff verify CASE.zip [options]';
const about =
  'Checks the hashes of a packed investigation and, on an explicit yes, runs it\n' +
  'again and compares. Exit code 0 only where both hold, 1 where something differs,\n' +
  '2 where the hashes hold and it was not run again.\n\n' +
  'example: blankoff verify out/case.zip --rerun yes';

const verifyOptions: Readonly<Record<string, OptionSpec>> = {
  rerun: { value: 'yes|no', help: "run the packed notebook, which is a stranger's code; asked where absent" },
  tolerance: { value: 'NUMBER', help: `how far numbers may lie apart, relative; ${SAME_WITHIN} where absent` },
  help: { short: 'h', help: 'this text' },
};

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
  const given = readOptions('verify', args, verifyOptions);
  if (printedHelp(given, usage, about, verifyOptions)) return 0;
  const { operands } = given;
  if (operands.length !== 1) {
    throw new ArgumentError('verify', operands.join(' ') || 'no file', `one packed investigation: ${usage}`);
  }
  const [asked, wanted] = [given.text('rerun'), given.text('tolerance')];
  if (asked !== undefined && asked !== 'yes' && asked !== 'no') throw new ArgumentError('--rerun', asked, 'yes or no');
  const tolerance = wanted === undefined ? SAME_WITHIN : Number(wanted);
  if (!(tolerance > 0 && tolerance < 1)) throw new ArgumentError('--tolerance', wanted, 'a number from 0 to 1');
  const [path] = operands;
  const name = basename(path);
  const bytes = bytesOf(path);
  const hashes = await verifyCase(bytes, name, { rerun: false });
  const rerun = hashes.problems.length === 0 && (asked === undefined ? await askForRerun() : asked === 'yes');
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

function bytesOf(path: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    const met = whyUnreadable(error);
    if (met === undefined) throw error;
    throw new BlankoffError('case', `${path}: met ${met}, expected a packed investigation, as blankoff pack writes it`);
  }
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
