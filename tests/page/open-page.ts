import type { Browser, BrowserContext, Page } from 'playwright-core';

/** A page opened from disk in a Chromium without network. */
export interface OpenPage {
  readonly page: Page;
  /** What the console said besides plain logs, errors of scripts, and all requests that were not for this file. */
  readonly complaints: string[];
  /** Milliseconds from the beginning of loading until the inputs could be moved, their first picture apart. */
  readonly inputsMs: number;
  /** Milliseconds from the beginning of loading until all cells had run and all charts were drawn. */
  readonly readyMs: number;
  /** Milliseconds from the first move, made as soon as the inputs could be moved, until it was answered and drawn. */
  readonly firstMoveMs: number;
  /** Milliseconds from that move until the first output that it changes had changed and was painted. */
  readonly firstChangeMs: number;
  /** Milliseconds that the page's own thread has worked since it was opened, whatever else the machine does. */
  workedMs(): Promise<number>;
  close(): Promise<void>;
}

/** How a page is opened. */
export interface OpenOptions {
  readonly width?: number;
  /** As the reader's system is set. */
  readonly colorScheme?: 'light' | 'dark';
  /** What stands behind `#` in the address. */
  readonly hash?: string;
  readonly javaScript?: boolean;
  /** An input that is moved as soon as inputs can be moved: its element, what it is set to, and words of the cell that shows it. */
  readonly firstMove?: { readonly id: string; readonly value: string; readonly shows?: string };
}

/**
 * Opens a page file and waits until it computes.
 * @param browser a running Chromium
 * @param path of the file
 * @param options width of the window, px (900 where absent), part of the address behind `#`
 */
export async function openPage(browser: Browser, path: string, options: OpenOptions = {}): Promise<OpenPage> {
  const context: BrowserContext = await browser.newContext({
    viewport: { width: options.width ?? 900, height: 900 },
    offline: true,
    colorScheme: options.colorScheme ?? 'light',
    acceptDownloads: true,
    javaScriptEnabled: options.javaScript ?? true,
  });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  const workedMs = async (): Promise<number> => {
    const { metrics } = await session.send('Performance.getMetrics');
    return 1000 * (metrics.find(({ name }) => name === 'ThreadTime')?.value ?? Number.NaN);
  };
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    const address = request.url();
    if (!/^(file|data|blob):/.test(address)) complaints.push(`asked for ${address}`);
  });
  if (options.firstMove) await page.addInitScript(`(${moveAtOnce})(${JSON.stringify(options.firstMove)})`);
  await page.goto(`file://${path}${options.hash ? `#${options.hash}` : ''}`);
  let [inputsMs, readyMs, firstMoveMs, firstChangeMs] = [Number.NaN, Number.NaN, Number.NaN, Number.NaN];
  if (options.javaScript ?? true) {
    await page.waitForSelector('body[data-ready]', { timeout: 30_000 });
    const marked = (mark: string): Promise<number> =>
      page.evaluate(`performance.getEntriesByName(${JSON.stringify(mark)})[0].startTime`);
    [inputsMs, readyMs] = [await marked('inputs live'), await marked('ready')];
    if (options.firstMove) firstMoveMs = (await marked('first move answered')) - (await marked('first move'));
    if (options.firstMove?.shows) firstChangeMs = (await marked('first change')) - (await marked('first move'));
  }
  return { page, complaints, inputsMs, readyMs, firstMoveMs, firstChangeMs, workedMs, close: () => context.close() };
}

/** In the page: moves an input in the moment in which the page says that it can be moved, and marks when that is answered. */
const moveAtOnce = `({ id, value, shows }) => {
  const watch = new MutationObserver(() => {
    if (!document.body?.hasAttribute('data-inputs-live')) return;
    watch.disconnect();
    const main = document.querySelector('main');
    const answered = new MutationObserver(() => {
      if (main.getAttribute('aria-busy') !== 'false') return;
      answered.disconnect();
      performance.mark('first move answered');
    });
    answered.observe(main, { attributes: true, attributeFilter: ['aria-busy'] });
    const showing = [...document.querySelectorAll('.outputs')].find((place) => shows && place.textContent.includes(shows));
    if (showing) {
      const changed = new MutationObserver(() => {
        changed.disconnect();
        requestAnimationFrame(() => setTimeout(() => performance.mark('first change')));
      });
      changed.observe(showing, { childList: true });
    }
    performance.mark('first move');
    const input = document.getElementById(id);
    input.value = value;
    input.dispatchEvent(new Event('input'));
  });
  watch.observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ['data-inputs-live'] });
}`;

/** Waits until everything follows what was last changed. */
export async function settled(page: Page): Promise<void> {
  // Two pictures: a change is taken up with the next one.
  await page.evaluate(
    'new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 0))))',
  );
  await page.waitForSelector('main[aria-busy="false"]', { timeout: 30_000 });
}

/** How long the moves of a slider took. */
export interface Moves {
  /** From the event until all had followed and was drawn, ms each. */
  readonly lastedMs: number[];
  /** What the page's own thread worked for it, ms each. */
  readonly workedMs: number[];
}

/**
 * Moves a slider and waits each time until all has followed and is drawn.
 * @param open an open page
 * @param id of the slider
 * @param values what to set it to
 */
export const moveSlider = (open: OpenPage, id: string, values: readonly number[]): Promise<Moves> =>
  moveInput(open, id, values.map(String));

/**
 * Sets an input and waits each time until all has followed and is drawn.
 * @param open an open page
 * @param id of the input
 * @param values what to set it to
 */
export async function moveInput(open: OpenPage, id: string, values: readonly string[]): Promise<Moves> {
  const moves: Moves = { lastedMs: [], workedMs: [] };
  for (const value of values) {
    const before = await open.workedMs();
    const script = `new Promise((done) => {
      const input = document.getElementById(${JSON.stringify(id)});
      const main = document.querySelector('main');
      const began = performance.now();
      const watch = new MutationObserver(() => {
        if (main.getAttribute('aria-busy') !== 'false') return;
        watch.disconnect();
        done(performance.now() - began);
      });
      watch.observe(main, { attributes: true, attributeFilter: ['aria-busy'] });
      input.value = ${JSON.stringify(value)};
      input.dispatchEvent(new Event('input'));
    })`;
    moves.lastedMs.push((await open.page.evaluate(script)) as number);
    moves.workedMs.push((await open.workedMs()) - before);
  }
  return moves;
}

/** The middle of some numbers. */
export function median(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[numbers.length >> 1];
}
