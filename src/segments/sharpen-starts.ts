import { medianBetween } from './readings';
import { FEWEST_READINGS, type Span } from './span';
import type { WorkingRecord } from './stretches';

/** How far the beginning of a rise may be moved back and on, readings. */
const REACH = 24;
const REACH_ON = 40;
/** Readings to each side that are looked at. */
const WINDOW = 60;
/** or so many, until the rise stands out by so many noise deviations. */
const WIDEST = 1500;
const RISEN = 15;
/** A kink is looked for within this part of the window, at least. */
const REACH_PART = 3;
/** The rise is looked at up to this height, noise standard deviations: near its beginning it is straight. */
const HEIGHT = 60;
/** Where it rises by more than this from reading to reading the cut is well placed, noise standard deviations. */
const STEEP = 3;
/** What stands out, noise standard deviations. */
const ABOVE = 2;
/** What three readings in a row show surely. */
const SURELY_ABOVE = 3;
/** What stands out so far of the level before a rise belongs to the rise, or to a fall before the level. */
const FAR_ABOVE = 5;
/** Readings by which the tail of a fall is told from the level. */
const TAIL_READINGS = 7;
/** A kink is believed rather than a leap as long as it describes the window about as well, noise variances. */
const AS_WELL = 4;

/**
 * Moves the beginning of an isolation to the kink of its rise. The cut between two straight lines that need not meet is
 * placed less well than the point where they do. Where an isolation follows on another, the valve stood open between them: the
 * readings up to the kink are pumped.
 */
export function sharpenStarts(record: WorkingRecord, spans: Span[]): void {
  for (let k = 1; k < spans.length; k++) {
    const before = spans[k - 1];
    const span = spans[k];
    if (span.kind !== 'isolation' || before.to !== span.from - 1) continue;
    if (before.kind === 'isolation') {
      const bottom = lowestSoon(record, span);
      const from = beginningOf(record, span.from, bottom, span.to);
      if (from <= span.from || span.to - from < FEWEST_READINGS) continue;
      spans.splice(k, 0, { kind: 'pump-down', from: span.from, to: from - 1, grounds: [OPENED] });
      span.from = from;
      k++;
    } else if (before.kind === 'pump-down') {
      const from = beginningOf(record, before.from, span.from, span.to);
      if (from - before.from < 2 || span.to - from < 2) continue;
      before.to = from - 1;
      span.from = from;
    }
  }
}

const OPENED = 'the pressure falls between two isolations: the valve to the pump is open';

/** The reading after the lowest of the first third of a span. */
function lowestSoon(record: WorkingRecord, span: Span): number {
  const { y } = record.scaled;
  let lowest = span.from;
  for (let i = span.from; i < span.from + (span.to - span.from) / 3; i++) if (y[i] < y[lowest]) lowest = i;
  return lowest + 1;
}

/**
 * First reading after the kink of a rise that was cut at reading `from`.
 * @param record the record
 * @param first the first reading that may be looked at before it
 * @param from where it was cut
 * @param last the last reading of the rise
 */
function beginningOf(record: WorkingRecord, first: number, from: number, last: number): number {
  const { y, weight, time } = record.scaled;
  const spread = Math.sqrt(record.longRun);
  const soon = Math.min(last, from + 8);
  if (y[soon] - y[from] > STEEP * (soon - from) * spread) return firstAbove(record, from, soon);
  const [low, high] = windowAbout(record, first, from, last);
  // A few readings may be the end of a fall: a rise begins no lower than its level.
  const highest = medianBetween(y, from, Math.min(last, from + 2)) + ABOVE * spread;
  const level = Math.min(meanOf(y, low, from - 1), highest);
  const whole = new Sums();
  const right = new Sums();
  for (let i = low; i <= high; i++) whole.add(time[i] - time[from], y[i] - y[from], weight[i]);
  const earliest = Math.max(low + 2, from - Math.max(REACH, (high - from) / REACH_PART));
  const latest = Math.min(high - 2, from + Math.max(REACH_ON, (high - from) / REACH_PART));
  for (let i = Math.ceil(earliest); i <= high; i++) right.add(time[i] - time[from], y[i] - y[from], weight[i]);
  let best = from;
  let least = Number.POSITIVE_INFINITY;
  let sinceFrom = 0;
  for (let knot = Math.ceil(earliest); knot <= latest; knot++) {
    if (knot > from) {
      sinceFrom += y[knot - 1] - level;
      const error = spread * Math.sqrt(1 / (knot - from) + 1 / (from - low));
      const risen = knot > from + 2 && medianBetween(y, knot - 3, knot - 1) > level + SURELY_ABOVE * spread;
      if (risen || sinceFrom / (knot - from) > ABOVE * error) break;
    }
    const kink = (time[knot - 1] + time[knot]) / 2 - time[from];
    if (knot === from) {
      // A kink is believed rather than a leap as long as it describes the window about as well.
      const apart = misfitAbout(whole, right, kink, false) + AS_WELL * record.longRun * record.longRun;
      if (apart <= least) {
        least = apart;
        best = from;
      }
    }
    const misfit = misfitAbout(whole, right, kink, true);
    if (misfit < least) {
      least = misfit;
      best = knot;
    }
    right.add(time[knot] - time[from], y[knot] - y[from], -weight[knot]);
  }
  // A bend that is best sought further back is that of the pumped chamber.
  if (best < from && best < earliest + 1) return from;
  // A reading of the pumped chamber in an isolation harms more than one that is missing.
  return best < from ? best + 1 : best;
}

/** First and last reading about a cut in which its kink is looked for: the level before it, and the rise while it is straight. */
function windowAbout(record: WorkingRecord, first: number, from: number, last: number): [number, number] {
  const { y } = record.scaled;
  const spread = Math.sqrt(record.longRun);
  const levelY = medianBetween(y, Math.max(first, from - 7), from - 1);
  const top = y[from] + HEIGHT * spread;
  let high = Math.min(last, from + 7);
  while (high < Math.min(last, from + WINDOW) && y[high] < top) high++;
  // A rise that hardly stands out so far is followed until it does.
  const risen = levelY + RISEN * spread;
  while (high < Math.min(last, from + WIDEST) && medianBetween(y, high - 4, high) < risen) high++;
  const earliest = Math.max(first, from - Math.max(WINDOW, high - from));
  let low = from;
  while (low > earliest && standsAt(y, first, low, from, levelY, spread)) low--;
  return [low, high];
}

/** Does the reading before `low` still belong to the level, and not to a fall, whose tail is told by more readings? */
function standsAt(y: Float64Array, first: number, low: number, from: number, levelY: number, spread: number): boolean {
  if (medianBetween(y, Math.max(first, low - 3), low - 1) > levelY + FAR_ABOVE * spread) return false;
  if (from - low < 2 * TAIL_READINGS) return true;
  return medianBetween(y, Math.max(first, low - TAIL_READINGS), low - 1) < levelY + ABOVE * spread;
}

function meanOf(y: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i <= to; i++) sum += y[i] - y[from];
  return y[from] + sum / Math.max(1, to - from + 1);
}

/** Readings that do not yet stand out of the pressure before a steep rise are none of it. */
function firstAbove(record: WorkingRecord, from: number, last: number): number {
  const { y } = record.scaled;
  const level = medianBetween(y, Math.max(0, from - 7), from - 1);
  let first = from;
  while (first < last - 4 && y[first] - level < ABOVE * Math.sqrt(record.longRun)) first++;
  return first;
}

/** Sums of weighted readings, from which lines are fitted. */
class Sums {
  n = 0;
  t = 0;
  tt = 0;
  y = 0;
  ty = 0;
  yy = 0;

  add(t: number, y: number, weight: number): void {
    this.n += weight;
    this.t += weight * t;
    this.tt += weight * t * t;
    this.y += weight * y;
    this.ty += weight * t * y;
    this.yy += weight * y * y;
  }
}

/**
 * Weighted misfit of a line and, from a moment on, another: joined to it, or free of it.
 * @param whole sums of all readings
 * @param right sums of those after the moment
 * @param kink the moment, s
 */
function misfitAbout(whole: Sums, right: Sums, kink: number, joined: boolean): number {
  const t = whole.t - kink * whole.n;
  const tt = whole.tt - 2 * kink * whole.t + kink * kink * whole.n;
  const ty = whole.ty - kink * whole.y;
  const rt = right.t - kink * right.n;
  const rtt = right.tt - 2 * kink * right.t + kink * kink * right.n;
  const rty = right.ty - kink * right.y;
  const rows = joined
    ? [
        [whole.n, t, rt, whole.y],
        [t, tt, rtt, ty],
        [rt, rtt, rtt, rty],
      ]
    : [
        [whole.n, t, rt, right.n, whole.y],
        [t, tt, rtt, rt, ty],
        [rt, rtt, rtt, rt, rty],
        [right.n, rt, rt, right.n, right.y],
      ];
  return whole.yy - explained(rows.map((row) => Float64Array.from(row)));
}

/** What a least-squares fit explains, from its augmented normal equations. */
function explained(a: Float64Array[]): number {
  const width = a.length;
  let sum = 0;
  for (let c = 0; c < width; c++) {
    const pivot = a[c][c];
    if (!(pivot > 1e-12)) continue;
    sum += (a[c][width] * a[c][width]) / pivot;
    for (let r = c + 1; r < width; r++) {
      const factor = a[r][c] / pivot;
      for (let j = c; j <= width; j++) a[r][j] -= factor * a[c][j];
    }
  }
  return sum;
}
