import { createHash, randomUUID } from 'node:crypto';

/** What goes to the front end as output of a cell. */
export interface CellMessage {
  readonly type:
    | 'execute_result'
    | 'stream'
    | 'display_data'
    | 'update_display_data'
    | 'error'
    | 'clear_output'
    | 'execute_input';
  readonly content: Record<string, unknown>;
}

/** Sends a message as output of one cell. */
export type Publish = (message: CellMessage) => void;

/** What a cell has shown, so that the next run can tell what changes. */
export interface Shown {
  /** Tells one output apart from another; the same outputs have the same one. */
  readonly prints: readonly string[];
  /** Under which ids they can be replaced, one for each; null where that is not possible for all of them. */
  readonly ids: readonly string[] | null;
}

/** After this time a run that others started shows what it has so far, ms. */
const patienceMs = 300;

/**
 * The outputs of one run of a cell.
 *
 * Of a run that a person started they leave at once. A run that others started keeps them until its end, replaces what
 * the cell showed before, and sends nothing where that is the same; a long one shows what it has after a while.
 */
export class Outlet {
  readonly #publish: Publish;
  /** What is kept back, or null when outputs leave at once. */
  #kept: CellMessage[] | null;
  readonly #before: Shown | null;
  readonly #patience: NodeJS.Timeout | null = null;
  #prints: string[] = [];
  #ids: string[] | null = [];
  #dropped = false;
  /** What was shown last under each id, while it may still want a picture. */
  readonly #unfinished = new Map<string, Record<string, unknown>>();
  readonly #hasty: boolean;

  /**
   * @param publish sends a message as output of the cell
   * @param replaces whether it is to replace what the cell shows: false for a run by a person
   * @param before what the cell shows, where that is known
   * @param hasty whether what is shown may have to be finished later
   */
  constructor(publish: Publish, replaces: boolean, before: Shown | null = null, hasty = false) {
    this.#publish = publish;
    this.#hasty = hasty;
    this.#before = before;
    this.#kept = replaces ? [] : null;
    if (replaces) {
      this.#patience = setTimeout(() => this.#replace(), patienceMs);
      this.#patience.unref();
    }
  }

  /** Adds text to what the cell shows. */
  stream(name: string, text: string): void {
    this.#take({ type: 'stream', content: { name, text } });
  }

  /** Shows a bundle, or replaces one that was shown before. */
  display(content: Record<string, unknown>, update: boolean): void {
    this.#take({ type: update ? 'update_display_data' : 'display_data', content });
  }

  /** Shows the value of the last expression. */
  result(content: Record<string, unknown>): void {
    this.#take({ type: 'execute_result', content });
  }

  /** Shows an error. */
  error(content: { ename: string; evalue: string; traceback: readonly string[] }): void {
    this.#take({ type: 'error', content });
  }

  /** Ends the run; later output is added to what is shown. */
  finish(): void {
    if (this.#patience) clearTimeout(this.#patience);
    if (!this.#dropped && this.#kept !== null) this.#replace();
  }

  /** Forgets what has not been sent, and what is still to come. */
  drop(): void {
    if (this.#patience) clearTimeout(this.#patience);
    this.#dropped = true;
    this.#kept = null;
  }

  /**
   * Finishes one of the things that were shown in haste.
   * @param complete gives what is to be shown instead, or null where nothing is missing
   * @returns false when all are finished
   */
  finishOne(complete: (content: Record<string, unknown>) => Record<string, unknown> | null): boolean {
    for (const [id, content] of this.#unfinished) {
      this.#unfinished.delete(id);
      const finished = this.#dropped ? null : complete(content);
      if (!finished) continue;
      this.#publish({ type: 'update_display_data', content: { ...finished, transient: { display_id: id } } });
      return true;
    }
    return false;
  }

  /** What the cell shows now. */
  shown(): Shown {
    return { prints: this.#prints, ids: this.#ids };
  }

  #take(message: CellMessage): void {
    if (this.#dropped) return;
    this.#prints.push(print(message));
    if (this.#kept) this.#kept.push(message);
    else this.#show(message);
  }

  /** Sends an output, with an id under which a later run can replace it. */
  #show({ type, content }: CellMessage, id: string = randomUUID()): void {
    const transient = content.transient as { display_id?: string } | undefined;
    if (type !== 'display_data' || transient?.display_id !== undefined) {
      this.#ids = null;
      this.#publish({ type, content });
      return;
    }
    this.#ids?.push(id);
    if (this.#hasty) this.#unfinished.set(id, content);
    this.#publish({ type, content: { ...content, transient: { display_id: id } } });
  }

  #replace(): void {
    const kept = this.#kept ?? [];
    this.#kept = null;
    if (this.#dropped || this.#replaceInPlace(kept)) return;
    // With `wait` the old outputs stand until the first new one comes; where none comes they have to go now.
    if (kept.length > 0 || this.#before?.prints.length !== 0) {
      this.#publish({ type: 'clear_output', content: { wait: kept.length > 0 } });
    }
    for (const message of kept) this.#show(message);
  }

  /** Where as many outputs come as stand there, and each has an id, only those that differ are drawn anew. */
  #replaceInPlace(kept: readonly CellMessage[]): boolean {
    const before = this.#before;
    if (before?.prints.length !== kept.length) return false;
    const differing = kept.flatMap((_, i) => (before.prints[i] === this.#prints[i] ? [] : [i]));
    const replaceable = ({ type, content }: CellMessage): boolean =>
      type === 'display_data' && (content.transient as { display_id?: string } | undefined)?.display_id === undefined;
    if (differing.length > 0 && !(before.ids && kept.every(replaceable))) return false;
    this.#ids = before.ids ? [...before.ids] : null;
    for (const i of differing) {
      const id = before.ids?.[i] as string;
      const { content } = kept[i];
      if (this.#hasty) this.#unfinished.set(id, content);
      this.#publish({ type: 'update_display_data', content: { ...content, transient: { display_id: id } } });
    }
    return true;
  }
}

function print(message: CellMessage): string {
  return createHash('sha1').update(JSON.stringify(message)).digest('base64');
}
