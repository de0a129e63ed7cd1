import type { TimeNote } from './gauge-log';
import { hasRoom, holeFor, type Looks } from './hole-in-time';
import { fallsThroughout, usualStep } from './usual-step';

/** What is known of the stamps before they are put in order. */
export interface StampKind {
  /** `dated` without a zone may meet a clock change; `clock` runs over midnights; `elapsed` may start again. */
  readonly kind: 'dated' | 'zoned' | 'clock' | 'elapsed';
  /** A clock of 12 hours that does not say AM or PM. */
  readonly twelveHours: boolean;
  /** Whole seconds since 1970 that the times count from, for telling Sundays. */
  readonly base: number;
}

/** Names the place in the file of a row as read: `line 31`. */
export type RowNames = (row: number) => string;

/** Times brought to rise, and what was met on the way. */
export interface OrderedTime {
  /** Seconds from the first row, never falling. */
  readonly time: Float64Array;
  /** Where rows were moved, the row in the file for each row in the log; undefined where none was. */
  readonly order: Uint32Array | undefined;
  readonly notes: readonly TimeNote[];
  readonly assumptions: readonly string[];
}

const DAY = 86_400;
const HOUR = 3600;
/** Of each kind of note at most so many are kept one by one. */
const MOST_NOTES = 200;
/** In a log of stamps without any order the search is given up after so many looks. */
const MOST_LOOKS = 2e7;

/**
 * Brings the stamps of a log into rising order: carries times of day over midnight, undoes a clock change, moves rows
 * that came late to their place, carries on where a clock was set back or a time started again. Each is noted.
 * @param raw seconds as read, in the order of the rows
 * @param kind of the stamps
 * @param nameOf place of a row in the file, for notes
 * @returns rising times, with notes and assumptions
 */
export function orderTime(raw: Float64Array, kind: StampKind, nameOf: RowNames): OrderedTime {
  const notes = new Notes();
  const n = raw.length;
  const reversed = fallsThroughout(raw);
  const values = reversed ? raw.slice().reverse() : raw;
  if (reversed) notes.add('step back', 0, 'rows run from the newest to the oldest: their order was turned round');
  const step = usualStep(values);
  const walk = new Walk(values, kind, step, notes, reversed ? (row): string => nameOf(n - 1 - row) : nameOf);
  const time = walk.run();
  const turned = reversed ? Uint32Array.from({ length: n }, (_, i) => n - 1 - i) : undefined;
  const sorted = walk.late ? sortedRows(time) : undefined;
  const order = sorted && turned ? sorted.map((row) => n - 1 - row) : (sorted ?? turned);
  const placed = sorted ? Float64Array.from(sorted, (row) => time[row]) : time;
  const first = placed[0] ?? 0;
  if (first !== 0) for (let i = 0; i < n; i++) placed[i] -= first;
  const placedName = (row: number): string => nameOf(order ? order[row] : row);
  const assumptions = [...walk.assumptions, ...spreadEqualStamps(placed, notes, placedName)];
  noteGaps(placed, notes, placedName);
  return { time: placed, order, notes: notes.list(), assumptions };
}

/** Collects notes, not more of a kind than a person would read. */
class Notes {
  private readonly kept: TimeNote[] = [];
  private readonly counts = new Map<TimeNote['kind'], { count: number; last: number }>();

  add(kind: TimeNote['kind'], row: number, text: string): void {
    const count = (this.counts.get(kind)?.count ?? 0) + 1;
    this.counts.set(kind, { count, last: row });
    if (count <= MOST_NOTES) this.kept.push({ kind, row, text });
  }

  list(): TimeNote[] {
    const more: TimeNote[] = [];
    for (const [kind, { count, last }] of this.counts) {
      if (count > MOST_NOTES)
        more.push({ kind, row: last, text: `${count - MOST_NOTES} more of this kind, the last here` });
    }
    return [...this.kept, ...more].sort((a, b) => a.row - b.row);
  }
}

/** One pass along the stamps, with the offset that has to be added from here on. */
class Walk {
  late = false;
  readonly assumptions: string[] = [];
  private offset = 0;
  private latest: number;
  private readonly out: Float64Array;
  private readonly looks: Looks = { left: MOST_LOOKS };
  /** Rows at which time starts again, at which the clock was set back, and that came late. */
  private readonly restarts: number[] = [];
  private readonly setBack: number[] = [];
  private lateRows = 0;
  private firstLate = 0;
  private latestBy = 0;

  constructor(
    private readonly raw: Float64Array,
    private readonly kind: StampKind,
    private readonly step: number,
    private readonly notes: Notes,
    private readonly nameOf: RowNames,
  ) {
    this.latest = raw[0] ?? 0;
    this.out = new Float64Array(raw.length);
  }

  run(): Float64Array {
    const { raw } = this;
    const out = this.out;
    for (let i = 0; i < raw.length; i++) {
      if (i > 0) this.look(i);
      out[i] = raw[i] + this.offset;
      if (out[i] > this.latest) this.latest = out[i];
    }
    this.noteLate();
    if (this.restarts.length > 0) {
      const said = `time starts again ${this.timesAt(this.restarts)}`;
      this.assumptions.push(`${said}: each part follows one step after the one before`);
    }
    if (this.setBack.length > 0) {
      const said = `the clock was set back ${this.timesAt(this.setBack)}`;
      this.assumptions.push(`${said}: the rows after it follow one step after the row before`);
    }
    return out;
  }

  private noteLate(): void {
    if (this.lateRows === 0) return;
    const by = seconds(this.latestBy);
    const first = this.nameOf(this.firstLate);
    const said =
      this.lateRows === 1
        ? `the row in ${first} came ${by} late and was moved to its place`
        : `${this.lateRows} rows came late, by up to ${by}, and were moved to their places; the first is in ${first}`;
    this.notes.add('step back', this.firstLate, said);
  }

  private timesAt(rows: readonly number[]): string {
    const first = this.nameOf(rows[0]);
    return rows.length === 1 ? `once (${first})` : `${rows.length} times (the first in ${first})`;
  }

  private look(i: number): void {
    const jump = this.raw[i] + this.offset - this.latest;
    if (jump < 0) this.lookBack(i, jump);
    else if (this.kind.kind === 'dated' && this.step > 0 && jump > HOUR * 0.99) this.lookForward(i, jump);
  }

  private lookBack(i: number, jump: number): void {
    if (this.overMidnight(i, jump)) return;
    const fits = this.fitsEarlier(i);
    if (!fits && this.clockGoesBack(i, jump)) return;
    if (!fits && this.startsAgain(i)) this.carryOn(i, 'restart', `time starts again in ${this.nameOf(i)}`);
    else if (fits) {
      this.late = true;
      if (this.lateRows++ === 0) this.firstLate = i;
      this.latestBy = Math.max(this.latestBy, -jump);
    } else this.carryOn(i, 'step back', `the clock was set back by ${seconds(-jump)} in ${this.nameOf(i)}`);
  }

  private overMidnight(i: number, jump: number): boolean {
    if (this.kind.kind !== 'clock') return false;
    const half = this.kind.twelveHours && jump + DAY / 2 >= 0 && jump + DAY / 2 <= HOUR;
    if (!half && jump >= -DAY / 2) return false;
    this.offset += half ? DAY / 2 : DAY;
    this.notes.add('midnight', i, `${half ? 'a clock of 12 hours starts again' : 'midnight'} in ${this.nameOf(i)}`);
    return true;
  }

  /** Autumn: the clock repeats an hour. */
  private clockGoesBack(i: number, jump: number): boolean {
    if (this.kind.kind !== 'dated' && this.kind.kind !== 'clock') return false;
    if (jump < -HOUR || jump + HOUR > this.small()) return false;
    this.offset += HOUR;
    const from = this.nameOf(i);
    this.assumptions.push(`the clock goes back one hour (a clock change): an hour was added from ${from} on`);
    this.notes.add('clock change', i, `the clock goes back one hour in ${from}`);
    return true;
  }

  private startsAgain(i: number): boolean {
    if (this.kind.kind !== 'elapsed') return false;
    return this.raw[i] <= this.raw[0] + this.small() && this.latest - this.offset > this.raw[i] + 2 * this.step;
  }

  private small(): number {
    return Math.max(10 * this.step, 60);
  }

  private carryOn(i: number, kind: 'restart' | 'step back', text: string): void {
    this.offset = this.latest + this.step - this.raw[i];
    (kind === 'restart' ? this.restarts : this.setBack).push(i);
    this.notes.add(kind, i, text);
  }

  /** Whether the row fits into a hole between rows before it; rows after a clock that was set back do not. */
  private fitsEarlier(i: number): boolean {
    const here = this.raw[i] + this.offset;
    return hasRoom(holeFor(this.out, here, i - 1, -1, this.looks), this.step);
  }

  /** Spring: the clock leaps an hour on a Sunday, at a full hour, between two rows that are one step apart. */
  private lookForward(i: number, jump: number): void {
    const { step, raw } = this;
    const before = this.kind.base + raw[i - 1];
    const after = this.kind.base + raw[i];
    const dayOfWeek = (Math.floor(after / DAY) + 4) % 7;
    const hourBefore = Math.floor(before / HOUR);
    const hourAfter = Math.floor(after / HOUR);
    const nearFullHour = after - hourAfter * HOUR <= 1.5 * step && (hourBefore + 1) * HOUR - before <= 1.5 * step;
    const hour = hourAfter - Math.floor(after / DAY) * 24;
    if (dayOfWeek !== 0 || !nearFullHour || hourAfter - hourBefore !== 2 || hour < 1 || hour > 4) return;
    if (Math.abs(jump - HOUR - step) > Math.max(0.6 * step, 1)) return;
    this.offset -= HOUR;
    const from = this.nameOf(i);
    this.assumptions.push(`the clock leaps one hour (a clock change): an hour was taken off from ${from} on`);
    this.notes.add('clock change', i, `the clock leaps one hour in ${from}`);
  }
}

function seconds(value: number): string {
  return `${Number(value.toPrecision(6))} s`;
}

/** Rows in the order of their times; equal times keep the order of the file. */
function sortedRows(time: Float64Array): Uint32Array {
  const rows = Uint32Array.from({ length: time.length }, (_, i) => i);
  return rows.sort((a, b) => time[a] - time[b] || a - b);
}

/**
 * Stamps coarser than the rows (several rows in each second or minute) are spread evenly over their unit; single pairs
 * are left equal and noted.
 */
function spreadEqualStamps(time: Float64Array, notes: Notes, nameOf: RowNames): string[] {
  const n = time.length;
  let equal = 0;
  for (let i = 1; i < n; i++) if (time[i] === time[i - 1]) equal++;
  if (equal === 0) return [];
  const first = firstEqual(time);
  const said = equal === 1 ? 'one row has' : `${equal} of ${n} rows have`;
  const place = equal === 1 ? nameOf(first) : `the first in ${nameOf(first)}`;
  notes.add('equal stamps', first, `${said} the stamp of the row before (${place})`);
  if (equal < 0.4 * n) return [];
  const sizes = groupSizes(time);
  const usual = sizes.slice(1, -1).sort((a, b) => a - b)[Math.floor(Math.max(sizes.length - 2, 1) / 2)] ?? sizes[0];
  const unit = usualStep(time);
  if (unit === 0) return [];
  let start = 0;
  for (let g = 0; g < sizes.length; g++) {
    const size = sizes[g];
    const next = start + size < n ? time[start + size] : time[start] + unit;
    const width = Math.min(next - time[start], unit);
    const share = g === 0 || g === sizes.length - 1 ? Math.max(size, usual) : size;
    const late = g === 0 ? share - size : 0;
    for (let k = 0; k < size; k++) time[start + k] += (width * (k + late)) / share;
    start += size;
  }
  const begin = time[0];
  for (let i = 0; i < n; i++) time[i] -= begin;
  const met = `stamps are coarser than the rows (about ${usual} rows each)`;
  return [`${met}: rows with one stamp were spread evenly over ${seconds(unit)}`];
}

function firstEqual(time: Float64Array): number {
  for (let i = 1; i < time.length; i++) if (time[i] === time[i - 1]) return i;
  return 0;
}

function groupSizes(time: Float64Array): number[] {
  const sizes: number[] = [];
  let start = 0;
  for (let i = 1; i <= time.length; i++) {
    if (i < time.length && time[i] === time[start]) continue;
    sizes.push(i - start);
    start = i;
  }
  return sizes;
}

function noteGaps(time: Float64Array, notes: Notes, nameOf: RowNames): void {
  const step = usualStep(time);
  if (step === 0) return;
  for (let i = 1; i < time.length; i++) {
    const wide = time[i] - time[i - 1];
    if (wide > 5 * step && wide > 3 * localStep(time, i))
      notes.add('gap', i, `gap of ${seconds(wide)} before ${nameOf(i)}`);
  }
}

/** The largest of the few steps before, so that a log that slows down (steps growing with time) has no gaps. */
function localStep(time: Float64Array, i: number): number {
  let most = 0;
  for (let k = Math.max(1, i - 3); k < i; k++) most = Math.max(most, time[k] - time[k - 1]);
  return most;
}
