import type { Hump } from './hump';
import { pumpingSeen } from './pumping-after';
import { medianBetween } from './readings';
import type { SegmentKind } from './segment';
import { FEWEST_READINGS, LEAST_RISE, type NamedRecord, type Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

/**
 * Closing a valve lets the pressure rise at most at p/tau, tau = V/S (a pumped chamber whose pressure does not rise
 * takes
 * in no more gas than the pump removes, S p). The margin covers a speed that changes with pressure and a lagging gauge.
 */
const RATE_MARGIN = 3;
/** The gas load of an isolated chamber does not grow so many times over at once; gas let in does that. */
const RATE_JUMP = 5;
/** Where sampling or lag hides how fast the pump is, a rise may be this much faster, */
const UNRESOLVED_MARGIN = 12;
/** if it stays below a pressure to which a chamber is seldom filled, Pa. */
const UNRESOLVED_TOP_PA = 3000;
/** Up to this pressure, tens of mbar, a rise may be as fast as the quickest pump on the smallest chamber explains, */
const HIGHEST_SHUT_PA = 5e3;
/** its speed over volume, 1/s (common practice, no source: ten litres a second on a litre). */
const QUICKEST_PUMPING = 10;
/** Where gas begins to be let in during a hump. */
interface Inflow {
  /** The stretch; -1 where there is none. */
  readonly at: number;
  /** True where only a leap of the rate says so, which in a pumped chamber is a valve that closes. */
  readonly byRateJump: boolean;
}

/** The first stretch of a hump in which gas must be let in, because nothing else is so fast. */
export function firstInflow(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): Inflow {
  let settledRate = 0;
  const pumping = pumpingSeen(record, stretches, hump);
  for (let j = hump.first; j < hump.next; j++) {
    const s = stretches[j];
    const limit = rateLimit(record, pumping, hump, s.endPa);
    const length = s.to - s.from + 1;
    const sure = s.significance > 6 * record.longRun && (s.ratePa > 2 * settledRate || settledRate > limit);
    const errorOfRate = (4 * record.noise.sigmaPa(s.endPa)) / Math.max(s.endS - s.startS, record.stepS);
    const lasts = length >= 5 || (j + 1 < hump.next && stretches[j + 1].ratePa > 0.5 * s.ratePa) || j + 1 === hump.next;
    if (sure && lasts && s.ratePa - errorOfRate > limit) {
      return { at: sameRateFrom(stretches, hump.first, j), byRateJump: false };
    }
    const leap = j > 0 && settledRate === 0 ? leapRate(record, stretches, j) : 0;
    if (leap > limit && !goesOnRising(record, stretches, j, hump.next)) return { at: j, byRateJump: false };
    if (settledRate > 0 && ventsAt(record, stretches, hump, j, settledRate, limit)) return { at: j, byRateJump: false };
    const surer = s.significance > 20 * record.longRun && length >= 4;
    if (settledRate > 0 && s.ratePa - errorOfRate > RATE_JUMP * settledRate && surer)
      return { at: j, byRateJump: true };
    if (length >= FEWEST_READINGS) settledRate = Math.max(settledRate, s.ratePa);
  }
  return { at: -1, byRateJump: false };
}

/** The first of the stretches before `j` that rise about as fast as it does. */
function sameRateFrom(stretches: readonly Stretch[], first: number, j: number): number {
  let at = j;
  while (at > first && stretches[at - 1].ratePa > 0.25 * stretches[j].ratePa) at--;
  return at;
}

/** A rise faster than this, Pa/s, is gas let in. */
function rateLimit(record: WorkingRecord, pumping: number, hump: Hump, topPa: number): number {
  const floorPa = Math.max(hump.basePa, 3 * record.noise.sigmaPa(hump.basePa));
  // A record of nothing but a rise is that of a rate-of-rise test.
  if (hump.first === 0 && hump.open) return Number.POSITIVE_INFINITY;
  if (!(pumping > 0)) return topPa > 1e4 && topPa > 100 * floorPa ? 0 : Number.POSITIVE_INFINITY;
  // A fall within a few readings shows the sampling or the lag of the gauge; the pump may be much faster.
  const resolved = pumping * record.stepS < 0.3;
  const doubt = resolved ? 1 : topPa > UNRESOLVED_TOP_PA ? 2 : UNRESOLVED_MARGIN;
  const unseen = !resolved && topPa < HIGHEST_SHUT_PA ? QUICKEST_PUMPING * floorPa : 0;
  return Math.max(doubt * RATE_MARGIN * pumping * floorPa, unseen);
}

/** Rate of a leap at the beginning of stretch `j`, beyond the rates on its sides, Pa/s; 0 where there is none. */
function leapRate(record: WorkingRecord, stretches: readonly Stretch[], j: number): number {
  const s = stretches[j];
  const { pa, time } = record.readings;
  const usual = Math.max(0, stretches[j - 1].ratePa, s.ratePa);
  let best = 0;
  for (let i = Math.max(1, s.from - 2); i <= Math.min(s.from + 1, pa.length - 2); i++) {
    const spanS = Math.max(time[i] - time[i - 1], record.stepS);
    const leap = Math.min(pa[i], pa[i + 1]) - pa[i - 1] - 2 * usual * spanS;
    if (leap > 10 * record.noise.sigmaPa(pa[i])) best = Math.max(best, leap / spanS);
  }
  return best;
}

/** A leap that ends an isolation is so many times faster than it, */
const VENT_JUMP = 10;
/** and brings this part of what it brought before, at least. */
const VENT_PART = 0.5;

/**
 * Does gas that is let in end a settled rise: does the pressure leap by more than bursts bring, and then run on faster than any
 * shut chamber rises, or stand? After a burst it goes on as before.
 */
function ventsAt(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  hump: Hump,
  j: number,
  settledRate: number,
  limit: number,
): boolean {
  const leap = leapRate(record, stretches, j);
  const size = stretches[j].startPa - stretches[j - 1].endPa;
  if (leap < VENT_JUMP * settledRate || size < VENT_PART * (stretches[j - 1].endPa - hump.basePa)) return false;
  const faster = leap > limit && stretches[j].ratePa > RATE_JUMP * settledRate;
  return faster || !goesOnRising(record, stretches, j, hump.next);
}

/** After a leap, does the pressure go on rising by something that compares with it? */
function goesOnRising(record: WorkingRecord, stretches: readonly Stretch[], j: number, next: number): boolean {
  const leap = stretches[j].startPa - stretches[j - 1].endPa;
  const rest = stretches[next - 1].endPa - stretches[j].startPa;
  const sure = stretches[j].significance > 6 * record.longRun;
  return sure && (rest > 0.3 * leap || risesOn(record, stretches[j].from + 1, stretches[next - 1].to));
}

/** Part of a rise that each half of its time brings at least where gas collects in a shut chamber. */
const EACH_HALF = 0.25;

/** After it leapt up, does the pressure go on rising, evenly and beyond noise? What flows through a pumped chamber settles. */
export function risesOn(record: WorkingRecord, from: number, to: number): boolean {
  const { y } = record.scaled;
  const few = Math.min(2, (to - from) >> 2);
  const at = (i: number): number => medianBetween(y, Math.max(from, i - few), Math.min(to, i + few));
  const [start, middle, end] = [at(from), at((from + to) >> 1), at(to)];
  const least = EACH_HALF * (end - start);
  return end - start > LEAST_RISE * Math.sqrt(record.longRun) && end - middle > least && middle - start > least;
}

/** Gas let in: fill, what holds at its top, venting; or a burst that is pumped away at once. */
export function nameInflow(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  hump: Hump,
  first: number,
): NamedRecord {
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
  const main = mainRise(stretches, first, hump.next);
  if (stretches[main].from - from >= FEWEST_READINGS) {
    const flowing: Span = {
      kind: 'regulated',
      from,
      to: stretches[main].from - 1,
      grounds: ['gas flows through a pumped chamber: the pressure steps up and stays'],
    };
    const filled = nameInflow(record, stretches, hump, main);
    return { spans: [flowing, ...filled.spans], incidents: filled.incidents };
  }
  const reaches = hump.topPa > 0.9 * record.atmospherePa;
  // Where the last tenth of the rise begins: what follows holds.
  const nearTop = hump.basePa + 0.93 * (hump.topPa - hump.basePa);
  let topAt = from;
  while (topAt < to && pa[topAt] < nearTop) topAt++;
  const hold = holdFrom(stretches, first, hump.next, topAt, hump);
  const risen = `gas is let in: the pressure rises from ${record.show(hump.basePa)} to ${record.show(hump.topPa)}`;
  const kind: SegmentKind = reaches ? 'venting' : 'fill';
  if (hold < 0 || to - hold + 1 < FEWEST_READINGS) {
    return { spans: [{ kind, from, to, grounds: [risen] }], incidents: [] };
  }
  const left =
    !reaches &&
    hold - from >= FEWEST_READINGS &&
    comesUpEvenly(record, from, hold, hump) &&
    driftsAlone(record, hold, to);
  const holdKind: SegmentKind = reaches ? 'atmosphere' : left ? 'isolation' : 'regulated';
  const holds = left
    ? `after the fill the pressure near ${record.show(hump.topPa)} drifts one way, as gas does that is shut in`
    : `the pressure is held near ${record.show(hump.topPa)}`;
  const spans: Span[] = [];
  if (hold - from >= 4) spans.push({ kind, from, to: hold - 1, grounds: [risen] });
  const holdStart = spans.length > 0 ? hold : from;
  spans.push({ kind: holdKind, from: holdStart, to, grounds: [holds] });
  return { spans, incidents: [] };
}

/** Does a fill come up as a straight line does, into a chamber that is shut, and not as a pumped one settles? */
function comesUpEvenly(record: WorkingRecord, from: number, to: number, hump: Hump): boolean {
  const { pa, time } = record.readings;
  const reach = (part: number): number => {
    let i = from;
    while (i < to && pa[i] < hump.basePa + part * (pa[to] - hump.basePa)) i++;
    return time[i] - time[Math.max(0, from - 1)];
  };
  return reach(0.5) > 0.45 * reach(0.9);
}

/**
 * Does a held pressure drift one way throughout, by more than noise and more than it wanders? A controller would not
 * let it.
 */
function driftsAlone(record: WorkingRecord, from: number, to: number): boolean {
  // The first quarter may settle.
  const start = from + ((to - from + 1) >> 2);
  const eighth = (to - start + 1) >> 3;
  if (eighth < 6) return false;
  const { y } = record.scaled;
  const levels = Array.from({ length: 8 }, (_, k) =>
    medianBetween(y, start + k * eighth, start + (k + 1) * eighth - 1),
  );
  const whole = levels[7] - levels[0];
  const oneWay = levels.slice(1).every((level, k) => (level - levels[k]) * whole > 0);
  return oneWay && Math.abs(whole) > LEAST_RISE * Math.sqrt(record.longRun);
}

/** The stretch in which a fill comes up to a fair part of its full rate. */
function mainRise(stretches: readonly Stretch[], first: number, next: number): number {
  let fastest = 0;
  for (let j = first; j < next; j++) {
    const s = stretches[j];
    if (s.to - s.from + 1 >= 5) fastest = Math.max(fastest, s.ratePa);
  }
  for (let j = first; j < next; j++) if (stretches[j].ratePa >= 0.25 * fastest) return j;
  return first;
}

/** The reading from which a filled chamber holds, or -1. */
function holdFrom(stretches: readonly Stretch[], first: number, next: number, topAt: number, hump: Hump): number {
  const rise = hump.topPa - hump.basePa;
  const top = stretches.find((s) => s.to >= topAt) ?? stretches[next - 1];
  const meanRate = (0.9 * rise) / Math.max(1e-9, top.endS - stretches[first].startS);
  for (let j = first; j < next; j++) {
    const s = stretches[j];
    if (s.to < topAt) continue;
    const change = Math.max(Math.abs(s.endPa - s.startPa), Math.abs(stretches[next - 1].endPa - s.endPa));
    if (change < 0.1 * rise && Math.abs(s.ratePa) < 0.25 * meanRate && s.to - s.from + 1 >= 3) {
      return Math.max(s.from, Math.min(topAt, s.to));
    }
  }
  return -1;
}
