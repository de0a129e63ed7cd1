import type { PressureText } from './pressure-text';
import { medianBetween } from './readings';
import type { LogEvent, Segment } from './segment';
import type { WorkingRecord } from './stretches';

/** Readings on each side of a step by which it is judged: at least, at most, and as a part of the stretch. */
const FEWEST_BESIDE = 5;
const MOST_BESIDE = 20;
const PART_BESIDE = 8;
/** Least size, noise standard deviations of what is judged. */
const LEAST = 8;
/** It stands out from the run of the pressure beside it by this factor. */
const STANDS_OUT = 4;
/** What must be left of it later on. */
const LASTS = 0.5;
/** Codes of a quantised gauge that a step must exceed. */
const SEVERAL = 2.2;
/** and readings, in those beside it, in which its code is looked for. */
const CODE_REACH = 5;
/** near its level, relative: codes differ from decade to decade. */
const NEAR_LEVEL = 0.3;
/** Readings at the ends of a stretch that belong to the valve. */
const EDGE = 4;
/** A system that stood for so long stood stable, s. */
const STABLE_S = 120;
/** More steps than these in a stretch are a restless pressure: the largest are told. */
const MOST = 20;

/**
 * Sudden lasting steps inside isolations and steady stretches, and where a steady stretch is left by a step up. Robust
 * against noise, single readings and the stairs of a quantised gauge. O(n).
 * @param record the worked-up record
 * @param segments its segments
 * @returns events of kind `step`, with `rise_Pa`, `from_Pa`, `to_Pa`, and how long it stood before, `stood_s`
 */
export function findSteps(record: WorkingRecord, segments: readonly Segment[]): LogEvent[] {
  const events: LogEvent[] = [];
  segments.forEach((segment, k) => {
    if (segment.kind === 'isolation' || segment.kind === 'steady') {
      const [from, to] = readingsOf(record, segment);
      events.push(...stepsWithin(record, segment, from, to));
    }
    const next = segments[k + 1];
    if (segment.kind !== 'steady' || next?.kind !== 'regulated') return;
    const forS = segment.endS - segment.startS;
    const [first, last] = readingsOf(record, next);
    const levelPa = medianBetween(record.readings.pa, (first + last) >> 1, Math.min(last, ((first + last) >> 1) + 8));
    const rise = levelPa - segment.endPa;
    if (!(rise > 0) || forS < STABLE_S || !severalCodes(record, first, MOST_BESIDE)) return;
    events.push(stepEvent(record.show, 'steady', next.startS, segment.endPa, levelPa, rise, forS));
  });
  return events;
}

/** First and last good reading of a segment. */
function readingsOf(record: WorkingRecord, segment: Segment): [number, number] {
  const { rows } = record.readings;
  const at = (row: number): number => {
    let low = 0;
    let high = rows.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (rows[middle] < row) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return [at(segment.from), at(segment.to + 1) - 1];
}

interface Step {
  readonly at: number;
  /** Size on the noise scale. */
  readonly size: number;
}

function stepsWithin(record: WorkingRecord, segment: Segment, from: number, to: number): LogEvent[] {
  const beside = Math.min(MOST_BESIDE, Math.floor((to - from + 1) / PART_BESIDE));
  if (beside < FEWEST_BESIDE) return [];
  const found: Step[] = [];
  for (let i = from + EDGE + beside; i <= to - EDGE - beside; i++) {
    if (!mayStep(record, i)) continue;
    const size = stepAt(record, i, beside, to);
    if (size === 0) continue;
    const last = found[found.length - 1];
    if (last !== undefined && i - last.at < beside) {
      if (Math.abs(size) > Math.abs(last.size)) found[found.length - 1] = { at: i, size };
    } else found.push({ at: i, size });
  }
  const told = [...found].sort((a, b) => Math.abs(b.size) - Math.abs(a.size)).slice(0, MOST);
  return told.map(({ at }) => {
    const { time, pa } = record.readings;
    const fromPa = lineAt(time, pa, at - beside, at - 1, time[at]);
    const toPa = lineAt(time, pa, at + 1, at + beside, time[at]);
    return stepEvent(record.show, segment.kind, time[at], fromPa, toPa, toPa - fromPa, time[at] - segment.startS);
  });
}

/** Is there a move about reading `i` that those just before and after it do not have? */
function mayStep(record: WorkingRecord, i: number): boolean {
  const { y } = record.scaled;
  const move = Math.abs(y[i + 1] - y[i - 1]);
  const least = 0.6 * LEAST * Math.sqrt(record.longRun);
  return move > least && move > 2 * Math.abs(y[i - 1] - y[i - 3]) && move > 2 * Math.abs(y[i + 3] - y[i + 1]);
}

/** Size of a lasting step at reading `i` on the noise scale; 0 where there is none. */
function stepAt(record: WorkingRecord, i: number, beside: number, last: number): number {
  const { time, y } = record.scaled;
  const spread = Math.sqrt(record.longRun);
  const slopes = [slopeOf(time, y, i - beside, i - 1), slopeOf(time, y, i + 1, i + beside)];
  const before = lineAt(time, y, i - beside, i - 1, time[i]);
  const size = lineAt(time, y, i + 1, i + beside, time[i]) - before;
  const run = Math.max(Math.abs(slopes[0]), Math.abs(slopes[1])) * (time[i + 1] - time[i - 1]);
  if (Math.abs(size) < LEAST * spread * Math.sqrt(record.longRun) || Math.abs(size) < STANDS_OUT * run) return 0;
  if (!severalCodes(record, i, beside)) return 0;
  // Every reading on either side keeps to its side: neither noise nor a single reading makes a step.
  const middle = before + size / 2;
  const sure = (j: number): boolean => (y[j] - slopes[j < i ? 0 : 1] * (time[j] - time[i]) - middle) * size > 0;
  let wrong = 0;
  for (let j = i - beside; j <= i + beside; j++) if (j !== i && sure(j) !== j > i) wrong++;
  if (wrong > beside / 10) return 0;
  const later = medianBetween(y, Math.min(last, i + 2 * beside), Math.min(last, i + 4 * beside));
  const laterS = time[Math.min(last, i + 3 * beside)] - time[i];
  const left = later - before - Math.max(0, Math.min(slopes[0] * size, slopes[1] * size) / size) * laterS;
  return left * size > LASTS * size * size ? size : 0;
}

/** Is a move at reading `i` more than two codes of a quantised gauge? Codes may be coarser on one side, above a decade. */
function severalCodes(record: WorkingRecord, i: number, beside: number): boolean {
  const { pa } = record.readings;
  const before = medianBetween(pa, Math.max(0, i - beside), i - 1);
  const after = medianBetween(pa, i + 1, Math.min(pa.length - 1, i + beside));
  const move = Math.abs(after - before);
  const reach = CODE_REACH * beside;
  const codes = [smallestMove(pa, i - reach, i - 1, before), smallestMove(pa, i + 1, i + reach, after)];
  // Where one side shows no code it may be a decade coarser than the other's.
  const shown = Math.min(...codes);
  const code = Number.isFinite(Math.max(...codes)) ? Math.max(...codes) : Number.isFinite(shown) ? 10 * shown : move;
  return move > SEVERAL * Math.max(code, record.noise.stepPa(before), record.noise.stepPa(after));
}

/** Smallest move from one reading to the next near a level; infinite where nothing moves. */
function smallestMove(pa: Float64Array, from: number, to: number, level: number): number {
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = Math.max(1, from + 1); i <= Math.min(to, pa.length - 1); i++) {
    const move = Math.abs(pa[i] - pa[i - 1]);
    if (Math.abs(pa[i] - level) > NEAR_LEVEL * Math.abs(level)) continue;
    if (move > 1e-9 * Math.abs(pa[i]) && move < smallest) smallest = move;
  }
  return smallest;
}

function stepEvent(
  show: PressureText,
  kind: Segment['kind'],
  atS: number,
  fromPa: number,
  toPa: number,
  rise: number,
  stoodS: number,
): LogEvent {
  const moved = `the pressure steps from ${show(fromPa)} to ${show(toPa)} and stays`;
  const leaksOrBoils = kind === 'steady' && rise > 0 && stoodS >= STABLE_S;
  return {
    kind: 'step',
    atS,
    text: leaksOrBoils
      ? `${moved}: a system that sat stable for minutes and then steps up has started to leak or to boil ` +
        '(common practice, no source), unless gas was let in'
      : moved,
    numbers: { rise_Pa: rise, from_Pa: fromPa, to_Pa: toPa, stood_s: stoodS },
  };
}

/** Slope of a straight line through readings. */
function slopeOf(time: Float64Array, values: Float64Array, from: number, to: number): number {
  const [, slope] = line(time, values, from, to);
  return slope;
}

/** Value of a straight line through readings, at a moment. */
function lineAt(time: Float64Array, values: Float64Array, from: number, to: number, atS: number): number {
  const [mean, slope, meanS] = line(time, values, from, to);
  return mean + slope * (atS - meanS);
}

function line(time: Float64Array, values: Float64Array, from: number, to: number): [number, number, number] {
  const n = to - from + 1;
  let meanS = 0;
  let mean = 0;
  for (let i = from; i <= to; i++) {
    meanS += (time[i] - time[from]) / n;
    mean += values[i] / n;
  }
  let tt = 0;
  let ty = 0;
  for (let i = from; i <= to; i++) {
    const dt = time[i] - time[from] - meanS;
    tt += dt * dt;
    ty += dt * (values[i] - mean);
  }
  return [mean, tt > 0 ? ty / tt : 0, time[from] + meanS];
}
