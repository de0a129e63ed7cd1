import { suddenness } from './kink';
import { medianBetween } from './readings';
import type { SegmentKind } from './segment';
import type { Stretch, WorkingRecord } from './stretches';

/** A named run of readings (indices into the good readings). */
export interface Span {
  kind: SegmentKind;
  from: number;
  to: number;
  grounds: string[];
}

/** Something short that was met on the way, at a reading. */
export interface Incident {
  readonly kind: 'burst' | 'step';
  readonly at: number;
  readonly fromPa: number;
  readonly toPa: number;
}

/** What naming gives: spans without gap or overlap, and incidents. */
export interface NamedRecord {
  readonly spans: Span[];
  readonly incidents: Incident[];
}

/** Fewest readings of an isolation. */
export const FEWEST_READINGS = 8;
/** Least rise of an isolation, noise standard deviations. */
export const LEAST_RISE = 8;
/**
 * Closing a valve lets the pressure rise at most at p/tau, tau = V/S (a pumped chamber whose pressure does not rise takes
 * in no more gas than the pump removes, S p). The margin covers a speed that changes with pressure and a lagging gauge.
 */
const RATE_MARGIN = 3;
/** Part of the rise that must be gone before a fall ends it. */
const FALL_PART = 0.4;

/** Walks along the stretches and says what happens in each. */
export function nameStretches(record: WorkingRecord, stretches: readonly Stretch[]): NamedRecord {
  const spans: Span[] = [];
  const incidents: Incident[] = [];
  const put = (kind: SegmentKind, from: number, to: number, grounds: string[]): void => {
    if (to < from) return;
    const last = spans[spans.length - 1];
    if (last !== undefined && last.kind === kind && kind !== 'isolation' && kind !== 'fill') last.to = to;
    else spans.push({ kind, from, to, grounds });
  };
  let k = 0;
  while (k < stretches.length) {
    const s = stretches[k];
    if (atAtmosphere(record, s)) {
      put('atmosphere', s.from, s.to, [`the pressure stands at about ${show(s.startPa)} Pa, one atmosphere`]);
      k++;
    } else if (rises(record, stretches, k)) {
      const hump = findHump(record, stretches, k);
      const named = nameHump(record, stretches, hump);
      for (const span of named.spans) put(span.kind, span.from, span.to, span.grounds);
      incidents.push(...named.incidents);
      k = hump.next;
    } else {
      put('pump-down', s.from, s.to, ['the pressure falls or stands while the pump works on the chamber']);
      k++;
    }
  }
  return { spans, incidents };
}

const show = (pa: number): string => Number(pa.toPrecision(3)).toString();

function atAtmosphere(record: WorkingRecord, s: Stretch): boolean {
  const level = Math.min(s.startPa, s.endPa);
  return level > 0.93 * record.atmospherePa && Math.abs(s.endPa - s.startPa) < 0.03 * record.atmospherePa;
}

/** Does the pressure rise in this stretch, or jump up where it begins? */
function rises(record: WorkingRecord, stretches: readonly Stretch[], k: number): boolean {
  const s = stretches[k];
  const leastPa = 2.5 * record.noise.stepPa(s.startPa);
  if (s.significance > 6 && s.endY - s.startY > 5 && s.endPa - s.startPa > leastPa) return true;
  if (k === 0) return false;
  const before = stretches[k - 1];
  return s.startY - before.endY > 7 && s.startPa - before.endPa > Math.max(leastPa, 0);
}

/** A rise, its top and what holds up there, until the pressure falls away or the record ends. */
interface Hump {
  /** First stretch, and the first after it. */
  readonly first: number;
  readonly next: number;
  /** Pressure before it, Pa, and the reading it was taken at. */
  readonly basePa: number;
  readonly topPa: number;
  /** True where the record ends before the pressure falls. */
  readonly open: boolean;
}

function findHump(record: WorkingRecord, stretches: readonly Stretch[], first: number): Hump {
  const basePa = first > 0 ? Math.min(stretches[first - 1].endPa, stretches[first].startPa) : stretches[0].startPa;
  let topPa = Math.max(stretches[first].startPa, stretches[first].endPa);
  let topAt = first;
  for (let j = first; j < stretches.length; j++) {
    const s = stretches[j];
    if (atAtmosphere(record, s)) return { first, next: j, basePa, topPa: Math.max(topPa, s.startPa), open: false };
    const low = Math.min(s.startPa, s.endPa);
    if (j > first && low < topPa - FALL_PART * (topPa - basePa) && low < topPa - 8 * record.noise.sigmaPa(topPa)) {
      return { first, next: startOfFall(stretches, topAt, j), basePa, topPa, open: false };
    }
    if (Math.max(s.startPa, s.endPa) > topPa) {
      topPa = Math.max(s.startPa, s.endPa);
      topAt = j;
    }
  }
  return { first, next: stretches.length, basePa, topPa, open: true };
}

/** The first stretch of the fall that is under way in stretch `j`. */
function startOfFall(stretches: readonly Stretch[], topAt: number, j: number): number {
  const steepest = Math.abs(stretches[j].ratePa);
  let start = j;
  while (start - 1 > topAt && stretches[start - 1].significance < -6 && -stretches[start - 1].ratePa > 0.3 * steepest) {
    start--;
  }
  return Math.max(start, topAt + 1);
}

function nameHump(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): NamedRecord {
  const from = stretches[hump.first].from;
  const to = stretches[hump.next - 1].to;
  const inflow = firstInflow(record, stretches, hump);
  if (inflow < 0) return nameQuietRise(record, stretches, hump, from, to);
  const inflowFrom = stretches[inflow].from;
  if (inflowFrom - from < FEWEST_READINGS) return nameInflow(record, stretches, hump, hump.first);
  const before = nameQuietRise(record, stretches, { ...hump, next: inflow, open: false }, from, inflowFrom - 1);
  const after = nameInflow(record, stretches, { ...hump, basePa: stretches[inflow - 1].endPa }, inflow);
  return { spans: [...before.spans, ...after.spans], incidents: [...before.incidents, ...after.incidents] };
}

/** The first stretch of a hump in which gas must be let in, because nothing else is so fast; -1 where there is none. */
function firstInflow(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): number {
  const floorPa = Math.max(hump.basePa, 3 * record.noise.sigmaPa(hump.basePa));
  const pumping = record.pumpingPerS;
  if (!(pumping > 0)) return hump.topPa > 1e4 && hump.topPa > 100 * floorPa ? hump.first : -1;
  const limit = RATE_MARGIN * pumping * floorPa;
  for (let j = hump.first; j < hump.next; j++) {
    const s = stretches[j];
    if (s.ratePa > limit && s.significance > 6) return j;
    if (j === 0) continue;
    const before = stretches[j - 1];
    const jump = s.startPa - before.endPa;
    const isStep = s.startY - before.endY > 8 && jump / (s.startS - before.endS || 1) > limit;
    if (isStep && !goesOnRising(stretches, j, hump.next, jump)) return j;
  }
  return -1;
}

/** After a jump, does the pressure go on rising by something that compares with the jump? */
function goesOnRising(stretches: readonly Stretch[], j: number, next: number, jump: number): boolean {
  const last = stretches[next - 1];
  return last.endPa - stretches[j].startPa > 0.3 * jump && stretches[j].significance > 6;
}

/** A rise too slow for gas let in: an isolation, or a drift of a pumped chamber. */
function nameQuietRise(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  hump: Hump,
  from: number,
  to: number,
): NamedRecord {
  const pumped = (why: string): NamedRecord => ({
    spans: [{ kind: 'pump-down', from, to, grounds: [why] }],
    incidents: [],
  });
  const whole = hump.first === 0 && hump.open;
  if (!whole && to - from + 1 < FEWEST_READINGS) return pumped('a rise too short to judge is passed over');
  const { y } = record.scaled;
  const basis = medianBetween(y, Math.max(0, from - 5), Math.max(0, from - 1)) || y[from];
  const rise = medianBetween(y, Math.max(from, to - 2), to) - (from > 0 ? basis : y[from]);
  if (!whole && rise < LEAST_RISE) return pumped('a rise within the noise is passed over');
  const length = to - from + 1;
  const left = Math.max(0, from - Math.max(6, Math.min(length, 400)));
  const right = Math.min(to, from + Math.max(8, Math.min(length - 1, Math.floor(length * 0.6), 400)));
  const sudden = from === 0 ? 0 : suddenness(record.scaled, left, from, right);
  const fallsSharply = !hump.open && hump.next < stretches.length && endsSharply(stretches, hump, record);
  if (sudden < -4 || (sudden < 4 && !fallsSharply && from > 0)) {
    return pumped('the pressure drifts without a sudden change of slope');
  }
  const grounds = [
    `the pressure turns from ${show(hump.basePa)} Pa to a steady rise at once`,
    `it rises far more slowly than gas let in, to ${show(hump.topPa)} Pa`,
  ];
  if (fallsSharply) grounds.push('it falls sharply at the end, as when the valve to the pump opens');
  return { spans: [{ kind: 'isolation', from, to, grounds }], incidents: [] };
}

/** Is the fall after a hump much faster than its rise? */
function endsSharply(stretches: readonly Stretch[], hump: Hump, record: WorkingRecord): boolean {
  const top = stretches[hump.next - 1];
  const after = stretches[hump.next];
  if (after === undefined) return false;
  const riseS = Math.max(1e-9, top.endS - stretches[hump.first].startS);
  const wanted = top.endPa - FALL_PART * (hump.topPa - hump.basePa);
  const { pa, time } = record.readings;
  for (let i = after.from; i < pa.length && time[i] - top.endS < 0.25 * riseS + 3 * (after.startS - top.endS); i++) {
    if (pa[i] < wanted) return true;
  }
  return false;
}

/** Gas let in: fill, what holds at its top, venting; or a burst that is pumped away at once. */
function nameInflow(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump, first: number): NamedRecord {
  const from = stretches[first].from;
  const to = stretches[hump.next - 1].to;
  const { pa } = record.readings;
  const length = to - from + 1;
  if (!hump.open && length < FEWEST_READINGS && hump.topPa < 1000) {
    return {
      spans: [{ kind: 'pump-down', from, to, grounds: ['a burst is pumped away'] }],
      incidents: [{ kind: 'burst', at: from, fromPa: hump.basePa, toPa: hump.topPa }],
    };
  }
  const reaches = hump.topPa > 0.9 * record.atmospherePa;
  // Where the last tenth of the rise begins: what follows holds.
  const nearTop = hump.basePa + 0.93 * (hump.topPa - hump.basePa);
  let topAt = from;
  while (topAt < to && pa[topAt] < nearTop) topAt++;
  const hold = holdFrom(stretches, first, hump.next, topAt, hump);
  const risen = `gas is let in: the pressure rises from ${show(hump.basePa)} to ${show(hump.topPa)} Pa`;
  const kind: SegmentKind = reaches ? 'venting' : 'fill';
  if (hold < 0 || to - hold + 1 < FEWEST_READINGS) {
    return { spans: [{ kind, from, to, grounds: [risen] }], incidents: [] };
  }
  const holdKind: SegmentKind = reaches ? 'atmosphere' : 'regulated';
  const spans: Span[] = [];
  if (hold - from >= 4) spans.push({ kind, from, to: hold - 1, grounds: [risen] });
  const holdStart = spans.length > 0 ? hold : from;
  spans.push({ kind: holdKind, from: holdStart, to, grounds: [`the pressure is held near ${show(hump.topPa)} Pa`] });
  return { spans, incidents: [] };
}

/** The reading from which a filled chamber holds, or -1. */
function holdFrom(stretches: readonly Stretch[], first: number, next: number, topAt: number, hump: Hump): number {
  for (let j = first; j < next; j++) {
    const s = stretches[j];
    if (s.to < topAt) continue;
    const change = Math.abs(s.endPa - s.startPa);
    if (change < 0.1 * (hump.topPa - hump.basePa) && s.to - s.from + 1 >= 3)
      return Math.max(s.from, Math.min(topAt, s.to));
  }
  return -1;
}
