// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { notebookOf, type OpenLab, openInLab } from './jupyter-lab';

const chart = `show({
  $schema: 'https://vega.github.io/schema/vega-lite/v5.json',
  title: \`rise at \${rate.toFixed(2)}\`,
  description: \`a line that rises by \${rate.toFixed(2)}\`,
  data: { values: [{ at: 0, value: 0 }, { at: 1, value: rate }] },
  mark: 'line',
  encoding: {
    x: { field: 'at', type: 'quantitative' },
    y: { field: 'value', type: 'quantitative', scale: { domain: [0, 50] } },
  },
});`;

const cells = {
  kit: `import { input, show } from 'blankoff/notebook';`,
  volume: `const volume = input('12.4 L ± 5 %', { min: '5 L', max: '20 L' });`,
  rate: 'const rate = 2000 * volume.si;',
  words: 'console.log(`rate ${rate.toFixed(1)}`);',
  table: `show([{ what: 'rate', value: rate.toFixed(1) }]);`,
  chart,
};

// JupyterLab, Chromium and a kernel share the machine with other tests.
vi.setConfig({ testTimeout: 90_000 });

let lab: OpenLab;

/** A picture of a chart as the page has drawn it. */
const drawing = (cell: string): Promise<string> =>
  lab.page.evaluate((id) => {
    const { jupyterapp } = globalThis as unknown as {
      jupyterapp: {
        shell: {
          currentWidget: {
            content: {
              widgets: {
                model: { id: string };
                node: { querySelector(selector: string): { toDataURL(): string } | null };
              }[];
            };
          };
        };
      };
    };
    const found = jupyterapp.shell.currentWidget.content.widgets.find(({ model }) => model.id === id);
    return found?.node.querySelector('canvas')?.toDataURL() ?? '';
  }, cell);

/** Drags the handle of the first slider by so many pixels. */
async function drag(pixels: number): Promise<void> {
  const box = await lab.page.locator('.noUi-handle').first().boundingBox();
  if (!box) throw new Error('there is no slider');
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await lab.page.mouse.move(x, y);
  await lab.page.mouse.down();
  await lab.page.mouse.move(x + pixels / 2, y, { steps: 5 });
  await lab.page.mouse.move(x + pixels, y, { steps: 5 });
  await lab.page.mouse.up();
}

const numberIn = (words: string): number => Number(/[\d.]+/.exec(words)?.[0]);

describe('a notebook in JupyterLab', () => {
  beforeAll(async () => {
    lab = await openInLab('following', notebookOf(cells));
    await lab.runAll();
  }, 120_000);
  afterAll(() => lab?.close());

  it('shows everything after Run All', async () => {
    await lab.waitFor('words', /^rate 24\.8\s*$/);
    await lab.waitFor('table', /rate\s+24\.8/);
    await expect.poll(() => drawing('chart')).not.toBe('');
    await expect.poll(() => lab.page.locator('.noUi-handle').count()).toBe(1);
    await lab.picture('1 after run all');
  });

  it('follows a cell that is changed and run, text, table and chart, without touching them', async () => {
    const before = await drawing('chart');
    await lab.write('volume', cells.volume.replace('12.4', '8'));
    await lab.run('volume');
    await lab.waitFor('words', /^rate 16\.0\s*$/);
    await lab.waitFor('table', /rate\s+16\.0/);
    await expect.poll(() => drawing('chart')).not.toBe(before);
    await lab.picture('2 after a change');
  });

  it('follows an input under the hand, and the hand keeps it', async () => {
    const before = await drawing('chart');
    await drag(60);
    await expect.poll(async () => numberIn(await lab.sees('words'))).toBeGreaterThan(20);
    const shown = numberIn((await lab.sees('volume')).replace('volume, L', ''));
    await lab.waitFor('words', new RegExp(`^rate ${(2 * shown).toFixed(1)}`));
    await lab.waitFor('table', new RegExp(`rate\\s+${(2 * shown).toFixed(1)}`));
    await expect.poll(() => drawing('chart')).not.toBe(before);
    await lab.picture('3 after a drag');
  });

  it('shows the error of a broken cell where it belongs, and recovers when it is mended', async () => {
    await lab.write('rate', 'const scale = 2000;\nconst rate: number = missing(scale);');
    await lab.run('rate');
    await lab.waitFor('rate', /line 2: Cannot find name 'missing'/);
    await lab.waitFor('words', /not run: waits for rate: cell \[\d+\] failed/);
    await lab.picture('4 broken');
    await lab.write('rate', cells.rate);
    await lab.run('rate');
    await lab.waitFor('words', /^rate [\d.]+\s*$/);
    expect(await lab.sees('rate')).toBe('');
  });

  it('saves what is seen', async () => {
    await expect.poll(() => drawing('chart')).not.toBe('');
    const seen = await lab.sees('words');
    const { cells: saved } = await lab.saved();
    const outputs = (id: string): Record<string, unknown>[] => saved.find((cell) => cell.id === id)?.outputs ?? [];
    expect(outputs('words')).toEqual([{ output_type: 'stream', name: 'stdout', text: [`${seen.trim()}\n`] }]);
    expect(JSON.stringify(outputs('table'))).toContain(numberIn(seen).toFixed(1));
    const [drawn] = outputs('chart') as { data: Record<string, unknown> }[];
    // The picture that a plain preview shows: drawn by the kernel when the hand rests, not the pixel that stood for it.
    const picture = async (): Promise<number> => {
      const { cells: now } = await lab.saved();
      const [output] = now.find(({ id }) => id === 'chart')?.outputs as { data: Record<string, string> }[];
      return output.data['image/png']?.length ?? 0;
    };
    await expect.poll(picture, { timeout: 5000 }).toBeGreaterThan(2000);
    expect(Object.keys(drawn.data).sort()).toEqual(['application/vnd.vegalite.v5+json', 'image/png', 'text/plain']);
    expect(outputs('rate')).toEqual([]);
  });

  it('goes on after the page is loaded anew: values are kept, stale outputs are named, Run All restores them', async () => {
    const kept = await lab.sees('words');
    await lab.saved();
    await lab.reload();
    await lab.waitFor('words', new RegExp(kept.trim()));
    await lab.run('table');
    await lab.waitFor('table', new RegExp(`rate\\s+${numberIn(kept).toFixed(1)}`));
    await lab.write('volume', cells.volume.replace('12.4', '10'));
    await lab.run('volume');
    await lab.waitFor('volume', /what is shown is stale, because the page was loaded anew/);
    await lab.waitFor('table', /rate\s+20\.0/);
    await lab.picture('5 after a reload');
    await lab.runAll();
    await lab.waitFor('words', /^rate 20\.0\s*$/);
    await lab.waitFor('table', /rate\s+20\.0/);
  });

  it('keeps the control alive over a reload', async () => {
    await lab.saved();
    await lab.reload();
    await expect.poll(() => lab.page.locator('.noUi-handle').count(), { timeout: 10_000 }).toBe(1);
    await drag(-40);
    await expect
      .poll(async () => (await lab.page.locator('.widget-label').allInnerTexts()).join(' '), { timeout: 5000 })
      .toMatch(/stale/);
  });

  it('restarts and runs all from its defaults', async () => {
    // The command ends only when its question has been answered.
    const restarted = lab.command('kernelmenu:restart');
    await lab.page.locator('.jp-Dialog button.jp-mod-accept').click();
    await restarted;
    await lab.idle();
    await lab.runAll();
    await lab.waitFor('words', /^rate 20\.0\s*$/);
    expect(lab.complaints).toEqual([]);
  });
});

describe('the notebook of the failed pump-down in JupyterLab', () => {
  let template: OpenLab;
  beforeAll(async () => {
    const text = readFileSync(join(__dirname, '../../notebooks/failed-pump-down.ipynb'), 'utf8');
    // It is opened as a copy, three folders deeper than its logs.
    template = await openInLab('template', text.replaceAll('../datasets/', '../../../datasets/'));
  }, 120_000);
  afterAll(() => template?.close());

  it('runs, and what depends on the volume follows when that is changed', async () => {
    await template.runAll();
    const { cells: first } = await template.saved();
    const source = (cell: object): string => [(cell as { source: string | string[] }).source].flat().join('');
    const volume = first.find((cell) => /^const volume = /m.test(source(cell)));
    expect(volume).toBeDefined();
    expect(JSON.stringify(first.map(({ outputs }) => outputs ?? []))).not.toContain('"output_type":"error"');
    await template.write(volume!.id, source(volume!).replace(/(const volume = \D*)\d+/, '$17'));
    await template.run(volume!.id);
    await template.page.waitForTimeout(1000);
    const { cells: second } = await template.saved();
    const changed = second.filter(
      (cell, i) =>
        cell.id !== volume!.id && JSON.stringify(cell.outputs ?? []) !== JSON.stringify(first[i].outputs ?? []),
    );
    expect(changed.length).toBeGreaterThan(0);
    await template.picture('template');
  }, 120_000);
});
