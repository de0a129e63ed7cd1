import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { plainTextOf, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { runAndListen } from '../../kernel-helpers/files/run-and-listen';
import { pageOf } from '../../kernel-helpers/page/share-page';
import { openChromium } from '../browser/jupyter-lab';
import { openPage, settled } from './open-page';

const root = resolve(__dirname, '../..');
const folder = join(root, 'out/page/templates');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

let browser: Browser;

beforeAll(async () => {
  mkdirSync(folder, { recursive: true });
  browser = await openChromium();
});

afterAll(() => browser?.close());

/** Words and numbers, whatever stands between them. */
const wordsOf = (text: string): string[] => text.match(/[\p{L}\d.±-]+/gu) ?? [];

describe.each(['failed-pump-down', 'rate-of-rise', 'before-and-after'])('%s as a page', (name) => {
  let file: string;
  let finding: string;

  beforeAll(async () => {
    const path = join(root, 'notebooks', `${name}.ipynb`);
    const notebook = readNotebook(path);
    const run = await runAndListen(notebook, path);
    finding = plainTextOf(run.executed, 'finding');
    const { html, weights } = await pageOf(notebook, `${name}.ipynb`, run, {});
    expect(weights.page - weights.logs).toBeLessThan(2e6);
    file = join(folder, `${name}.html`);
    writeFileSync(file, html);
  }, 120_000);

  it.each([
    900, 360,
  ])('opens %i px wide without a complaint, an error, or a fault that axe-core finds', async (width) => {
    const open = await openPage(browser, file, { width });
    const { page } = open;
    expect(await page.locator('pre.error, pre.waits').allInnerTexts()).toEqual([]);
    await page.evaluate(axe);
    const found = (await page.evaluate('axe.run()')) as { violations: { id: string; nodes: { html: string }[] }[] };
    expect(found.violations.map(({ id, nodes }) => `${id}: ${nodes[0].html}`)).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    await page.screenshot({ path: join(folder, `${name}-${width}.png`), fullPage: true });
    expect(open.complaints).toEqual([]);
    await open.close();
  }, 60_000);

  it('says what the kernel says, and follows the volume there and back', async () => {
    const open = await openPage(browser, file);
    const { page } = open;
    const main = page.locator('main');
    // Without prose and code: what the cells show.
    const shown = async (): Promise<string> => (await page.locator('.outputs').allInnerTexts()).join('\n');
    const before = await shown();
    const seen = new Set(wordsOf(before));
    expect(wordsOf(finding).filter((word) => !seen.has(word))).toEqual([]);
    await page.fill('#input-volume', '24.8 L ± 5 %');
    await settled(page);
    expect(await shown()).not.toBe(before);
    await page.click('#first-values');
    await settled(page);
    expect(await shown()).toBe(before);
    expect(await main.getAttribute('aria-busy')).toBe('false');
    expect(open.complaints).toEqual([]);
    await open.close();
  }, 60_000);
});
