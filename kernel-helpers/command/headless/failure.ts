import type { NotebookCell } from './notebook-file';

/** Where a run stopped, and on what. */
export interface FailurePlace {
  /** Number of the cell among the code cells, from 1. */
  readonly cell: number;
  /** Line in the cell, from 1, where the kernel told it. */
  readonly line: number | null;
  readonly message: string;
}

/** tslab's report of a type or syntax error: `line:column - message`. */
const compileError = /^(\d+):(\d+) - (.+)$/m;

/** What tslab prints of an error that nobody awaited; the cell itself had gone well. */
const lateError = /^(?:UncaughtException|UnhandledPromiseRejection): (.+)$/m;

/** The first line of an error's stack, and the line of code that Node shows above it. */
const thrown = /^[A-Z]\w*(?:Error|Exception)?(?: \[\w+\])?: .*$/m;
const shownLine = /^evalmachine\.<anonymous>:\d+\n(.*)\n *\^+$/m;

const colours = new RegExp(`${String.fromCharCode(27)}\\[[0-9;]*m`, 'g');

/**
 * Reads the failure of a cell that has been run.
 * @param status how its request ended
 * @param problem what the runner itself saw (the kernel's end, a limit of time)
 * @returns null where the cell went well
 */
export function failureOf(
  cell: NotebookCell,
  number: number,
  status: 'ok' | 'error' | 'abort' | 'dead' | 'timeout',
  problem?: string,
): FailurePlace | null {
  const error = cell.outputs?.find((output) => output.output_type === 'error');
  const stderr = errorText(cell);
  const late = lateError.exec(stderr);
  if (status === 'ok' && !error) return late ? { cell: number, line: null, message: late[1] } : null;
  if (status === 'dead' || status === 'timeout') return { cell: number, line: null, message: problem ?? status };
  if (status === 'abort') return { cell: number, line: null, message: 'the kernel aborted it' };
  if (error?.output_type === 'error') {
    const trace = error.traceback.join('\n').replace(colours, '');
    const line = /\bline (\d+)\b/.exec(trace) ?? compileError.exec(trace);
    // The place stands before the message already.
    const words = error.evalue.replace(/^line \d+: /, '');
    return { cell: number, line: line ? Number(line[1]) : null, message: `${error.ename}: ${words}${hint(words)}` };
  }
  return { cell: number, ...stockFailure(stderr, cell.source) };
}

/** What to do where a cell does not find the kit. */
function hint(words: string): string {
  const isLost = /^Cannot find module 'blankoff/.test(words);
  return isLost
    ? ' A notebook finds it in the folder of blankoff or below: move or copy it there, or: blankoff new'
    : '';
}

function errorText(cell: NotebookCell): string {
  const texts = (cell.outputs ?? []).map((output) =>
    output.output_type === 'stream' && output.name === 'stderr' ? output.text : '',
  );
  return texts.join('').replace(colours, '').trim();
}

/** Stock tslab sends no error message: the error is text on stderr, and its line counts in the compiled cell. */
function stockFailure(text: string, source: string): { line: number | null; message: string } {
  const compile = compileError.exec(text);
  if (compile) return { line: Number(compile[1]), message: `${compile[3]}${hint(compile[3])}` };
  const message = thrown.exec(text)?.[0] ?? text.split('\n')[0];
  return { line: lineOf(shownLine.exec(text)?.[1] ?? '', source), message: message || 'it failed without a word' };
}

/** The line of the cell that reads like the compiled line which Node shows above an error, if there is just one. */
function lineOf(compiled: string, source: string): number | null {
  // The compiler puts a module's name before another cell's value, and `exports.` before one of this cell.
  const added = /\bexports\.tsLastExpr = |\b(?:exports|\w+_\d+)\.|\b(?:const|let|var) |;$|\s+/g;
  const bare = (code: string): string => code.replace(/\(0, ([\w.]+)\)/g, '$1').replace(added, '');
  const wanted = bare(compiled);
  const alike = source.split('\n').flatMap((line, k) => (wanted !== '' && bare(line) === wanted ? [k + 1] : []));
  return alike.length === 1 ? alike[0] : null;
}
