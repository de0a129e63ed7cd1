/** Beyond this many comparisons texts are compared line by line only. */
const mostComparisons = 6e6;
const token = /[\p{L}_$][\p{L}\p{N}_$]*|\d[\w.]*|"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|[^\s\p{L}_$\d]/gu;

interface Token {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/**
 * Finds the line of a source that a place in its translation comes from. tslab keeps no source maps; but a translation
 * is its source without types, with a little around it, so the longest common run of words shows which belong together.
 * @param source text of the cell, TypeScript
 * @param translation text that was run, JavaScript
 * @param line line in the translation, from 1
 * @param column column in the translation, from 1
 * @returns line in the source, from 1, or null where nothing of that line is in the source
 */
export function lineInSource(source: string, translation: string, line: number, column: number): number | null {
  const there = tokensOf(translation);
  const here = tokensOf(source);
  const at = there.findIndex((word) => word.line > line || (word.line === line && word.column >= column));
  const place = at < 0 ? there.length - 1 : at;
  if (place < 0 || here.length === 0) return null;
  if (here.length * there.length > mostComparisons) return lineWithSameText(source, translation, line);
  const partner = align(here, there);
  const sameLine = there.flatMap((word, i) => (word.line === line && partner[i] >= 0 ? [i] : []));
  if (sameLine.length === 0) return null;
  const nearest = sameLine.reduce((best, i) => (Math.abs(i - place) < Math.abs(best - place) ? i : best));
  return here[partner[nearest]].line;
}

function tokensOf(text: string): Token[] {
  return text
    .split('\n')
    .flatMap((words, i) =>
      [...words.matchAll(token)].map((match) => ({ text: match[0], line: i + 1, column: (match.index ?? 0) + 1 })),
    );
}

/** For each word of `there` the word of `here` that it belongs to in a longest common subsequence, or -1. */
function align(here: readonly Token[], there: readonly Token[]): Int32Array {
  const width = here.length + 1;
  const lengths = new Uint16Array((there.length + 1) * width);
  for (let i = there.length - 1; i >= 0; i--) {
    for (let j = here.length - 1; j >= 0; j--) {
      const skip = Math.max(lengths[(i + 1) * width + j], lengths[i * width + j + 1]);
      lengths[i * width + j] = there[i].text === here[j].text ? lengths[(i + 1) * width + j + 1] + 1 : skip;
    }
  }
  const partner = new Int32Array(there.length).fill(-1);
  for (let i = 0, j = 0; i < there.length && j < here.length; ) {
    if (there[i].text === here[j].text) partner[i++] = j++;
    else if (lengths[(i + 1) * width + j] >= lengths[i * width + j + 1]) i++;
    else j++;
  }
  return partner;
}

function lineWithSameText(source: string, translation: string, line: number): number | null {
  const wanted = translation.split('\n')[line - 1]?.replace(/\bexports\.|\s/g, '') ?? '';
  const found = source.split('\n').findIndex((text) => text.replace(/\s/g, '') === wanted);
  return found < 0 ? null : found + 1;
}
