import { LogError } from '../errors';
import { findUnit } from '../units';
import { type CellKind, cellKind } from './cell-kind';
import { splitCells } from './cells';
import type { Dialect } from './dialect';
import type { Sample, SampleLine } from './sample';

/** What the cells of one column look like, counted over the sample. */
export interface ColumnLook {
  readonly kinds: Readonly<Record<CellKind, number>>;
  /** The kind of column: what most of its filled cells are. */
  readonly kind: 'number' | 'stamp' | 'text' | 'empty';
  /** Filled cells of the sample, in order. */
  readonly cells: readonly string[];
}

/** Where header, units and data are, and what the columns look like. */
export interface Layout {
  /** Lines counted from 1; 0 where there is none. */
  readonly headerLine: number;
  readonly unitsLine: number;
  readonly firstDataLine: number;
  readonly commentMark: string;
  readonly names: readonly string[];
  readonly unitCells: readonly string[];
  readonly looks: readonly ColumnLook[];
  /** Lines before the header, for units that are told there. */
  readonly preamble: readonly string[];
  readonly grounds: Readonly<Record<string, string>>;
}

const COMMENT = /^\s*(#|%|!|\/\/|;|\*|')/;
const MOST_COLUMNS = 5000;
/** Header and units stand at most so many lines above the data. */
const NEAR = 6;

/**
 * Finds header, units and the first line of data.
 * @param sample lines of the log
 * @param dialect how the cells are parted
 * @param file name for messages
 * @returns lines and looks
 * @throws LogError where no line looks like readings, or there are too many columns
 */
export function findLayout(sample: Sample, dialect: Dialect, file: string): Layout {
  const { separator, cells: width } = dialect;
  if (width > MOST_COLUMNS) {
    throw new LogError({ file, met: `${width} columns`, expected: `at most ${MOST_COLUMNS}`, remedy: 'cut the table' });
  }
  const rows = sample.spread.map(({ text }) => splitCells(text, separator)).filter((row) => row.length === width);
  const first = lookAt(rows, width, dialect);
  const data = sample.head.find((line, i) => isData(line, sample.head[i + 1], dialect, first));
  if (!data) throw noReadings(sample, file);
  const head = sample.head.filter(({ line }) => line < data.line);
  refuseDoubleUse(head, data, dialect, file);
  const header = findHeader(head, sample, data, dialect);
  const body = sample.spread.filter(({ line }) => line >= data.line);
  const bodyRows = body.map(({ text }) => splitCells(text, separator)).filter((row) => row.length >= width * 0.5);
  const looks = lookAt(bodyRows, width, dialect);
  refuseUnnamed(header, looks, data, dialect, file);
  const above = head.filter(({ line }) => line < (header.headerLine || data.line)).map(({ text }) => text);
  const { named: _, ...told } = header;
  return { ...told, firstDataLine: data.line, looks, preamble: above };
}

function noReadings(sample: Sample, file: string): LogError {
  const line = sample.spread.find(({ text }) => text.trim() !== '') ?? sample.spread[0];
  const met = `"${line.text.trim().slice(0, 60)}"`;
  const expected = 'rows of numbers under a header';
  return new LogError({ file, line: line.line, met, expected, remedy: 'no line looks like readings' });
}

function lookAt(rows: readonly (readonly string[])[], width: number, dialect: Dialect): ColumnLook[] {
  const most = Math.max(20, Math.min(400, Math.floor(60_000 / width)));
  const stride = Math.max(1, rows.length / most);
  const picked = Array.from({ length: Math.min(rows.length, most) }, (_, i) => rows[Math.floor(i * stride)]);
  return Array.from({ length: width }, (_, column) => {
    const kinds: Record<CellKind, number> = { empty: 0, number: 0, stamp: 0, word: 0, text: 0 };
    const cells: string[] = [];
    for (const row of picked) {
      const cell = row[column] ?? '';
      kinds[cellKind(cell, dialect.decimalMark)]++;
      if (cell !== '') cells.push(cell);
    }
    return { kinds, kind: mostly(kinds), cells };
  });
}

function mostly(kinds: Readonly<Record<CellKind, number>>): ColumnLook['kind'] {
  const { number, stamp, text, word } = kinds;
  if (number + stamp + text + word === 0) return 'empty';
  if (stamp > number && stamp >= text) return 'stamp';
  return number > 0 && number + word >= text ? 'number' : text > 0 ? 'text' : word > 0 ? 'number' : 'empty';
}

/** A line whose cells are values where the columns hold values, and that is not alone. */
function isData(
  line: SampleLine,
  next: SampleLine | undefined,
  dialect: Dialect,
  looks: readonly ColumnLook[],
): boolean {
  if (!fitsColumns(line.text, dialect, looks)) return false;
  return (
    next === undefined || next.text.trim() === '' || COMMENT.test(next.text) || fitsColumns(next.text, dialect, looks)
  );
}

function fitsColumns(text: string, dialect: Dialect, looks: readonly ColumnLook[]): boolean {
  if (text.trim() === '') return false;
  const cells = splitCells(text, dialect.separator);
  if (cells.length < looks.length * 0.5 || (cells.length < 2 && looks.length > 1)) return false;
  let values = 0;
  let numbers = 0;
  let filled = 0;
  for (let i = 0; i < looks.length; i++) {
    const { kind } = looks[i];
    const cell = cells[i] ?? '';
    if ((kind !== 'number' && kind !== 'stamp') || cell === '') continue;
    const met = cellKind(cell, dialect.decimalMark);
    filled++;
    if (met === 'number' || met === 'stamp') numbers++;
    if (met !== 'text') values++;
    if (met === 'text' && filled === 1) return false;
  }
  return numbers > 0 && values >= filled * 0.6;
}

type Header = Pick<Layout, 'headerLine' | 'unitsLine' | 'commentMark' | 'names' | 'unitCells' | 'grounds'> & {
  /** Cells of the header. */
  readonly named: number;
};

/** The nearest line above the data that could name its columns; a line of units between them is told by its units. */
function findHeader(head: readonly SampleLine[], sample: Sample, data: SampleLine, dialect: Dialect): Header {
  const marks = [...head, ...sample.head, ...sample.spread]
    .map(({ text }) => COMMENT.exec(text)?.[1])
    .filter((mark) => mark !== undefined);
  const commentMark = marks[0] ?? '';
  const near = head
    .filter(({ text, line }) => isWritten(text) && line >= data.line - NEAR * 3)
    .slice(-NEAR)
    .reverse();
  const width = dialect.cells;
  const lines = near.map((line) => ({ line, cells: headerCells(line.text, dialect) }));
  const fitting = lines.filter(({ cells }) => fitsHeader(cells, width));
  const none = {
    headerLine: 0,
    unitsLine: 0,
    commentMark,
    named: width,
    names: defaultNames([], width),
    unitCells: [],
  };
  if (fitting.length === 0) {
    return { ...none, grounds: { headerLine: 'no line above the data names its columns' } };
  }
  const [first, second] = fitting;
  if (second && isUnits(first.cells)) {
    const names = defaultNames(second.cells, width);
    const grounds = {
      headerLine: 'the line above the units',
      unitsLine: `units: ${first.cells.join(', ').slice(0, 80)}`,
    };
    const places = { headerLine: second.line.line, unitsLine: first.line.line };
    const named = Math.max(first.cells.length, second.cells.length);
    return { ...places, commentMark, named, names, unitCells: first.cells, grounds };
  }
  const names = defaultNames(first.cells, width);
  const grounds = { headerLine: 'the line of words above the data' };
  const named = first.cells.length;
  return { headerLine: first.line.line, unitsLine: 0, commentMark, named, names, unitCells: [], grounds };
}

/** Commas that part the cells and are the decimal mark as well: twice the cells that the header names. */
function refuseDoubleUse(head: readonly SampleLine[], data: SampleLine, dialect: Dialect, file: string): void {
  const { separator, cells: width, decimalMark } = dialect;
  const near = head.filter(({ text }) => isWritten(text)).at(-1);
  if (separator !== ',' || decimalMark !== '.' || width % 2 !== 0 || !near) return;
  const names = splitCells(near.text.replace(COMMENT, ''), separator).filter((cell) => cell !== '');
  const cells = splitCells(data.text, separator);
  const halves = cells.every((cell, i) => (i % 2 === 0 ? /^[-+]?\d*$/ : /^\d+(e[-+]?\d+)?$/i).test(cell));
  if (names.length * 2 !== width || !fitsHeader(names, names.length) || !halves) return;
  throw new LogError({
    file,
    line: data.line,
    met: `"${data.text.slice(0, 60)}", ${width} cells under ${names.length} names`,
    expected: 'commas that either part the cells or are the decimal mark',
    remedy: 'save the log with semicolons or with decimal points',
  });
}

/**
 * Fewer names than cells: which name belongs to which column cannot be told (a comma within a time or a number, a column of
 * row numbers without a name).
 */
function refuseUnnamed(
  header: Header,
  looks: readonly ColumnLook[],
  data: SampleLine,
  { separator, cells: width }: Dialect,
  file: string,
): void {
  const { named, headerLine } = header;
  if (headerLine === 0 || separator === 'spaces' || named >= width) return;
  const filled = looks
    .slice(named)
    .every(({ kind, kinds }) => kind !== 'text' && kind !== 'empty' && kinds.empty === 0);
  if (!filled) return;
  throw new LogError({
    file,
    line: data.line,
    met: `"${data.text.slice(0, 60)}", ${width} cells under ${named} names`,
    expected: 'a name for each column',
    remedy: 'name every column, or save the log with another separator than its numbers and times hold',
  });
}

/** Neither blank nor a ruler of hyphens. */
function isWritten(text: string): boolean {
  return /[\p{L}\d°%]/u.test(text);
}

/** Cells of a header: without its comment mark, and parted at wider gaps where single blanks part the data. */
function headerCells(text: string, dialect: Dialect): string[] {
  const bare = text.replace(COMMENT, '');
  const { separator, cells: width } = dialect;
  const plain = splitCells(bare, separator);
  if (plain.length === width || (separator !== 'spaces' && plain.length > 1)) return plain;
  const other = [',', ';', '\t', '|'].map((s) => bare.split(s).map((cell) => cell.trim()));
  const tried = [bare.trim().split(/\s{2,}|\t+/), gluedUnits(plain), ...other];
  const fitting =
    tried.find((cells) => cells.length === width) ?? tried.find((cells) => cells.length === width - 1 && width > 2);
  return fitting ? widened(fitting, width) : plain;
}

/** `Time (s) P (mbar)` in single blanks: a word in brackets belongs to the one before it. */
function gluedUnits(words: readonly string[]): string[] {
  const cells: string[] = [];
  for (const word of words) {
    const open = cells.length > 0 && (cells[cells.length - 1].match(/[([]/g)?.length ?? 0);
    const closed = cells.length > 0 && (cells[cells.length - 1].match(/[)\]]/g)?.length ?? 0);
    if (cells.length > 0 && (/^[([]/.test(word) || open !== closed)) cells[cells.length - 1] += ` ${word}`;
    else cells.push(word);
  }
  return cells;
}

/** One name for date and time that stand in two columns. */
function widened(cells: readonly string[], width: number): string[] {
  return cells.length === width ? [...cells] : [cells[0], `${cells[0]} (2)`, ...cells.slice(1)];
}

function fitsHeader(cells: readonly string[], width: number): boolean {
  const filled = cells.filter((cell) => cell !== '');
  if (filled.length < Math.max(1, Math.min(width, 2), width * 0.4) || cells.length > width + 2) return false;
  const words = filled.filter((cell) => /[\p{L}°%#]/u.test(cell) && !['number', 'stamp'].includes(cellKind(cell, '.')));
  return words.length >= filled.length * 0.6;
}

/** A line of units: every filled cell is a unit, a format of time, or brackets around one. */
function isUnits(cells: readonly string[]): boolean {
  const filled = cells.map((cell) => cell.replace(/^[[({]|[\])}]$/g, '').trim()).filter((cell) => cell !== '');
  const units = filled.filter((cell) => findUnit(cell) !== undefined || TIME_WORDS.test(cell));
  const named = filled.some((cell) => findUnit(cell) !== undefined && !/^(p|u|t)$/i.test(cell));
  return named && units.length >= filled.length * 0.75;
}

const TIME_WORDS =
  /^[-–—]+$|^(h?h:mm?(:ss?)?(\.[fs0]+)?|[dmy]+[./-][dmy]+[./-][dmy]+.*|iso.*|unix|utc|text|string|-|n\/a|none)$/i;

/** Names for all columns, each once: what the header says, `column 3` where it says nothing, `p (2)` for a second p. */
function defaultNames(cells: readonly string[], width: number): string[] {
  const seen = new Map<string, number>();
  return Array.from({ length: width }, (_, i) => {
    const name = (cells[i] ?? '').trim() || `column ${i + 1}`;
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return times === 1 ? name : `${name} (${times})`;
  });
}
