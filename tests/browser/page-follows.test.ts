import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { sharePage } from '../../kernel-helpers/page/share-page';
import { openChromium } from './jupyter-lab';

const notebook = resolve(__dirname, '../../notebooks/rate-of-rise.ipynb');
const scratch = mkdtempSync(join(tmpdir(), 'page-'));
const code = readNotebook(notebook).cells.filter((cell) => cell.cell_type === 'code');
let browser: Browser;
let page: Page;

beforeAll(async () => {
  const path = join(scratch, 'page.html');
  writeFileSync(path, (await sharePage(notebook)).html);
  browser = await openChromium();
  page = await (await browser.newContext({ offline: true })).newPage();
  await page.goto(`file://${path}`);
  await page.waitForSelector('body[data-ready]', { timeout: 30_000 });
}, 90_000);

afterAll(async () => {
  await browser?.close();
  rmSync(scratch, { recursive: true });
});

/** Ids of the cells whose outputs change after an input was set, and what the named cell then shows. */
async function move(name: string, value: string): Promise<string[]> {
  const script = `(async () => {
    const changed = new Set();
    const watch = new MutationObserver((records) => {
      for (const { target } of records) {
        const outputs = target.closest && target.closest('.outputs');
        if (outputs) changed.add(outputs.parentElement.id);
      }
    });
    watch.observe(document.body, { childList: true, subtree: true });
    const field = document.getElementById('input-${name}');
    field.value = ${JSON.stringify(value)};
    field.dispatchEvent(new Event('input'));
    let before = -1;
    for (let still = 0; still < 4; ) {
      await new Promise((done) => setTimeout(done, 500));
      still = before === changed.size ? still + 1 : 0;
      before = changed.size;
    }
    watch.disconnect();
    return [...changed];
  })()`;
  const ids = (await page.evaluate(script)) as string[];
  return ids.map((id) => code[Number(id.replace('cell-', '')) - 1].id ?? '');
}

const textOf = (id: string): Promise<string> =>
  page.locator(`#cell-${1 + code.findIndex((cell) => cell.id === id)} .outputs`).innerText();

it('a move runs what depends on that input, and nothing else', { timeout: 60_000 }, async () => {
  const first = await textOf('smallest');
  const next = await move('nextFor', '120');
  expect(next).toContain('smallest');
  expect(next.filter((id) => !['known', 'smallest', 'beside-walls'].includes(id))).toEqual([]);
  expect(await textOf('smallest')).not.toBe(first);

  const volume = await move('volume', '15 L ± 5 %');
  expect(volume).toEqual(expect.arrayContaining(['loads', 'finding', 'smallest', 'given']));
  for (const id of ['read-shown', 'happened-shown', 'rises', 'rises-table', 'repeat', 'residuals', 'plateau']) {
    expect(volume).not.toContain(id);
  }
});

it('a value that is none is not taken, and an empty field is not given', { timeout: 60_000 }, async () => {
  expect((await move('volume', '15 quux')).filter((id) => id !== 'known')).toEqual([]);
  expect(await page.locator('.wrong:not([hidden])').innerText()).toContain('not taken');
  await move('volume', '');
  expect(await textOf('given')).toContain('not given: rates, but no loads');
  expect(await textOf('loads')).toContain('the volume was not given');
  await move('volume', '31 L ± 5 %');
  expect(await textOf('given')).toContain('31.0 ± 1.5 L');
});
