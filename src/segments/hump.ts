import { medianBetween } from './readings';
import type { Stretch, WorkingRecord } from './stretches';

/** A rise, its top and what holds up there, until the pressure falls away or the record ends. */
export interface Hump {
  /** First stretch, and the first after it. */
  readonly first: number;
  readonly next: number;
  /** Pressure before it, Pa, and the reading it was taken at. */
  readonly basePa: number;
  readonly topPa: number;
  /** True where the record ends before the pressure falls. */
  readonly open: boolean;
  /** True where gas let in ends it. */
  readonly cut?: boolean;
  /** True where the pressure leaps up and falls back at once. */
  readonly decays?: boolean;
}

/** Part of the rise that must be gone before a fall ends it. */
const FALL_PART = 0.4;
/** and it must be gone by so many noise deviations of a reading. */
const SURE_FALL = 8;

export function atAtmosphere(record: WorkingRecord, s: Stretch): boolean {
  const level = Math.min(s.startPa, s.endPa);
  return level > 0.93 * record.atmospherePa && Math.abs(s.endPa - s.startPa) < 0.03 * record.atmospherePa;
}

/** Fewest readings that stand at atmosphere before a fall that came too fast for a stretch of its own. */
const STANDS_READINGS = 4;

/**
 * The last reading at atmosphere of a stretch that stands there first and then falls within a reading or two; -1 where it
 * does not.
 */
export function endOfAtmosphere(record: WorkingRecord, s: Stretch): number {
  const { pa } = record.readings;
  const air = record.atmospherePa;
  let last = s.from - 1;
  while (last < s.to && Math.abs(pa[last + 1] - air) < 0.07 * air) last++;
  const stands = last - s.from + 1 >= STANDS_READINGS && last < s.to && last >= s.to - 3;
  return stands && pa[last + 1] < 0.8 * air && Math.abs(pa[last] - pa[s.from]) < 0.03 * air ? last : -1;
}

/** Does the pressure rise in this stretch, or jump up where it begins? */
export function rises(record: WorkingRecord, stretches: readonly Stretch[], k: number): boolean {
  const s = stretches[k];
  const leastPa = 2.5 * record.noise.stepPa(s.startPa);
  const spread = Math.sqrt(record.longRun);
  if (s.significance > 6 * record.longRun && s.endY - s.startY > 5 * spread && s.endPa - s.startPa > leastPa)
    return true;
  if (k === 0) return false;
  if (leadsInto(record, stretches, k)) return true;
  const before = stretches[k - 1];
  return s.startY - before.endY > 7 * spread && s.startPa - before.endPa > Math.max(leastPa, 0);
}

/** A stretch leads into a rise that is so sure, by less, where it rises at this part of its rate at least. */
const LEADS_SURE = 3;
const LEADS_RATE = 0.4;

/** Is a stretch the first part of a rise that the next makes sure: does it rise alike, up to where that begins? */
function leadsInto(record: WorkingRecord, stretches: readonly Stretch[], k: number): boolean {
  const s = stretches[k];
  const next = stretches[k + 1];
  if (next === undefined || s.significance < LEADS_SURE * record.longRun || s.ratePa < LEADS_RATE * next.ratePa)
    return false;
  const spread = Math.sqrt(record.longRun);
  const sure = next.significance > 6 * record.longRun && next.endY - s.startY > LEADS_HEIGHT * spread;
  return sure && s.endY - s.startY > LEADS_SURE * spread && Math.abs(next.startY - s.endY) < LEADS_HEIGHT * spread;
}

/** What a rise reaches, and what parts it from what leads into it at most, noise standard deviations. */
const LEADS_HEIGHT = 8;

/** Pressure before a rise, Pa: its first readings may have slipped into the stretch before it. */
export function pressureBefore(record: WorkingRecord, stretches: readonly Stretch[], first: number): number {
  const { from } = stretches[first];
  const earlier = medianBetween(record.readings.pa, Math.max(stretches[first - 1].from, from - 7), from - 3);
  const near = Math.min(stretches[first - 1].endPa, stretches[first].startPa);
  return Number.isFinite(earlier) ? Math.min(near, earlier) : near;
}

export function findHump(record: WorkingRecord, stretches: readonly Stretch[], first: number): Hump {
  const basePa = first > 0 ? pressureBefore(record, stretches, first) : stretches[0].startPa;
  let topPa = Math.max(stretches[first].startPa, stretches[first].endPa);
  let topY = Math.max(stretches[first].startY, stretches[first].endY);
  let topAt = first;
  for (let j = first; j < stretches.length; j++) {
    const s = stretches[j];
    if (atAtmosphere(record, s)) return { first, next: j, basePa, topPa: Math.max(topPa, s.startPa), open: false };
    const low = Math.min(s.startPa, s.endPa);
    if (j === first && s.endPa < s.startPa - FALL_PART * (s.startPa - basePa)) {
      return { first, next: j + 1, basePa, topPa, open: false, decays: true };
    }
    // A stretch may begin with the top and end in the fall.
    const heldPa = s.endPa < s.startPa ? Math.max(topPa, s.startPa) : topPa;
    const gone = low < heldPa - FALL_PART * (heldPa - basePa);
    if (
      j > first &&
      gone &&
      (low < heldPa - SURE_FALL * record.noise.sigmaPa(heldPa) || standsBelow(record, s, topY))
    ) {
      return { first, next: startOfFall(stretches, topAt, j), basePa, topPa, open: false };
    }
    if (Math.max(s.startPa, s.endPa) > topPa) {
      topPa = Math.max(s.startPa, s.endPa);
      topY = Math.max(topY, s.startY, s.endY);
      // A stretch that falls from its start has the top at its edge: it belongs to the fall.
      topAt = s.endPa >= s.startPa ? j : Math.max(first, j - 1);
    }
  }
  return { first, next: stretches.length, basePa, topPa, open: true };
}

/** Readings of a stretch whose line is known better than single readings are, and how far below a top it must lie. */
const KNOWN_READINGS = 16;
const KNOWN_FALL = 4;

/** Does a stretch of many readings lie below a top as a whole, by less than single readings would show? */
function standsBelow(record: WorkingRecord, s: Stretch, topY: number): boolean {
  const count = s.to - s.from + 1;
  const spread = Math.sqrt(record.longRun);
  // What still falls began lower, and comes lower yet.
  const falls = s.significance < -KNOWN_FALL * record.longRun && s.endY < topY - FALLS_TO * spread;
  if (count >= FALLING_READINGS && falls && s.startY < topY - FALLS_FROM * spread) return true;
  return count >= KNOWN_READINGS && Math.max(s.startY, s.endY) < topY - KNOWN_FALL * spread;
}

/** Readings of a stretch that falls, and how far below a top it must begin and end. */
const FALLING_READINGS = 8;
const FALLS_FROM = 3;
const FALLS_TO = 6;

/** The first stretch of the fall that is under way in stretch `j`. */
function startOfFall(stretches: readonly Stretch[], topAt: number, j: number): number {
  const steepest = Math.abs(stretches[j].ratePa);
  let start = j;
  while (start - 1 > topAt && stretches[start - 1].significance < -6 && -stretches[start - 1].ratePa > 0.3 * steepest) {
    start--;
  }
  return Math.max(start, topAt + 1);
}
