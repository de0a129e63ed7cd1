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

const lines = (cell: TableCell): readonly string[] => (typeof cell === 'string' ? [cell] : cell);
const cellHtml = (cell: TableCell): string => lines(cell).map(escapeHtml).join('<br>');

function rowHtml(cells: readonly TableCell[], hasHead: boolean): string {
  const html = cells.map((cell, k) =>
    k === 0 && !hasHead ? `<th scope="row">${cellHtml(cell)}</th>` : `<td>${cellHtml(cell)}</td>`,
  );
  return `<tr>${html.join('')}</tr>`;
}

/**
 * A table as HTML of table elements alone, without style, script, link or id: it looks the same in a notebook that is
 * trusted, in one that is not, and in a page.
 */
export function tableHtml(table: ShownTable): string {
  const hasHead = table.head.length > 0;
  const caption = table.caption ? `<caption>${escapeHtml(table.caption)}</caption>` : '';
  // A head without words is none: a screen reader would announce it as empty.
  const heads = table.head
    .map((head) => (head === '' ? '<td></td>' : `<th scope="col">${escapeHtml(head)}</th>`))
    .join('');
  const head = hasHead ? `<thead><tr>${heads}</tr></thead>` : '';
  const rows = table.rows.map((cells) => rowHtml(cells, hasHead)).join('\n');
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
