import type { LogEvent, Segment } from '../segments/segment';

/** What of an isolation is judged. */
export interface JudgedStretch {
  /** Index of the first and last judged reading, inclusive. */
  readonly from: number;
  readonly to: number;
  readonly grounds: string;
  readonly notes: readonly string[];
}

/** Deviations above this many standard deviations do not belong to the course that follows. */
const FAR = 4.5;
/** A stroke, a burst or a lag is looked for within this many readings. */
const MOST_ROWS = 200;

/**
 * Finds what to leave out after the valve closes (stroke, burst, a gauge that lags) and before it opens: readings that
 * do not continue the course of the readings beside them, at most a tenth of the isolation; and, where gas burst in,
 * all but the longest undisturbed stretch.
 * @param time s, ascending
 * @param values pressure, Pa
 * @param segment the isolation
 * @param events what happened in the log
 * @returns the judged stretch with its grounds
 */
export function findDwell(
  time: Float64Array,
  values: Float64Array,
  segment: Segment,
  events: readonly LogEvent[],
): JudgedStretch {
  const n = time.length;
  const notes: string[] = [];
  let [from, to] = longestUndisturbed(time, segment, events, notes);
  const burst = from > 0;
  const before = from;
  if (to - from + 1 >= 12) {
    // From the inside outwards, so that each reading is held against readings that already belong to the course.
    const inner = Math.min(MOST_ROWS, Math.floor((to - from + 1) / 10));
    const first = from;
    for (from = first + Math.max(2, inner); from > first && !strays(time, values, from - 1, 1, to); ) from--;
    if (from === first + Math.max(2, inner)) {
      notes.push('the first tenth of the isolation was left out and the rise may not have settled yet');
    }
    const last = to;
    for (to = last - Math.min(3, inner); to < last && !strays(time, values, to + 1, -1, from); ) to++;
  }
  const left = time[Math.min(from, n - 1)] - segment.startS;
  let grounds = 'nothing left out: the rise is even from its first reading';
  if (burst)
    grounds = `left out up to a burst ${seconds(left)} after closing; the longest undisturbed stretch is judged`;
  else if (from > before) {
    grounds = `left out ${seconds(left)} after closing: ${count(from - before)} not on the course that follows (valve stroke, burst or gauge lag)`;
  } else if (n < 12) grounds = `nothing left out: ${n} readings are too few to see a valve stroke or a gauge lag`;
  return { from, to, grounds, notes };
}

const count = (readings: number): string => (readings === 1 ? 'one reading is' : `${readings} readings are`);
const seconds = (s: number): string => `${s < 10 ? s.toFixed(1) : s.toFixed(0)} s`;

/** First and last index of the longest stretch without a burst or step. */
function longestUndisturbed(
  time: Float64Array,
  segment: Segment,
  events: readonly LogEvent[],
  notes: string[],
): [number, number] {
  const n = time.length;
  const inside = events.filter(
    (e) => (e.kind === 'burst' || e.kind === 'step') && e.atS > segment.startS && e.atS < segment.endS,
  );
  if (inside.length === 0) return [0, n - 1];
  const cuts = [Number.NEGATIVE_INFINITY, ...inside.map((e) => e.atS), Number.POSITIVE_INFINITY];
  let best: [number, number] = [0, n - 1];
  let longest = -1;
  let next = 0;
  for (let c = 1; c < cuts.length; c++) {
    while (next < n && time[next] <= cuts[c - 1]) next++;
    const first = next;
    while (next < n && time[next] < cuts[c]) next++;
    // The reading before a burst may already hold a part of it.
    const last = next - 1 - (c < cuts.length - 1 && next - 1 > first ? 1 : 0);
    if (last > first && time[last] - time[first] > longest) {
      longest = time[last] - time[first];
      best = [first, last];
    }
  }
  if (best[0] > 0 || best[1] < n - 1) {
    notes.push(`${inside.length} burst(s) or step(s) during the isolation; its longest undisturbed stretch is judged`);
  }
  return best;
}

/** Whether a reading strays from the parabola through the readings that follow it (in the direction given). */
function strays(time: Float64Array, values: Float64Array, at: number, direction: 1 | -1, end: number): boolean {
  const available = Math.abs(end - at);
  const used = Math.min(available, Math.max(8, Math.min(40, Math.floor(available / 4))));
  if (used < 6) return false;
  const scale = Math.abs(time[at + direction * used] - time[at]);
  if (!(scale > 0)) return false;
  // Least squares of a parabola in s = distance from the reading in question; its value at s = 0 is the constant.
  const sums = new Float64Array(5);
  const rights = new Float64Array(3);
  for (let i = 1; i <= used; i++) {
    const s = Math.abs(time[at + direction * i] - time[at]) / scale;
    const y = values[at + direction * i] - values[at];
    for (let power = 0, x = 1; power < 5; power++, x *= s) {
      sums[power] += x;
      if (power < 3) rights[power] += x * y;
    }
  }
  const [s0, s1, s2, s3, s4] = sums;
  const c00 = s2 * s4 - s3 * s3;
  const c01 = s2 * s3 - s1 * s4;
  const c02 = s1 * s3 - s2 * s2;
  const determinant = s0 * c00 + s1 * c01 + s2 * c02;
  if (!(Math.abs(determinant) > 1e-12)) return false;
  const a = (c00 * rights[0] + c01 * rights[1] + c02 * rights[2]) / determinant;
  const c11 = s0 * s4 - s2 * s2;
  const c12 = s1 * s2 - s0 * s3;
  const c22 = s0 * s2 - s1 * s1;
  const b = (c01 * rights[0] + c11 * rights[1] + c12 * rights[2]) / determinant;
  const c = (c02 * rights[0] + c12 * rights[1] + c22 * rights[2]) / determinant;
  let misfit = 0;
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i <= used; i++) {
    const s = Math.abs(time[at + direction * i] - time[at]) / scale;
    const y = values[at + direction * i] - values[at];
    misfit += (y - a - b * s - c * s * s) ** 2;
    const change = Math.abs(values[at + direction * i] - values[at + direction * (i - 1)]);
    if (change > 0 && change < step) step = change;
  }
  const sigma = Math.sqrt(misfit / (used - 3) + (Number.isFinite(step) ? (step * step) / 12 : 0));
  const predicted = sigma * Math.sqrt(1 + c00 / determinant);
  return Math.abs(a) > FAR * predicted && Math.abs(a) > 1e-9 * Math.abs(values[at]);
}
