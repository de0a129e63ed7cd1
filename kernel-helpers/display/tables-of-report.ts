import type { Report } from '../../src/investigation';
import type { ShownTable } from './table';

/** A report as tables, one a section; with two columns they have heads. */
export function tablesOfReport({ title, columns, sections }: Report): ShownTable[] {
  return sections.map((section, i) => ({
    caption: i === 0 ? `${title}: ${section.title}` : section.title,
    head: section.rows.some(({ values }) => values.length > 1) ? ['', ...columns] : [],
    rows: section.rows.map(({ what, values }) => [what, ...values]),
  }));
}
