import { copyFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Notebook, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { notebookPage } from '../../kernel-helpers/command/headless/notebook-page';
import { runAndListen } from '../../kernel-helpers/files/run-and-listen';
import { pageOf } from '../../kernel-helpers/page/share-page';
import { openChromium } from '../browser/jupyter-lab';
import { harmlessStrings, hostileStrings } from './hostile-strings';
import { type OpenOptions, openPage, settled } from './open-page';
import { type TrialCells, writeTrial } from './trial-notebook';

const oneLine = (text: string): string => text.replace(/[\n\r\u2028\u2029]/g, ' ');
const quoted = (text: string): string => `"${text.replace(/[\n\r\0]/g, ' ').replaceAll('"', '""')}"`;
/** An image that runs something when it fails to load, or a harmless text of the same place. */
const sample = (strings: readonly string[], part: string): string =>
  strings[hostileStrings.findIndex((text) => text.includes(part))];

/** A literal for a cell, which has to be one for any compiler. */
const literal = (value: unknown): string =>
  JSON.stringify(value).replace(
    /[\u007f-\uffff]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

/** A log whose headers and remarks are the strings. */
function logOf(strings: readonly string[]): string {
  const names = strings.slice(0, 40).map(quoted);
  const rows = strings.map((text, i) => [i * 10, 0.1 + i * 0.01, quoted(text), ...names.map(() => 1)].join(','));
  return [
    `time s,"pressure ${sample(strings, '<img src=x onerror').slice(0, 80).replaceAll('"', '""')} [mbar]",remark,${names.join(',')}`,
    ...rows,
    '',
  ].join('\n');
}

/** File names that a disk can hold. */
const fileNames = (strings: readonly string[]): string[] =>
  hostileStrings
    .map((text, i) => ({ text, name: strings[i] }))
    .filter(({ text }) => /[<"'&]/.test(text) && !/[/\0\\]/.test(text) && text.length < 100)
    .slice(0, 12)
    .map(({ name }) => `${name}.csv`);

function cellsOf(strings: readonly string[]): TrialCells {
  const prose = Object.fromEntries(strings.map((text, i) => [`text${i}`, text]));
  return {
    'text-title': `# ${oneLine(sample(strings, '</title>'))}`,
    ...prose,
    tools:
      "import { input, intervalsChart, parseLimit, pressureChart, findSegments, quantity, readLogFile, show } from 'blankoff/notebook';",
    comments: strings.map((text) => `// ${oneLine(text)}`).join('\n'),
    strings: `const strings: string[] = ${literal(strings)};`,
    known: [
      'const chosen = input(strings[0], { choices: strings, label: strings[3] });',
      'const typed = input(strings[7], { text: true, label: strings[20] });',
      'const breaks = input(0, { label: strings[30] });',
    ].join('\n'),
    table: 'show(strings.map((name, i) => ({ name: name, i: i })), { maxRows: 400 });',
    heads: 'show([Object.fromEntries(strings.map((name) => [name, 1]))]);',
    captions: 'for (const text of strings) show([{ a: 1 }], { caption: text });',
    words: 'for (const text of strings) show(text);\nshow(chosen);\nshow(typed);',
    prints: 'for (const text of strings) console.log(text);',
    quantities: [
      'for (const text of strings) {',
      '  try {',
      '    show(quantity(text));',
      '  } catch (error) {',
      '    show([{ error: String(error) }]);',
      '  }',
      '}',
    ].join('\n'),
    chart:
      "show(intervalsChart(strings.slice(0, 40).map((name) => ({ name: name, estimate: { value: 1, low: 0.5, high: 2 } })), 'Pa m3/s', { what: strings[3], title: strings[5] }));",
    log: "const log = await readLogFile('log.csv', { unit: 'mbar' });\nshow(log);",
    pressure: "show(pressureChart(log, findSegments(log), { unit: 'mbar' }));",
    files: `for (const name of ${literal(fileNames(strings))}) {\n  const read = await readLogFile(name);\n  show([{ file: read.file }], { caption: read.file });\n}`,
    breaks: 'const sure: number = breaks;\nif (sure > 0) throw new Error(strings.join(" "));\nshow("whole");',
  };
}

interface Made {
  readonly live: string;
  readonly still: string;
  readonly executed: Notebook;
}

async function make(name: string, strings: readonly string[]): Promise<Made> {
  const path = writeTrial(name, cellsOf(strings), logOf(strings));
  const folder = dirname(path);
  for (const file of fileNames(strings)) {
    copyFileSync(join(__dirname, '../../datasets/service-zero.csv'), join(folder, file));
  }
  const notebook = readNotebook(path);
  const run = await runAndListen(notebook, path);
  const live = join(folder, 'live.html');
  writeFileSync(live, (await pageOf(notebook, `${name}.ipynb`, run, { who: sample(strings, '</dd>') })).html);
  const still = join(folder, 'still.html');
  writeFileSync(still, notebookPage(run.executed, sample(strings, '</code>')));
  return { live, still, executed: run.executed };
}

/**
 * The shape of what stands on a page outside of prose: elements with the names of their attributes, in order. Which places
 * are wide enough to be moved sideways, and so take the focus and a name, depends on the length of the words alone.
 */
function shapeOf(page: Page): Promise<string[]> {
  return page.evaluate(`[...document.querySelectorAll('*')]
    .filter((element) => !element.closest('.prose') && !element.matches('html, head, head *, body > script'))
    .map((element) => element.tagName.toLowerCase() + ' ' + [...element.attributes]
      .map(({ name, value }) => /^(class|type|role|for)$/.test(name) ? name + '=' + value : name)
      .filter((name) => !/^(tabindex|style)$/.test(name))
      .filter((name) => !(element.matches('.wide[tabindex], .chart[tabindex]') && /^(role=group|aria-label)$/.test(name)))
      .sort().join(' '))`) as Promise<string[]>;
}

/** What stands on a page, in prose or not, that nothing of ours may make. */
function strangers(page: Page): Promise<string[]> {
  return page.evaluate(`[...document.querySelectorAll('body *')].flatMap((element) => [
    ...(element.matches('iframe, object, embed, form:not(.vega-bindings), link, meta, base, style, svg, math, video, audio, frame, template') ? [element.tagName] : []),
    ...[...element.attributes].filter(({ name, value }) => /^on/i.test(name) ||
      (/^(href|src|action|formaction|poster|background|data|srcdoc|xlink:href)$/.test(name) &&
        !/^(data:image\\/png;base64,|https?:\\/\\/|mailto:|#|[\\w-][\\w.\\/ %-]*$)/.test(value.trim()))).map(({ name, value }) => name + '=' + value),
  ])`) as Promise<string[]>;
}

let browser: Browser;
let hostile: Made;
let harmless: Made;

beforeAll(async () => {
  expect(hostileStrings.length).toBeGreaterThanOrEqual(200);
  harmless = await make('harmless', harmlessStrings);
  hostile = await make('hostile', hostileStrings);
  browser = await openChromium();
}, 240_000);

afterAll(() => browser?.close());

/** Opens a page, has a look, and sees to it that nothing ran, called or complained. */
async function look<T>(path: string, see: (page: Page) => Promise<T>, options: OpenOptions = {}): Promise<T> {
  const open = await openPage(browser, path, options);
  open.page.on('dialog', (dialog) => void open.complaints.push(`dialog ${dialog.message()}`));
  try {
    const seen = await see(open.page);
    expect(await open.page.evaluate('self.broken ?? ({}).broken ?? 0')).toBe(0);
    expect(await strangers(open.page)).toEqual([]);
    expect(
      await open.page.evaluate("document.scripts.length + document.querySelectorAll('title').length"),
    ).toBeGreaterThan(0);
    expect(open.complaints).toEqual([]);
    return seen;
  } finally {
    await open.close();
  }
}

describe(`${hostileStrings.length} hostile strings`, () => {
  it('make the same elements on a live page as harmless ones: in every output, input, label and at the foot', async () => {
    const shape = await look(hostile.live, shapeOf);
    expect(shape.length).toBeGreaterThan(1000);
    expect(shape).toEqual(await look(harmless.live, shapeOf));
  });

  it('make the same elements where scripts are switched off', async () => {
    const noScript = { javaScript: false };
    expect(await look(hostile.live, shapeOf, noScript)).toEqual(await look(harmless.live, shapeOf, noScript));
  });

  it('do nothing in an error, a typed text or a choice', async () => {
    await look(hostile.live, async (page) => {
      await page.fill('#input-breaks', '1');
      for (const text of hostileStrings.slice(0, 60)) await page.fill('#input-typed', text);
      for (const i of [5, 50, 150, 200]) await page.selectOption('#input-chosen', String(i));
      await settled(page);
      expect(await page.locator('pre.error').innerText()).toContain('Error: <script>');
    });
  });

  it('do nothing in the address of a page, as values or as names', async () => {
    // A text is no place of a choice and is refused beside its control, a harmless one as well.
    const refusing = await look(harmless.live, shapeOf, { hash: `chosen=${encodeURIComponent('"no choice"')}` });
    for (let from = 0; from < hostileStrings.length; from += 30) {
      const part = hostileStrings.slice(from, from + 30);
      const hash = part
        .flatMap((text, i) => [
          ['typed', JSON.stringify(text)],
          [text, '1'],
          ['chosen', i % 2 ? JSON.stringify(text) : text],
        ])
        .map((pair) => pair.map((text) => encodeURIComponent(text.replace(/[\ud800-\udfff]/g, '?'))).join('='))
        .join('&');
      expect(await look(harmless.live, shapeOf, { hash })).toEqual(refusing);
    }
  }, 120_000);

  it('make the same elements on the page of a run', async () => {
    // This page has no script; what it must not do is seen as well without.
    const shape = async (made: Made): Promise<string[]> => {
      const context = await browser.newContext({ offline: true });
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('request', (request) => {
        if (!/^(file|data):/.test(request.url())) complaints.push(request.url());
      });
      await page.goto(`file://${made.still}`);
      const found =
        (await page.evaluate(`[...document.querySelectorAll('table, table *, pre, figure, figure *, footer, footer *, script')]
        .map((element) => element.tagName + ' ' + element.getAttributeNames().sort().join(' '))`)) as string[];
      expect(await strangers(page)).toEqual([]);
      expect(await page.evaluate('self.broken ?? 0')).toBe(0);
      expect(complaints).toEqual([]);
      await context.close();
      return found.filter((tag) => !/^(CODE|PRE|TABLE|T[HDR]|THEAD|TBODY) $/.test(tag) || tag === 'SCRIPT ');
    };
    expect(await shape(hostile)).toEqual(await shape(harmless));
  });

  it('make the same elements in what a notebook holds for JupyterLab', async () => {
    const shapes = async ({ executed }: Made): Promise<string[]> => {
      const html = executed.cells
        .flatMap((cell) => cell.outputs ?? [])
        .map((output) => ('data' in output ? String(output.data['text/html'] ?? '') : ''));
      const page = await browser.newPage();
      const tags = (await page.evaluate(`${JSON.stringify(html)}.map((text) =>
        [...new DOMParser().parseFromString(text, 'text/html').body.querySelectorAll('*')]
          .map((element) => element.tagName + element.getAttributeNames().join(' ')).join(','))`)) as string[];
      await page.close();
      return tags;
    };
    const there = await shapes(hostile);
    expect(there.filter((tags) => tags !== '').length).toBeGreaterThan(200);
    expect(there).toEqual(await shapes(harmless));
  });
});
