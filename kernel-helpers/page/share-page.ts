import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { gzipSync } from 'fflate';
import {
  type CellOutput,
  type Notebook,
  type NotebookCell,
  notebookText,
  readNotebook,
  tagsOf,
  withoutOutputs,
} from '../command/headless/notebook-file';
import { markdownReader, outputHtml, titleOf } from '../command/headless/notebook-page';
import { setParameters } from '../command/headless/parameters';
import { packageVersion, sha256Of } from '../crate/case-layout';
import type { FileRead } from '../files/files-read';
import { type HeardRun, runAndListen } from '../files/run-and-listen';
import { readCell } from '../kernel/read-cell';
import { bundleRuntime } from './bundle-runtime';
import { lackingOnPages } from './lacking';
import type { PackedFile, PageCell, PageContent } from './page-content';
import { type PlacedCell, pageHtml } from './page-html';
import { smallerPicture } from './smaller-picture';
import { translateCell } from './translate-cell';

/** How a page is made. */
export interface ShareOptions {
  /** Values for the notebook's inputs, by name. */
  readonly set?: ReadonlyMap<string, string>;
  /** Who shares it; shown as not given where absent. */
  readonly who?: string;
  /** Day, ISO 8601; today where absent. */
  readonly date?: string;
}

/** A page, and what it and its parts weigh in bytes: the whole, the script with its parts, logs, pictures. */
export interface SharedPage {
  readonly html: string;
  readonly weights: Readonly<Record<string, number>>;
}

/**
 * Makes of a notebook one page that still computes: the notebook is run once, the logs that it read are packed in, its
 * cells are translated, and what it showed is kept for whoever has scripts switched off.
 * @param path the notebook
 * @param options inputs, who, date
 * @returns the page
 * @throws BlankoffError where a cell fails, with cell and line
 */
export async function sharePage(path: string, options: ShareOptions = {}): Promise<SharedPage> {
  const notebook = setParameters(readNotebook(path), options.set ?? new Map());
  return pageOf(notebook, basename(path), await runAndListen(notebook, path), options);
}

/**
 * The page of a notebook that has been run.
 * @param notebook with its inputs set
 * @param name its file name
 * @param run what the run gave and read
 * @param options who, date
 */
export async function pageOf(
  notebook: Notebook,
  name: string,
  { executed, reads }: HeardRun,
  options: Pick<ShareOptions, 'who' | 'date'>,
): Promise<SharedPage> {
  const files = reads.map(packFile);
  const placed = placeCells(executed);
  const content: PageContent = {
    title: titleOf(notebook, name),
    cells: placed.map(({ cell }) => cell),
    files,
    notebook: { name, text: notebookText(withoutOutputs(notebook)) },
  };
  const spreadsheets = reads.some((read) => read.description?.format === 'spreadsheet');
  const runtime = await bundleRuntime(spreadsheets);
  const html = pageHtml(placed, content, runtime, [
    ['Notebook', name],
    ['SHA-256 of the notebook', sha256Of(new TextEncoder().encode(content.notebook.text))],
    ...files.map((file): [string, string] => [`Log ${file.name}, ${file.bytes} bytes, SHA-256`, file.sha256]),
    ['blankoff', packageVersion()],
    ['Node.js', process.versions.node],
    ['Made on', options.date ?? new Date().toISOString().slice(0, 10)],
    ['Made by', options.who || 'not given'],
  ]);
  const logs = files.reduce((sum, file) => sum + file.content.length, 0);
  const pictures = [...html.matchAll(/"data:image\/png;base64,[^"]*"/g)].reduce((sum, [text]) => sum + text.length, 0);
  const whole = { page: Buffer.byteLength(html), runtime: Buffer.byteLength(runtime.code), logs, pictures };
  return { html, weights: { ...whole, ...heaviest(runtime.parts) } };
}

function heaviest(parts: Readonly<Record<string, { bytesInOutput: number }>>): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const [path, { bytesInOutput }] of Object.entries(parts)) {
    const part = /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? path.split('/').slice(0, 2).join('/');
    sums[part] = (sums[part] ?? 0) + bytesInOutput;
  }
  return Object.fromEntries(
    Object.entries(sums)
      .sort(([, a], [, b]) => b - a)
      .slice(0, 12),
  );
}

function packFile(read: FileRead): PackedFile {
  const bytes = readFileSync(read.path);
  const content = Buffer.from(gzipSync(bytes, { level: 9, mtime: '1980-01-01' })).toString('base64');
  return { asked: read.asked, name: basename(read.asked), sha256: sha256Of(bytes), bytes: bytes.length, content };
}

function placeCells(notebook: Notebook): PlacedCell[] {
  const reader = markdownReader();
  const code = notebook.cells.filter(isCode);
  const defined = new Set(code.flatMap((cell) => [...readCell(cell.source, tagsOf(cell)).names.defines.keys()]));
  const lacking = lackingOnPages();
  let number = 0;
  return notebook.cells.flatMap((cell): PlacedCell[] => {
    if (cell.cell_type === 'markdown') return [{ cell: PROSE, html: reader.render(cell.source), code: '' }];
    if (!isCode(cell)) return [];
    number += 1;
    const translated = translateCell(cell.source, tagsOf(cell), (name) => defined.has(name), lacking);
    const { defines, uses, assigns, byHand } = translated.reading.names;
    const pageCell: PageCell = {
      number,
      kind: 'code',
      source: cell.source,
      defines: [...defines],
      uses,
      assigns,
      byHand,
      hasInputs: translated.reading.inputs.length > 0,
      takes: translated.takes,
      lines: translated.lines,
      lacks: translated.lacks,
    };
    const html = (cell.outputs ?? []).map((output) => outputHtml(withSmallPicture(output), reader)).join('\n');
    return [{ cell: pageCell, html, code: translated.code }];
  });
}

function withSmallPicture(output: CellOutput): CellOutput {
  const png = 'data' in output ? output.data['image/png'] : undefined;
  if (!('data' in output) || typeof png !== 'string') return output;
  const small = Buffer.from(smallerPicture(Buffer.from(png, 'base64'))).toString('base64');
  return { ...output, data: { ...output.data, 'image/png': small } };
}

function isCode(cell: NotebookCell): boolean {
  return cell.cell_type === 'code' && cell.source.trim() !== '';
}

const PROSE: PageCell = {
  number: 0,
  kind: 'prose',
  source: '',
  defines: [],
  uses: [],
  assigns: [],
  byHand: false,
  hasInputs: false,
  takes: [],
  lines: [],
  lacks: null,
};
