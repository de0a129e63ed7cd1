import type { CellOutput, Notebook } from '../command/headless/notebook-file';

/** A place where a rerun says something else than what was packed. */
export interface Difference {
  /** Number of the code cell, from 1. */
  readonly cell: number;
  /** Where in it: the output, its kind, and the path or the position of the number. */
  readonly place: string;
  readonly packed: string;
  readonly rerun: string;
}

/** Numbers may differ by this much, relative, since machines round differently in the last digits. */
export const SAME_WITHIN = 1e-6;

const NUMBER = /[-+\u2212]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[-+]?\d+)?/gi;
const LONGEST_SHOWN = 120;

/**
 * Compares what the code cells of two runs of one notebook show: texts word by word, tables and charts value by value,
 * numbers within a relative tolerance. Pictures are left out: they are drawn from the values compared, with the fonts of
 * the machine.
 * @param packed the notebook as it was packed
 * @param rerun the same notebook, run again
 * @param tolerance relative, > 0
 * @returns all differences, in order of the cells; empty where the runs agree
 */
export function compareOutputs(packed: Notebook, rerun: Notebook, tolerance = SAME_WITHIN): Difference[] {
  const outputsOf = (notebook: Notebook): CellOutput[][] =>
    notebook.cells.filter((cell) => cell.cell_type === 'code').map((cell) => cell.outputs ?? []);
  const [before, after] = [outputsOf(packed), outputsOf(rerun)];
  const differences: Difference[] = [];
  for (let cell = 0; cell < Math.max(before.length, after.length); cell += 1) {
    const [a, b] = [before[cell] ?? [], after[cell] ?? []];
    const say = (place: string, one: string, other: string): void =>
      void differences.push({ cell: cell + 1, place, packed: shown(one), rerun: shown(other) });
    if (a.length !== b.length) say('outputs', String(a.length), String(b.length));
    for (let i = 0; i < Math.min(a.length, b.length); i += 1) {
      compareOutput(a[i], b[i], `output ${i + 1}`, tolerance, say);
    }
  }
  return differences;
}

/**
 * The first place where two texts differ in a word, or in a number by more than the tolerance; null where there is none.
 * @param packed the text as it was packed
 * @param rerun the text as it was made again
 * @param tolerance relative, > 0
 */
export function firstDifference(packed: string, rerun: string, tolerance: number): Omit<Difference, 'cell'> | null {
  let found: Omit<Difference, 'cell'> | null = null;
  compareText(packed, rerun, '', tolerance, (place, one, other) => {
    found = { place, packed: shown(one), rerun: shown(other) };
  });
  return found;
}

type Say = (place: string, packed: string, rerun: string) => void;

function compareOutput(a: CellOutput, b: CellOutput, place: string, tolerance: number, say: Say): void {
  if (a.output_type !== b.output_type) {
    say(place, a.output_type, b.output_type);
    return;
  }
  if (a.output_type === 'stream' && b.output_type === 'stream') {
    compareText(a.text, b.text, `${place}, text`, tolerance, say);
  } else if (a.output_type === 'error' && b.output_type === 'error') {
    compareText(`${a.ename}: ${a.evalue}`, `${b.ename}: ${b.evalue}`, `${place}, error`, tolerance, say);
  } else if ('data' in a && 'data' in b) {
    for (const type of [...new Set([...Object.keys(a.data), ...Object.keys(b.data)])].sort()) {
      if (type.startsWith('image/')) continue;
      compareValue(a.data[type], b.data[type], `${place}, ${type}`, tolerance, say);
    }
  }
}

function compareValue(a: unknown, b: unknown, place: string, tolerance: number, say: Say): void {
  if (typeof a === 'number' && typeof b === 'number') {
    if (!sameNumber(a, b, tolerance)) say(place, String(a), String(b));
  } else if (typeof a === 'string' && typeof b === 'string') {
    compareText(a, b, place, tolerance, say);
  } else if (isRecord(a) && isRecord(b)) {
    for (const key of [...new Set([...Object.keys(a), ...Object.keys(b)])].sort()) {
      compareValue(a[key], b[key], `${place} / ${key}`, tolerance, say);
    }
  } else if (a !== b) {
    say(place, JSON.stringify(a) ?? 'nothing', JSON.stringify(b) ?? 'nothing');
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

/** Same words, and numbers that agree; the first place that does not is told. */
function compareText(a: string, b: string, place: string, tolerance: number, say: Say): void {
  if (a === b) return;
  const wordsOf = (text: string): string[] => text.split(NUMBER);
  const numbersOf = (text: string): string[] => text.match(NUMBER) ?? [];
  const [wordsA, wordsB, numbersA, numbersB] = [wordsOf(a), wordsOf(b), numbersOf(a), numbersOf(b)];
  const number = (text: string): number => Number(text.replace('\u2212', '-'));
  for (let i = 0; i < Math.max(wordsA.length, wordsB.length); i += 1) {
    if (wordsA[i] !== wordsB[i]) {
      say(place, wordsA[i]?.trim() || numbersA[i] || 'nothing', wordsB[i]?.trim() || numbersB[i] || 'nothing');
      return;
    }
    if (i < numbersA.length && !sameNumber(number(numbersA[i]), number(numbersB[i]), tolerance)) {
      const before = wordsA[i].trim().split('\n').pop() ?? '';
      say(
        `${place}, number ${i + 1}${before ? ` after "${before.slice(-40)}"` : ''}`,
        numbersA[i],
        numbersB[i] ?? 'nothing',
      );
      return;
    }
  }
}

function sameNumber(a: number, b: number, tolerance: number): boolean {
  return Object.is(a, b) || Math.abs(a - b) <= tolerance * Math.max(Math.abs(a), Math.abs(b));
}

function shown(text: string): string {
  return text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN)}...` : text;
}
