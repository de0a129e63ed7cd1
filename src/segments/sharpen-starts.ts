import { medianBetween } from './readings';
import type { Span } from './span';
import type { ScaledRecord } from './straight-pieces';
import type { WorkingRecord } from './stretches';

/** How far the beginning of a rise may be moved, readings. */
const REACH = 10;
/** Readings to each side that are looked at. */
const WINDOW = 60;
/** The rise is looked at up to this height, noise standard deviations: near its beginning it is straight. */
const HEIGHT = 60;
/** Where it rises by more than this from reading to reading the cut is well placed, noise standard deviations. */
const STEEP = 3;
/** What stands out, noise standard deviations. */
const ABOVE = 2;
/** A kink is believed rather than a leap as long as it describes the window about as well, noise variances. */
const AS_WELL = 4;

/**
 * Moves the beginning of an isolation to the kink of its rise. The cut between two straight lines that need not meet is
 * placed less well than the point where they do.
 */
export function sharpenStarts(record: WorkingRecord, spans: Span[]): void {
  for (let k = 1; k < spans.length; k++) {
    const before = spans[k - 1];
    const span = spans[k];
    if (span.kind !== 'isolation' || before.kind !== 'pump-down' || before.to !== span.from - 1) continue;
    const from = beginningOf(record, before.from, span.from, span.to);
    if (from - before.from < 2 || span.to - from < 2) continue;
    before.to = from - 1;
    span.from = from;
  }
}

/** First reading after the kink. */
function beginningOf(record: WorkingRecord, first: number, from: number, last: number): number {
  const { y } = record.scaled;
  const soon = Math.min(last, from + 8);
  if (y[soon] - y[from] > STEEP * (soon - from) * Math.sqrt(record.longRun)) return firstAbove(record, from, soon);
  const low = Math.max(first, from - WINDOW);
  const top = y[from] + HEIGHT * Math.sqrt(record.longRun);
  let high = Math.min(last, from + 7);
  while (high < Math.min(last, from + WINDOW) && y[high] < top) high++;
  let best = from;
  let least = misfitAbout(record.scaled, low, from, high, false) + AS_WELL * record.longRun * record.longRun;
  for (let knot = Math.max(low + 2, from - REACH); knot <= Math.min(high - 2, from + REACH); knot++) {
    const misfit = misfitAbout(record.scaled, low, knot, high, true);
    if (misfit < least) {
      least = misfit;
      best = knot;
    }
  }
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
