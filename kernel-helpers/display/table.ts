/** A cell's text; several lines where it is a list. */
export type TableCell = string | readonly string[];

/** A table to show: all texts, whatever is in them is shown as it is. */
export interface ShownTable {
  readonly caption?: string;
  /** Heads of the columns; without any, the first cell of each row is that row's head. */
  readonly head: readonly string[];
  readonly rows: readonly (readonly TableCell[])[];
  /** A remark under the table, such as how many rows are not shown. */
  readonly note?: string;
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Writes text so that a page shows it as it is. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (mark) => entities[mark]);
}

/**
 * Words of a result as HTML: as they are, but that no line begins with the `%` that belongs to the number before it.
 */
export function wordsHtml(text: string): string {
  return escapeHtml(text).replace(/(\d) (?=%)/g, '$1\u00a0');
}

const lines = (cell: TableCell): readonly string[] => (typeof cell === 'string' ? [cell] : cell);
const cellHtml = (cell: TableCell): string => lines(cell).map(wordsHtml).join('<br>');

/** A word longer than this, such as a hash, may be broken anywhere: else it makes a table wider than a sheet of paper. */
const LONGEST_WORD = 40;
const holdsLongWord = (cell: TableCell): boolean => lines(cell).some((line) => longWord.test(line));
const longWord = new RegExp(`\\S{${LONGEST_WORD + 1}}`);

/** Notebooks set every cell flush right, which is for figures: words start at the left. */
const atLeft = ' style="text-align:left"';

const breakable = ' style="text-align:left;overflow-wrap:anywhere"';

/** Whether a column holds figures: most of its cells begin with one. */
function holdsFigures(rows: readonly (readonly TableCell[])[], k: number): boolean {
  const texts = rows.map((cells) => lines(cells[k] ?? '').join(' ')).filter((text) => text !== '');
  const figures = texts.filter((text) => /^[-+−±<>≤≥]?\s*\.?\d/.test(text) && text.length <= 40);
  return texts.length > 0 && 2 * figures.length > texts.length;
}

function rowHtml(cells: readonly TableCell[], hasHead: boolean, places: readonly string[]): string {
  const html = cells.map((cell, k) =>
    k === 0 && !hasHead
      ? `<th scope="row"${places[k]}>${cellHtml(cell)}</th>`
      : `<td${holdsLongWord(cell) ? breakable : places[k]}>${cellHtml(cell)}</td>`,
  );
  return `<tr>${html.join('')}</tr>`;
}

/**
 * A table as HTML of table elements alone, without script, link or id, and with no style but that words start at the
 * left and long ones may be broken: it looks the same in a notebook that is trusted, in one that is not, and in a page.
 */
export function tableHtml(table: ShownTable): string {
  const hasHead = table.head.length > 0;
  const width = Math.max(table.head.length, ...table.rows.map((cells) => cells.length));
  const places = Array.from({ length: width }, (_, k) => (hasHead && holdsFigures(table.rows, k) ? '' : atLeft));
  const caption = table.caption ? `<caption>${escapeHtml(table.caption)}</caption>` : '';
  // A head without words is none: a screen reader would announce it as empty.
  const heads = table.head
    .map((head, k) => (head === '' ? '<td></td>' : `<th scope="col"${places[k]}>${escapeHtml(head)}</th>`))
    .join('');
  const head = hasHead ? `<thead><tr>${heads}</tr></thead>` : '';
  const rows = table.rows.map((cells) => rowHtml(cells, hasHead, places)).join('\n');
  const note = table.note ? `<p>${escapeHtml(table.note)}</p>` : '';
  return `<table>${caption}${head}<tbody>\n${rows}\n</tbody></table>${note}`;
}

/** Widest cell of a table as text: longer lines are broken at blanks. */
const widestText = 60;

function broken(line: string): string[] {
  const parts: string[] = [];
  let rest = line;
  while (rest.length > widestText) {
    const blank = rest.lastIndexOf(' ', widestText);
    if (blank <= 0) break;
    parts.push(rest.slice(0, blank));
    rest = rest.slice(blank + 1);
  }
  return [...parts, rest];
}

/** Widest table as text: a wider one is told row by row. */
const widestTable = 132;

function columnsText(rows: readonly (readonly TableCell[])[], widths: readonly number[]): string[] {
  return rows.flatMap((cells) => {
    const parts = cells.map((cell) => lines(cell).flatMap(broken));
    const height = Math.max(1, ...parts.map((cell) => cell.length));
    return Array.from({ length: height }, (_, line) =>
      parts
        .map((cell, k) => (cell[line] ?? '').padEnd(widths[k]))
        .join('  ')
        .trimEnd(),
    );
  });
}

function blocksText({ head, rows }: ShownTable): string[] {
  return rows.flatMap(([first, ...rest]) => [
    lines(first).join(', '),
    ...rest.flatMap((cell, k) => {
      const [start = '', ...more] = lines(cell).flatMap(broken);
      return [`  ${head[k + 1]}: ${start}`, ...more.map((line) => `    ${line}`)];
    }),
  ]);
}

/** The same table for a terminal or a screen reader: columns lined up by blanks, or row by row where it is too wide. */
export function tableText(table: ShownTable): string {
  const rows = table.head.length > 0 ? [table.head, ...table.rows] : table.rows;
  const widths: number[] = [];
  for (const cells of rows) {
    for (const [k, cell] of cells.entries()) {
      widths[k] = Math.max(
        widths[k] ?? 0,
        ...lines(cell)
          .flatMap(broken)
          .map((line) => line.length),
      );
    }
  }
  const isWide = widths.reduce((sum, width) => sum + width + 2, 0) > widestTable;
  const body = isWide && table.head.length > 2 ? blocksText(table) : columnsText(rows, widths);
  return [table.caption, ...body, table.note].filter((line) => line !== undefined).join('\n');
}
