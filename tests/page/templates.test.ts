import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { plainTextOf, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { runAndListen } from '../../kernel-helpers/files/run-and-listen';
import { pageOf } from '../../kernel-helpers/page/share-page';
import { analyse, fitRateOfRise, formatInterval, judgedIsolation, quantity, readLog } from '../../src';
import { openChromium } from '../browser/jupyter-lab';
import { median, moveInput, type OpenPage, openPage, settled } from './open-page';

const root = resolve(__dirname, '../..');
const folder = join(root, 'out/page/templates');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

let browser: Browser;

beforeAll(async () => {
  mkdirSync(folder, { recursive: true });
  browser = await openChromium();
});

afterAll(() => browser?.close());

/**
 * How many pixels of a page's charts are clearly unlike those of other pictures. A chart that was redrawn in part only has
 * edges that are a little darker or lighter than those of one drawn as a whole.
 */
function unlikeness(page: Page, pictures: readonly string[]): Promise<number> {
  return page.evaluate<number>(`(async (pictures) => {
    const all = [...document.querySelectorAll('canvas')];
    let unlike = all.length === pictures.length ? 0 : Infinity;
    for (const [i, canvas] of all.entries()) {
      const { width, height } = canvas;
      const image = new Image();
      image.src = pictures[i];
      await image.decode();
      const copy = Object.assign(document.createElement('canvas'), { width, height }).getContext('2d');
      copy.drawImage(image, 0, 0);
      const there = copy.getImageData(0, 0, width, height).data;
      const here = canvas.getContext('2d').getImageData(0, 0, width, height).data;
      for (let k = 0; k < here.length; k++) if (Math.abs(here[k] - there[k]) > 64) unlike++;
    }
    return unlike;
  })(${JSON.stringify(pictures)})`);
}

/** Words and numbers, whatever stands between them. */
const wordsOf = (text: string): string[] => text.match(/[\p{L}\d.±-]+/gu) ?? [];

describe.each(['find-the-section', 'service-call', 'watch-a-run'])('%s as a page', (name) => {
  it('opens 360 px wide with nothing that sticks out, long texts in its fields included', async () => {
    const path = join(root, 'notebooks', `${name}.ipynb`);
    const notebook = readNotebook(path);
    const { html } = await pageOf(notebook, `${name}.ipynb`, await runAndListen(notebook, path), {});
    const file = join(folder, `${name}.html`);
    writeFileSync(file, html);
    const open = await openPage(browser, file, { width: 360 });
    expect(await open.page.evaluate('document.documentElement.scrollWidth')).toBe(360);
    // A table may be moved sideways; a figure that is cut off reads as another number.
    const cut =
      "[...document.querySelectorAll('.wide > p')].filter((line) => line.scrollWidth > line.clientWidth).length";
    expect(await open.page.locator('.wide > p > strong').count()).toBeGreaterThan(name === 'watch-a-run' ? 0 : -1);
    expect(await open.page.evaluate(cut)).toBe(0);
    expect(open.complaints).toEqual([]);
    await open.close();
  }, 120_000);
});

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

describe('failed-pump-down as a page, under the hand', () => {
  const file = join(folder, 'failed-pump-down.html');
  /** Outputs of the cell whose code begins with these words. */
  const cell = (page: Page, begins: string): Locator =>
    page.locator('section.cell', { has: page.locator('summary', { hasText: begins }) }).locator('.outputs');

  it('changes the gas load and its chart with the volume, with a median under 50 ms', async () => {
    // What else the machine does is not the page's doing: on a busy one the work of the page's own thread counts, and the
    // best of three openings.
    let move = Number.POSITIVE_INFINITY;
    for (let i = 0; i < 3 && !(move < 50); i++) {
      const open = await openPage(browser, file);
      const { page } = open;
      const load = (): Promise<string> => cell(page, 'const rises').locator('tr', { hasText: 'gas load' }).innerText();
      const picture = (): Promise<string> =>
        cell(page, 'const realLeak')
          .locator('canvas')
          .evaluate((canvas) => (canvas as unknown as { toDataURL(): string }).toDataURL());
      const [loadBefore, chartBefore] = [await load(), await picture()];
      const volumes = Array.from({ length: 31 }, (_, k) => `${(6 + 0.7 * k).toFixed(1)} L ± 5 %`);
      const moves = await moveInput(open, 'input-volume', volumes);
      expect(await load()).not.toBe(loadBefore);
      expect(await picture()).not.toBe(chartBefore);
      expect(open.complaints).toEqual([]);
      await open.close();
      move = Math.min(move, median(moves.lastedMs), median(moves.workedMs));
    }
    expect(move).toBeLessThan(50);
  }, 120_000);

  it.each([900, 360])('can be used by keyboard alone, %i px wide', async (width) => {
    const open = await openPage(browser, file, { width });
    const { page } = open;
    const reach = async (what: string): Promise<void> => {
      for (let i = 0; i < 80; i++) {
        await page.keyboard.press('Tab');
        if (await page.evaluate(`document.activeElement.matches(${JSON.stringify(what)})`)) {
          // Where the focus is can be seen.
          const outline = 'getComputedStyle(document.activeElement).outlineWidth';
          expect(await page.evaluate(outline)).toBe('3px');
          return;
        }
      }
      throw new Error(`Tab does not reach ${what}`);
    };
    const type = async (text: string): Promise<void> => {
      await page.keyboard.press('ControlOrMeta+A');
      await page.keyboard.type(text);
      await settled(page);
    };
    const load = (): Promise<string> => cell(page, 'const rises').locator('tr', { hasText: 'gas load' }).innerText();
    const stretch = (): Promise<string> => cell(page, 'if (rise) {').first().innerText();
    const [loadBefore, stretchBefore] = [await load(), await stretch()];
    await reach('details.code > summary');
    await page.keyboard.press('Enter');
    expect(await page.locator('details.code[open] > pre').innerText()).toContain('import {');
    await reach('#input-volume');
    await type('24.8 L ± 5 %');
    expect(await load()).not.toBe(loadBefore);
    await reach('#input-gauge');
    await page.keyboard.press('ArrowDown');
    await settled(page);
    expect(await page.locator('#input-gauge option:checked').innerText()).toBe('capacitance');
    await reach('figure summary');
    await page.keyboard.press('Space');
    expect(await page.locator('figure details[open] > pre').innerText()).toContain('Pressure against time');
    if (width < 400) {
      await reach('.wide:has(thead)');
      await page.keyboard.press('ArrowRight');
      await expect.poll(() => page.evaluate<number>('document.activeElement.scrollLeft')).toBeGreaterThan(0);
      expect(await page.evaluate('document.activeElement.getAttribute("aria-label")')).toMatch(/^What happened, by /);
    }
    // What dragging over the chart does: the part of the rise whose rate is worked out.
    await reach('#input-part-from');
    await type('7700');
    await reach('#input-part-to');
    await type('7900');
    expect(await stretch()).not.toBe(stretchBefore);
    expect(await stretch()).toContain('7700 to 7900 s');
    await reach('#give-notebook');
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
    expect(download.suggestedFilename()).toBe('failed-pump-down.ipynb');
    await reach('#first-values');
    await page.keyboard.press('Enter');
    await settled(page);
    expect(await load()).toBe(loadBefore);
    expect(await stretch()).toBe(stretchBefore);
    expect(open.complaints).toEqual([]);
    await open.close();
  }, 60_000);

  it('answers a move that is made the moment its inputs are there, and looks as a page that begins with that value', async () => {
    const volume = '20.2 L ± 5 %';
    const early = await openPage(browser, file, { firstMove: { id: 'input-volume', value: volume } });
    const late = await openPage(browser, file, { hash: `volume=${encodeURIComponent(JSON.stringify(volume))}` });
    const texts = ({ page }: OpenPage): Promise<readonly string[]> => page.locator('.outputs').allInnerTexts();
    const pictures = await late.page.evaluate<string[]>(
      "[...document.querySelectorAll('canvas')].map((canvas) => canvas.toDataURL())",
    );
    const followed = await openPage(browser, file);
    await moveInput(followed, 'input-volume', ['8 L ± 5 %', volume]);
    for (const one of [early, followed]) {
      expect(await texts(one)).toEqual(await texts(late));
      expect(await unlikeness(one.page, pictures)).toBe(0);
    }
    const other = await openPage(browser, file);
    expect(await unlikeness(other.page, pictures), 'a comparison that would see another volume').toBeGreaterThan(100);
    await other.close();
    expect([early, late, followed].flatMap(({ complaints }) => complaints)).toEqual([]);
    for (const open of [early, late, followed]) await open.close();
  }, 60_000);

  it('works out the rate of the stretch that is brushed, as the kernel does', async () => {
    const open = await openPage(browser, file);
    const { page } = open;
    const rates = cell(page, 'if (rise) {').first();
    // A % is kept on the line of its number.
    const shown = async (): Promise<string> => (await rates.innerText()).replaceAll('\u00a0', ' ');
    const before = await shown();
    const canvas = cell(page, 'const rises').locator('canvas');
    await canvas.scrollIntoViewIfNeeded();
    const box = (await canvas.boundingBox())!;
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height * 0.4);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.6, box.y + box.height * 0.5, { steps: 6 });
    await page.mouse.up();
    // What the brush told last is on its way through the chart.
    await page.waitForTimeout(200);
    await settled(page);
    const { part } = Object.fromEntries(new URLSearchParams(new URL(page.url()).hash.slice(1)));
    const [from, to] = JSON.parse(part) as [number, number];
    const after = await shown();
    expect(after).not.toBe(before);

    const log = readLog(readFileSync(join(root, 'datasets/failed-pump-down.csv')), { file: 'failed-pump-down.csv' });
    const known = { volume: quantity('12.4 L ± 5 %'), gauge: 'thermal' } as const;
    const { fits } = analyse(log, known);
    const { segment, channel } = fits.isolations[judgedIsolation(fits.isolations)];
    expect(from).toBeGreaterThan(segment.startS);
    expect(to).toBeLessThan(segment.endS);
    const window = { dwellS: from - segment.startS, windowS: to - from };
    const there = fitRateOfRise(log, segment, channel, { ...known, ...window });
    expect(after).toContain(formatInterval(there.rate, 'mbar/s'));
    expect(after).toContain(formatInterval(there.gasLoad!, 'mbar L/s'));
    expect(open.complaints).toEqual([]);
    await open.close();
  }, 60_000);
});
