import { findUnit } from '../units';
import type { LogDescription, TimeFormat } from './description';
import { numberAt, numberStop } from './number-text';
import { newStamp, readStamp, type StampOrder } from './stamp-text';

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

const ORDER_OF: Partial<Record<TimeFormat, StampOrder>> = {
  'time of day': 'clock',
  'elapsed h:m:s': 'clock',
  'month-day-year': 'mdy',
  'year-month-day': 'ymd',
  iso: 'ymd',
};

const BLANK = 32;
/** s; a clock may read 24:00:00. */
const DAY = 86400;
const LONGEST_UNIT = 12;
/** No cell of a time is longer. */
const LONGEST_CELL = 60;

/** What is known of the stamps of a log once all rows are read. */
export interface StampFacts {
  /** Whole seconds since 1970 (or since 0:00) that the times of the rows count from. */
  readonly base: number;
  readonly hasDate: boolean;
  readonly hasZone: boolean;
  /** Largest hour met as written, for telling clocks of 12 hours. */
  readonly largestHour: number;
  readonly hasHalfDay: boolean;
  /** Seconds since 1970 of the first dated stamp in `startColumn`, or NaN. */
  readonly startStamp: number;
}

/** Reads the time of one row after the other, from the one or more cells that hold it. */
export class RowTime {
  /** Seconds counted from the base, by row. */
  readonly time: Float64Array;
  private readonly mark: number;
  private readonly format: TimeFormat;
  private readonly stepS: number;
  private readonly columns: number;
  /** Place of the column of the date where it stands apart, else -1; an empty cell there repeats the date above. */
  private readonly dateColumn: number;
  private readonly scale: number;
  private readonly order: StampOrder;
  private readonly stamped: boolean;
  /** Times of two fields are minutes and seconds. */
  private readonly minutesFirst: boolean;
  private readonly stamp = newStamp();
  /** Cells of the row one after the other, where there are several. */
  private readonly scratch = new Uint8Array(200);
  private scratchEnd = 0;
  private cells = 0;
  private start = 0;
  private end = 0;
  private dateStart = 0;
  private dateEnd = 0;
  private base = 0;
  private startStamp = Number.NaN;
  private largestHour = 0;
  private hasDate = false;
  private hasZone = false;
  private hasHalfDay = false;

  /**
   * @param bytes the text of the log
   * @param description how its time is written
   * @param most rows at most
   */
  constructor(
    private readonly bytes: Uint8Array,
    { time, decimalMark }: LogDescription,
    most: number,
  ) {
    this.time = new Float64Array(most);
    this.mark = decimalMark === ',' ? 44 : 46;
    this.format = time.format;
    this.stepS = time.stepS ?? 1;
    this.columns = time.columns.length;
    this.dateColumn = time.columns.length > 1 ? time.columns[0] - 1 : -1;
    this.scale = SECONDS_IN[time.format] ?? 1;
    this.stamped = SECONDS_IN[time.format] === undefined && time.format !== 'rows';
    this.minutesFirst = time.format === 'elapsed m:s' || time.format === 'two fields open';
    this.order = ORDER_OF[time.format] ?? 'dmy';
  }

  /** Forgets the cells of the row before. */
  beginRow(): void {
    this.cells = 0;
    this.scratchEnd = 0;
  }

  /** Takes a cell of the time, by its place in the row and its bytes. */
  cell(column: number, from: number, to: number): void {
    this.cells++;
    if (this.columns === 1) {
      this.start = from;
      this.end = to;
      return;
    }
    if (column !== this.dateColumn) this.join(from, to);
    else {
      if (to > from) [this.dateStart, this.dateEnd] = [from, to];
      this.join(this.dateStart, this.dateEnd);
    }
  }

  private join(from: number, to: number): void {
    const length = Math.min(to - from, LONGEST_CELL);
    if (this.scratchEnd + length + 1 > this.scratch.length) return;
    for (let i = 0; i < length; i++) this.scratch[this.scratchEnd++] = this.bytes[from + i];
    this.scratch[this.scratchEnd++] = BLANK;
  }

  /** Takes a cell of the coarser stamp that gives the start only. */
  startCell(from: number, to: number): void {
    if (!Number.isNaN(this.startStamp) || !readStamp(this.bytes, from, to, this.order, this.stamp)) return;
    this.startStamp = this.stamp.seconds;
  }

  /** Reads the time of the row; false where it has none. */
  finish(row: number): boolean {
    if (this.format === 'rows') {
      this.time[row] = row * this.stepS;
      return true;
    }
    if (this.cells < this.columns) return false;
    const joined = this.columns > 1;
    const bytes = joined ? this.scratch : this.bytes;
    const from = joined ? 0 : this.start;
    const to = joined ? this.scratchEnd - 1 : this.end;
    if (!this.stamped) {
      const value = numberAt(bytes, from, to, this.mark);
      if (!(Math.abs(value) < 1e20)) return false;
      if (numberStop.at !== to && !this.isOwnUnit(bytes, numberStop.at, to)) return false;
      if (row === 0) this.base = value;
      this.time[row] = (value - this.base) * this.scale;
      return true;
    }
    if (to <= from || !readStamp(bytes, from, to, this.order, this.stamp)) return false;
    return this.keepStamp(row);
  }

  /** `5 min` in a column of minutes. */
  private isOwnUnit(bytes: Uint8Array, from: number, to: number): boolean {
    if (to - from > LONGEST_UNIT) return false;
    const unit = findUnit(String.fromCharCode(...bytes.subarray(from, to)).trim(), 'time');
    return unit !== undefined && Math.abs(unit.scale - this.scale) < 1e-9 * this.scale;
  }

  private keepStamp(row: number): boolean {
    const { stamp } = this;
    const seconds = stamp.timeFields === 2 && this.minutesFirst ? stamp.seconds / 60 : stamp.seconds;
    // A damaged `-3:59:52` or `400 21:30:00` is what no clock reads.
    if (this.format === 'time of day' && !(seconds >= 0 && seconds <= DAY)) return false;
    if (row === 0) {
      this.base = seconds;
      this.hasDate = stamp.hasDate;
      this.hasZone = stamp.hasZone;
    } else if (stamp.hasDate !== this.hasDate) return false;
    if (stamp.hours > this.largestHour) this.largestHour = stamp.hours;
    if (stamp.hasHalfDay) this.hasHalfDay = true;
    this.time[row] = seconds - this.base + stamp.fraction;
    return true;
  }

  /** What the stamps were like. */
  facts(): StampFacts {
    const fixed = ORIGIN[this.format];
    const base = this.stamped ? this.base : this.base * this.scale;
    return {
      base: fixed === undefined ? base : base + fixed,
      hasDate: this.hasDate || fixed !== undefined,
      hasZone: this.hasZone || (fixed !== undefined && this.format.startsWith('epoch')),
      largestHour: this.largestHour,
      hasHalfDay: this.hasHalfDay,
      startStamp: this.startStamp,
    };
  }
}
