import type { TimeNote } from './gauge-log';

/** What is known of the stamps before they are put in order. */
export interface StampKind {
  /** `dated` without a zone may meet a clock change; `clock` runs over midnights; `elapsed` may start again. */
  readonly kind: 'dated' | 'zoned' | 'clock' | 'elapsed';
  /** A clock of 12 hours that does not say AM or PM. */
  readonly twelveHours: boolean;
  /** Whole seconds since 1970 that the times count from, for telling Sundays. */
  readonly base: number;
}

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
/** Rows that came late are looked for among so many before them. */
const LATEST = 1000;
/** In a log of stamps without any order the search is given up after so many looks. */
const MOST_LOOKS = 2e7;

/**
 * Brings the stamps of a log into rising order: carries times of day over midnight, undoes a clock change, moves rows
 * that came late to their place, carries on where a clock was set back or a time started again. Each is noted.
 * @param raw seconds as read, in the order of the rows
 * @param kind of the stamps
 * @returns rising times, with notes and assumptions
 */
export function orderTime(raw: Float64Array, kind: StampKind): OrderedTime {
  const notes = new Notes();
  const n = raw.length;
  const reversed = n > 2 && fallsThroughout(raw);
  const values = reversed ? raw.slice().reverse() : raw;
  if (reversed) notes.add('step back', 0, 'rows run from the newest to the oldest: their order was turned round');
  const step = typicalStep(values);
  const walk = new Walk(values, kind, step, notes);
  const time = walk.run();
  let order = reversed ? Uint32Array.from({ length: n }, (_, i) => n - 1 - i) : undefined;
  const sorted = walk.late ? sortedRows(time) : undefined;
  const final = sorted ? sorted.map((row) => row) : undefined;
  if (final) order = order ? final.map((row) => n - 1 - row) : final;
  const placed = final ? Float64Array.from(final, (row) => time[row]) : time;
  const first = placed[0] ?? 0;
  if (first !== 0) for (let i = 0; i < n; i++) placed[i] -= first;
  const assumptions = [...walk.assumptions, ...spreadEqualStamps(placed, notes)];
  noteGaps(placed, notes);
  return { time: placed, order, notes: notes.list(), assumptions };
}

function fallsThroughout(raw: Float64Array): boolean {
  let down = 0;
  let up = 0;
  for (let i = 1; i < raw.length; i++) {
    if (raw[i] < raw[i - 1]) down++;
    else if (raw[i] > raw[i - 1]) up++;
  }
  return down > 10 * up && down > 1;
}

/** Median of the steps forward, from at most some thousand of them spread over the log; 0 where there is none. */
function typicalStep(time: Float64Array): number {
  const stride = Math.max(1, Math.floor(time.length / 10_000));
  const steps: number[] = [];
  for (let i = 1; i < time.length; i += stride) {
    const step = time[i] - time[i - 1];
    if (step > 0) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  return steps.length === 0 ? 0 : steps[Math.floor(steps.length / 2)];
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
  private looked = 0;
  private restarts = 0;
  private setBack = 0;

  constructor(
    private readonly raw: Float64Array,
    private readonly kind: StampKind,
    private readonly step: number,
    private readonly notes: Notes,
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
    if (this.restarts > 0) {
      const said = `time starts again ${times(this.restarts)}`;
      this.assumptions.push(`${said}: each part follows one step after the one before`);
    }
    if (this.setBack > 0) {
      const said = `the clock was set back ${times(this.setBack)}`;
      this.assumptions.push(`${said}: the rows after it follow one step after the row before`);
    }
    return out;
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
    if (!fits && this.startsAgain(i)) this.carryOn(i, 'restart', 'time starts again');
    else if (fits) {
      this.late = true;
      this.notes.add('step back', i, `row came ${seconds(-jump)} late and was moved to its place`);
    } else this.carryOn(i, 'step back', `the clock was set back by ${seconds(-jump)}`);
  }

  private overMidnight(i: number, jump: number): boolean {
    if (this.kind.kind !== 'clock') return false;
    const half = this.kind.twelveHours && jump + DAY / 2 >= 0 && jump + DAY / 2 <= HOUR;
    if (!half && jump >= -DAY / 2) return false;
    this.offset += half ? DAY / 2 : DAY;
    this.notes.add('midnight', i, half ? 'a clock of 12 hours starts again' : 'midnight');
    return true;
  }

  /** Autumn: the clock repeats an hour. */
  private clockGoesBack(i: number, jump: number): boolean {
    if (this.kind.kind !== 'dated' && this.kind.kind !== 'clock') return false;
    if (jump < -HOUR || jump + HOUR > this.small()) return false;
    this.offset += HOUR;
    this.assumptions.push('the clock goes back one hour (a clock change): an hour was added from there on');
    this.notes.add('clock change', i, 'the clock goes back one hour');
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
    if (kind === 'restart') this.restarts++;
    else this.setBack++;
    this.notes.add(kind, i, text);
  }

  /** Whether the row fits into a hole between rows before it; rows after a clock that was set back do not. */
  private fitsEarlier(i: number): boolean {
    if (this.looked > MOST_LOOKS) return false;
    const here = this.raw[i] + this.offset;
    const { out, step } = this;
    for (let k = i - 1; k >= 0 && k >= i - LATEST; k--) {
      this.looked++;
      if (out[k] > here) continue;
      let next = Infinity;
      for (let j = k + 1; j < i && j <= k + LATEST; j++) {
        this.looked++;
        if (out[j] < next) next = out[j];
      }
      return here - out[k] > 0.4 * step && next - here > 0.4 * step;
    }
    return false;
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
    this.assumptions.push('the clock leaps one hour (a clock change): an hour was taken off from there on');
    this.notes.add('clock change', i, 'the clock leaps one hour');
  }
}

function times(count: number): string {
  return count === 1 ? 'once' : `${count} times`;
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
function spreadEqualStamps(time: Float64Array, notes: Notes): string[] {
  const n = time.length;
  let equal = 0;
  for (let i = 1; i < n; i++) if (time[i] === time[i - 1]) equal++;
  if (equal === 0) return [];
  if (equal < 0.4 * n) {
    for (let i = 1; i < n; i++)
      if (time[i] === time[i - 1]) notes.add('equal stamps', i, 'same stamp as the row before');
    return [];
  }
  notes.add('equal stamps', firstEqual(time), `${equal} of ${n} rows have the stamp of the row before`);
  const sizes = groupSizes(time);
  const usual = sizes.slice(1, -1).sort((a, b) => a - b)[Math.floor(Math.max(sizes.length - 2, 1) / 2)] ?? sizes[0];
  const unit = typicalStep(time);
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
  const first = time[0];
  for (let i = 0; i < n; i++) time[i] -= first;
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

function noteGaps(time: Float64Array, notes: Notes): void {
  const step = typicalStep(time);
  if (step === 0) return;
  for (let i = 1; i < time.length; i++) {
    const wide = time[i] - time[i - 1];
    if (wide > 5 * step && wide > 3 * localStep(time, i)) notes.add('gap', i, `gap of ${seconds(wide)}`);
  }
}

/** The largest of the few steps before, so that a log that slows down (steps growing with time) has no gaps. */
function localStep(time: Float64Array, i: number): number {
  let most = 0;
  for (let k = Math.max(1, i - 3); k < i; k++) most = Math.max(most, time[k] - time[k - 1]);
  return most;
}
