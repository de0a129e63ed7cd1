import type { CellNames } from './cell-names';
import { circleThrough, orderCells } from './order';

/**
 * How a cell stands: `stale` (something it uses has changed since it ran), `running`, `fresh` (ran, nothing changed
 * since), `failed` (ran into an error), `waiting` (a cell it uses has failed or is broken), `broken` (breaks a rule).
 */
export type CellState = 'stale' | 'running' | 'fresh' | 'failed' | 'waiting' | 'broken';

/** What is to be done next: run a cell, or say in its place why it cannot be run. */
export interface WorksheetStep {
  readonly cell: string;
  /** Why the cell cannot be run, in a sentence; absent where it is to be run. */
  readonly problem?: string;
}

interface Cell {
  readonly id: string;
  label: string;
  names: CellNames;
  state: CellState;
  /** Counts the runs, and what overtakes them; a result of an earlier count is not accepted. */
  run: number;
  /** The rule that it breaks, or null. */
  broken: string | null;
  /** What was last said in the place of its outputs, or null. */
  said: string | null;
}

/**
 * The names, order and state of the cells of a notebook.
 *
 * Each name belongs to one cell; a cell depends on the cells whose names it uses. When a cell has run, the cells that
 * use what it defines become stale, and `next()` gives them one after the other, each once, after everything that it
 * depends on. Values, outputs and the running itself are the caller's.
 */
export class Worksheet {
  readonly #cells = new Map<string, Cell>();
  /** Names that a cell defined once and no cell defines now, with what became of them. */
  readonly #gone = new Map<string, string>();
  #definers = new Map<string, Cell[]>();
  #users = new Map<string, Cell[]>();
  #ranks = new Map<string, number>();

  /**
   * Defines a cell, or redefines it after an edit; it is stale until it has run.
   * @param id what the cell is known by, for ever
   * @param names what was read in it
   * @param label how errors call it, such as `cell [4]`
   */
  put(id: string, names: CellNames, label: string = id): void {
    const cell = this.#cells.get(id);
    if (cell) {
      const lost = [...cell.names.defines.keys()].filter((name) => !names.defines.has(name));
      for (const name of lost) this.#gone.set(name, `${label} does not define it any more`);
      cell.names = names;
      cell.label = label;
      this.#makeStale(cell);
    } else {
      this.#cells.set(id, { id, label, names, state: 'stale', run: 0, broken: null, said: null });
    }
    for (const name of names.defines.keys()) this.#gone.delete(name);
    this.#relate();
  }

  /**
   * Takes out a deleted cell; cells that use its names are told that they are gone.
   * @param id the cell; an unknown one is no error
   */
  remove(id: string): void {
    const cell = this.#cells.get(id);
    if (!cell) return;
    this.#cells.delete(id);
    for (const name of cell.names.defines.keys()) this.#gone.set(name, `its cell (${cell.label}) was deleted`);
    this.#relate();
  }

  /**
   * Takes out a cell whose names another cell is about to define, so that nothing is said to be gone.
   * @param id the cell
   */
  replace(id: string): void {
    this.#cells.delete(id);
  }

  /** The cells, in the order in which they were first put. */
  cells(): readonly string[] {
    return [...this.#cells.keys()];
  }

  /** Whether the cell is known. */
  has(id: string): boolean {
    return this.#cells.has(id);
  }

  /** How a cell stands. */
  state(id: string): CellState {
    return this.#cell(id).state;
  }

  /** How errors call a cell. */
  label(id: string): string {
    return this.#cell(id).label;
  }

  /** What was read in a cell. */
  names(id: string): CellNames {
    return this.#cell(id).names;
  }

  /** The cell that defines a name, where exactly one does. */
  definer(name: string): string | undefined {
    const cells = this.#definers.get(name) ?? [];
    return cells.length === 1 || cells[0]?.names.defines.get(name) ? cells[0]?.id : undefined;
  }

  /** The cells that use one of the names, themselves, in no particular order. */
  usersOf(names: Iterable<string>): readonly string[] {
    const users = new Set<string>();
    for (const name of names) for (const cell of this.#users.get(name) ?? []) users.add(cell.id);
    return [...users];
  }

  /**
   * Whether a cell depends on another, over any number of cells between.
   * @param id the cell
   * @param on the other one
   */
  dependsOn(id: string, on: string): boolean {
    return this.#above(id).has(on);
  }

  /**
   * Something outside the cells has given names new values (a control was moved): their users become stale.
   * @param names the names
   */
  touch(names: Iterable<string>): void {
    for (const name of names) for (const cell of this.#users.get(name) ?? []) this.#makeStale(cell);
  }

  /**
   * A cell has to run again though nothing it uses has changed (the file it reads has grown).
   * @param id the cell
   */
  invalidate(id: string): void {
    this.#makeStale(this.#cell(id));
  }

  /**
   * Starts a run.
   * @param id the cell
   * @returns the run, to be given to `end`
   */
  begin(id: string): number {
    const cell = this.#cell(id);
    cell.state = 'running';
    cell.said = null;
    return ++cell.run;
  }

  /** Whether a run still counts: nothing that the cell uses, nor the cell itself, has changed since it began. */
  isCurrent(id: string, run: number): boolean {
    return this.#cells.get(id)?.run === run;
  }

  /**
   * Ends a run: its users become stale. The end of a run that was overtaken changes nothing.
   * @param id the cell
   * @param run what `begin` returned
   * @param ok whether it ran without an error
   * @param changed the names that have new values; all that the cell defines where not given
   * @returns whether the run still counted
   */
  end(id: string, run: number, ok: boolean, changed?: Iterable<string>): boolean {
    if (!this.isCurrent(id, run)) return false;
    const cell = this.#cell(id);
    cell.state = ok ? 'fresh' : 'failed';
    this.touch(ok && changed ? changed : cell.names.defines.keys());
    return true;
  }

  /**
   * The next thing to do so that all is fresh: the stale cell that comes first in the order of dependence. A cell that
   * is run by hand is left out. Where a cell cannot be run its step says why, once; call `said` when that is shown.
   * @param wanted a cell that a person runs: then only this one and what it depends on are looked at, the cell itself
   *   even if it is marked to be run by hand, and its problem is told again
   * @returns the step, or undefined when there is nothing left to do
   */
  next(wanted?: string): WorksheetStep | undefined {
    const scope = wanted === undefined ? null : this.#above(wanted).add(wanted);
    const stale = [...this.#cells.values()]
      .filter((cell) => cell.state === 'stale' && (!scope || scope.has(cell.id)))
      .filter((cell) => !cell.names.byHand || cell.id === wanted || this.#problem(cell) !== null)
      .sort((a, b) => this.#rank(a) - this.#rank(b));
    for (const cell of stale) {
      const problem = this.#problem(cell);
      if (problem === null) return { cell: cell.id };
      if (problem !== cell.said || cell.id === wanted) return { cell: cell.id, problem };
      this.said(cell.id, problem);
    }
    return undefined;
  }

  /**
   * Notes that a problem is shown in the place of a cell's outputs; what uses the cell's names will be told to wait.
   * @param id the cell
   * @param problem the text of its step
   */
  said(id: string, problem: string): void {
    const cell = this.#cell(id);
    const news = cell.said !== problem;
    cell.state = cell.broken === null ? 'waiting' : 'broken';
    cell.said = problem;
    if (news) this.touch(cell.names.defines.keys());
  }

  /** The cells that are stale and are left to a person. */
  staleByHand(): readonly string[] {
    return [...this.#cells.values()].filter((cell) => cell.state === 'stale' && cell.names.byHand).map(({ id }) => id);
  }

  #cell(id: string): Cell {
    const cell = this.#cells.get(id);
    if (!cell) throw new RangeError(`worksheet: met "${id}", expected one of its ${this.#cells.size} cells`);
    return cell;
  }

  #rank(cell: Cell): number {
    return this.#ranks.get(cell.id) ?? 0;
  }

  #makeStale(cell: Cell): void {
    cell.run++;
    cell.state = 'stale';
  }

  /** The cells that a cell depends on, over any number of cells between. */
  #above(id: string): Set<string> {
    const above = new Set<string>();
    const open = [this.#cell(id)];
    for (let cell = open.pop(); cell; cell = open.pop()) {
      for (const name of cell.names.uses) {
        for (const definer of this.#definers.get(name) ?? []) {
          if (above.has(definer.id)) continue;
          above.add(definer.id);
          open.push(definer);
        }
      }
    }
    above.delete(id);
    return above;
  }

  /** Why a cell cannot be run, or null: the rule it breaks, else what it waits for. */
  #problem(cell: Cell): string | null {
    if (cell.broken !== null) return cell.broken;
    for (const name of cell.names.uses) {
      const [definer] = this.#definers.get(name) ?? [];
      if (!definer || definer === cell) continue;
      const why = this.#whyNot(definer);
      if (why) return `waits for ${name}: ${definer.label} ${why}`;
    }
    return null;
  }

  #whyNot(definer: Cell): string | null {
    if (definer.state === 'failed') return 'failed';
    if (definer.broken !== null) return 'cannot be run';
    if (definer.state === 'waiting') return 'waits itself';
    return null;
  }

  /** Works out anew who defines and uses what, in which order cells come, and which break a rule. */
  #relate(): void {
    this.#definers = new Map();
    this.#users = new Map();
    for (const cell of this.#cells.values()) {
      for (const name of cell.names.defines.keys()) push(this.#definers, name, cell);
      for (const name of cell.names.uses) push(this.#users, name, cell);
    }
    const needs = new Map([...this.#cells.values()].map((cell) => [cell.id, this.#needs(cell)]));
    const { ranks, circular } = orderCells(needs);
    this.#ranks = ranks;
    for (const cell of this.#cells.values()) {
      const broken = this.#brokenRule(cell, circular.has(cell.id) ? circleThrough(cell.id, needs) : null);
      if (broken === cell.broken) continue;
      cell.broken = broken;
      this.#makeStale(cell);
    }
  }

  #needs(cell: Cell): string[] {
    const definers = cell.names.uses.flatMap((name) => this.#definers.get(name)?.slice(0, 1) ?? []);
    return [...new Set(definers.map(({ id }) => id))];
  }

  #brokenRule(cell: Cell, circle: readonly string[] | null): string | null {
    return this.#twice(cell) ?? this.#circle(cell, circle) ?? this.#foreign(cell) ?? this.#lost(cell);
  }

  #twice(cell: Cell): string | null {
    for (const [name, origin] of cell.names.defines) {
      const others = this.#definers.get(name)!.filter((other) => other !== cell);
      const clash = others.filter((other) => origin === null || other.names.defines.get(name) !== origin);
      if (clash.length === 0) continue;
      return `${name} is defined here and in ${clash.map(({ label }) => label).join(', ')}: keep one, or rename it`;
    }
    return null;
  }

  #circle(cell: Cell, circle: readonly string[] | null): string | null {
    if (!circle) return null;
    const links = circle.map((id, i) => {
      const from = this.#cell(id);
      const to = this.#cell(circle[(i + 1) % circle.length]);
      const name = from.names.uses.find((used) => to.names.defines.has(used));
      return `${from === cell ? 'this cell' : from.label} needs ${name}`;
    });
    return `these cells need each other, in a circle: ${links.join(', ')}`;
  }

  #foreign(cell: Cell): string | null {
    for (const name of cell.names.assigns) {
      const definer = this.#definers.get(name)?.[0];
      if (definer) return `${name} is assigned here and belongs to ${definer.label}: assign it only there`;
    }
    return null;
  }

  #lost(cell: Cell): string | null {
    const name = cell.names.uses.find((used) => this.#gone.has(used) && !this.#definers.has(used));
    return name === undefined ? null : `${name} is gone: ${this.#gone.get(name)}`;
  }
}

function push<V>(map: Map<string, V[]>, key: string, value: V): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}
