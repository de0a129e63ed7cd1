/** What a live page weighs, how soon it computes and how fast it follows: `npm run bench:page`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { sharePage } from '../../kernel-helpers/page/share-page';
import { openChromium } from '../browser/jupyter-lab';
import { median, moveInput, openPage } from '../page/open-page';
import { trialCells, writeTrial } from '../page/trial-notebook';

const root = resolve(__dirname, '../..');
const OPENINGS = 5;
const MOVES = 41;
const kB = (bytes: number): string => `${(bytes / 1000).toFixed(0).padStart(7)} kB`;
const ms = (time: number): string => `${time.toFixed(0).padStart(6)} ms`;

async function weigh(notebook: string): Promise<string> {
  const { html, weights } = await sharePage(notebook);
  const { page, runtime, logs, pictures, ...parts } = weights;
  console.log(`\n${basename(notebook)}`);
  console.log(`${kB(page)}  the page, of which`);
  console.log(`${kB(logs)}  logs`);
  console.log(`${kB(page - logs)}  without the logs (at most 2000 kB)`);
  console.log(`${kB(pictures)}  pictures for readers without scripts`);
  console.log(`${kB(runtime)}  the script, of which`);
  for (const [part, bytes] of Object.entries(parts)) console.log(`${kB(bytes)}    ${part}`);
  const folder = join(root, 'out/page/bench');
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${basename(notebook, '.ipynb')}.html`);
  writeFileSync(path, html);
  return path;
}

async function time(path: string, value: (litres: number) => string, shows: string): Promise<void> {
  const browser = await openChromium();
  try {
    const [inputs, ready, worked, lasted, moved, changed, answered]: number[][] = [[], [], [], [], [], [], []];
    for (let i = 0; i < OPENINGS; i++) {
      const early = await openPage(browser, path, { firstMove: { id: 'input-volume', value: value(7.7), shows } });
      changed.push(early.inputsMs + early.firstChangeMs);
      answered.push(early.inputsMs + early.firstMoveMs);
      await early.close();
      const open = await openPage(browser, path);
      inputs.push(open.inputsMs);
      ready.push(open.readyMs);
      worked.push(await open.workedMs());
      const values = Array.from({ length: MOVES }, (_, k) => value(Number((3 + 0.7 * k + i / 10).toFixed(2))));
      const moves = await moveInput(open, 'input-volume', values);
      lasted.push(...moves.lastedMs);
      moved.push(...moves.workedMs);
      await open.close();
    }
    const best = (times: readonly number[]): string => `median of ${OPENINGS}; best ${ms(Math.min(...times)).trim()}`;
    console.log(`${ms(median(inputs))}  until its inputs can be moved, ${best(inputs)}`);
    console.log(`${ms(median(changed))}  until a move made at that moment shows in ${shows}, ${best(changed)}`);
    console.log(`${ms(median(answered))}  until all has followed that move, ${best(answered)}`);
    console.log(`${ms(median(ready))}  until all is computed and drawn, where nothing is moved, ${best(ready)}`);
    console.log(`${ms(median(worked))}  of that its own thread works`);
    console.log(`${ms(median(lasted))}  from a move of the volume to all drawn, median of ${lasted.length}`);
    console.log(`${ms(median(moved))}  of that its own thread works`);
  } finally {
    await browser.close();
  }
}

async function main(): Promise<void> {
  await time(await weigh(writeTrial('bench-trial', trialCells)), String, 'load');
  const names = process.argv.slice(2);
  for (const name of names.length > 0 ? names : ['failed-pump-down', 'rate-of-rise', 'before-and-after']) {
    await time(await weigh(join(root, `notebooks/${name}.ipynb`)), (litres) => `${litres} L ± 5 %`, 'gas load');
  }
}

void main();
