import * as core from '../../../src/index';
import type { PageContent } from '../page-content';
import { controlsOf } from './controls';
import { kitFor } from './kit';
import { cellView } from './outputs';
import { bytesOfPacked, saveFile } from './packed-files';
import { type CellFunction, type RunningCells, runCells, withoutBrowser } from './run-cells';

declare global {
  /** The translated cells, put there by the scripts before this one. */
  var blankoffCells: ReadonlyMap<number, CellFunction>;
}

function start(): void {
  const content = JSON.parse(document.getElementById('content')?.textContent ?? '') as PageContent;
  const code = content.cells.filter((cell) => cell.kind === 'code');
  const place = (cell: number, part: string): HTMLElement =>
    document.querySelector<HTMLElement>(`#cell-${cell} > .${part}`) as HTMLElement;
  for (const [cell, why] of withoutBrowser(code)) sayStill(place(cell, 'outputs'), why);

  let cells: RunningCells | undefined;
  const controls = controlsOf(
    (cell) => place(cell, 'controls'),
    (name) => cells?.changed(name),
  );
  const views = new Map(code.map((cell) => [cell.number, cellView(place(cell.number, 'outputs'), controls.setWindow)]));
  const view = (cell: number) => views.get(cell) as NonNullable<ReturnType<typeof views.get>>;
  const kit = kitFor({ core, files: content.files, controls, width: chartWidth });
  cells = runCells(code, self.blankoffCells, kit, view);
  void cells.run().then(() => document.body.setAttribute('data-ready', ''));

  onClick('give-notebook', () => saveFile(content.notebook.name, content.notebook.text));
  onClick('give-logs', () => {
    for (const file of content.files) saveFile(file.name, bytesOfPacked(file));
  });
  onClick('first-values', () => controls.reset());
}

/** Width for a chart's drawing area: what the column of text leaves beside the axis. */
function chartWidth(): number {
  const column = document.querySelector('main')?.clientWidth ?? 640;
  return Math.max(220, Math.min(640, column - 110));
}

function sayStill(outputs: HTMLElement, why: string): void {
  if (outputs.parentElement?.querySelector('.still')) return;
  const words = document.createElement('p');
  words.className = 'still';
  words.textContent = `This shows what was saved and does not follow: ${why}.`;
  outputs.before(words);
}

function onClick(id: string, act: () => void): void {
  document.getElementById(id)?.addEventListener('click', act);
}

start();
