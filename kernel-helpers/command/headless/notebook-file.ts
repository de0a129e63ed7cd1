import { readFileSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { BlankoffError } from '../../../src/errors';
import { printable } from '../../../src/investigation/text-layout';
import { whyUnreadable } from '../../files/why-unreadable';

/** The output of a cell, after nbformat 4.5. */
export type CellOutput =
  | { output_type: 'stream'; name: 'stdout' | 'stderr'; text: string }
  | { output_type: 'display_data'; data: Record<string, unknown>; metadata: Record<string, unknown> }
  | {
      output_type: 'execute_result';
      data: Record<string, unknown>;
      metadata: Record<string, unknown>;
      execution_count: number | null;
    }
  | { output_type: 'error'; ename: string; evalue: string; traceback: string[] };

/** A cell of a notebook; texts are joined. */
export interface NotebookCell {
  readonly cell_type: 'code' | 'markdown' | 'raw';
  readonly id?: string;
  readonly metadata: Readonly<Record<string, unknown>>;
  source: string;
  outputs?: CellOutput[];
  execution_count?: number | null;
  readonly attachments?: unknown;
}

/** A notebook file of format 4. */
export interface Notebook {
  readonly cells: NotebookCell[];
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly nbformat: number;
  readonly nbformat_minor: number;
}

const joined = (text: unknown): string => (Array.isArray(text) ? text.join('') : String(text ?? ''));

function notebookError(path: string, met: string, expected: string): BlankoffError {
  return new BlankoffError('notebook', `${basename(path)}: met ${met}, expected ${expected}`);
}

/** Reads a cell's tags. */
export function tagsOf(cell: NotebookCell): readonly string[] {
  const { tags } = cell.metadata;
  return Array.isArray(tags) ? tags.filter((tag): tag is string => typeof tag === 'string') : [];
}

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** What is wrong with something that stands among the cells of a file, or undefined. */
function cellProblem(cell: unknown): string | undefined {
  if (!isRecord(cell) || !['code', 'markdown', 'raw'].includes(String(cell.cell_type))) return 'no cell';
  if (!isRecord(cell.metadata ?? {})) return 'a cell whose metadata are none';
  if (cell.cell_type !== 'code' || cell.outputs === undefined || cell.outputs === null) return undefined;
  const isWhole = Array.isArray(cell.outputs) && cell.outputs.every(isOutput);
  return isWhole ? undefined : 'a cell with something that is no output';
}

function isOutput(output: unknown): output is CellOutput {
  if (!isRecord(output)) return false;
  if (output.output_type === 'error') return typeof output.ename === 'string' && Array.isArray(output.traceback);
  const hasData = output.output_type === 'display_data' || output.output_type === 'execute_result';
  return output.output_type === 'stream' || (hasData && isRecord(output.data));
}

/** Joins the texts of an output that was read from a file. */
function joinOutput(output: CellOutput): CellOutput {
  if (output.output_type === 'stream') return { ...output, text: joined(output.text) };
  if (output.output_type === 'error') return output;
  const data = Object.fromEntries(
    Object.entries(output.data).map(([type, value]) => [type, type.endsWith('json') ? value : joined(value)]),
  );
  return { ...output, data };
}

/**
 * Reads a notebook (nbformat 4).
 * @throws BlankoffError (`notebook`) where the file is missing, no JSON, or no notebook of format 4
 */
export function readNotebook(path: string): Notebook {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    const met = whyUnreadable(error);
    if (met === undefined) throw error;
    throw notebookError(path, met, 'a notebook (.ipynb); a path begins at the folder you are in');
  }
  let raw: Partial<Notebook>;
  try {
    raw = JSON.parse(text) as Partial<Notebook>;
  } catch {
    throw notebookError(path, `"${printable(text.trim().slice(0, 20))}"`, 'a notebook, which is JSON');
  }
  if (raw === null || typeof raw !== 'object' || !Array.isArray(raw.cells) || raw.nbformat !== 4) {
    throw notebookError(path, `format ${raw?.nbformat ?? 'none'}`, 'a notebook of format 4');
  }
  for (const [i, cell] of raw.cells.entries()) {
    const problem = cellProblem(cell);
    if (problem !== undefined) {
      throw notebookError(path, `${problem} in place ${i + 1} of its cells`, 'a notebook of format 4');
    }
  }
  const cells = raw.cells.map((cell) => ({
    ...cell,
    metadata: cell.metadata ?? {},
    source: joined(cell.source),
    ...(cell.cell_type === 'code' ? { outputs: (cell.outputs ?? []).map(joinOutput) } : {}),
  }));
  return { cells, metadata: raw.metadata ?? {}, nbformat: 4, nbformat_minor: raw.nbformat_minor ?? 4 };
}

const lines = (text: string): string[] => text.match(/[^\n]*\n|[^\n]+$/g) ?? [];

function outputForFile(output: CellOutput): unknown {
  if (output.output_type === 'stream') return { ...output, text: lines(output.text) };
  if (output.output_type === 'error') return output;
  const data = Object.fromEntries(
    Object.entries(output.data).map(([type, value]) => {
      const isText = typeof value === 'string' && (type.startsWith('text/') || type === 'image/svg+xml');
      return [type, isText ? lines(value) : value];
    }),
  );
  return { ...output, data };
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value as Record<string, unknown>);
  return Object.fromEntries(
    entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)).map(([key, inner]) => [key, sorted(inner)]),
  );
}

/**
 * The text of a notebook file: keys sorted, one space of indent, texts as lists of lines, as Jupyter itself writes it, so
 * that the same cells and outputs always give the same bytes.
 */
export function notebookText(notebook: Notebook): string {
  const cells = notebook.cells.map((cell) => ({
    ...cell,
    source: lines(cell.source),
    ...(cell.cell_type === 'code'
      ? { outputs: (cell.outputs ?? []).map(outputForFile), execution_count: cell.execution_count ?? null }
      : {}),
  }));
  return `${JSON.stringify(sorted({ ...notebook, cells }), null, 1)}\n`;
}

/** Writes a notebook file. */
export function writeNotebook(path: string, notebook: Notebook): void {
  writeFileSync(path, notebookText(notebook));
}

/** The texts that the cells with a tag have shown and printed, joined. */
export function plainTextOf(notebook: Notebook, tag: string): string {
  const outputs = notebook.cells.filter((cell) => tagsOf(cell).includes(tag)).flatMap((cell) => cell.outputs ?? []);
  const texts = outputs.map((output) => {
    if (output.output_type === 'stream') return output.text;
    return output.output_type === 'error' ? `${output.ename}: ${output.evalue}` : joined(output.data['text/plain']);
  });
  return texts.map((text) => text.trimEnd()).join('\n\n');
}

/** A notebook as it is before any run: a copy without outputs and counts. */
export function withoutOutputs(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell) =>
    cell.cell_type === 'code' ? { ...cell, outputs: [], execution_count: null } : cell,
  );
  return { ...notebook, cells };
}
