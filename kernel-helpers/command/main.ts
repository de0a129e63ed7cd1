import { BlankoffError } from '../../src/errors';

/** The commands: each is loaded when it is asked for, takes its arguments and returns the exit code. */
const commands: Readonly<Record<string, () => Promise<(args: readonly string[]) => Promise<number>>>> = {
  analyse: async () => (await import('./analyse')).analyseCommand,
  run: async () => (await import('./run')).runCommand,
  new: async () => (await import('./new')).newCommand,
  report: async () => (await import('./report')).reportCommand,
  share: async () => (await import('./share')).shareCommand,
  pack: async () => (await import('./pack')).packCommand,
  verify: async () => (await import('./verify')).verifyCommand,
};

async function main(args: readonly string[]): Promise<number> {
  const [name, ...rest] = args;
  const load = Object.hasOwn(commands, name ?? '') ? commands[name] : undefined;
  if (!load) {
    process.stderr.write(`usage: blankoff ${Object.keys(commands).join('|')} ... (--help after a command says more)\n`);
    return name === undefined || name === '--help' ? 0 : 1;
  }
  const command = await load();
  return command(rest);
}

main(process.argv.slice(2)).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    const ours = error instanceof BlankoffError || (error instanceof Error && 'code' in error);
    process.stderr.write(`blankoff: ${ours ? (error as Error).message : String((error as Error)?.stack ?? error)}\n`);
    process.exitCode = 1;
  },
);
