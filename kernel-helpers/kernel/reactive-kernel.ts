import { Worksheet, type WorksheetStep } from '../../src/worksheet';
import { CellBook, type CellRecord } from './cell-book';
import { type CompiledCell, compileAndRun, type Outcome, runCompiled } from './compiled-cell';
import { asPartOf, type CurrentRun, currentRun } from './current-run';
import { Declarations } from './declarations';
import { type ErrorContent, reportDiagnostics, reportError } from './error-report';
import { applyEdits } from './mistranslations';
import { noteBundle } from './notes';
import { type CellMessage, Outlet } from './outlet';
import { notebookModule } from './read-cell';
import type { JupyterMessage, TslabExecutor, TslabHandler, TslabParts } from './tslab-parts';

/** How values are shown. */
export interface ShownValues {
  /** The forms of a value. */
  bundleOf(value: unknown): { readonly data: object; readonly metadata: object };
  /** Finishes something that was shown in haste; null where nothing is missing. */
  complete(content: Record<string, unknown>): Record<string, unknown> | null;
}

/** What the parts around the kernel do for it. */
export interface KernelSurroundings extends ShownValues {
  /** Sends a message as output under a request. */
  publish(request: JupyterMessage, message: CellMessage): void;
  /** Catches what is printed by tslab itself until the returned function gives it back. */
  catchText(): () => string;
  /** Tells the controls something that concerns their outputs, where no cell can show it. */
  tellControls(text: string): void;
}

/** Long enough after the last move of a control that the hand is taken to rest, ms. */
const restMs = 250;

const later = (): Promise<void> => new Promise((resume) => setImmediate(resume));

/** The cells of a running kernel: runs them when asked, and those that depend on them after. */
export class ReactiveKernel {
  readonly sheet = new Worksheet();
  readonly book = new CellBook();
  /** Failures by the id of the request, for its reply. */
  readonly failures = new Map<string, ErrorContent>();
  /** Whether cells follow. */
  reactive = true;

  readonly #parts: TslabParts;
  readonly #around: KernelSurroundings;
  /** Names that cells defined before the extension was there, and that no cell has defined since. */
  readonly #outside: Set<string>;
  readonly #moves = new Map<string, unknown>();
  readonly #waitingRequests = new Set<object>();
  readonly #resting = new Map<string, NodeJS.Timeout>();
  #handler: TslabHandler | null = null;
  #finishing: NodeJS.Timeout | undefined;
  #execute: TslabExecutor['execute'] | null = null;
  #declarations: Declarations | null = null;
  #following: Promise<void> | null = null;
  /** Whether what runs now follows a control or a file, not a person's request. */
  #hasty = false;
  #running: CurrentRun | null = null;
  /** Whether a person asked for it. */
  #runningWanted = false;
  /** Session of the page that asked last: a page that is loaded again has another one. */
  #session = '';
  #toldUnseen = '';

  constructor(parts: TslabParts, around: KernelSurroundings) {
    this.#parts = parts;
    this.#around = around;
    this.#outside = new Set(Object.keys(parts.cells.exports));
  }

  /**
   * Takes in the cell that is running while the extension arrives: it counts as run.
   * @returns its run, whose outputs it should own from now on
   */
  adopt(request: JupyterMessage, count: number): CurrentRun {
    const cell = this.book.fromRequest(request, count);
    this.#session = request.header.session;
    for (const name of cell.reading.names.defines.keys()) this.#outside.delete(name);
    this.sheet.put(cell.id, cell.reading.names, cell.label);
    this.sheet.end(cell.id, this.sheet.begin(cell.id), true);
    return this.#newRun(cell, true).run;
  }

  /** Notes the parts of tslab that come with its first request after the import. */
  meet(handler: TslabHandler): void {
    if (this.#handler) return;
    const { executor } = handler;
    this.#handler = handler;
    this.#execute = executor.execute.bind(executor);
    this.#declarations = new Declarations(executor, this.#parts.converter);
  }

  /** A request has arrived and waits for its turn; a run that it will make worthless is given up now. */
  arrived(content: object, request: JupyterMessage | null): void {
    this.#waitingRequests.add(content);
    const id = request?.metadata.cellId;
    const running = this.#running;
    if (typeof id !== 'string' || !running || this.#runningWanted || !this.sheet.has(id)) return;
    if (running.cell === id || this.sheet.dependsOn(running.cell, id)) this.#overtake(running);
  }

  /** A request has its turn, or will never have it. */
  left(content: object): void {
    this.#waitingRequests.delete(content);
  }

  /**
   * Runs the cell of a request, and all that depends on it.
   * @param request an execute request
   * @param count its number
   * @returns whether the cell itself ran without an error
   */
  async runRequest(request: JupyterMessage, count: number): Promise<boolean> {
    const cell = this.book.fromRequest(request, count);
    const { names } = cell.reading;
    this.#session = request.header.session;
    this.#around.publish(request, {
      type: 'execute_input',
      content: { code: cell.source, execution_count: count },
    });
    for (const id of deletedCells(request)) this.#forget(id);
    if (cell.anonymous) this.#replaceAnonymous(cell);
    this.sheet.put(cell.id, names, cell.label);
    const ok = await this.#runWanted(cell);
    this.#sayOutside(cell);
    if (this.reactive) await this.#follow(cell);
    return ok;
  }

  /**
   * A control has been moved: what uses its name follows, when what is running now allows it.
   * @returns resolves when all has followed
   */
  move(name: string, value: unknown): Promise<void> {
    this.#moves.set(name, value);
    const running = this.#running;
    if (running && this.#concerns(running.cell, name)) {
      this.#overtake(running);
    }
    return this.#scheduleFollow();
  }

  /** A cell has to run again though none of its names changed, such as one whose file has grown. */
  rerun(id: string): Promise<void> {
    if (!this.sheet.has(id) || this.sheet.state(id) === 'stale') return Promise.resolve();
    if (this.#running?.cell === id) this.#overtake(this.#running);
    this.sheet.invalidate(id);
    return this.#scheduleFollow();
  }

  /** Switches following on or off; once on again, what has become stale runs. */
  setReactive(on: boolean): void {
    const was = this.reactive;
    this.reactive = on;
    if (on && !was) void this.#scheduleFollow();
  }

  /** Shows an error of a timer or a promise in the cell that it comes from; false where that is not known. */
  showLateError(error: unknown): boolean {
    const run = currentRun();
    if (!run) return false;
    run.outlet.error(reportError(error, (file) => this.book.traced(file)));
    return true;
  }

  /** The run to which output without a run of its own belongs: the last that was started. */
  lastRun(): CurrentRun | null {
    return this.#lastRun;
  }

  #lastRun: CurrentRun | null = null;

  #forget(id: string): void {
    const cell = this.book.get(id);
    if (!cell) return;
    this.#giveUp(cell);
    this.book.remove(id);
    this.sheet.remove(id);
    for (const name of cell.reading.names.defines.keys()) delete this.#parts.cells.exports[name];
  }

  /** Without ids, a cell that defines a name again takes the place of the earlier one, as in a console. */
  #replaceAnonymous(cell: CellRecord): void {
    for (const other of [...this.book.all()]) {
      if (!other.anonymous || other === cell) continue;
      const again = [...other.reading.names.defines.keys()].some((name) => cell.reading.names.defines.has(name));
      if (!again) continue;
      this.sheet.replace(other.id);
      this.book.remove(other.id);
    }
  }

  async #runWanted(cell: CellRecord): Promise<boolean> {
    if (!this.reactive) return this.#runCell(cell, true);
    for (let step = this.sheet.next(cell.id); step; step = this.sheet.next(cell.id)) {
      if (step.cell === cell.id) return this.#perform(step, true);
      await this.#perform(step, false);
    }
    return false;
  }

  /** Does what the worksheet says is next, in the place of its cell. */
  async #perform(step: WorksheetStep, wanted: boolean): Promise<boolean> {
    const cell = this.book.get(step.cell);
    if (!cell) {
      this.sheet.remove(step.cell);
      return false;
    }
    const problem = step.problem ?? this.#inputProblem(cell);
    if (problem === null) return this.#runCell(cell, wanted);
    const { outlet } = this.#newRun(cell, wanted);
    this.#fail(cell, outlet, wanted, { ename: 'not run', evalue: problem, traceback: [`not run: ${problem}`] });
    outlet.finish();
    if (step.problem === undefined) this.sheet.end(cell.id, this.sheet.begin(cell.id), false);
    else this.sheet.said(cell.id, problem);
    return false;
  }

  #inputProblem(cell: CellRecord): string | null {
    const line = cell.reading.misplacedInput;
    if (line === null) return null;
    const definer = this.sheet.definer('input') ?? cell.id;
    const origins = this.book.get(definer)?.reading.names.defines;
    if (![...(origins?.values() ?? [])].includes(`${notebookModule}#input`)) return null;
    return `line ${line}: input() must be the whole initialiser of a top-level const, as in: const volume = input('8 L')`;
  }

  async #runCell(cell: CellRecord, wanted: boolean): Promise<boolean> {
    const token = this.sheet.begin(cell.id);
    const { run, outlet } = this.#newRun(cell, wanted);
    this.#running = run;
    this.#runningWanted = wanted;
    const imported = this.#importedValues(cell);
    const outcome = await this.#execution(cell, run);
    if (this.#running === run) this.#running = null;
    if (outcome.kind === 'overtaken' || run.overtaken || !this.sheet.isCurrent(cell.id, token)) {
      outlet.drop();
      // What it had shown before stands until the new run replaces it.
      cell.outlet = null;
      return true;
    }
    const ok = outcome.kind === 'ok';
    if (ok) asPartOf(run, () => this.#showLast(run, cell));
    else this.#fail(cell, outlet, wanted, this.#report(outcome, cell));
    outlet.finish();
    if (outcome.kind === 'interrupted') {
      // What it still does in the background must not be seen.
      run.overtaken = true;
      outlet.drop();
    }
    this.sheet.end(cell.id, token, ok, this.#changedNames(cell, imported));
    return ok;
  }

  #newRun(cell: CellRecord, wanted: boolean): { run: CurrentRun; outlet: Outlet } {
    const before = cell.outlet && !cell.showsStale ? cell.outlet.shown() : null;
    this.#giveUp(cell);
    const { request } = cell;
    const hasty = this.#hasty;
    const send = (message: CellMessage): void => this.#around.publish(request, message);
    const outlet = new Outlet(send, !wanted, before, hasty);
    let overtake = (): void => {};
    const onOvertaken = new Promise<void>((resolve) => {
      overtake = resolve;
    });
    const { id, label, reading } = cell;
    const inputs = reading.inputs.map(({ name }) => name);
    const controls = !cell.anonymous && request.metadata.controls !== false;
    const run: CurrentRun = { cell: id, label, outlet, inputs, controls, hasty, overtaken: false, onOvertaken };
    this.#overtakers.set(run, overtake);
    cell.run = run;
    cell.outlet = outlet;
    cell.showsStale = false;
    if (wanted) cell.unseen = false;
    this.#lastRun = run;
    return { run, outlet };
  }

  /** The last run of a cell is over: what it still does is dropped. */
  #giveUp(cell: CellRecord): void {
    if (!cell.run) return;
    cell.run.overtaken = true;
    cell.run.outlet.drop();
    this.#overtakers.get(cell.run)?.();
  }

  readonly #overtakers = new WeakMap<CurrentRun, () => void>();

  #overtake(run: CurrentRun): void {
    run.overtaken = true;
    run.outlet.drop();
    if (this.sheet.has(run.cell)) this.sheet.invalidate(run.cell);
    this.#overtakers.get(run)?.();
  }

  /** Runs the translation of a cell, or has it checked and translated where its text or a type has changed. */
  async #execution(cell: CellRecord, run: CurrentRun): Promise<Outcome> {
    const declarations = this.#declarations;
    const execute = this.#execute;
    if (!declarations || !execute) return { kind: 'refused', text: 'the kernel is not ready' };
    const { cells } = this.#parts;
    const { uses } = cell.reading.names;
    const known = this.#stillGood(cell, declarations);
    if (known) return runCompiled(known, run, cells);
    const { source, file } = cell;
    const signature = declarations.signature(uses);
    const text = applyEdits(source, cell.reading.edits);
    const kept = { source, signature, version: declarations.version };
    // Traces of errors look the translation up, so it has to be there before the cell has ended.
    const keep = (compiled: CompiledCell): void => {
      cell.compiled = { cell: compiled, ...kept };
    };
    const { catchText } = this.#around;
    const outcome = await compileAndRun({ execute, source: text, file, run, cells, catchText, keep });
    declarations.refresh();
    if (outcome.kind === 'refused') cell.compiled = null;
    return outcome;
  }

  #stillGood(cell: CellRecord, declarations: Declarations): CompiledCell | null {
    const { compiled, source, reading } = cell;
    const { uses } = reading.names;
    if (!compiled?.cell || compiled.source !== source || uses.some((name) => name.startsWith('./'))) return null;
    if (compiled.version === declarations.version) return compiled.cell;
    if (compiled.signature !== declarations.signature(uses)) return null;
    compiled.version = declarations.version;
    return compiled.cell;
  }

  #showLast(run: CurrentRun, cell: CellRecord): void {
    const value = run.last?.value;
    if (value === undefined || value === null) return;
    const { data, metadata } = this.#around.bundleOf(value);
    // A result that is text alone is one of the protocol's results; a rich one can be replaced in place.
    if (Object.keys(data).length > 1) run.outlet.display({ data, metadata, transient: {} }, false);
    else run.outlet.result({ data, metadata, execution_count: cell.count });
  }

  #report(outcome: Outcome, cell: CellRecord): ErrorContent {
    if (outcome.kind === 'thrown') return reportError(outcome.error, (file) => this.book.traced(file));
    if (outcome.kind === 'refused') return reportDiagnostics(outcome.text, cell);
    return { ename: 'interrupted', evalue: cell.label, traceback: [`interrupted: ${cell.label}`] };
  }

  #fail(cell: CellRecord, outlet: Outlet, wanted: boolean, error: ErrorContent): void {
    outlet.error({ ...error });
    if (wanted) this.failures.set(cell.request.header.msg_id, error);
  }

  #importedValues(cell: CellRecord): Map<string, unknown> {
    const imports = [...cell.reading.names.defines].filter(([, origin]) => origin !== null);
    return new Map(imports.map(([name]) => [name, this.#parts.cells.exports[name]]));
  }

  /** An import that names the same thing as before is no change. */
  #changedNames(cell: CellRecord, imported: ReadonlyMap<string, unknown>): string[] {
    const same = (name: string): boolean =>
      imported.get(name) !== undefined && imported.get(name) === this.#parts.cells.exports[name];
    return [...cell.reading.names.defines.keys()].filter((name) => !same(name));
  }

  #concerns(id: string, name: string): boolean {
    const definer = this.sheet.definer(name);
    if (definer === undefined) return false;
    return this.sheet.names(id).uses.includes(name) || this.sheet.dependsOn(id, definer);
  }

  #scheduleFollow(): Promise<void> {
    const handler = this.#handler;
    if (this.#following || !handler) return this.#following ?? Promise.resolve();
    const follow = (): Promise<void> => {
      this.#hasty = true;
      return this.#follow(null).finally(() => {
        this.#hasty = false;
        this.#finishAtRest();
      });
    };
    const again = (): void => {
      // The queue throws away what waits in it for a moment after an error.
      setTimeout(() => void this.#scheduleFollow(), 50).unref();
    };
    this.#following = handler.execQueue
      .add(follow)
      .catch(again)
      .finally(() => {
        this.#following = null;
      });
    return this.#following;
  }

  /** Runs one stale cell after the other, until none is left or a request waits. */
  async #follow(trigger: CellRecord | null): Promise<void> {
    for (;;) {
      // Requests and moves that have arrived are read here.
      await later();
      if (this.#waitingRequests.size > 0) return;
      if (!this.reactive) return;
      this.#applyMoves();
      const step = this.sheet.next();
      if (!step) break;
      const cell = this.book.get(step.cell);
      const shown = cell?.outlet?.shown().prints.length;
      await this.#perform(step, false);
      const isElsewhere = cell && cell.request.header.session !== this.#session;
      if (isElsewhere && (shown || cell.outlet?.shown().prints.length)) cell.unseen = true;
    }
    this.#showStale(trigger);
    this.#sayUnseen(trigger);
  }

  #applyMoves(): void {
    for (const [name, value] of this.#moves) {
      const id = this.sheet.definer(name);
      const cell = id === undefined ? undefined : this.book.get(id);
      if (!cell || this.sheet.state(cell.id) !== 'fresh') continue;
      this.#parts.cells.exports[name] = value;
      this.sheet.touch([name]);
      if (cell.reading.inputs.some((input) => input.name === name && input.usedInCell)) this.#rerunAtRest(cell.id);
    }
    this.#moves.clear();
  }

  /** Running the cell of a control draws the control anew, which would take it out of the hand. */
  #rerunAtRest(id: string): void {
    clearTimeout(this.#resting.get(id));
    const rerun = (): void => {
      this.#resting.delete(id);
      void this.rerun(id);
    };
    this.#resting.set(id, setTimeout(rerun, restMs).unref());
  }

  /** What was shown in haste is finished when the hand rests. */
  #finishAtRest(): void {
    clearTimeout(this.#finishing);
    const finishAll = async (): Promise<void> => {
      // A rest that ended while a later move was followed is none: that move has a rest of its own.
      if (this.#finishing !== resting) return;
      for (const { outlet } of this.book.all()) {
        while (this.#moves.size === 0 && this.#waitingRequests.size === 0 && outlet?.finishOne(this.#around.complete)) {
          await later();
        }
      }
    };
    const resting = setTimeout(() => void this.#handler?.execQueue.add(finishAll).catch(() => {}), restMs).unref();
    this.#finishing = resting;
  }

  #showStale(trigger: CellRecord | null): void {
    const nameless: string[] = [];
    for (const id of this.sheet.staleByHand()) {
      const cell = this.book.get(id);
      if (!cell || cell.showsStale) continue;
      cell.showsStale = true;
      if (cell.anonymous) nameless.push(cell.label);
      else if (cell.outlet)
        cell.outlet.display(noteBundle('stale: what this cell uses has changed; run it to follow'), false);
    }
    if (nameless.length > 0 && trigger) {
      const text = `${nameless.join(', ')}: stale, and cannot follow, because this front end gives cells no ids\n`;
      trigger.outlet?.stream('stderr', text);
    }
  }

  #sayUnseen(trigger: CellRecord | null): void {
    const labels = [...this.book.all()].filter(({ unseen }) => unseen).map(({ label }) => label);
    const stale = 'what is shown is stale, because the page was loaded anew since; Run All restores it';
    const text = labels.length === 0 ? '' : `${labels.join(', ')}: ${stale}`;
    this.#around.tellControls(text);
    if (trigger && text !== '' && text !== this.#toldUnseen) trigger.outlet?.display(noteBundle(text), false);
    this.#toldUnseen = text;
  }

  /** Says of names that were defined before the extension was there that they cannot be followed. */
  #sayOutside(cell: CellRecord): void {
    for (const name of cell.reading.names.defines.keys()) this.#outside.delete(name);
    const used = cell.reading.names.uses.filter((name) => this.#outside.has(name));
    if (used.length === 0) return;
    const text = `${used.join(', ')}: defined before ${notebookModule} was imported; run its cell again, then others follow`;
    cell.outlet?.display(noteBundle(text), false);
  }

  /** The page that a control was moved on. */
  fromSession(session: string): void {
    this.#session = session;
  }
}

function deletedCells(request: JupyterMessage): string[] {
  const { deletedCells: deleted } = request.metadata;
  return Array.isArray(deleted) ? deleted.filter((id): id is string => typeof id === 'string') : [];
}
