import { sep } from 'node:path';
import { inspect } from 'node:util';
import { lineInSource } from './align-lines';

/** An error as the Jupyter protocol has it. */
export interface ErrorContent {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
}

/** A cell that may stand in a stack trace. */
export interface TracedCell {
  readonly label: string;
  readonly source: string;
  /** What was run. */
  readonly translation: string;
}

const ourFolder = /[\\/](?:blankoff|dist)[\\/](?:src|kernel-helpers)[\\/]/;

/**
 * Describes something that a cell threw: name, message, and where in which cells it happened; frames of tslab, of Node
 * and of packages are left out.
 * @param error what was thrown
 * @param cellOf finds a cell by its name in stack traces
 */
export function reportError(error: unknown, cellOf: (file: string) => TracedCell | undefined): ErrorContent {
  if (!(error instanceof Error) && !isErrorLike(error)) {
    const evalue = typeof error === 'string' ? error : inspect(error);
    return { ename: 'thrown', evalue, traceback: [`thrown: ${evalue}`] };
  }
  const { name, message } = error;
  const cause = error.cause === undefined ? [] : [`caused by ${firstLine(error.cause)}`];
  const frames = framesOf(error.stack ?? '', cellOf);
  return { ename: name, evalue: message, traceback: [`${name}: ${message}`, ...frames, ...cause] };
}

/** An error of another realm, such as one of `node:vm`, is none by `instanceof`. */
function isErrorLike(error: unknown): error is Error {
  const { name, message, stack } = (error ?? {}) as Partial<Error>;
  return typeof name === 'string' && typeof message === 'string' && typeof stack === 'string';
}

function firstLine(cause: unknown): string {
  return cause instanceof Error ? `${cause.name}: ${cause.message}` : inspect(cause);
}

function framesOf(stack: string, cellOf: (file: string) => TracedCell | undefined): string[] {
  return stack.split('\n').flatMap((text) => {
    const match = /^\s+at (?:(.+?) \()?(?:file:\/\/)?(.+?):(\d+):(\d+)\)?$/.exec(text);
    if (!match) return [];
    const [, where, file, line, column] = match;
    const cell = cellOf(file);
    // A cell is wrapped into a function without a name; its other names are those of the person's functions.
    const name = where?.replace(/^(?:Proxy|Object)\./, '');
    const inside = name && !name.includes('anonymous') && name !== 'eval' ? `in ${name}, ` : '';
    if (cell) return [cellFrame(cell, inside, Number(line), Number(column))];
    const own = file.startsWith(process.cwd() + sep) && !file.includes('node_modules') && !ourFolder.test(file);
    return own ? [`    ${inside}${file.slice(process.cwd().length + 1)}, line ${line}`] : [];
  });
}

function cellFrame(cell: TracedCell, inside: string, line: number, column: number): string {
  const own = lineInSource(cell.source, cell.translation, line, column);
  if (own === null) return `    ${inside}${cell.label}`;
  return `    ${inside}${cell.label}, line ${own}: ${cell.source.split('\n')[own - 1].trim()}`;
}

/**
 * Describes why a cell does not compile.
 * @param printed what tslab printed: `line:column - message` in lines
 */
export function reportDiagnostics(printed: string, cell: { label: string; source: string }): ErrorContent {
  const problems = printed.split('\n').flatMap((text) => {
    const match = /^(?:(\S+) )?(\d+):\d+ - (.*)$/.exec(text);
    return match ? [{ file: match[1], line: Number(match[2]), message: match[3] }] : [];
  });
  const lines = cell.source.split('\n');
  const traceback = problems.map(({ file, line, message }) =>
    file
      ? `    ${file}, line ${line}: ${message}`
      : `    ${cell.label}, line ${line}: ${message}\n        ${lines[line - 1]?.trim() ?? ''}`,
  );
  const [first] = problems;
  const evalue = first ? `line ${first.line}: ${first.message}` : printed.trim();
  return { ename: 'TypeScript', evalue, traceback: [`TypeScript: ${evalue}`, ...traceback] };
}
