import { createHash } from 'node:crypto';

/** What goes to the front end as output of a cell. */
export interface CellMessage {
  readonly type: 'stream' | 'display_data' | 'update_display_data' | 'error' | 'clear_output' | 'execute_input';
  readonly content: Record<string, unknown>;
}

/** Sends a message as output of one cell. */
export type Publish = (message: CellMessage) => void;

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
  readonly #before: string | null;
  readonly #patience: NodeJS.Timeout | null = null;
  readonly #hash = createHash('sha1');
  #count = 0;
  #dropped = false;

  /**
   * @param publish sends a message as output of the cell
   * @param before fingerprint of what the cell shows, where that is to be replaced; null for a run by a person
   */
  constructor(publish: Publish, before: string | null) {
    this.#publish = publish;
    this.#before = before;
    this.#kept = before === null ? null : [];
    if (before !== null) {
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

  /** Shows an error. */
  error(content: { ename: string; evalue: string; traceback: readonly string[] }): void {
    this.#take({ type: 'error', content });
  }

  /** Ends the run; later output is added to what is shown. */
  finish(): void {
    if (this.#patience) clearTimeout(this.#patience);
    if (this.#dropped || this.#kept === null) return;
    if (this.fingerprint() === this.#before) this.#kept = null;
    else this.#replace();
  }

  /** Forgets what has not been sent, and what is still to come. */
  drop(): void {
    if (this.#patience) clearTimeout(this.#patience);
    this.#dropped = true;
    this.#kept = null;
  }

  /** Tells apart what has been shown; the same outputs have the same one. */
  fingerprint(): string {
    return this.#count === 0 ? '' : this.#hash.copy().digest('base64');
  }

  #take(message: CellMessage): void {
    if (this.#dropped) return;
    this.#count++;
    this.#hash.update(JSON.stringify(message));
    if (this.#kept) this.#kept.push(message);
    else this.#publish(message);
  }

  #replace(): void {
    const kept = this.#kept ?? [];
    this.#kept = null;
    if (this.#dropped) return;
    // With `wait` the old outputs stand until the first new one comes; where none comes they have to go now.
    if (this.#before !== '' || kept.length > 0) {
      this.#publish({ type: 'clear_output', content: { wait: kept.length > 0 } });
    }
    for (const message of kept) this.#publish(message);
  }
}
