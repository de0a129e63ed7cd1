import { cellKind } from './cell-kind';
import { type Separator, splitCells } from './cells';
import type { LogDescription } from './description';
import type { SampleLine } from './sample';

/** How cells are parted and numbers written. */
export interface Dialect {
  readonly separator: Separator;
  readonly decimalMark: LogDescription['decimalMark'];
  /** Cells in most rows. */
  readonly cells: number;
  readonly grounds: Readonly<Record<string, string>>;
  /** The decimal mark cannot be told: `1,013` could be either. */
  readonly markOpen: boolean;
}

/** In the order of preference where two explain the lines equally well. */
const CANDIDATES: readonly Separator[] = ['\t', ';', '|', ',', 'spaces'];

const NAME_OF: Readonly<Record<Separator, string>> = {
  '\t': 'tab',
  ';': 'semicolon',
  '|': 'pipe',
  ',': 'comma',
  spaces: 'runs of blanks',
};

/**
 * Finds what parts the cells and which decimal mark is used, by how well each choice explains lines from all over.
 * @param lines from all over the log
 * @param wanted what a person said
 * @returns separator and decimal mark, with grounds
 */
export function findDialect(
  lines: readonly SampleLine[],
  wanted: { readonly separator?: Separator; readonly decimalMark?: LogDescription['decimalMark'] },
): Dialect {
  const candidates = wanted.separator ? [wanted.separator] : CANDIDATES;
  const tried = candidates.map((separator) => tryDialect(lines, separator, wanted.decimalMark));
  const best = tried.reduce((a, b) => (b.score > a.score * 1.02 ? b : a));
  const { separator, decimalMark, markOpen } = best;
  const share = Math.round(best.consistent * 100);
  const grounds = {
    separator: wanted.separator
      ? `${NAME_OF[separator]}: told`
      : `${NAME_OF[separator]}: ${share} % of the lines then have ${best.cells} cell${best.cells === 1 ? '' : 's'}`,
    decimalMark: wanted.decimalMark ? `told` : best.markGrounds,
  };
  return { separator, decimalMark, cells: best.cells, grounds, markOpen };
}

interface Trial {
  readonly separator: Separator;
  readonly decimalMark: '.' | ',';
  readonly markGrounds: string;
  readonly markOpen: boolean;
  readonly cells: number;
  readonly consistent: number;
  readonly score: number;
}

function tryDialect(lines: readonly SampleLine[], separator: Separator, told?: '.' | ','): Trial {
  const rows = lines.map(({ text }) => splitCells(text, separator));
  const cells = commonLength(rows);
  const kept = rows.filter((row) => row.length === cells);
  const consistent = kept.length / rows.length;
  const mark = told ? { decimalMark: told, markGrounds: 'told', markOpen: false } : findMark(kept, separator);
  let valued = 0;
  let all = 0;
  for (const row of kept.slice(0, 200)) {
    for (const cell of row) {
      // A comma at the end of a word parts it from an empty cell: the blank before it does not part cells.
      const kind = separator === 'spaces' && /[,;|]$/.test(cell) ? 'text' : cellKind(cell, mark.decimalMark);
      all++;
      valued += kind === 'text' ? 0 : kind === 'empty' ? 0.5 : 1;
    }
  }
  const share = valued / Math.max(all, 1);
  const score = consistent * (0.05 + share) * (cells > 1 ? 1 : 0.6);
  return { separator, ...mark, cells, consistent, score };
}

/**
 * The length that most rows have, the longer one where two are equally common; ones with a single cell count little.
 */
function commonLength(rows: readonly (readonly string[])[]): number {
  const counts = new Map<number, number>();
  for (const { length } of rows) counts.set(length, (counts.get(length) ?? 0) + 1);
  let best = 1;
  let most = 0;
  for (const [length, count] of counts) {
    const weight = length > 1 ? count : count * 0.3;
    if (weight > most || (weight === most && length > best)) [best, most] = [length, weight];
  }
  return best;
}

/**
 * A number such as 101.320 in a column where no number has another count of decimals and some have none: its point may
 * part thousands. Numbers below ten do not count, for four digits of them look the same (1.425, 175).
 */
function pointsThatPart(rows: readonly (readonly string[])[]): string | undefined {
  const width = rows[0]?.length ?? 0;
  for (let column = 0; column < width; column++) {
    const cells = rows.map((row) => row[column]).filter((cell) => cell !== undefined && /^[-+]?\d/.test(cell));
    const parted = cells.filter((cell) => /^[-+]?[1-9]\d{1,2}\.\d{3}$/.test(cell));
    const whole = cells.filter((cell) => /^[-+]?[1-9]\d{0,2}$/.test(cell));
    const others = cells.filter((cell) => !/^[-+]?(?:[1-9]\d{0,2}(?:\.\d{3})*|0)$/.test(cell));
    if (parted.length > 0 && whole.length > 0 && others.length === 0) return parted[0];
  }
  return undefined;
}

/** Tells point from comma by numbers that only one of them explains. */
function findMark(
  rows: readonly (readonly string[])[],
  separator: Separator,
): Pick<Trial, 'decimalMark' | 'markGrounds' | 'markOpen'> {
  let comma = 0;
  let point = 0;
  let either = 0;
  let example = '';
  for (const row of rows) {
    for (const cell of row) {
      const text = cell.replace(/^[<>≤≥]\s*=?\s*/, '').replace(/\s*[A-Za-zµ%°]+$/, '');
      if (/^[-+]?\d{1,3}(\.\d{3})+,\d+$/.test(text)) comma += 3;
      else if (/^[-+]?\d{1,3}(,\d{3})+\.\d+$/.test(text)) point += 3;
      else if (/^[-+]?[1-9]\d{0,2},\d{3}$/.test(text)) {
        either++;
        example = text;
      } else if (/^[-+]?\d*,\d+([ed][-+]?\d+)?$/i.test(text)) comma++;
      else if (/^[-+]?\d*\.\d+([ed][-+]?\d+)?$/i.test(text)) point++;
    }
  }
  if (separator === ',' && comma <= point)
    return { decimalMark: '.', markGrounds: 'commas part the cells', markOpen: false };
  if (comma > point) return { decimalMark: ',', markGrounds: `${comma} numbers with a comma`, markOpen: false };
  if (point === 0 && either > 0) {
    return { decimalMark: ',', markGrounds: `numbers such as ${example} could be either`, markOpen: true };
  }
  const parted = separator === ',' ? undefined : pointsThatPart(rows);
  if (parted !== undefined) {
    return {
      decimalMark: '.',
      markGrounds: `numbers such as ${parted} beside whole ones could be either`,
      markOpen: true,
    };
  }
  const markGrounds = point > 0 ? `${point} numbers with a point` : 'no number has a decimal mark';
  return { decimalMark: '.', markGrounds, markOpen: false };
}
