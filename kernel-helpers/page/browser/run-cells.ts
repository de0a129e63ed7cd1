import { Worksheet, type WorksheetStep } from '../../../src/worksheet';
import type { PageCell } from '../page-content';
import { breath, painted } from './breath';
import { inspectText } from './inspect-text';

/** A translated cell, called with the kit, the taker of its last expression, a console, and the names it takes. */
export type CellFunction = (
  kit: Readonly<Record<string, unknown>>,
  last: (value: unknown) => void,
  console: Printer,
  ...takes: unknown[]
) => Promise<object>;

/** What a cell prints to. */
export type Printer = Readonly<Record<'log' | 'info' | 'warn' | 'error' | 'debug', (...things: unknown[]) => void>>;

/** What a cell shows while and after it runs. */
export interface CellView {
  /** Begins a run: what an overtaken one showed is dropped. */
  begin(): void;
  /** Shows something below what the running cell has shown so far. */
  show(thing: unknown, options?: object): void;
  /** Puts what was shown in the place of what stood there; nothing is seen before. */
  settle(): void;
  /** Resolves when the charts that stand there have been drawn. */
  drawn(): Promise<void>;
  /** Says an error or why the cell waits, in the place of its outputs. */
  say(words: string, kind: 'error' | 'waits'): void;
}

/** The cells of a page, running. */
export interface RunningCells {
  /** The value of an input has changed: everything that depends on it follows; many calls at once become one run. */
  changed(name: string): void;
  /** Runs whatever is stale, inputs first; resolves when nothing is left and all is drawn. */
  run(): Promise<void>;
  /** Resolves when the inputs that need no other results can be moved: a move is answered from then on. */
  readonly inputsLive: Promise<void>;
  /** The number of the cell whose code is running now, or 0. */
  running(): number;
}

/**
 * Runs cells by their names, as the kernel does: each once per change, in the order of dependence, and a run that is
 * overtaken by another change drops its results.
 * @param cells the code cells; those that cannot run in a browser keep what they show, and so do those that need them
 * @param functions the translated cells by number
 * @param kit what the cells get for the kit, made anew for each run with the view of the cell
 * @param view the place of a cell's outputs
 * @param busy told when something begins to follow, and when all of it has and is drawn
 */
export function runCells(
  cells: readonly PageCell[],
  functions: ReadonlyMap<number, CellFunction>,
  kit: (view: CellView, cell: number) => object,
  view: (cell: number) => CellView,
  busy: (isBusy: boolean) => void,
): RunningCells {
  const worksheet = new Worksheet();
  const values = new Map<string, unknown>();
  const byId = new Map(cells.map((cell) => [String(cell.number), cell]));
  const numberOf = (id: string): number => (byId.get(id) as PageCell).number;
  const still = withoutBrowser(cells);
  const origins = new Map(
    cells.flatMap((cell) =>
      cell.defines.flatMap(([name, from]): [string, string][] => (from === null ? [] : [[name, from.split('#')[1]]])),
    ),
  );
  for (const cell of cells) {
    if (still.has(cell.number)) continue;
    const { uses, assigns, byHand } = cell;
    worksheet.put(
      String(cell.number),
      { defines: new Map(cell.defines), uses, assigns, byHand },
      `cell ${cell.number}`,
    );
  }
  /** Cells that run again only because one of their inputs was moved: their other names need not have changed. */
  const moved = new Set<string>();
  let runningCell = 0;
  /** Whether all cells have run and been drawn once. */
  let isWhole = false;
  let loop: Promise<void> | null = null;
  let asked = false;

  const runOne = async (id: string): Promise<void> => {
    const cell = byId.get(id) as PageCell;
    const place = view(cell.number);
    const run = worksheet.begin(id);
    const isMoved = moved.delete(id);
    place.begin();
    const own = kit(place, cell.number) as Readonly<Record<string, unknown>>;
    // A name of the kit stands for this cell's kit, whichever cell imported it: what it shows belongs here.
    const takes = cell.takes.map((name) => {
      const origin = origins.get(name);
      return origin === undefined ? values.get(name) : origin === '*' ? own : own[origin];
    });
    const last = (value: unknown): void => {
      if (value !== undefined) place.show(value);
    };
    let result: { readonly defined: object } | { readonly error: unknown };
    runningCell = cell.number;
    try {
      const code = functions.get(cell.number) as CellFunction;
      result = { defined: await code(own, last, printer(place), ...takes) };
    } catch (error) {
      result = { error };
    }
    runningCell = 0;
    if (!worksheet.isCurrent(id, run)) return;
    if ('error' in result) {
      place.say(errorWords(cell, result.error), 'error');
      worksheet.end(id, run, false);
      return;
    }
    const defined = Object.entries(result.defined);
    const changed = defined.filter(([name, value]) => !values.has(name) || !Object.is(values.get(name), value));
    for (const [name, value] of defined) values.set(name, value);
    place.settle();
    worksheet.end(id, run, true, isMoved ? changed.map(([name]) => name) : undefined);
  };

  const runStep = async ({ cell, problem }: WorksheetStep): Promise<void> => {
    if (problem === undefined) return runOne(cell);
    view(numberOf(cell)).say(problem, 'waits');
    worksheet.said(cell, problem);
  };

  const runAll = async (): Promise<void> => {
    let since = performance.now();
    for (let step = worksheet.next(); step; step = worksheet.next()) {
      await runStep(step);
      if (!isWhole) await view(numberOf(step.cell)).drawn();
      if (performance.now() - since < LONGEST_WITHOUT_BREATH_MS) continue;
      // At first much is worked out that later is known: what stands above shall not wait to be seen for what is below.
      await (isWhole ? breath() : painted());
      since = performance.now();
    }
  };

  let live: () => void;
  const inputsLive = new Promise<void>((done) => {
    live = done;
  });
  /** The saved outputs stand there already: what a reader waits for are the inputs, and the first picture of them. */
  const runInputs = async (): Promise<void> => {
    for (const cell of quickInputs(cells.filter(({ number }) => !still.has(number)))) {
      const id = String(cell.number);
      for (let step = worksheet.next(id); step && step.problem === undefined; step = worksheet.next(id)) {
        await runOne(step.cell);
      }
    }
    live();
    await painted();
  };

  let begun = false;
  let again = false;
  const follow = async (): Promise<void> => {
    busy(true);
    if (!begun) await runInputs();
    begun = true;
    do {
      again = false;
      await runAll();
      await Promise.all(cells.map((cell) => view(cell.number).drawn()));
    } while (again);
    isWhole = true;
    loop = null;
    busy(false);
  };
  const run = (): Promise<void> => {
    if (loop) again = true;
    else loop = follow();
    return loop;
  };
  return {
    run,
    inputsLive,
    running: () => runningCell,
    changed: (name) => {
      const definer = worksheet.definer(name);
      if (definer) {
        worksheet.invalidate(definer);
        moved.add(definer);
      }
      if (asked) return;
      asked = true;
      // What one move of the hand changes, such as both ends of a window, is one change.
      void breath().then(() => {
        asked = false;
        void run();
      });
    },
  };
}

/** A page that works for longer than this without a pause neither paints nor hears. */
const LONGEST_WITHOUT_BREATH_MS = 30;

/** The cells with inputs that need nothing but imports and other such cells: they are there at once. */
function quickInputs(cells: readonly PageCell[]): readonly PageCell[] {
  const quick = new Set(
    cells.filter(({ hasInputs, defines }) => hasInputs || defines.every(([, from]) => from !== null)),
  );
  const needs = (cell: PageCell): readonly PageCell[] =>
    cells.filter((other) => other.defines.some(([name]) => cell.uses.includes(name)));
  for (let size = -1; size !== quick.size; ) {
    size = quick.size;
    for (const cell of quick) if (needs(cell).some((needed) => !quick.has(needed))) quick.delete(cell);
  }
  return [...quick].filter(({ hasInputs }) => hasInputs);
}

/** Numbers of the cells that no browser can run, with all that need them. */
export function withoutBrowser(cells: readonly PageCell[]): ReadonlyMap<number, string> {
  const still = new Map<number, string>();
  for (const cell of cells) {
    if (cell.lacks !== null) still.set(cell.number, `${cell.lacks}, which needs Jupyter`);
    else if (cell.byHand) still.set(cell.number, 'it runs only when a person asks for it, which needs Jupyter');
  }
  for (let grown = true; grown; ) {
    grown = false;
    for (const cell of cells) {
      if (still.has(cell.number)) continue;
      const needed = cells.find(
        (other) =>
          still.has(other.number) && other.defines.some(([name, from]) => from === null && cell.uses.includes(name)),
      );
      if (!needed) continue;
      still.set(cell.number, `it needs cell ${needed.number}, which needs Jupyter`);
      grown = true;
    }
  }
  return still;
}

/** The error in words, with the line of the cell in which it arose. */
function errorWords(cell: PageCell, error: unknown): string {
  const words = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  const line = error instanceof Error ? lineOfCell(cell, error) : null;
  return `cell ${cell.number}${line === null ? '' : `, line ${line}`}: ${words}`;
}

function lineOfCell(cell: PageCell, error: Error): number | null {
  const match = new RegExp(`cell-${cell.number}\\.js:(\\d+)`).exec(error.stack ?? '');
  // The translation begins on the second line of its script.
  return match ? (cell.lines[Number(match[1]) - 2] ?? null) : null;
}

/** A console that prints below what the cell has shown so far. */
function printer(place: CellView): Printer {
  const print = (...things: unknown[]): void => place.show(things.map(inspectText).join(' '));
  return { log: print, info: print, warn: print, error: print, debug: print };
}
