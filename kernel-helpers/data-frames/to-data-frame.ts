import type { DataFrame } from 'danfojs-node';
import { ArgumentError } from '../../src/errors';
import { type Channel, FLAG, type GaugeLog } from '../../src/log/gauge-log';
import { findUnit } from '../../src/units';
import { type ColumnTable, rowCount } from './column-table';

/** Which rows go into a frame. */
export interface DataFrameOptions {
  /** Most rows; danfo keeps every value twice and is slow beyond 100 000, which is the default. */
  readonly maxRows?: number;
  /** First row, from 0. */
  readonly from?: number;
  /** Last row, inclusive. */
  readonly to?: number;
}

const defaultMaxRows = 100_000;

/** A unit at the end of a header: `p1 / mbar`, `p1 [mbar]`, `p1 (mbar)`. */
const unitAtEnd = /\s*(?:\/\s*([^\s/[(][^/[(]*)|\[([^\]]+)\]|\(([^)]+)\))\s*$/;

/** Header of a frame's column for a channel, with the unit of its values: `p1 / Pa`, not `p1 / mbar / Pa`. */
function header({ name, unit, siUnit }: Channel): string {
  if (siUnit === '') return name;
  const written = unitAtEnd.exec(name);
  const label = written?.[1] ?? written?.[2] ?? written?.[3];
  const isItsUnit = label !== undefined && unit !== '' && findUnit(label)?.label === findUnit(unit)?.label;
  return `${isItsUnit ? name.replace(unitAtEnd, '') : name} / ${siUnit}`;
}

/** Flags of a reading in words, empty for a good one. */
function flagText(flags: number): string {
  const names = Object.entries(FLAG).filter(([, bit]) => bit !== 0 && (flags & bit) !== 0);
  return names.map(([name]) => name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)).join(', ');
}

function logColumns(log: GaugeLog): ColumnTable {
  const columns = new Map<string, ArrayLike<number> | readonly string[]>([['time / s', log.time]]);
  const add = (name: string, column: ArrayLike<number> | readonly string[]): void => {
    columns.set(columns.has(name) ? `${name}, column ${columns.size + 1}` : name, column);
  };
  for (const channel of log.channels) {
    add(header(channel), channel.texts ?? channel.values);
    if (channel.flags.some((flags) => flags !== FLAG.good)) {
      add(`${channel.name}, flags`, Array.from(channel.flags, flagText));
    }
  }
  return Object.fromEntries(columns);
}

function isLog(source: GaugeLog | ColumnTable): source is GaugeLog {
  return 'channels' in source && 'sha256' in source;
}

/**
 * A danfo frame of a log or of a table of columns. A log gives its time in seconds and its channels in SI, the unit in each
 * column's name; a channel that has flagged readings is followed by a column with their flags in words.
 * @param source a log, or columns of one length by name
 * @throws ArgumentError where there are more rows than `maxRows`: a part of them would look like the whole
 */
export function toDataFrame(source: GaugeLog | ColumnTable, options: DataFrameOptions = {}): DataFrame {
  const table = isLog(source) ? logColumns(source) : source;
  const rows = rowCount(table);
  const [from, to] = [Math.max(0, options.from ?? 0), Math.min(rows - 1, options.to ?? rows - 1)];
  const maxRows = options.maxRows ?? defaultMaxRows;
  const wanted = Math.max(0, to - from + 1);
  if (wanted > maxRows) {
    throw new ArgumentError(
      'rows of a data frame',
      wanted,
      `at most ${maxRows}; choose with from and to, or raise maxRows`,
    );
  }
  const columns = Object.values(table);
  const values = Array.from({ length: wanted }, (_, k) => columns.map((column) => column[from + k]));
  // Loaded with the first frame: nothing else here needs danfo, and it takes most of a second.
  const danfo = require('danfojs-node') as typeof import('danfojs-node');
  return new danfo.DataFrame(values, { columns: Object.keys(table), config: { lowMemoryMode: true } });
}
