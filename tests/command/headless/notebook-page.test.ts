import { describe, expect, it } from 'vitest';
import type { CellOutput, Notebook } from '../../../kernel-helpers/command/headless/notebook-file';
import { notebookPage } from '../../../kernel-helpers/command/headless/notebook-page';
import { safeTableHtml } from '../../../kernel-helpers/command/headless/safe-table';
import { displayBundle } from '../../../kernel-helpers/display';

const attack = '<script>alert(1)</script><img src=x onerror=alert(2)>';

function page(markdown: string, outputs: CellOutput[] = [], code = 'f()'): string {
  const notebook: Notebook = {
    nbformat: 4,
    nbformat_minor: 5,
    metadata: {},
    cells: [
      { cell_type: 'markdown', metadata: {}, source: markdown },
      { cell_type: 'code', metadata: {}, source: code, outputs },
    ],
  };
  return notebookPage(notebook, 'a.ipynb');
}
const output = (data: Record<string, unknown>): CellOutput => ({ output_type: 'display_data', data, metadata: {} });

describe('the page of a notebook', () => {
  it('has the title, the prose, the code folded and the outputs', () => {
    const html = page('# The *run*\n\nWords.', [{ output_type: 'stream', name: 'stdout', text: 'a < b' }], 'x < y');
    expect(html).toContain('<title>The *run*</title>');
    expect(html).toContain('<h1>The <em>run</em></h1>');
    expect(html).toContain('<pre>x &lt; y</pre></details>');
    expect(html).toContain('<pre class="stdout">a &lt; b</pre>');
  });

  it('draws a chart as the picture inside it, with its text under it', () => {
    const html = page('', [output({ 'image/png': 'QUJD', 'text/plain': 'falls', 'text/html': '<b>no</b>' })]);
    expect(html).toContain('<img alt="falls" src="data:image/png;base64,QUJD"><figcaption>falls</figcaption>');
    expect(html).not.toContain('<b>no</b>');
  });

  it('shows tables, and keeps nothing of them that could run or call out', () => {
    const html = page('', [
      output({ 'text/html': `<table onclick="x()"><tr><td colspan="2">1${attack}</td></tr></table>` }),
    ]);
    expect(html).toContain('<table><tr><td colspan="2">1&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(html).not.toMatch(/<script|<img|onclick=/);
  });

  it('lets no notebook put markup, scripts, remote pictures or script links into it', () => {
    const html = page(
      `${attack}\n\n![far](https://example.org/a.png) [go](javascript:alert(1)) ![in](data:image/png;base64,QUJD)`,
      [
        { output_type: 'error', ename: 'E', evalue: attack, traceback: [attack] },
        { output_type: 'stream', name: 'stderr', text: attack },
        output({ 'text/plain': attack }),
        output({ 'text/markdown': attack }),
        output({ 'image/png': '"><script>alert(3)</script>', 'text/plain': 'text instead' }),
      ],
      attack,
    );
    expect(html).not.toMatch(/<script|onerror=alert\(2\)>(?!&)/i);
    expect(html).not.toContain('<img src=x');
    expect(html).not.toContain('src="https:');
    expect(html).not.toContain('href="javascript:');
    expect(html).toContain('<img src="data:image/png;base64,QUJD" alt="in">');
    expect(html).toContain("default-src 'none'");
  });

  it('calls nowhere: it refers to nothing outside itself', () => {
    const refers = [...page('# a', [output({ 'text/plain': 'x' })]).matchAll(/(?:src|href)="([^"]*)"/g)];
    expect(refers).toEqual([]);
  });
});

describe('what is kept of a table', () => {
  it('is exactly what our own tables are made of', () => {
    const ours = String(displayBundle([{ a: '<&>"', b: 1 }], { caption: 'c' }).data['text/html']);
    expect(safeTableHtml(ours)).toBe(ours);
  });

  it('is closed where it was left open, and nothing is closed that was not open', () => {
    expect(safeTableHtml('<table><tr><td>a')).toBe('<table><tr><td>a</td></tr></table>');
    expect(safeTableHtml('</table></div>a')).toBe('&lt;/div&gt;a');
  });

  it('survives broken tags as text', () => {
    expect(safeTableHtml('a < b <td <script')).toBe('a &lt; b &lt;td &lt;script');
    expect(safeTableHtml('<td title="<script>">x')).toBe('&lt;td title="&lt;script&gt;"&gt;x');
    expect(safeTableHtml('<style>b{}</style>')).toBe('&lt;style&gt;b{}&lt;/style&gt;');
  });
});
