/**
 * The bench of the reactive kernel. Run with `npm run bench:kernel` after a build; it starts a kernel, a JupyterLab and
 * a Chromium, and prints medians. `--json` prints the figures alone.
 */
import { notebookOf, openInLab } from '../browser/jupyter-lab';
import { openNotebook } from '../kernel/front-end';

const moves = 40;

/** Ten cells that use one input: three charts, four tables, three lines of text. */
export const tenDependents: Record<string, string> = {
  input: 'const volume = input(50, { min: 0, max: 100, step: 1 });',
};
for (let i = 0; i < 3; i++) tenDependents[`text${i}`] = `console.log('now', volume, ${i});`;
for (let i = 0; i < 4; i++)
  tenDependents[`table${i}`] = `show([{ what: 'now', value: volume }, { what: 'row', value: ${i} }]);`;
for (let i = 0; i < 3; i++) {
  tenDependents[`chart${i}`] = `show({
    $schema: 'https://vega.github.io/schema/vega-lite/v5.json',
    description: 'a line',
    data: { values: Array.from({ length: 500 }, (_, x) => ({ x, y: volume * x + ${i} })) },
    mark: 'line',
    encoding: { x: { field: 'x', type: 'quantitative' }, y: { field: 'y', type: 'quantitative' } },
  });`;
}
const kit = `import { input, show } from 'blankoff/notebook';`;

interface Spread {
  readonly median: number;
  readonly least: number;
  readonly most: number;
}

function spread(times: readonly number[]): Spread {
  const sorted = [...times].sort((a, b) => a - b);
  const round = (ms: number): number => Math.round(ms * 10) / 10;
  return { median: round(sorted[sorted.length >> 1]), least: round(sorted[0]), most: round(sorted[sorted.length - 1]) };
}

/** From the start of the kernel's process to its first chart, ms. */
async function startToFirstChart(): Promise<number> {
  const began = performance.now();
  const lab = await openNotebook();
  await lab.run('kit', kit);
  await lab.run('chart', tenDependents.chart0.replace('volume', '2'));
  const took = performance.now() - began;
  if (lab.shows('chart')[0] !== 'a line') throw new Error(`no chart came: ${lab.shows('chart')}`);
  await lab.stop();
  return took;
}

/** The kernel's part of a move: from the message of the control to the last of ten outputs, over its own sockets, ms. */
async function kernelPart(): Promise<Spread> {
  const lab = await openNotebook();
  await lab.run('kit', kit);
  for (const [cell, source] of Object.entries(tenDependents)) await lab.run(cell, source);
  const opened = lab.messages.filter(({ type }) => type === 'comm_open').map(({ content }) => content);
  const control = opened.find(({ data }) => (data as { state: { value?: unknown } }).state.value === 50);
  const times: number[] = [];
  for (let i = 0; i < moves + 10; i++) {
    const began = performance.now();
    const state = { value: i };
    await lab.tell('comm_msg', { comm_id: control?.comm_id, data: { method: 'update', state, buffer_paths: [] } });
    times.push(performance.now() - began);
    if (lab.shows('text0')[0] !== `now ${i} 0\n`) throw new Error(`not followed: ${lab.shows('text0')}`);
  }
  await lab.stop();
  return spread(times.slice(10));
}

/** From a key on the slider to the last of ten outputs drawn in JupyterLab, ms. */
async function moveToDrawn(): Promise<Spread> {
  const lab = await openInLab('bench', notebookOf({ kit, ...tenDependents }));
  await lab.page.setViewportSize({ width: 1280, height: 2600 });
  await lab.runAll();
  await lab.waitFor('table3', /50/);
  await lab.page.waitForTimeout(1500);
  await lab.page.locator('.noUi-handle').focus();
  const times: number[] = [];
  for (let i = 1; i <= moves; i++) {
    times.push(await lab.page.evaluate<number>(`(${moveOnce})("${50 + i}")`));
    await lab.page.waitForTimeout(150);
  }
  await lab.close();
  return spread(times.slice(5));
}

/** Runs in the page: presses a key on the slider and waits, picture by picture, until all outputs show the new value. */
const moveOnce = `async (wanted) => {
  const areas = [...document.querySelectorAll('.jp-CodeCell .jp-Cell-outputArea')].slice(2);
  const small = document.createElement('canvas');
  small.width = small.height = 64;
  const brush = small.getContext('2d', { willReadFrequently: true });
  const look = (canvas) => {
    brush.clearRect(0, 0, 64, 64);
    brush.drawImage(canvas, 0, 0, 64, 64);
    return brush.getImageData(0, 0, 64, 64).data.join();
  };
  const blank = brush.getImageData(0, 0, 64, 64).data.join();
  const before = areas.map((area) => area.querySelector('canvas') && look(area.querySelector('canvas')));
  const drawn = (area, i) => {
    if (!before[i]) return area.innerText.includes(wanted);
    const canvas = area.querySelector('canvas');
    if (!canvas || canvas.width === 0) return false;
    const now = look(canvas);
    return now !== blank && now !== before[i];
  };
  const open = new Set(areas.keys());
  const began = performance.now();
  const key = new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true });
  document.querySelector('.noUi-handle').dispatchEvent(key);
  while (open.size > 0) {
    await new Promise((next) => requestAnimationFrame(next));
    for (const i of open) if (drawn(areas[i], i)) open.delete(i);
    if (performance.now() - began > 5000) throw new Error('not all outputs followed within 5 s');
  }
  return performance.now() - began;
}`;

async function bench(): Promise<void> {
  const startMs = await startToFirstChart();
  const kernel = await kernelPart();
  const drawn = await moveToDrawn();
  if (process.argv.includes('--json')) {
    console.log(JSON.stringify({ startMs, kernel, drawn }));
    return;
  }
  const line = (what: string, { median, least, most }: Spread, aim: string): void =>
    console.log(`${what}: median ${median} ms (${least} to ${most}); aim ${aim}`);
  console.log(`kernel start to first chart: ${(startMs / 1000).toFixed(2)} s; aim under 5 s`);
  line('move of an input to the last of ten outputs, kernel alone', kernel, 'under 20 ms');
  line('move of an input to the last of ten outputs drawn in JupyterLab', drawn, 'under 100 ms');
}

// Sockets and browsers that are closed may still hold the process.
void bench().then(() => process.exit(0));
