import { createHash } from 'node:crypto';
import { escapeHtml } from '../display/table';
import type { Runtime } from './bundle-runtime';
import type { PageCell, PageContent } from './page-content';
import { livePageStyle } from './page-style';

/** A cell's place on the page: prose or saved outputs as safe HTML. */
export interface PlacedCell {
  readonly cell: PageCell;
  readonly html: string;
  /** Translation of a code cell, an expression that is a function. */
  readonly code: string;
}

/** One line of the foot: what, and its value. */
export type ProvenanceLine = readonly [string, string];

/**
 * The page as one file: prose, places for inputs and outputs with what was saved in them, content, cells and runtime.
 * Scripts are allowed by their hash alone and nothing may be loaded from anywhere.
 * @param placed the cells in order
 * @param content everything the runtime reads
 * @param runtime the bundled runtime, with the licences of the libraries in it
 * @param provenance lines of the foot
 */
export function pageHtml(
  placed: readonly PlacedCell[],
  content: PageContent,
  runtime: Pick<Runtime, 'code' | 'notices'>,
  provenance: readonly ProvenanceLine[],
): string {
  const code = placed.filter(({ cell }) => cell.kind === 'code' && cell.lacks === null);
  const scripts = [
    'self.blankoffCells = new Map();',
    ...code.map(
      ({ cell, code: text }) =>
        `self.blankoffCells.set(${cell.number},\n${text});\n//# sourceURL=cell-${cell.number}.js`,
    ),
    runtime.code,
  ].map(inScript);
  const hashes = scripts.map((text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`);
  const policy = [
    "default-src 'none'",
    `script-src ${hashes.join(' ')}`,
    "style-src 'unsafe-inline'",
    'img-src data: blob:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  const hasInputs = code.some(({ cell }) => cell.hasInputs);
  const buttons = [
    button('give-notebook', 'Save the notebook'),
    ...(content.files.length > 0 ? [button('give-logs', 'Save the logs')] : []),
    ...(hasInputs ? [button('first-values', 'Back to the first values')] : []),
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(content.title)}</title>
<style>${livePageStyle}</style>
</head>
<body>
<main>
${placed.map(cellHtml).join('\n')}
</main>
<footer>
<h2>Where this comes from</h2>
<dl>
${provenance.map(([what, value]) => `<div><dt>${escapeHtml(what)}</dt><dd>${escapeHtml(value)}</dd></div>`).join('\n')}
</dl>
<p class="buttons">${buttons.join('\n')}</p>
<p>${hasInputs ? 'Changed inputs are kept in the address of this page, so a link carries them. ' : ''}Local codes and licensed practice come
first; no equipment is certified by this page.</p>
<details class="licences"><summary>Licences of the libraries in this page</summary><pre tabindex="0">${escapeHtml(runtime.notices)}</pre></details>
</footer>
<script type="application/json" id="content">${inScript(JSON.stringify(content))}</script>
${scripts.map((text) => `<script>${text}</script>`).join('\n')}
</body>
</html>
`;
}

function button(id: string, words: string): string {
  return `<button type="button" id="${id}">${words}</button>`;
}

/** Text that can stand in a script element: nothing in it can end the element or open a comment. */
function inScript(text: string): string {
  return text.replace(/<(?=\/script|!--)/gi, '\\u003c');
}

function cellHtml({ cell, html }: PlacedCell): string {
  if (cell.kind === 'prose') return `<div class="prose">${html}</div>`;
  const first = cell.source.trim().split('\n')[0].slice(0, 80);
  const kind = onlyImports(cell) ? 'cell only-imports' : 'cell';
  return `<section class="${kind}" id="cell-${cell.number}" aria-label="cell ${cell.number}">
<details class="code"><summary>Code of cell ${cell.number}<span>: <code>${escapeHtml(first)}</code></span></summary><pre tabindex="0">${escapeHtml(cell.source)}</pre></details>
<div class="controls"></div>
<div class="outputs">${html}</div>
</section>`;
}

/** Whether a cell does nothing but name what others use: on paper there is nothing to see of it. */
function onlyImports({ defines, lacks, hasInputs }: PageCell): boolean {
  return lacks === null && !hasInputs && defines.length > 0 && defines.every(([, from]) => from !== null);
}
