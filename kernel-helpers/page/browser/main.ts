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
  const kit = kitFor({ core, files: content.files, controls, width: chartWidths() });
  const main = document.querySelector('main') as HTMLElement;
  const busy = (isBusy: boolean): void => {
    main.setAttribute('aria-busy', String(isBusy));
    if (!isBusy) letKeysScroll(main);
  };
  addEventListener('resize', () => letKeysScroll(main));
  cells = runCells(code, self.blankoffCells, kit, view, busy);
  void cells.inputsLive.then(() => {
    performance.mark('inputs live');
    document.body.setAttribute('data-inputs-live', '');
  });
  void cells.run().then(() => {
    performance.mark('ready');
    document.body.setAttribute('data-ready', '');
  });

  onClick('give-notebook', () => saveFile(content.notebook.name, content.notebook.text));
  onClick('give-logs', () => {
    for (const file of content.files) saveFile(file.name, bytesOfPacked(file));
  });
  onClick('first-values', () => controls.reset());
}

/** Width for a chart, axes and all: that of the column of text; asked once, since asking lays out. */
function chartWidths(): () => number {
  let width = 0;
  addEventListener('resize', () => {
    width = 0;
  });
  return () => {
    width ||= Math.max(280, Math.min(720, (document.querySelector('main')?.clientWidth ?? 720) - PADDING));
    return width;
  };
}

/** Space to the left and right of the column of text in `main`, px. */
const PADDING = 32;

/** What is wider than its place can be scrolled by keys as well, and says what it is where it takes the focus. */
function letKeysScroll(main: HTMLElement): void {
  const places = [...main.querySelectorAll<HTMLElement>('.wide, .chart')];
  const isWide = places.map((place) => place.scrollWidth > place.clientWidth);
  for (const [i, place] of places.entries()) {
    if (isWide[i] === place.hasAttribute('tabindex')) continue;
    const what = place.querySelector('caption')?.textContent ?? (place.matches('.chart') ? 'chart' : 'table');
    const named = { tabindex: '0', role: 'group', 'aria-label': `${what} (arrow keys move it sideways)` };
    for (const [name, value] of Object.entries(named)) {
      if (isWide[i]) place.setAttribute(name, value);
      else place.removeAttribute(name);
    }
  }
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
