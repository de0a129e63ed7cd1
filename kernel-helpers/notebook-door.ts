import type { GaugeLog, ReadOptions } from '../src/log';
import type { ShowOptions } from './display/bundle';
import type { Input } from './inputs/options';

/**
 * What a cell may use of `blankoff/notebook` besides the core wherever it runs: the kernel's side and that of a live page
 * both keep to it, which a test holds. What only one of them offers is not in here.
 */
export interface NotebookDoor {
  /** Shows something below the cell. */
  readonly show: (thing: unknown, options?: ShowOptions) => void;
  /** A value that a person may change. */
  readonly input: Input;
  /** Reads a log from disk; on a page the copy that was packed. */
  readonly readLogFile: (path: string | readonly string[], options?: ReadOptions) => Promise<GaugeLog>;
  /** Reads a log and follows it as it grows; on a page it does not grow. */
  readonly follow: (path: string, options?: ReadOptions & { readonly everyMs?: number }) => Promise<GaugeLog>;
  /** How long ago a log last grew, s; null on a page, where nobody watches it. */
  readonly sinceLastRow: (path: string) => Promise<number | null>;
  /** Tells how far a long work has come, and lets others be heard meanwhile. */
  readonly progress: (done: number, of: number, words: string) => Promise<void>;
  /** Switches following on or off, and tells whether it is on; a page always follows. */
  readonly reactive: (on?: boolean) => boolean;
}
