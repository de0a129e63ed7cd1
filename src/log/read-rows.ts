import { LogError } from '../errors';
import { findUnit } from '../units';
import { splitCells } from './cells';
import type { ColumnDescription, LogDescription, TimeFormat } from './description';
import { FLAG } from './gauge-log';
import { isBlank, trimmedEnd } from './lines';
import { numberAt, numberStop } from './number-text';
import { type LogText, textOf } from './open-log';
import { type Reading, readReading } from './reading-text';
import { type DateOrder, newStamp, readStamp } from './stamp-text';
import { stateNumber } from './states';

/** Rows as they stand in the file: raw numbers in the units of the file, before any flag is judged. */
export interface RawRows {
  readonly rows: number;
  /** Seconds counted from `base`; NaN nowhere. */
  readonly time: Float64Array;
  /** Whole seconds since 1970 (or since 0:00) that `time` counts from. */
  readonly base: number;
  /** The first stamp's fraction of a second, contained in `time[0]`. */
  readonly hasDate: boolean;
  readonly hasZone: boolean;
  /** Largest hour met as written, for telling clocks of 12 hours. */
  readonly largestHour: number;
  readonly hasHalfDay: boolean;
  /** One for each column of role `channel`, in their order. */
  readonly values: readonly Float64Array[];
  readonly flags: readonly Uint8Array[];
  /** One for each column of role `text` or `remark`, in their order. */
  readonly texts: readonly (readonly string[])[];
  /** Comments among the data, with the row that follows. */
  readonly comments: readonly { readonly row: number; readonly text: string }[];
  readonly leftOut: Readonly<Record<string, number>>;
  readonly assumptions: readonly string[];
  /** Seconds since 1970 of the first dated stamp in `startColumn`, or NaN. */
  readonly startStamp: number;
}

const SECONDS_IN: Partial<Record<TimeFormat, number>> = {
  microseconds: 1e-6,
  milliseconds: 1e-3,
  seconds: 1,
  'unit open': 1,
  minutes: 60,
  hours: 3600,
  days: 86400,
  'epoch s': 1,
  'epoch ms': 1e-3,
  'epoch us': 1e-6,
  'epoch ns': 1e-9,
  'epoch 1904 s': 1,
  'spreadsheet days': 86400,
};

/** Seconds from 1970 to the moment from which a format counts. */
const ORIGIN: Partial<Record<TimeFormat, number>> = {
  'epoch s': 0,
  'epoch ms': 0,
  'epoch us': 0,
  'epoch ns': 0,
  'epoch 1904 s': -2082844800,
  'spreadsheet days': -2209161600,
};

const ORDER_OF: Partial<Record<TimeFormat, DateOrder>> = {
  'month-day-year': 'mdy',
  'year-month-day': 'ymd',
  iso: 'ymd',
};

/** More distinct odd cells than this are read anew each time. */
const REMEMBERED = 5000;
/** Rows x channels that no honest log reaches for its size: guards against a table of empty cells. */
const CELLS_PER_BYTE = 2;

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
  private readonly channels: ColumnDescription[];
  private readonly values: Float64Array[];
  private readonly flags: Uint8Array[];
  private readonly texts: string[][];
  private readonly lastText: { start: number; end: number; text: string }[];
  private readonly time: Float64Array;
  private readonly odd: Map<string, Reading>[];
  private readonly scale: number;
  private readonly order: DateOrder;
  private readonly stamped: boolean;
  /** Times of two fields are minutes and seconds. */
  private readonly minutesFirst: boolean;
  private readonly stamp = newStamp();
  private readonly scratch = new Uint8Array(200);
  private scratchEnd = 0;
  private timeCells = 0;
  private timeStart = 0;
  private timeEnd = 0;
  private row = 0;
  private base = 0;
  private startStamp = Number.NaN;
  private largestHour = 0;
  private hasDate = false;
  private hasZone = false;
  private hasHalfDay = false;
  private readonly leftOut: Record<string, number> = {};
  private readonly firstLeft: Record<string, number> = {};
  private readonly comments: { row: number; text: string }[] = [];
  private otherHeaders = 0;
  private garbled = 0;
  private firstGarbled = '';

  constructor(
    private readonly log: LogText,
    private readonly description: LogDescription,
  ) {
    this.bytes = log.bytes;
    this.mark = description.decimalMark === ',' ? 44 : 46;
    const { columns, time } = description;
    this.width = columns.length;
    this.channels = columns.filter(({ role }) => role === 'channel');
    const texts = columns.filter(({ role }) => role === 'text' || role === 'remark');
    const most = Math.max(0, log.lines.length - description.firstDataLine);
    if (most * this.channels.length > log.bytes.length * CELLS_PER_BYTE + 1e6) {
      const met = `${this.channels.length} channels over ${most} lines in only ${log.bytes.length} bytes`;
      throw new LogError({ file: log.file, met, expected: 'rows that fill their columns' });
    }
    this.kinds = new Uint8Array(this.width);
    this.place = new Int32Array(this.width);
    for (let i = 0; i < this.width; i++) {
      const { role, states, column } = columns[i];
      if (role === 'channel') {
        this.kinds[i] = states ? STATE : NUMBER;
        this.place[i] = this.channels.indexOf(columns[i]);
      } else if (role === 'text' || role === 'remark') {
        this.kinds[i] = TEXT;
        this.place[i] = texts.indexOf(columns[i]);
      } else if (time.columns.includes(column)) this.kinds[i] = TIME;
      else if (time.startColumn === column) this.kinds[i] = START;
    }
    this.values = this.channels.map(() => new Float64Array(most));
    this.flags = this.channels.map(() => new Uint8Array(most));
    this.texts = texts.map(() => []);
    this.lastText = texts.map(() => ({ start: 0, end: 0, text: '' }));
    this.odd = this.channels.map(() => new Map<string, Reading>());
    this.time = new Float64Array(most);
    this.scale = SECONDS_IN[time.format] ?? 1;
    this.stamped = SECONDS_IN[time.format] === undefined && time.format !== 'rows';
    this.minutesFirst = time.format === 'elapsed m:s' || time.format === 'two fields open';
    this.order = ORDER_OF[time.format] ?? 'dmy';
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
      if (cells > 0 && this.finishTime()) this.keepRow(cells, line);
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
    this.timeCells = 0;
    this.scratchEnd = 0;
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
        } else this.oddCell(place, from, to);
        break;
      }
      case TIME:
        this.timeCell(from, to);
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
        if (Number.isNaN(this.startStamp) && readStamp(this.bytes, from, to, this.order, this.stamp)) {
          this.startStamp = this.stamp.seconds;
        }
    }
  }

  /** Words, bounds, units in cells: read once for each different text. */
  private oddCell(place: number, from: number, to: number): void {
    const text = to - from > 200 ? '' : textOf(this.log, from, to);
    const known = this.odd[place];
    let reading = known.get(text);
    if (reading === undefined) {
      reading = this.inColumnUnit(readReading(text, this.description.decimalMark), this.channels[place]);
      if (known.size < REMEMBERED) known.set(text, reading);
    }
    this.values[place][this.row] = reading.value;
    this.flags[place][this.row] = reading.flag;
    if (!reading.understood) {
      if (this.garbled === 0) this.firstGarbled = `"${text.slice(0, 40)}" in column "${this.channels[place].name}"`;
      this.garbled++;
    }
  }

  /** A cell that names another unit than its column (a display that changes its range) is converted. */
  private inColumnUnit(reading: Reading, column: ColumnDescription): Reading {
    if (reading.suffix === '' || column.unit === '') return reading;
    const [here, there] = [findUnit(reading.suffix), findUnit(column.unit)];
    if (!here || !there || here.dimension !== there.dimension) {
      return { value: Number.NaN, flag: FLAG.missing, suffix: '', understood: false };
    }
    if (here.scale === there.scale && here.offset === there.offset) return reading;
    return { ...reading, value: (reading.value * here.scale + here.offset - there.offset) / there.scale };
  }

  private textCell(place: number, from: number, to: number): void {
    const last = this.lastText[place];
    const length = to - from;
    let same = length === last.end - last.start;
    for (let i = 0; same && i < length; i++) same = this.bytes[from + i] === this.bytes[last.start + i];
    if (!same || (length === 0 && last.text !== '')) {
      last.start = from;
      last.end = to;
      last.text = textOf(this.log, from, Math.min(to, from + 10_000)).replaceAll('""', '"');
    }
    this.texts[place][this.row] = last.text;
  }

  private timeCell(from: number, to: number): void {
    this.timeCells++;
    if (this.description.time.columns.length === 1) {
      this.timeStart = from;
      this.timeEnd = to;
      return;
    }
    const length = Math.min(to - from, 60);
    if (this.scratchEnd + length + 1 > this.scratch.length) return;
    for (let i = 0; i < length; i++) this.scratch[this.scratchEnd++] = this.bytes[from + i];
    this.scratch[this.scratchEnd++] = BLANK;
  }

  /** Reads the time of the row; false where it has none. */
  private finishTime(): boolean {
    const { columns, format, stepS = 1 } = this.description.time;
    if (format === 'rows') {
      this.time[this.row] = this.row * stepS;
      return true;
    }
    if (this.timeCells < columns.length) return false;
    const joined = columns.length > 1;
    const bytes = joined ? this.scratch : this.bytes;
    const from = joined ? 0 : this.timeStart;
    const to = joined ? this.scratchEnd - 1 : this.timeEnd;
    if (!this.stamped) {
      const value = numberAt(bytes, from, to, this.mark);
      if (numberStop.at !== to || !(Math.abs(value) < 1e20)) return false;
      return this.keepNumber(value);
    }
    if (to <= from || !readStamp(bytes, from, to, this.order, this.stamp)) return false;
    return this.keepStamp();
  }

  private keepNumber(value: number): boolean {
    if (this.row === 0) this.base = value;
    this.time[this.row] = (value - this.base) * this.scale;
    return true;
  }

  private keepStamp(): boolean {
    const { stamp } = this;
    const { fraction } = stamp;
    let { seconds } = stamp;
    if (stamp.timeFields === 2 && this.minutesFirst) {
      seconds = stamp.seconds / 60;
    }
    if (this.row === 0) {
      this.base = seconds;
      this.hasDate = stamp.hasDate;
      this.hasZone = stamp.hasZone;
    } else if (stamp.hasDate !== this.hasDate) return false;
    if (stamp.hours > this.largestHour) this.largestHour = stamp.hours;
    if (stamp.hasHalfDay) this.hasHalfDay = true;
    this.time[this.row] = seconds - this.base + fraction;
    return true;
  }

  /** A row that breaks off counts only if it is not the last line, which a crash may have cut anywhere. */
  private keepRow(cells: number, line: number): void {
    const last = line === this.log.lines.length - 2;
    if (last && cells < this.width && this.isCutShort(cells)) {
      this.count('last line, cut short', line);
      return;
    }
    for (let i = 0; i < this.texts.length; i++) this.texts[i][this.row] ??= '';
    this.row++;
  }

  private isCutShort(cells: number): boolean {
    if (this.row === 0) return false;
    return this.description.columns.some(({ role, column }) => role === 'channel' && column > cells);
  }

  private leaveOut(line: number, start: number, end: number, cells: number): void {
    for (const texts of this.texts) if (texts.length > this.row) texts.length = this.row;
    this.count(this.reasonFor(line, start, end, cells), line);
  }

  private reasonFor(line: number, start: number, end: number, cells: number): string {
    if (isBlank(this.bytes, start, end)) return 'blank lines';
    const { commentMark, headerLine, unitsLine } = this.description;
    if (commentMark !== '' && this.startsWith(commentMark, start, end)) {
      this.keepComment(start, end, commentMark);
      return 'comment lines';
    }
    if (headerLine > 0 && this.sameLine(headerLine - 1, start, end)) return 'repeated headers';
    if (unitsLine > 0 && this.sameLine(unitsLine - 1, start, end)) return 'repeated headers';
    this.refuseOtherHeader(line, start, end);
    if (line === this.log.lines.length - 2 && this.row > 0) return 'last line, cut short';
    const { row } = this;
    const readable = this.values.some((values, i) => cells > 1 && this.flags[i][row] === 0 && values[row] > 0);
    return readable ? 'rows without a readable time' : 'lines that are no rows';
  }

  private keepComment(start: number, end: number, mark: string): void {
    const text = textOf(this.log, start, Math.min(end, start + 2000))
      .trim()
      .slice(mark.length)
      .trim();
    if (text !== '' && this.comments.length < 10_000) this.comments.push({ row: this.row, text });
  }

  /** A second header with other columns or units: what follows must not be read by the first. */
  private refuseOtherHeader(line: number, start: number, end: number): void {
    const { headerLine, columns, separator } = this.description;
    if (headerLine === 0 || this.otherHeaders > 20 || end - start > 100_000) return;
    this.otherHeaders++;
    const cells = splitCells(textOf(this.log, start, end), separator);
    const known = cells.filter((cell, i) => cell !== '' && columns[i]?.name === cell).length;
    const words = cells.filter((cell) => /\p{L}/u.test(cell)).length;
    if (cells.length < 2 || known === 0 || words < cells.length) return;
    throw new LogError({
      file: this.log.file,
      line: line + 1,
      met: `another header, "${cells.join(', ').slice(0, 80)}"`,
      expected: `the header of line ${headerLine} again`,
      remedy: 'split the file there and read the parts one by one',
    });
  }

  private count(reason: string, line: number): void {
    this.leftOut[reason] = (this.leftOut[reason] ?? 0) + 1;
    this.firstLeft[reason] ??= line + 1;
  }

  private startsWith(mark: string, start: number, end: number): boolean {
    let at = start;
    while (at < end && (this.bytes[at] === BLANK || this.bytes[at] === TAB)) at++;
    for (let i = 0; i < mark.length; i++) if (this.bytes[at + i] !== mark.charCodeAt(i)) return false;
    return true;
  }

  private sameLine(other: number, start: number, end: number): boolean {
    const from = this.log.lines[other];
    const to = trimmedEnd(this.bytes, from, this.log.lines[other + 1]);
    if (to - from !== end - start) return false;
    for (let i = 0; i < end - start; i++) if (this.bytes[from + i] !== this.bytes[start + i]) return false;
    return true;
  }

  private result(): RawRows {
    const { row } = this;
    this.judge();
    for (const texts of this.texts) texts.length = row;
    const fixed = ORIGIN[this.description.time.format];
    return {
      rows: row,
      time: this.time.subarray(0, row).slice(),
      base: fixed === undefined ? (this.stamped ? this.base : this.base * this.scale) : this.base * this.scale + fixed,
      hasDate: this.hasDate || fixed !== undefined,
      hasZone: this.hasZone || (fixed !== undefined && this.description.time.format.startsWith('epoch')),
      largestHour: this.largestHour,
      hasHalfDay: this.hasHalfDay,
      values: this.values.map((values) => values.slice(0, row)),
      flags: this.flags.map((flags) => flags.slice(0, row)),
      texts: this.texts,
      comments: this.comments,
      leftOut: this.leftOut,
      assumptions: this.said(),
      startStamp: this.startStamp,
    };
  }

  /** Refuses a log of which too much could not be read. */
  private judge(): void {
    const { file } = this.log;
    const odd = (this.leftOut['rows without a readable time'] ?? 0) + (this.leftOut['lines that are no rows'] ?? 0);
    if (this.row > 0 && odd <= 2 + this.row * 0.05) return;
    const reason = this.firstLeft['rows without a readable time']
      ? 'rows without a readable time'
      : 'lines that are no rows';
    const line = this.firstLeft[reason] ?? this.description.firstDataLine;
    const start = this.log.lines[line - 1] ?? 0;
    const end = trimmedEnd(this.bytes, start, this.log.lines[line] ?? start);
    const met = `"${textOf(this.log, start, Math.min(end, start + 60))}"`;
    const { time } = this.description;
    const where = time.columns.length > 0 ? ` in column ${time.columns.join(' and ')}` : '';
    const expected = `a row with time as ${time.format}${where}`;
    throw new LogError({ file, line, column: time.columns[0] ?? 0, met, expected, remedy: `${odd} such lines` });
  }

  private said(): string[] {
    const said: string[] = [];
    for (const reason of ['rows without a readable time', 'lines that are no rows']) {
      const count = this.leftOut[reason];
      if (count) said.push(`${count} ${reason} left out, the first in line ${this.firstLeft[reason]}`);
    }
    if (this.garbled > 0) said.push(`${this.garbled} cells make no sense as readings, the first ${this.firstGarbled}`);
    return said;
  }
}
