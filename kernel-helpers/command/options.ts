import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ArgumentError } from '../../src/errors';
import { requirePlaceFor } from './write-out';

/** An option of a command. */
export interface OptionSpec {
  /** What stands for its value in the help; a switch where absent. */
  readonly value?: string;
  /** May be given more than once. */
  readonly multiple?: boolean;
  /** One short letter. */
  readonly short?: string;
  readonly help: string;
}

/** Options that several commands about a notebook take. */
export const notebookOptions = {
  set: { value: 'NAME=VALUE', multiple: true, help: 'another value for an input of the notebook: volume="8 L"' },
  who: { value: 'NAME', help: 'who made it; shown as not given where absent' },
  help: { short: 'h', help: 'this text' },
} as const satisfies Readonly<Record<string, OptionSpec>>;

/** What was given on a command line. */
export interface GivenOptions {
  readonly operands: readonly string[];
  /** The last value of an option. */
  readonly text: (name: string) => string | undefined;
  /** All values of an option. */
  readonly texts: (name: string) => readonly string[];
  readonly has: (name: string) => boolean;
}

/**
 * Reads a command line by a table of options; an option that is not in it is refused with the nearest that is.
 * @param command name of the command, for messages
 * @param args what stands after it
 * @param specs the options it knows, by name
 * @throws ArgumentError for an unknown option, a value too many or too few
 */
export function readOptions(
  command: string,
  args: readonly string[],
  specs: Readonly<Record<string, OptionSpec>>,
): GivenOptions {
  const known = Object.keys(specs);
  for (const arg of args) {
    if (arg === '--') break;
    const name = /^--([^=]+)/.exec(arg)?.[1];
    if (name !== undefined && !Object.hasOwn(specs, name)) throw unknownOption(command, `--${name}`, known);
  }
  const options = Object.fromEntries(
    known.map((name) => {
      const { value, multiple, short } = specs[name];
      const type = value === undefined ? ('boolean' as const) : ('string' as const);
      return [name, { type, ...(multiple ? { multiple } : {}), ...(short ? { short } : {}) }];
    }),
  );
  const { values, positionals } = parsed(command, args, options, known);
  const texts = (name: string): string[] => {
    const value = values[name];
    return (Array.isArray(value) ? value : [value]).filter((v): v is string => typeof v === 'string');
  };
  return {
    operands: positionals,
    texts,
    text: (name) => texts(name).at(-1),
    has: (name) => values[name] !== undefined,
  };
}

type ParseOptions = NonNullable<Parameters<typeof parseArgs>[0]>['options'];

function parsed(
  command: string,
  args: readonly string[],
  options: ParseOptions,
  known: readonly string[],
): { values: Record<string, unknown>; positionals: string[] } {
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true });
  } catch (error) {
    const { code, message } = error as { code?: string; message: string };
    // Node names an option with a short letter as '-o, --output <value>'.
    const name = /'(?:-\w, )?(-[^' ]*)/.exec(message)?.[1] ?? '';
    if (code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') throw unknownOption(command, name, known);
    if (code === 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE') {
      const [met, expected] = /does not take/.test(message)
        ? ['a value', 'none']
        : ['no value', `one (one that begins with a dash is written ${name}=VALUE)`];
      throw new ArgumentError(`${command} ${name}`, met, expected);
    }
    throw error;
  }
}

function unknownOption(command: string, name: string, known: readonly string[]): ArgumentError {
  const bare = name.replace(/^-+/, '');
  const near = nearestOf(bare, known);
  const all = `blankoff ${command} --help lists all`;
  const expected = near === undefined ? `one that there is: ${all}` : `--${near}? (${all})`;
  return new ArgumentError(`${command} option`, name, expected);
}

/**
 * What somebody may have meant.
 * @param word what was typed
 * @param known the words that there are
 * @returns the nearest, or undefined where none is near
 */
export function nearestOf(word: string, known: readonly string[]): string | undefined {
  const nearest = [...known].sort((a, b) => distance(word, a) - distance(word, b))[0];
  return distance(word, nearest) <= Math.max(2, word.length / 3) ? nearest : undefined;
}

/** Edit distance of two short words (insert, delete, replace). */
function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    }
    row = next;
  }
  return row[b.length];
}

/**
 * The help of a command: usage, then each option with what it does, within 80 columns.
 * @param usage the command with its operands
 * @param about what it does, in a sentence or two
 * @param specs its options
 */
function helpText(usage: string, about: string, specs: Readonly<Record<string, OptionSpec>>): string {
  const lines = Object.entries(specs).map(([name, { value, short, help, multiple }]) => {
    const left = `  ${short ? `-${short}, ` : ''}--${name}${value ? ` ${value}` : ''}`;
    const words = `${help}${multiple ? ' (may be given again)' : ''}`.split(' ');
    const rows: string[] = [];
    let row = left.length < 27 ? left.padEnd(28) : `${left}\n${' '.repeat(28)}`;
    let width = 28;
    for (const word of words) {
      if (width > 28 && width + 1 + word.length > 80) {
        rows.push(row);
        row = ' '.repeat(28);
        width = 28;
      }
      row += width > 28 ? ` ${word}` : word;
      width += word.length + (width > 28 ? 1 : 0);
    }
    return [...rows, row].join('\n');
  });
  return `usage: ${usage}\n\n${about}\n\n${lines.join('\n')}\n`;
}

/**
 * Prints the help of a command where it was asked for.
 * @param given what was given
 * @param usage the command with its operands
 * @param about what it does
 * @param specs its options
 * @returns whether it was
 */
export function printedHelp(
  given: GivenOptions,
  usage: string,
  about: string,
  specs: Readonly<Record<string, OptionSpec>>,
): boolean {
  if (given.has('help')) process.stdout.write(helpText(usage, about, specs));
  return given.has('help');
}

/**
 * The notebook that a command takes and the file that it makes of it.
 * @param command name of the command, for the message
 * @param given what was given
 * @param usage the command with its operands
 * @returns full path of the notebook, and the path to write to as given
 * @throws ArgumentError where there is not one of each, BlankoffError where the file could not be written
 */
export function notebookAndOutput(
  command: string,
  given: GivenOptions,
  usage: string,
): { readonly path: string; readonly output: string } {
  const { operands } = given;
  const output = given.text('output');
  if (operands.length !== 1 || !output) {
    throw new ArgumentError(command, operands.join(' ') || 'no notebook', `one notebook and -o: ${usage}`);
  }
  requirePlaceFor(output);
  return { path: resolve(operands[0]), output };
}
