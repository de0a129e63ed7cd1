import vm from 'node:vm';
import { asPartOf, type CurrentRun } from './current-run';
import type { TslabExecutor, TslabParts } from './tslab-parts';

/** A cell as tslab has translated it, ready to be called any number of times. */
export interface CompiledCell {
  /** The JavaScript, for finding lines in it. */
  readonly text: string;
  /** Name under which it stands in stack traces. */
  readonly file: string;
  readonly call: CellFunction;
}

type CellFunction = (exports: object, require: NodeJS.Require) => unknown;

/** How a run of a cell ended. */
export type Outcome =
  | { readonly kind: 'ok' }
  /** It threw. */
  | { readonly kind: 'thrown'; readonly error: unknown }
  /** It did not compile; `text` is what tslab printed about it. */
  | { readonly kind: 'refused'; readonly text: string }
  | { readonly kind: 'interrupted' }
  | { readonly kind: 'overtaken' };

/** How tslab wraps what it runs. */
const callTail = /\n\}\)\(__tslab__\.exports, __tslab__\.require\)$/;
const functionHead = /^\((?:async )?function\(exports, require\) \{ /;
const lastExpression = /^tsLastExpr\d*$/;

/** Told when a cell is interrupted; set for the time in which one runs. */
let interruptRun: (() => void) | null = null;

/** Interrupts the cell that is running and waiting; one that computes without a pause is stopped by its own watch. */
export function interruptRunningCell(): void {
  interruptRun?.();
}

/** A cell to be checked and translated, with what that needs. */
export interface Compilation {
  readonly execute: TslabExecutor['execute'];
  /** The cell, with what tslab mistranslates rewritten. */
  readonly source: string;
  /** Name for stack traces. */
  readonly file: string;
  readonly run: CurrentRun;
  readonly cells: TslabParts['cells'];
  /** Catches what tslab prints about a cell that does not compile. */
  catchText(): () => string;
  /** Is given the translation before it runs. */
  keep(compiled: CompiledCell): void;
}

/**
 * Has tslab check, translate and run a cell.
 * @returns how it ended
 */
export async function compileAndRun(what: Compilation): Promise<Outcome> {
  let outcome: Promise<Outcome> | null = null;
  const original = vm.runInThisContext;
  const release = what.catchText();
  // tslab hands the translated cell to `vm.runInThisContext`, and goes on when what that returns has settled.
  vm.runInThisContext = ((code: string) => {
    release();
    outcome = translated(code, what);
    return outcome;
  }) as typeof vm.runInThisContext;
  let executing: Promise<boolean>;
  let text = '';
  try {
    executing = what.execute(what.source);
  } finally {
    vm.runInThisContext = original;
    if (!outcome) text = release();
  }
  const accepted = await executing;
  if (outcome) return outcome;
  return accepted ? { kind: 'ok' } : { kind: 'refused', text };
}

async function translated(code: string, { file, run, cells, keep }: Compilation): Promise<Outcome> {
  try {
    const compiled = compile(code, file);
    keep(compiled);
    return await runCompiled(compiled, run, cells);
  } catch (error) {
    return { kind: 'thrown', error };
  }
}

function compile(code: string, file: string): CompiledCell {
  if (!callTail.test(code) || !functionHead.test(code)) {
    throw new Error('tslab wraps cells in another way than expected: set BLANKOFF_PLAIN=1 and restart the kernel');
  }
  const text = code.replace(callTail, '\n})');
  const call = new vm.Script(text, { filename: file }).runInThisContext() as CellFunction;
  return { text, file, call };
}

/**
 * Runs a translated cell.
 * @returns how it ended; never rejects
 */
export async function runCompiled(cell: CompiledCell, run: CurrentRun, cells: TslabParts['cells']): Promise<Outcome> {
  let result: unknown;
  // Called without its object, or traces would name that.
  const { call } = cell;
  try {
    result = asPartOf(run, () => callInterruptibly(() => call(guardedNames(run, cells.exports), cells.require)));
  } catch (error) {
    return isInterrupt(error) ? { kind: 'interrupted' } : { kind: 'thrown', error };
  }
  if (!isAsync(cell)) return { kind: 'ok' };
  const ended = (result as Promise<unknown>).then(
    (): Outcome => ({ kind: 'ok' }),
    (error): Outcome => ({ kind: 'thrown', error }),
  );
  const stopped = new Promise<Outcome>((resolve) => {
    interruptRun = () => resolve({ kind: 'interrupted' });
    run.onOvertaken.then(() => resolve({ kind: 'overtaken' }));
  });
  try {
    return await Promise.race([ended, stopped]);
  } finally {
    interruptRun = null;
  }
}

function isAsync(cell: CompiledCell): boolean {
  return cell.text.startsWith('(async');
}

/** The names of all cells as one run sees them: once it is overtaken, what it defines is dropped. */
function guardedNames(run: CurrentRun, exports: Record<string, unknown>): object {
  const define = (name: string | symbol, value: unknown): boolean => {
    if (name === '__esModule' || run.overtaken) return true;
    if (typeof name === 'string' && lastExpression.test(name)) run.last = { value };
    else Reflect.set(exports, name, value);
    return true;
  };
  return new Proxy(exports, {
    set: (_target, name, value) => define(name, value),
    // TypeScript defines an imported name by a getter; other cells may redefine it, so its value is taken.
    defineProperty: (_target, name, { get, value }) => define(name, get ? get() : value),
  });
}

const callSlot = Symbol.for('blankoff.call');
const trampoline = new vm.Script("globalThis[Symbol.for('blankoff.call')]()");

/** Calls a function so that an interrupt (SIGINT) stops even a loop in it that never pauses. */
function callInterruptibly(call: () => unknown): unknown {
  const slots = globalThis as unknown as Record<symbol, unknown>;
  slots[callSlot] = call;
  try {
    return trampoline.runInThisContext({ breakOnSigint: true });
  } finally {
    delete slots[callSlot];
  }
}

function isInterrupt(error: unknown): boolean {
  return (error as { code?: unknown } | null)?.code === 'ERR_SCRIPT_EXECUTION_INTERRUPTED';
}
