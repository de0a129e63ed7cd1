import MarkdownIt from 'markdown-it';
import { escapeHtml } from '../../display/table';
import type { CellOutput, Notebook, NotebookCell } from './notebook-file';
import { pageStyle } from './page-style';
import { safeTableHtml } from './safe-table';

const colours = new RegExp(`${String.fromCharCode(27)}\\[[0-9;]*m`, 'g');

/** Reads prose into HTML that calls nowhere: raw HTML is shown as text, only pictures inside the notebook are drawn. */
export function markdownReader(): MarkdownIt {
  const reader = new MarkdownIt('default', { html: false, linkify: false, typographer: false });
  // Links to the web, to a mailbox, and within the notebook's own folder; nothing else that a browser could follow.
  reader.validateLink = (address) =>
    /^(?:https?:\/\/|mailto:|#|data:image\/(?:png|jpeg|gif|webp);base64,|\.{0,2}\/?[\w-][\w./ %-]*(?:#[\w-]*)?$)/i.test(
      address.trim(),
    );
  // The page must not call anywhere when it is opened: only pictures that are inside it are drawn.
  const image = reader.renderer.rules.image;
  reader.renderer.rules.image = (tokens, at, options, environment, renderer) => {
    const token = tokens[at];
    const drawn = /^data:image\/(?:png|jpeg|gif|webp);base64,/.test(token.attrGet('src') ?? '');
    if (drawn && image) return image(tokens, at, options, environment, renderer);
    return escapeHtml(`[picture: ${token.content || token.attrGet('src') || ''}]`);
  };
  return reader;
}

const text = (value: unknown): string => (Array.isArray(value) ? value.join('') : String(value ?? ''));

function bundleHtml(data: Readonly<Record<string, unknown>>, reader: MarkdownIt): string {
  const plain = text(data['text/plain']);
  const png = text(data['image/png']).replace(/\s+/g, '');
  if (/^[A-Za-z0-9+/]+=*$/.test(png)) {
    const caption = plain ? `<figcaption>${escapeHtml(plain)}</figcaption>` : '';
    const alt = escapeHtml(plain.split('\n')[0] || 'a chart');
    return `<figure><img alt="${alt}" src="data:image/png;base64,${png}">${caption}</figure>`;
  }
  if (data['text/html'] !== undefined) return `<div class="wide">${safeTableHtml(text(data['text/html']))}</div>`;
  if (data['text/markdown'] !== undefined) return reader.render(text(data['text/markdown']));
  return plain ? `<pre>${escapeHtml(plain)}</pre>` : '';
}

/** A saved output as HTML without script, style or link. */
export function outputHtml(output: CellOutput, reader: MarkdownIt): string {
  if (output.output_type === 'stream') {
    return `<pre class="${output.name}">${escapeHtml(output.text.replace(colours, ''))}</pre>`;
  }
  if (output.output_type === 'error') {
    const trace = output.traceback.join('\n').replace(colours, '') || `${output.ename}: ${output.evalue}`;
    return `<pre class="error">${escapeHtml(trace)}</pre>`;
  }
  return bundleHtml(output.data, reader);
}

function cellHtml(cell: NotebookCell, reader: MarkdownIt): string {
  if (cell.cell_type === 'markdown') return reader.render(cell.source);
  if (cell.cell_type !== 'code' || cell.source.trim() === '') return '';
  const first = cell.source.trim().split('\n')[0];
  const code = `<details class="code"><summary>Code: ${escapeHtml(first.slice(0, 90))}</summary><pre>${escapeHtml(
    cell.source,
  )}</pre></details>`;
  return [code, ...(cell.outputs ?? []).map((output) => outputHtml(output, reader))].join('\n');
}

/** The first heading of a notebook, or what is given instead. */
export function titleOf(notebook: Notebook, otherwise: string): string {
  for (const cell of notebook.cells) {
    const heading = cell.cell_type === 'markdown' ? /^#\s+(.+)$/m.exec(cell.source) : null;
    if (heading) return heading[1].trim();
  }
  return otherwise;
}

/**
 * A notebook as one readable page that needs nothing else and calls nowhere: prose, charts as pictures with their text,
 * tables, code folded away. Whatever stands in the notebook, no script of it runs.
 * @param name the notebook's file name, shown at the foot
 */
export function notebookPage(notebook: Notebook, name: string): string {
  const reader = markdownReader();
  const body = notebook.cells.map((cell) => cellHtml(cell, reader)).filter((html) => html !== '');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(titleOf(notebook, name))}</title>
<style>${pageStyle}</style>
</head>
<body>
<main>
${body.join('\n')}
</main>
<footer>Made from ${escapeHtml(name)} by blankoff.</footer>
</body>
</html>
`;
}
