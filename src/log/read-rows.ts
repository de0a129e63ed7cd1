import { LogError } from '../errors';
import type { ColumnDescription, LogDescription } from './description';
import { FLAG, type OddCell } from './gauge-log';
import { type Comment, LeftOutLines } from './left-out-lines';
import { trimmedEnd } from './lines';
import { numberAt, numberStop } from './number-text';
import { OddCells } from './odd-cells';
import { type LogText, textOf } from './open-log';
import { RowTime, type StampFacts } from './row-time';
import { stateNumber } from './states';

/** Rows as they stand in the file: raw numbers in the units of the file, before any flag is judged. */
export interface RawRows extends StampFacts {
  readonly rows: number;
  /** Seconds counted from `base`; NaN nowhere. */
  readonly time: Float64Array;
  /** Line in which each row stands, counted from 1. */
  readonly lines: Uint32Array;
  /** One for each column of role `channel`, in their order. */
  readonly values: readonly Float64Array[];
  readonly flags: readonly Uint8Array[];
  /** One for each column of role `text` or `remark`, in their order. */
  readonly texts: readonly (readonly string[])[];
  /** Comments among the data, with the row that follows. */
  readonly comments: readonly Comment[];
  readonly leftOut: Readonly<Record<string, number>>;
  readonly assumptions: readonly string[];
  /** The first cell of each channel that is no number. */
  readonly oddCells: readonly (OddCell | undefined)[];
}

/** Rows x channels that no honest log reaches for its size: guards against a table of empty cells. */
const CELLS_PER_BYTE = 2;
/** Longer texts are cut. */
const LONGEST_TEXT = 10_000;

const QUOTE = 34;
const BLANK = 32;
const TAB = 9;

const IGNORE = 0;
const NUMBER = 1;
const TEXT = 2;
const STATE = 3;
const TIME = 4;
const START = 5;

/**
 * Reads all rows by the description. Lines that are no rows are left out and counted by reason.
 * @param log the log as lines
 * @param description how it is written
 * @param onProgress told the share done, 0 to 1
 * @returns the rows, with what was left out and why
 * @throws LogError where a row contradicts the description
 */
export function readRows(log: LogText, description: LogDescription, onProgress?: (share: number) => void): RawRows {
  return new RowReader(log, description).read(onProgress);
}

/** The state of one pass over the rows; kept in fields because the loop touches all of it for every cell. */
class RowReader {
  private readonly bytes: Uint8Array;
  private readonly mark: number;
  private readonly width: number;
  private readonly kinds: Uint8Array;
  /** For each column, its place among the channels or texts. */
  private readonly place: Int32Array;
  private readonly values: Float64Array[];
  private readonly flags: Uint8Array[];
  private readonly texts: string[][];
  private readonly lastText: { start: number; end: number; text: string }[];
  private readonly times: RowTime;
  private readonly odd: OddCells;
  private readonly left: LeftOutLines;
  private readonly lineOf: Uint32Array;
  private row = 0;

  constructor(
    private readonly log: LogText,
    private readonly description: LogDescription,
  ) {
    this.bytes = log.bytes;
    this.mark = description.decimalMark === ',' ? 44 : 46;
    const { columns, time } = description;
    this.width = columns.length;
    const channels = columns.filter(({ role }) => role === 'channel');
    const texts = columns.filter(({ role }) => role === 'text' || role === 'remark');
    const most = mostRows(log, description, channels);
    this.kinds = new Uint8Array(this.width);
    this.place = new Int32Array(this.width);
    for (let i = 0; i < this.width; i++) {
      const { role, states, column } = columns[i];
      if (role === 'channel') {
        this.kinds[i] = states ? STATE : NUMBER;
        this.place[i] = channels.indexOf(columns[i]);
      } else if (role === 'text' || role === 'remark') {
        this.kinds[i] = TEXT;
        this.place[i] = texts.indexOf(columns[i]);
      } else if (time.columns.includes(column)) this.kinds[i] = TIME;
      else if (time.startColumn === column) this.kinds[i] = START;
    }
    this.values = channels.map(() => new Float64Array(most));
    this.flags = channels.map(() => new Uint8Array(most));
    this.texts = texts.map(() => []);
    this.lastText = texts.map(() => ({ start: 0, end: 0, text: '' }));
    this.times = new RowTime(log.bytes, description, most);
    this.lineOf = new Uint32Array(most);
    this.odd = new OddCells(log, channels, description.decimalMark);
    this.left = new LeftOutLines(log, description);
  }

  read(onProgress?: (share: number) => void): RawRows {
    const { lines } = this.log;
    const count = lines.length - 1;
    const spaces = this.description.separator === 'spaces';
    const separator = spaces ? BLANK : this.description.separator.charCodeAt(0);
    for (let line = this.description.firstDataLine - 1; line < count; line++) {
      if (onProgress && (line & 0xffff) === 0) onProgress(line / count);
      const start = lines[line];
      const end = trimmedEnd(this.bytes, start, lines[line + 1]);
      const cells = spaces ? this.cellsAtBlanks(start, end) : this.cellsAt(start, end, separator);
      if (cells > 0 && this.times.finish(this.row)) this.keepRow(cells, line);
      else this.leaveOut(line, start, end, cells);
    }
    return this.result();
  }

  /** Reads the cells of a line parted by one character; returns how many there were. */
  private cellsAt(start: number, end: number, separator: number): number {
    const { bytes, kinds, width } = this;
    this.beginRow();
    let at = start;
    let column = 0;
    while (at <= end && column < width) {
      let from = at;
      while (from < end && (bytes[from] === BLANK || (bytes[from] === TAB && separator !== TAB))) from++;
      let stop = from;
      let to: number;
      if (from < end && bytes[from] === QUOTE) {
        const close = this.closeOf(from, end, separator);
        if (close >= 0) {
          stop = close + 1;
          while (stop < end && bytes[stop] !== separator) stop++;
          from++;
          to = close;
        } else {
          while (stop < end && bytes[stop] !== separator) stop++;
          to = stop;
        }
      } else {
        while (stop < end && bytes[stop] !== separator) stop++;
        to = stop;
      }
      if (kinds[column] !== IGNORE) {
        while (to > from && (bytes[to - 1] === BLANK || bytes[to - 1] === TAB)) to--;
        this.cell(column, from, to);
      }
      column++;
      at = stop + 1;
      if (stop >= end) break;
    }
    return start >= end ? 0 : column;
  }

  private closeOf(opening: number, end: number, separator: number): number {
    const { bytes } = this;
    for (let i = opening + 1; i < end; i++) {
      if (bytes[i] !== QUOTE) continue;
      if (bytes[i + 1] === QUOTE && i + 1 < end) {
        i++;
        continue;
      }
      let next = i + 1;
      while (next < end && bytes[next] === BLANK) next++;
      if (next >= end || bytes[next] === separator) return i;
    }
    return -1;
  }

  private cellsAtBlanks(start: number, end: number): number {
    const { bytes, kinds, width } = this;
    this.beginRow();
    let at = start;
    let column = 0;
    while (column < width) {
      while (at < end && (bytes[at] === BLANK || bytes[at] === TAB)) at++;
      if (at >= end) break;
      let stop = at;
      let from = at;
      let to: number;
      const close = bytes[at] === QUOTE ? bytes.indexOf(QUOTE, at + 1) : -1;
      if (close > 0 && close < end) {
        from = at + 1;
        to = close;
        stop = close + 1;
      } else {
        while (stop < end && bytes[stop] !== BLANK && bytes[stop] !== TAB) stop++;
        to = stop;
      }
      if (kinds[column] !== IGNORE) this.cell(column, from, to);
      column++;
      at = stop;
    }
    return column;
  }

  private beginRow(): void {
    this.times.beginRow();
    const { row } = this;
    for (let i = 0; i < this.values.length; i++) {
      this.values[i][row] = Number.NaN;
      this.flags[i][row] = FLAG.missing;
    }
  }

  private cell(column: number, from: number, to: number): void {
    switch (this.kinds[column]) {
      case NUMBER: {
        const value = numberAt(this.bytes, from, to, this.mark);
        const place = this.place[column];
        if (numberStop.at === to && !Number.isNaN(value)) {
          this.values[place][this.row] = value;
          this.flags[place][this.row] = Number.isFinite(value) ? FLAG.good : FLAG.overRange;
        } else {
          const reading = this.odd.read(place, from, to);
          this.values[place][this.row] = reading.value;
          this.flags[place][this.row] = reading.flag;
        }
        break;
      }
      case TIME:
        this.times.cell(column, from, to);
        break;
      case TEXT:
        this.textCell(this.place[column], from, to);
        break;
      case STATE: {
        const value = stateNumber(textOf(this.log, from, to)) ?? numberAt(this.bytes, from, to, this.mark);
        this.values[this.place[column]][this.row] = value;
        this.flags[this.place[column]][this.row] = Number.isNaN(value) ? FLAG.missing : FLAG.good;
        break;
      }
      default:
        this.times.startCell(from, to);
    }
  }

  private textCell(place: number, from: number, to: number): void {
    const last = this.lastText[place];
    const length = to - from;
    let same = length === last.end - last.start;
    for (let i = 0; same && i < length; i++) same = this.bytes[from + i] === this.bytes[last.start + i];
    if (!same || (length === 0 && last.text !== '')) {
      last.start = from;
      last.end = to;
      last.text = textOf(this.log, from, Math.min(to, from + LONGEST_TEXT)).replaceAll('""', '"');
    }
    this.texts[place][this.row] = last.text;
  }

  /** A row that breaks off counts only if it is not the last line, which a crash may have cut anywhere. */
  private keepRow(cells: number, line: number): void {
    const last = line === this.log.lines.length - 2;
    if (last && cells < this.width && this.isCutShort(cells)) {
      this.left.addCut(line);
      return;
    }
    for (let i = 0; i < this.texts.length; i++) this.texts[i][this.row] ??= '';
    this.lineOf[this.row] = line + 1;
    this.row++;
  }

  private isCutShort(cells: number): boolean {
    if (this.row === 0) return false;
    return this.description.columns.some(({ role, column }) => role === 'channel' && column > cells);
  }

  private leaveOut(line: number, start: number, end: number, cells: number): void {
    const { row } = this;
    for (const texts of this.texts) if (texts.length > row) texts.length = row;
    const readable = this.values.some((values, i) => cells > 1 && this.flags[i][row] === 0 && values[row] > 0);
    this.left.add(line, start, end, row, readable);
  }

  private result(): RawRows {
    const { row } = this;
    this.left.judge(row);
    for (const texts of this.texts) texts.length = row;
    return {
      ...this.times.facts(),
      rows: row,
      time: this.times.time.subarray(0, row).slice(),
      lines: this.lineOf.slice(0, row),
      values: this.values.map((values) => values.slice(0, row)),
      flags: this.flags.map((flags) => flags.slice(0, row)),
      texts: this.texts,
      comments: this.left.comments,
      leftOut: this.left.counts,
      assumptions: [...this.left.said(), ...this.odd.said()],
      oddCells: this.odd.first,
    };
  }
}

/** Rows that the lines of data could be. */
function mostRows(log: LogText, description: LogDescription, channels: readonly ColumnDescription[]): number {
  const most = Math.max(0, log.lines.length - description.firstDataLine);
  if (most * channels.length <= log.bytes.length * CELLS_PER_BYTE + 1e6) return most;
  const met = `${channels.length} channels over ${most} lines in only ${log.bytes.length} bytes`;
  throw new LogError({ file: log.file, met, expected: 'rows that fill their columns' });
}
