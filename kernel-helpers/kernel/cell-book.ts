import type { CompiledCell } from './compiled-cell';
import type { CurrentRun } from './current-run';
import type { TracedCell } from './error-report';
import type { Outlet } from './outlet';
import { type CellReading, readCell } from './read-cell';
import type { JupyterMessage } from './tslab-parts';

/** What the kernel knows of a cell. */
export interface CellRecord {
  readonly id: string;
  /** Name under which the cell stands in stack traces. */
  readonly file: string;
  /** A cell that came without an id: nothing can be sent to it once another runs. */
  readonly anonymous: boolean;
  /** Number of its last run by a person. */
  count: number;
  label: string;
  source: string;
  reading: CellReading;
  /** The last request of a person to run it: its outputs belong to that. */
  request: JupyterMessage;
  /** Its translation, with what it was made from. */
  compiled: { readonly cell: CompiledCell | null; readonly source: string; signature: string; version: number } | null;
  /** Its last run, and the outputs of that. */
  run: CurrentRun | null;
  outlet: Outlet | null;
  /** Whether it shows that it is stale. */
  showsStale: boolean;
  /** Whether its outputs went to a page that is not there any more. */
  unseen: boolean;
}

/** The cells that have been run, found by request, by id or by their name in stack traces. */
export class CellBook {
  readonly #cells = new Map<string, CellRecord>();
  #made = 0;

  /** The cell of an id. */
  get(id: string): CellRecord | undefined {
    return this.#cells.get(id);
  }

  /** All cells, in the order of their first run. */
  all(): Iterable<CellRecord> {
    return this.#cells.values();
  }

  /** Forgets a cell. */
  remove(id: string): void {
    this.#cells.delete(id);
  }

  /**
   * The cell that a request runs, with the request's text; made where it is new.
   * @param request an execute request
   * @param count number of the execution, by which a person knows the cell: it stands beside it
   */
  fromRequest(request: JupyterMessage, count: number): CellRecord {
    const source = String(request.content.code ?? '');
    const { cellId } = request.metadata;
    const anonymous = typeof cellId !== 'string' || cellId === '';
    const id = anonymous ? this.#anonymousId(source) : cellId;
    const reading = readCell(source, tagsOf(request));
    const names = anonymous ? { ...reading.names, byHand: true } : reading.names;
    const known = this.#cells.get(id);
    const fresh = { count, label: `cell [${count}]`, source, reading: { ...reading, names }, request };
    if (known) return Object.assign(known, fresh);
    this.#made++;
    const rest = { compiled: null, run: null, outlet: null, showsStale: false, unseen: false };
    const cell: CellRecord = { id, file: `blankoff-cell-${this.#made}`, anonymous, ...fresh, ...rest };
    this.#cells.set(id, cell);
    return cell;
  }

  /** The cell of a file name in a stack trace. */
  traced(file: string): TracedCell | undefined {
    for (const cell of this.#cells.values()) {
      const translation = cell.compiled?.cell?.text;
      if (cell.file === file && translation !== undefined) return { ...cell, translation };
    }
    return undefined;
  }

  /** A cell without an id is the same as an earlier one only if its text is. */
  #anonymousId(source: string): string {
    const same = [...this.#cells.values()].find((cell) => cell.anonymous && cell.source === source);
    return same?.id ?? `without id ${this.#made + 1}`;
  }
}

function tagsOf(request: JupyterMessage): string[] {
  const { tags } = request.metadata;
  return Array.isArray(tags) ? tags.filter((tag): tag is string => typeof tag === 'string') : [];
}
