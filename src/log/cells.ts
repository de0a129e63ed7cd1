import type { LogDescription } from './description';

/** What parts the cells of a line; `spaces` stands for runs of blanks and tabs. */
export type Separator = LogDescription['separator'];

/**
 * Splits one line into its cells, for looking at a few lines; the reading loop does not come through here.
 * @param line a line without its ending
 * @param separator what parts the cells
 * @returns the cells without surrounding blanks; quotes are taken off, doubled quotes inside made single
 */
export function splitCells(line: string, separator: Separator): string[] {
  if (separator === 'spaces') return splitAtBlanks(line);
  if (!line.includes('"')) return line.split(separator).map((cell) => cell.trim());
  const cells: string[] = [];
  let at = 0;
  while (at <= line.length) {
    const opening = skipBlanks(line, at, separator);
    const close = line[opening] === '"' ? closingQuote(line, opening, separator) : -1;
    const end = line.indexOf(separator, close >= 0 ? close : at);
    const stop = end < 0 ? line.length : end;
    const inner = close >= 0 ? line.slice(opening + 1, close).replaceAll('""', '"') : line.slice(at, stop).trim();
    cells.push(inner);
    at = stop + 1;
  }
  return cells;
}

function splitAtBlanks(line: string): string[] {
  const cells = line.trim().match(/"[^"]*"|\S+/g) ?? [];
  return cells.map((cell) => (/^".*"$/.test(cell) ? cell.slice(1, -1) : cell));
}

function skipBlanks(line: string, from: number, separator: string): number {
  let at = from;
  while (line[at] === ' ' || (line[at] === '\t' && separator !== '\t')) at++;
  return at;
}

/** A quote closes a cell only before a separator or the end of the line; a lone one (5" pipe) is part of the text. */
function closingQuote(line: string, opening: number, separator: string): number {
  for (let at = opening + 1; at < line.length; at++) {
    if (line[at] !== '"') continue;
    if (line[at + 1] === '"') {
      at++;
      continue;
    }
    const next = skipBlanks(line, at + 1, separator);
    if (next >= line.length || line[next] === separator) return at;
  }
  return -1;
}
