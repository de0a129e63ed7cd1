import { medianBetween } from './readings';
import { FEWEST_READINGS, type Span } from './span';
import type { ScaledRecord } from './straight-pieces';
import type { WorkingRecord } from './stretches';

/** How far the beginning of a rise may be moved back and on, readings. */
const REACH = 24;
const REACH_ON = 40;
/** Readings to each side that are looked at. */
const WINDOW = 60;
/** The rise is looked at up to this height, noise standard deviations: near its beginning it is straight. */
const HEIGHT = 60;
/** Where it rises by more than this from reading to reading the cut is well placed, noise standard deviations. */
const STEEP = 3;
/** What stands out, noise standard deviations. */
const ABOVE = 2;
/** What stands out so far of the level before a rise belongs to the rise, or to a fall before the level. */
const FAR_ABOVE = 5;
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

/** Do the readings from `from` up to a knot lie as low as those from `low` on? */
function staysLevel(y: Float64Array, low: number, from: number, knot: number, spread: number): boolean {
  const mean = (a: number, b: number): number => {
    let sum = 0;
    for (let i = a; i < b; i++) sum += y[i] - y[from];
    return sum / (b - a);
  };
  const error = spread * Math.sqrt(1 / (knot - from) + 1 / (from - low));
  return mean(from, knot) - mean(low, from) < ABOVE * error;
}

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
export function beginningOf(record: WorkingRecord, first: number, from: number, last: number): number {
  const { y } = record.scaled;
  const spread = Math.sqrt(record.longRun);
  const soon = Math.min(last, from + 8);
  if (y[soon] - y[from] > STEEP * (soon - from) * spread) return firstAbove(record, from, soon);
  const level = medianBetween(y, Math.max(first, from - 7), from - 1) + FAR_ABOVE * spread;
  let low = from;
  while (low > Math.max(first, from - WINDOW) && medianBetween(y, Math.max(first, low - 3), low - 1) < level) low--;
  const top = y[from] + HEIGHT * spread;
  let high = Math.min(last, from + 7);
  while (high < Math.min(last, from + WINDOW) && y[high] < top) high++;
  let best = from;
  let least = misfitAbout(record.scaled, low, from, high, false) + AS_WELL * record.longRun * record.longRun;
  const earliest = Math.max(low + 2, from - REACH);
  for (let knot = earliest; knot <= Math.min(high - 2, from + REACH_ON); knot++) {
    if (knot > from && !staysLevel(y, low, from, knot, spread)) break;
    const misfit = misfitAbout(record.scaled, low, knot, high, true);
    if (misfit < least) {
      least = misfit;
      best = knot;
    }
  }
  // A bend that is best sought further back is that of the pumped chamber.
  if (best === earliest && best < from) return from;
  // A reading of the pumped chamber in an isolation harms more than one that is missing.
  return best < from ? best + 1 : best;
}

/** Readings that do not yet stand out of the pressure before a steep rise are none of it. */
function firstAbove(record: WorkingRecord, from: number, last: number): number {
  const { y } = record.scaled;
  const level = medianBetween(y, Math.max(0, from - 7), from - 1);
  let first = from;
  while (first < last - 4 && y[first] - level < ABOVE * Math.sqrt(record.longRun)) first++;
  return first;
}

/**
 * Weighted misfit of a level line and, from half a step before reading `knot`, another: joined to it, or free of it.
 */
function misfitAbout(record: ScaledRecord, low: number, knot: number, high: number, joined: boolean): number {
  const { time, y, weight } = record;
  const kink = (time[knot - 1] + time[knot]) / 2;
  const width = joined ? 3 : 4;
  const a = Array.from({ length: width }, () => new Float64Array(width + 1));
  const rowOf = (i: number): number[] => {
    const after = i >= knot ? time[i] - kink : 0;
    return joined ? [1, time[i] - kink, after] : [1, time[i] - kink, after, i >= knot ? 1 : 0];
  };
  let yy = 0;
  for (let i = low; i <= high; i++) {
    const row = rowOf(i);
    const value = y[i] - y[knot];
    yy += weight[i] * value * value;
    for (let r = 0; r < width; r++) {
      for (let c = 0; c < width; c++) a[r][c] += weight[i] * row[r] * row[c];
      a[r][width] += weight[i] * row[r] * value;
    }
  }
  return yy - explained(a);
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
