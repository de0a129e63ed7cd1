import type { NotebookDoor } from '../notebook-door';

/** What a page is made of, as its parts pass it to each other: the sharing side writes it, the browser side reads it. */

/** A cell of the page. */
export interface PageCell {
  /** Its number among the code cells, from 1; 0 for prose. */
  readonly number: number;
  readonly kind: 'prose' | 'code';
  /** Text of a code cell, to be read; the HTML of prose stands in the page itself. */
  readonly source: string;
  /** Names for the worksheet. */
  readonly defines: readonly (readonly [string, string | null])[];
  readonly uses: readonly string[];
  readonly assigns: readonly string[];
  readonly byHand: boolean;
  /** Whether it makes inputs. */
  readonly hasInputs: boolean;
  readonly takes: readonly string[];
  /** Line of the cell for each line of its translation, or null. */
  readonly lines: readonly (number | null)[];
  /** Why no browser can run it, or null. */
  readonly lacks: string | null;
}

/** A file that the notebook reads, packed into the page. */
export interface PackedFile {
  /** The path as it stands in the notebook. */
  readonly asked: string;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  /** The content, gzip, base64. */
  readonly content: string;
}

/** Everything but the code. */
export interface PageContent {
  readonly title: string;
  readonly cells: readonly PageCell[];
  readonly files: readonly PackedFile[];
  /** The notebook's file name and its content (without outputs), to be given back. */
  readonly notebook: { readonly name: string; readonly text: string };
}

/** What a page offers of `blankoff/notebook` besides the core, made by its browser side. */
export const BROWSER_NAMES = [
  'show',
  'input',
  'readLogFile',
  'follow',
  'sinceLastRow',
  'progress',
  'reactive',
] as const satisfies readonly (keyof NotebookDoor)[];
