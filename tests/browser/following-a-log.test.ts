import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { notebookText, readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { runNotebook } from '../../kernel-helpers/command/headless/run-notebook';
import { type OpenLab, openInLab } from './jupyter-lab';

vi.setConfig({ testTimeout: 60_000 });

const template = join(__dirname, '../../notebooks/watch-a-run.ipynb');
const demo = readFileSync(join(__dirname, '../../datasets/watch-a-run.csv'), 'utf8').trimEnd().split('\n');
/** The demo log up to a second; the head has three lines. */
const rowsTo = (second: number): string => `${demo.slice(0, 4 + second).join('\n')}\n`;
const row = (second: number): string => `${demo[3 + second]}\n`;
const readingAt = (second: number): number => Number(demo[3 + second].split(',')[1]);

/** The largest type below a cell, with its height. */
const largest = (lab: OpenLab): Promise<{ text: string; px: number; top: number }> =>
  lab.page.evaluate(() => {
    interface Node {
      readonly innerText: string;
      getBoundingClientRect(): { readonly top: number };
    }
    const page = globalThis as unknown as {
      document: { querySelectorAll(selector: string): Iterable<Node> };
      getComputedStyle(node: Node): { readonly fontSize: string };
    };
    return [...page.document.querySelectorAll('.jp-RenderedHTML strong')]
      .map((node) => ({
        text: node.innerText,
        px: Number.parseFloat(page.getComputedStyle(node).fontSize),
        top: node.getBoundingClientRect().top,
      }))
      .reduce((most, one) => (one.px > most.px ? one : most), { text: '', px: 0, top: 0 });
  });

describe('a run that is watched in JupyterLab', () => {
  let lab: OpenLab;
  let file: string;

  beforeAll(async () => {
    const text = readFileSync(template, 'utf8').replace('../datasets/watch-a-run.csv', 'run.csv');
    lab = await openInLab('watching', text);
    file = join(dirname(lab.path), 'run.csv');
    writeFileSync(file, rowsTo(1490));
    await lab.page.setViewportSize({ width: 1200, height: 800 });
    await lab.runAll();
  }, 120_000);
  afterAll(() => lab?.close());

  const shows = async (second: number): Promise<void> => {
    await expect
      .poll(async () => Number((await largest(lab)).text), { timeout: 5000, interval: 20 })
      .toBeCloseTo(readingAt(second), 2);
  };
  const lookAtFigure = async (): Promise<void> => {
    await lab.page.locator('.jp-RenderedHTML strong').first().scrollIntoViewIfNeeded();
    await lab.page.evaluate(() =>
      (
        globalThis as unknown as {
          document: { querySelector(s: string): { scrollIntoView(top: boolean): void } | null };
        }
      ).document
        .querySelector('.jp-RenderedHTML p')
        ?.scrollIntoView(true),
    );
  };

  it('shows the last reading in large type', async () => {
    await shows(1490);
    expect((await largest(lab)).px).toBeGreaterThanOrEqual(140);
    // A figure is empty for a moment whenever it is drawn anew.
    await expect.poll(() => lab.sees('now'), { timeout: 5000 }).toMatch(/Torr\s+.*/);
  });

  it('changes the large figure as rows are appended, within a second or so', async () => {
    const took: number[] = [];
    for (let second = 1501; second <= 1509; second += 2) {
      const began = performance.now();
      appendFileSync(
        file,
        demo
          .slice(3 + second - 1, 5 + second - 1)
          .join('\n')
          .concat('\n'),
      );
      const wanted = readingAt(second);
      await expect
        .poll(async () => Number((await largest(lab)).text), { timeout: 5000, interval: 20 })
        .toBeCloseTo(wanted, 2);
      took.push(performance.now() - began);
    }
    took.sort((a, b) => a - b);
    console.log(`row appended to large figure changed: ${took.map((ms) => Math.round(ms)).join(', ')} ms`);
    expect(took[took.length >> 1]).toBeLessThan(1500);
  });

  it('tells a burst once it is pumped away, and a running isolation with its rate', async () => {
    appendFileSync(
      file,
      demo
        .slice(3 + 1511, 3 + 1541)
        .join('\n')
        .concat('\n'),
    );
    await lab.waitFor('now', /burst of gas \d+ s ago: 0\.\d+ to 0\.9\d+ Torr/);
    await lookAtFigure();
    await lab.picture('1 after a burst, 1200x800');
    appendFileSync(
      file,
      demo
        .slice(3 + 1541, 3 + 1900)
        .join('\n')
        .concat('\n'),
    );
    await lab.waitFor('now', /rate of rise 0\.06\d+/);
    await lookAtFigure();
    await lab.picture('2 isolation, 1200x800');
    await lab.page.setViewportSize({ width: 1920, height: 1080 });
    await lookAtFigure();
    await lab.page.waitForTimeout(500);
    await lab.picture('3 isolation, full width');
    await lab.page.evaluate(() =>
      (
        globalThis as unknown as {
          document: { querySelector(s: string): { scrollIntoView(top: boolean): void } | null };
        }
      ).document
        .querySelector('.vega-embed')
        ?.scrollIntoView(false),
    );
    await lab.page.waitForTimeout(300);
    await lab.picture('4 chart, full width');
  });

  it('says when no row comes any more, and stops saying so when one comes', async () => {
    await lab.waitFor('now', /no new row for 10 s/);
    await lookAtFigure();
    await lab.picture('5 no new row');
    appendFileSync(file, row(1901));
    await shows(1901);
    await expect.poll(() => lab.sees('now'), { timeout: 5000 }).not.toContain('no new row');
  });
});

describe('a watched run in a notebook that is not trusted', () => {
  let lab: OpenLab;
  beforeAll(async () => {
    const run = await runNotebook(readNotebook(template), { folder: dirname(template) });
    expect(run.failure).toBeNull();
    lab = await openInLab('untrusted', notebookText(run.notebook));
  }, 120_000);
  afterAll(() => lab?.close());

  it('keeps its large type', async () => {
    await expect.poll(async () => (await largest(lab)).px, { timeout: 10_000 }).toBe(140);
    expect(Number((await largest(lab)).text)).toBeGreaterThan(0);
    await lab.picture('untrusted');
  });
});
