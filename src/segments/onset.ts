import { suddenness } from './kink';
import { medianBetween } from './readings';
import type { ScaledRecord } from './straight-pieces';
import type { WorkingRecord } from './stretches';

/**
 * Rises over which the onset of an isolation is judged, noise standard deviations: what is near the kink tells, and the
 * wider look sees a kink that noise hides from the closer one.
 */
const ONSET_RISES: readonly number[] = [12, 36];
/** The widest look, on pressure itself, and how many readings it takes in to each side at most. */
const FAR_RISE = 150;
const FAR_READINGS = 2000;

/** How suddenly the rise at `from` begins; see `suddenness`. */
export function onsetSuddenness(record: WorkingRecord, from: number, to: number): number {
  if (from === 0) return 0;
  const spread = Math.sqrt(record.longRun);
  if (leapsAt(record.scaled.y, from, spread) || leapsAt(record.scaled.y, from + 1, spread)) return 100;
  const near = Math.max(...ONSET_RISES.map((rise) => suddennessOver(record, record.stepwise, from, to, rise)));
  // What grows ever faster is no chamber that was shut; from afar its beginning looks like a kink.
  if (accelerates(record, from, to)) return near;
  const offset = Math.max(0, from - FAR_READINGS);
  const far = inPressure(record, from, offset);
  return Math.max(near, suddennessOver(record, far, from - offset, to - offset, FAR_RISE));
}

/**
 * The record about a reading as pressure itself, in which an isolated chamber rises straight, in units of the noise
 * there; its first reading is `offset`.
 */
function inPressure(record: WorkingRecord, from: number, offset: number): ScaledRecord {
  const { pa, time } = record.readings;
  const sigma = record.noise.sigmaPa(pa[from]);
  const end = Math.min(pa.length, from + FAR_READINGS);
  const y = new Float64Array(end - offset);
  const weight = new Float64Array(end - offset);
  for (let i = offset; i < end; i++) {
    y[i - offset] = pa[i] / sigma;
    weight[i - offset] = record.stepwise.weight[i] * Math.min(1, (sigma / record.noise.sigmaPa(pa[i])) ** 2);
  }
  return { time: time.subarray(offset, end), y, weight };
}

function suddennessOver(record: WorkingRecord, scaled: ScaledRecord, from: number, to: number, rise: number): number {
  const { y } = scaled;
  const last = Math.min(to, from + FAR_READINGS - 1);
  const base = medianBetween(y, Math.max(0, from - 5), from - 1);
  const wanted = rise * Math.sqrt(record.longRun);
  let right = Math.min(last, from + 7);
  while (right < last && medianBetween(y, right - 4, right) - base < wanted) {
    right += Math.max(1, (right - from) >> 3);
  }
  right = Math.min(right, last);
  const tail = base + Math.min(wanted, TAIL * Math.sqrt(record.longRun));
  const rate = (medianBetween(y, right - 2, right) - base) / (right - from + 1);
  const left = pumpedSince(y, from, Math.max(0, from - (right - from + 1)), tail, rate);
  const evidence = suddenness(scaled, left, from, right) / (record.longRun * record.longRun);
  return from - left < SURE_BEFORE ? Math.min(0, evidence) : evidence;
}

/** Readings before a rise that are looked at, at least. */
const FEWEST_BEFORE = 4;
/** Fewer than these cannot tell a valve that closes from a fall that came to its base. */
const SURE_BEFORE = 8;
/** So far above the base, noise standard deviations, the tail of a fall may begin that is looked at. */
const TAIL = 3;

/**
 * The first reading, from `earliest` on, from which the readings up to a rise belong to what was before it. Where a pump brought
 * the pressure down from far above the base, much faster than it then rises, that fall says nothing of how the rise begins.
 */
function pumpedSince(y: Float64Array, from: number, earliest: number, tail: number, rate: number): number {
  let left = Math.max(earliest, from - FEWEST_BEFORE);
  while (left > earliest) {
    const here = medianBetween(y, Math.max(0, left - 3), left - 1);
    const above = medianBetween(y, Math.max(0, left - 7), Math.max(0, left - 5));
    if (here > tail && above - here > PUMPS * 4 * rate) break;
    left--;
  }
  return left;
}

/** A fall so many times faster than the rise after it is the pump's; a room that swings falls as it rises. */
const PUMPS = 3;

/** Does the record leap up within three readings, and stay up? */
function leapsAt(y: Float64Array, from: number, spread: number): boolean {
  const before = medianBetween(y, Math.max(0, from - 4), from - 1);
  const after = Math.min(y[Math.min(from + 2, y.length - 1)], y[Math.min(from + 3, y.length - 1)]);
  const wobble = Math.abs(y[Math.max(0, from - 4)] - y[from - 1]);
  return after - before > 10 * spread + 2 * wobble;
}

/** What noise may feign, standard deviations of a reading. */
const ACCELERATION_NOISE = 2;

/** Does a rise grow faster as it goes on? Gas that collects in a shut chamber does not; heating does. */
export function accelerates(record: WorkingRecord, from: number, to: number): boolean {
  const { pa } = record.readings;
  const third = Math.floor((to - from) / 3);
  const few = Math.min(4, third >> 1);
  const at = (k: number): number => medianBetween(pa, from + k * third, Math.min(to, from + k * third + few));
  const noise = ACCELERATION_NOISE * record.noise.sigmaPa(at(1)) * Math.sqrt(record.longRun);
  return third > 2 && at(1) - at(0) < 0.7 * (at(2) - at(1)) - noise;
}
