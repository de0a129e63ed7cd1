import { ArgumentError } from '../errors';
import type { GaugePrinciple } from '../fits';
import type { Channel, GaugeLog, Remark } from '../log/gauge-log';
import { median } from '../numerics';
import * as elementary from '../numerics/elementary';
import type { Segment } from '../segments';
import { type TracerExpectation, tracerExpectation } from './tracer-expectation';

/** Whether a reading answered to what a person did. */
export interface RemarkAnswer {
  readonly remark: Remark;
  /** Whether the change after it is larger than what the reading does on its own. */
  readonly answers: 'yes' | 'no' | 'cannot tell';
  /** Change of the slope of the logarithm (pumped) or of the reading itself (negative readings), relative, per minute. */
  readonly direction: 'up' | 'down' | 'none';
  /** Relative change of the level over the window after, against what was to be expected without the remark. */
  readonly change: number;
  /** Chance that the reading does as much on its own, from its own past, 0 to 1. */
  readonly byChance: number;
  /** Seconds from the remark until half of the change is there; null where it does not answer. */
  readonly afterS: number | null;
  readonly text: string;
}

/** How to look for answers. */
export interface AnswerOptions {
  /** How long after a remark an answer may come, s; 60 where absent. */
  readonly withinS?: number;
  /** The channel; the first pressure channel where absent. */
  readonly channel?: string;
  /** What happened in the log: a valve that moves is no answer, and its moments are left out of the reading's own past. */
  readonly segments?: readonly Segment[];
  /** How the gauge works and what was sprayed: the sign to expect of a leak is then told beside each answer. */
  readonly gauge?: GaugePrinciple;
  readonly tracer?: string;
}

/**
 * Does the reading answer to what was done (tightened, sprayed, bled, capped), how soon and how surely? The level in the
 * window after each remark is compared with a straight line through as long a window before it; the same is done at
 * moments without a remark, and their scatter is the measure. The sign to expect depends on gauge, gas and path:
 * `tracerExpectation` tells it.
 * @param log a log with remarks
 * @param options window and channel
 * @returns one answer a remark, in order of time
 * @throws ArgumentError where there is no such pressure channel or the window is not positive
 */
export function answersToRemarks(log: GaugeLog, options: AnswerOptions = {}): RemarkAnswer[] {
  const withinS = options.withinS ?? 60;
  if (!(withinS > 0 && Number.isFinite(withinS))) throw new ArgumentError('window', withinS, 'a positive time in s');
  const channel = log.channels.find((one) =>
    options.channel === undefined ? one.quantity === 'pressure' : one.name === options.channel,
  );
  if (channel === undefined)
    throw new ArgumentError('channel', options.channel ?? 'none', 'a pressure channel of the log');
  const moves = valveMoves(options.segments ?? []);
  const quiet = ownBehaviour(log, channel, withinS, moves);
  const expected =
    options.gauge === undefined || options.tracer === undefined
      ? null
      : tracerExpectation(options.gauge, options.tracer);
  return [...log.remarks]
    .sort((a, b) => a.atS - b.atS)
    .map((remark) => answer(log, channel, remark, withinS, quiet, moves, expected));
}

/** A stretch in which the pressure changes by less than this factor may be an answer that was taken for a valve. */
const ANSWERS_UP_TO = 3;

/** Moments at which one thing ends and another begins; a fall that becomes steady is none, nor is a small step. */
function valveMoves(segments: readonly Segment[]): number[] {
  const pumped = (one: Segment): boolean => one.kind === 'pump-down' || one.kind === 'steady';
  return segments.flatMap((one, i) => {
    const next = segments[i + 1];
    if (next === undefined || (pumped(one) && pumped(next))) return [];
    const large = [one, next].some(
      ({ startPa, endPa }) => Math.abs(elementary.log(endPa / startPa)) > elementary.log(ANSWERS_UP_TO),
    );
    return large ? [next.startS] : [];
  });
}

/** Whether a valve moves within the windows before and after a moment. */
function moved(moves: readonly number[], atS: number, withinS: number): boolean {
  return moves.some((one) => Math.abs(one - atS) < withinS);
}

/** The reading's own past nearest to a remark: what it does an hour earlier in another state is no measure. */
const NEAREST = 100;

interface QuietChange {
  readonly atS: number;
  readonly size: number;
}

function nearest(quiet: readonly QuietChange[], atS: number): number[] {
  return [...quiet]
    .sort((a, b) => Math.abs(a.atS - atS) - Math.abs(b.atS - atS))
    .slice(0, NEAREST)
    .map(({ size }) => size);
}

interface Change {
  /** Level after less the line through the window before, relative to the level. */
  readonly relative: number;
  readonly level: number;
  readonly line: (t: number) => number;
}

function changeAt(log: GaugeLog, channel: Channel, atS: number, withinS: number): Change | null {
  const before = readingsIn(log, channel, atS - withinS, atS);
  const after = readingsIn(log, channel, atS, atS + withinS);
  if (before.t.length < 4 || after.t.length < 3) return null;
  const n = before.t.length;
  const tm = before.t.reduce((s, t) => s + t / n, 0);
  const pm = before.p.reduce((s, p) => s + p / n, 0);
  let tt = 0;
  let tp = 0;
  for (let i = 0; i < n; i++) {
    tt += (before.t[i] - tm) ** 2;
    tp += (before.t[i] - tm) * (before.p[i] - pm);
  }
  const slope = tt > 0 ? tp / tt : 0;
  const line = (t: number): number => pm + slope * (t - tm);
  const off = median(after.t.map((t, i) => after.p[i] - line(t)));
  const level = Math.max(Math.abs(pm), 1e-300);
  return { relative: off / level, level, line };
}

function readingsIn(log: GaugeLog, channel: Channel, fromS: number, toS: number): { t: number[]; p: number[] } {
  const t: number[] = [];
  const p: number[] = [];
  let low = 0;
  let high = log.rows;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (log.time[middle] <= fromS) low = middle + 1;
    else high = middle;
  }
  const stride = Math.max(1, Math.floor((toS - fromS) / Math.max(1e-9, 400 * stepOf(log))));
  for (let i = low; i < log.rows && log.time[i] <= toS; i += stride) {
    if (channel.flags[i] === 0) {
      t.push(log.time[i]);
      p.push(channel.values[i]);
    }
  }
  return { t, p };
}

function stepOf(log: GaugeLog): number {
  return log.rows > 1 ? (log.time[log.rows - 1] - log.time[0]) / (log.rows - 1) : 1;
}

/** The same change at moments far from any remark and from any valve that moves. */
function ownBehaviour(log: GaugeLog, channel: Channel, withinS: number, moves: readonly number[]): QuietChange[] {
  if (log.rows < 2) return [];
  const from = log.time[0] + withinS;
  const to = log.time[log.rows - 1] - withinS;
  const count = Math.min(400, Math.max(0, Math.floor((2 * (to - from)) / withinS)));
  const sizes: QuietChange[] = [];
  for (let k = 0; k < count; k++) {
    const at = from + ((to - from) * (k + 0.5)) / count;
    if (log.remarks.some((one) => Math.abs(one.atS - at) < 2 * withinS)) continue;
    if (moved(moves, at, withinS)) continue;
    const change = changeAt(log, channel, at, withinS);
    if (change !== null) sizes.push({ atS: at, size: Math.abs(change.relative) });
  }
  return sizes;
}

function answer(
  log: GaugeLog,
  channel: Channel,
  remark: Remark,
  withinS: number,
  past: readonly QuietChange[],
  moves: readonly number[],
  expected: TracerExpectation | null,
): RemarkAnswer {
  if (moved(moves, remark.atS, withinS)) {
    const text = `"${remark.text}": a valve moves or the state changes within ${Math.round(withinS)} s of it, so it cannot be told`;
    return { remark, answers: 'cannot tell', direction: 'none', change: Number.NaN, byChance: 1, afterS: null, text };
  }
  const quiet = nearest(past, remark.atS);
  const change = changeAt(log, channel, remark.atS, withinS);
  if (change === null || quiet.length < 8) {
    const text = `"${remark.text}": too few readings around it to tell`;
    return { remark, answers: 'cannot tell', direction: 'none', change: Number.NaN, byChance: 1, afterS: null, text };
  }
  const size = Math.abs(change.relative);
  const larger = quiet.filter((one) => one >= size).length;
  const byChance = (larger + 1) / (quiet.length + 1);
  const clear = byChance < 0.05 && size > 3 * median(quiet);
  const answers = clear ? 'yes' : byChance > 0.2 ? 'no' : 'cannot tell';
  const direction = answers === 'no' ? 'none' : change.relative > 0 ? 'up' : 'down';
  const afterS = answers === 'yes' ? halfTime(log, channel, remark.atS, withinS, change) : null;
  const percent = `${(100 * change.relative).toPrecision(2)} %`;
  const text =
    answers === 'yes'
      ? `"${remark.text}": the reading goes ${direction} by ${percent} after ${Math.round(afterS ?? 0)} s; on its own it does as much in ${(100 * byChance).toPrecision(2)} of 100 such moments`
      : `"${remark.text}": ${answers === 'no' ? 'no answer beyond what the reading does on its own' : 'not clear'} (${percent})`;
  const sign = answers === 'yes' && expected !== null ? signWords(direction, expected) : '';
  return { remark, answers, direction, change: change.relative, byChance, afterS, text: text + sign };
}

function signWords(direction: 'up' | 'down' | 'none', expected: TracerExpectation): string {
  if (expected.direction === 'either') return `; ${expected.text}`;
  return direction === expected.direction
    ? `; that is the way a leak answers (${expected.text})`
    : `; a leak would answer the other way (${expected.text}): something else was done, or the place froze or was closed by it`;
}

function halfTime(log: GaugeLog, channel: Channel, atS: number, withinS: number, change: Change): number {
  const after = readingsIn(log, channel, atS, atS + withinS);
  const half = 0.5 * change.relative * change.level;
  for (let i = 0; i < after.t.length; i++) {
    const off = after.p[i] - change.line(after.t[i]);
    if (Math.sign(off) === Math.sign(half) && Math.abs(off) >= Math.abs(half)) return after.t[i] - atS;
  }
  return withinS;
}
