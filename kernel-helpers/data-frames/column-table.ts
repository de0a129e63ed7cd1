import { ArgumentError } from '../../src/errors';

/** A table as columns of one length: what danfo frames are made from and turned back into. */
export type ColumnTable = Readonly<Record<string, ArrayLike<number> | readonly string[]>>;

/**
 * Number of rows of a table.
 * @throws ArgumentError where its columns are of different lengths
 */
export function rowCount(table: ColumnTable): number {
  const entries = Object.entries(table);
  const rows = entries.length > 0 ? entries[0][1].length : 0;
  const other = entries.find(([, column]) => column.length !== rows);
  if (other) throw new ArgumentError(`column "${other[0]}"`, other[1].length, `${rows} rows, as in the first column`);
  return rows;
}
