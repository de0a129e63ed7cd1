import { cellKind } from './cell-kind';
import { type Separator, splitCells } from './cells';
import { columnMeaning, namesTime } from './column-meaning';
import type { Sample, SampleLine } from './sample';

const SEPARATORS: readonly Separator[] = ['\t', ';', '|', ',', 'spaces'];
/** Rows below a header that prove it one, and lines among which they stand (units, a ruler, a blank line come first). */
const ROWS = 2;
const WITHIN = 6;

/**
 * Leaves the lines above the header out of what is looked at, where the header can be told by its words alone: it names a
 * time and a pressure, and rows of numbers stand below it. A long preamble of names and values is then not taken for data.
 * @param sample lines of the log
 * @returns the sample, its spread beginning at the header; the same sample where no header is that clear
 */
export function belowPreamble(sample: Sample): Sample {
  const { head, spread } = sample;
  const at = head.findIndex((line, i) => isClearHeader(line, head.slice(i + 1, i + 1 + WITHIN)));
  if (at <= 0) return sample;
  const below = spread.filter(({ line }) => line >= head[at].line);
  return below.length > ROWS ? { head, spread: below } : sample;
}

function isClearHeader({ text }: SampleLine, below: readonly SampleLine[]): boolean {
  const bare = text.replace(/^\s*[#%;!]+/, '');
  if (bare.length > 2000 || !/\p{L}/u.test(bare)) return false;
  return SEPARATORS.some((separator) => {
    const cells = splitCells(bare, separator).filter((cell) => cell !== '');
    if (cells.length < 2 || !cells.some(namesTime) || cells.some((cell) => cellKind(cell, '.') === 'number'))
      return false;
    if (!cells.some((cell) => columnMeaning(cell, '').quantity === 'pressure')) return false;
    return below.filter((line) => isRow(line.text, separator, cells.length)).length >= ROWS;
  });
}

/** About as many cells as the header names, and values in most of them. */
function isRow(text: string, separator: Separator, width: number): boolean {
  const cells = splitCells(text, separator);
  const values = cells.filter((cell) => ['number', 'stamp', 'word'].includes(cellKind(cell, '.'))).length;
  return cells.length >= width * 0.6 && cells.length <= 2 * width + 1 && values >= cells.length * 0.5 && values >= 2;
}
