import { BlankoffError } from '../../src/errors';
import { printable } from '../../src/investigation/text-layout';
import { packageVersion } from '../crate/case-layout';
import { nearestOf } from './options';

/** A command: loaded when it is asked for; it takes its arguments and returns the exit code. */
interface Command {
  readonly load: () => Promise<(args: readonly string[]) => Promise<number>>;
  readonly does: string;
  readonly example: string;
}

const commands: Readonly<Record<string, Command>> = {
  analyse: {
    load: async () => (await import('./analyse')).analyseCommand,
    does: 'from a gauge log to a finding: a report, or JSON',
    example: 'analyse my-log.csv --volume "12.4 L" --gauge thermal',
  },
  run: {
    load: async () => (await import('./run')).runCommand,
    does: 'runs a notebook and prints its finding',
    example: 'run notebooks/rate-of-rise.ipynb --html out/page.html',
  },
  new: {
    load: async () => (await import('./new')).newCommand,
    does: 'makes a notebook of your own out of a template and your log',
    example: 'new my-chamber --log my-log.csv --from rate-of-rise',
  },
  report: {
    load: async () => (await import('./report')).reportCommand,
    does: 'writes the report of a notebook as one page for paper',
    example: 'report my-notebook.ipynb -o out/report.html',
  },
  share: {
    load: async () => (await import('./share')).shareCommand,
    does: 'makes of a notebook one page that still computes, offline',
    example: 'share notebooks/rate-of-rise.ipynb -o out/page.html',
  },
  pack: {
    load: async () => (await import('./pack')).packCommand,
    does: 'packs a notebook with its logs, results and hashes',
    example: 'pack notebooks/rate-of-rise.ipynb -o out/case.zip',
  },
  verify: {
    load: async () => (await import('./verify')).verifyCommand,
    does: 'checks what pack has packed, and runs it again if you say so',
    example: 'verify out/case.zip --rerun yes',
  },
};

function helpOfAll(): string {
  const lines = Object.entries(commands).map(
    ([name, { does, example }]) => `  ${name.padEnd(9)}${does}\n           npx blankoff ${example}`,
  );
  return (
    `usage: blankoff COMMAND ...\n\n${lines.join('\n')}\n\n` +
    '  help       this text, or the options of a command: blankoff help analyse\n' +
    '  --version  the version\n'
  );
}

async function main(args: readonly string[]): Promise<number> {
  const [first, ...rest] = args;
  if (first === undefined || first === '--help' || first === '-h' || (first === 'help' && rest.length === 0)) {
    process.stdout.write(helpOfAll());
    return 0;
  }
  if (first === '--version' || first === '-v') {
    process.stdout.write(`blankoff ${packageVersion()}\n`);
    return 0;
  }
  const [name, ...given] = first === 'help' ? [rest[0], '--help'] : args;
  if (Object.hasOwn(commands, name)) return (await commands[name].load())(given);
  const names = Object.keys(commands);
  const near = nearestOf(name, names);
  const choices = near === undefined ? `one of ${names.join(', ')}` : `${near}?`;
  process.stderr.write(
    `blankoff: command: met "${printable(name)}", expected ${choices} (blankoff help says what each does)\n`,
  );
  return 1;
}

main(process.argv.slice(2)).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    const ours = error instanceof BlankoffError || (error instanceof Error && 'code' in error);
    // What was met may be text of a file; lines of a message stay.
    const message = ours ? (error as Error).message : String((error as Error)?.stack ?? error);
    process.stderr.write(`blankoff: ${message.split('\n').map(printable).join('\n')}\n`);
    process.exitCode = 1;
  },
);
