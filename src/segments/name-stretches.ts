import { suddenness } from './kink';
import { medianBetween } from './readings';
import type { SegmentKind } from './segment';
import type { ScaledRecord } from './straight-pieces';
import { describeStretch, type Stretch, type WorkingRecord } from './stretches';

/** A named run of readings (indices into the good readings). */
export interface Span {
  /** True where the gauge seems to sit on the pump side of a closed valve. */
  pumpSide?: boolean;
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
 * Closing a valve lets the pressure rise at most at p/tau, tau = V/S (a pumped chamber whose pressure does not rise
 * takes
 * in no more gas than the pump removes, S p). The margin covers a speed that changes with pressure and a lagging gauge.
 */
const RATE_MARGIN = 3;
/** The gas load of an isolated chamber does not grow so many times over at once; gas let in does that. */
const RATE_JUMP = 5;
/**
 * Evidence for an isolation, on the scale of `suddenness`: that needed, that of a sharp end, that of growth by a
 * factor 2.
 */
const ENOUGH_EVIDENCE = 4;
const SHARP_END = 7;
/** Rates beside the top of a rise over its mean rate, at least, for a corner; about 0.3 is what a gentle bend has. */
const CORNER = 0.5;
/** An opened valve takes half of a rise away in this part of its time, or the end must be sudden at least. */
const SLOW_FALL = 1;
const GROWTH = 2;
const GROWTH_MOST = 8;
/** Gas that flows through a chamber raises its pressure by this factor at least; less is a drift. */
const LEAST_STEP = 1.3;
/** Where sampling or lag hides how fast the pump is, a rise may be this much faster, */
const UNRESOLVED_MARGIN = 12;
/** if it stays below a pressure to which a chamber is seldom filled, Pa. */
const UNRESOLVED_TOP_PA = 3000;
/** Part of the rise that must be gone before a fall ends it. */
const FALL_PART = 0.4;

/** Walks along the stretches and says what happens in each. */
export function nameStretches(record: WorkingRecord, stretches: readonly Stretch[]): NamedRecord {
  const spans: Span[] = [];
  const incidents: Incident[] = [];
  const put = (kind: SegmentKind, from: number, to: number, grounds: string[]): void => {
    if (to < from) return;
    const last = spans[spans.length - 1];
    if (last !== undefined && last.kind === kind && (kind === 'pump-down' || kind === 'atmosphere')) last.to = to;
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
  const spread = Math.sqrt(record.longRun);
  if (s.significance > 6 * record.longRun && s.endY - s.startY > 5 * spread && s.endPa - s.startPa > leastPa)
    return true;
  if (k === 0) return false;
  const before = stretches[k - 1];
  return s.startY - before.endY > 7 * spread && s.startPa - before.endPa > Math.max(leastPa, 0);
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
  /** True where gas let in ends it. */
  readonly cut?: boolean;
  /** True where the pressure leaps up and falls back at once. */
  readonly decays?: boolean;
}

/** Pressure before a rise, Pa: its first readings may have slipped into the stretch before it. */
function pressureBefore(record: WorkingRecord, stretches: readonly Stretch[], first: number): number {
  const { from } = stretches[first];
  const earlier = medianBetween(record.readings.pa, Math.max(stretches[first - 1].from, from - 7), from - 3);
  const near = Math.min(stretches[first - 1].endPa, stretches[first].startPa);
  return Number.isFinite(earlier) ? Math.min(near, earlier) : near;
}

function findHump(record: WorkingRecord, stretches: readonly Stretch[], first: number): Hump {
  const basePa = first > 0 ? pressureBefore(record, stretches, first) : stretches[0].startPa;
  let topPa = Math.max(stretches[first].startPa, stretches[first].endPa);
  let topAt = first;
  for (let j = first; j < stretches.length; j++) {
    const s = stretches[j];
    if (atAtmosphere(record, s)) return { first, next: j, basePa, topPa: Math.max(topPa, s.startPa), open: false };
    const low = Math.min(s.startPa, s.endPa);
    if (j === first && s.endPa < s.startPa - FALL_PART * (s.startPa - basePa)) {
      return { first, next: j + 1, basePa, topPa, open: false, decays: true };
    }
    if (j > first && low < topPa - FALL_PART * (topPa - basePa) && low < topPa - 8 * record.noise.sigmaPa(topPa)) {
      return { first, next: startOfFall(stretches, topAt, j), basePa, topPa, open: false };
    }
    if (Math.max(s.startPa, s.endPa) > topPa) {
      topPa = Math.max(s.startPa, s.endPa);
      // A stretch that falls from its start has the top at its edge: it belongs to the fall.
      topAt = s.endPa >= s.startPa ? j : Math.max(first, j - 1);
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
  if (hump.decays === true) {
    return {
      spans: [{ kind: 'pump-down', from, to, grounds: ['gas that came in a burst is pumped away'] }],
      incidents: [{ kind: 'burst', at: from, fromPa: hump.basePa, toPa: hump.topPa }],
    };
  }
  const inflow = firstInflow(record, stretches, hump);
  if (inflow.at < 0) return nameQuietRise(record, stretches, hump, from, to);
  const inflowFrom = stretches[inflow.at].from;
  if (inflowFrom - from < FEWEST_READINGS) {
    if (inflow.byRateJump) return nameQuietRise(record, stretches, hump, from, to);
    return nameInflow(record, stretches, hump, hump.first);
  }
  const before = nameQuietRise(
    record,
    stretches,
    {
      ...hump,
      next: inflow.at,
      topPa: stretches[inflow.at - 1].endPa,
      open: false,
      cut: true,
    },
    from,
    inflowFrom - 1,
  );
  const rest = { ...hump, first: inflow.at, basePa: stretches[inflow.at - 1].endPa };
  // A rate that grows at once in a chamber that was only drifting is a valve that closes; in any other it is gas.
  const small = hump.first > 0 && stretches[inflow.at - 1].endPa < 1.6 * hump.basePa && hump.topPa > 5 * hump.basePa;
  const drifting = small || before.spans.every((span) => span.kind === 'pump-down');
  const after =
    inflow.byRateJump && drifting ? nameHump(record, stretches, rest) : nameInflow(record, stretches, rest, inflow.at);
  return { spans: [...before.spans, ...after.spans], incidents: [...before.incidents, ...after.incidents] };
}

/** Where gas begins to be let in during a hump. */
interface Inflow {
  /** The stretch; -1 where there is none. */
  readonly at: number;
  /** True where only a leap of the rate says so, which in a pumped chamber is a valve that closes. */
  readonly byRateJump: boolean;
}

/** The first stretch of a hump in which gas must be let in, because nothing else is so fast. */
function firstInflow(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): Inflow {
  let settledRate = 0;
  for (let j = hump.first; j < hump.next; j++) {
    const s = stretches[j];
    const limit = rateLimit(record, hump.basePa, s.endPa);
    const length = s.to - s.from + 1;
    const sure = s.significance > 6 * record.longRun && (s.ratePa > 2 * settledRate || settledRate > limit);
    const errorOfRate = (4 * record.noise.sigmaPa(s.endPa)) / Math.max(s.endS - s.startS, record.stepS);
    const lasts = length >= 5 || (j + 1 < hump.next && stretches[j + 1].ratePa > 0.5 * s.ratePa) || j + 1 === hump.next;
    if (sure && lasts && s.ratePa - errorOfRate > limit) {
      return { at: sameRateFrom(stretches, hump.first, j), byRateJump: false };
    }
    const leap = j > 0 && settledRate === 0 ? leapRate(record, stretches, j) : 0;
    if (leap > limit && !goesOnRising(record, stretches, j, hump.next)) return { at: j, byRateJump: false };
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
function rateLimit(record: WorkingRecord, basePa: number, topPa: number): number {
  const floorPa = Math.max(basePa, 3 * record.noise.sigmaPa(basePa));
  const pumping = record.pumpingPerS;
  if (!(pumping > 0)) return topPa > 1e4 && topPa > 100 * floorPa ? 0 : Number.POSITIVE_INFINITY;
  // A fall within a few readings shows the sampling or the lag of the gauge; the pump may be much faster.
  const resolved = pumping * record.stepS < 0.3;
  const doubt = resolved ? 1 : topPa > UNRESOLVED_TOP_PA ? 2 : UNRESOLVED_MARGIN;
  return doubt * RATE_MARGIN * pumping * floorPa;
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

/** After a leap, does the pressure go on rising by something that compares with it? */
function goesOnRising(record: WorkingRecord, stretches: readonly Stretch[], j: number, next: number): boolean {
  const leap = stretches[j].startPa - stretches[j - 1].endPa;
  const rest = stretches[next - 1].endPa - stretches[j].startPa;
  return rest > 0.3 * leap && stretches[j].significance > 6 * record.longRun;
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
  const begins = hump.first === 0;
  const basis = begins ? y[from] : medianBetween(y, Math.max(0, from - 5), from - 1);
  const rise = medianBetween(y, Math.max(from, to - 2), to) - basis;
  if (!whole && !severalCodes(record, from, to)) return pumped('a rise by a code or two of the gauge is passed over');
  if (!whole && rise < LEAST_RISE * Math.sqrt(record.longRun)) return pumped('a rise within the noise is passed over');
  const lead = idleLead(stretches, hump);
  if (lead > hump.first) {
    const rest = { ...hump, first: lead, basePa: Math.min(hump.basePa, pressureBefore(record, stretches, lead)) };
    const before: Span = {
      kind: 'pump-down',
      from,
      to: stretches[lead].from - 1,
      grounds: ['the pressure drifts a little'],
    };
    const named = nameQuietRise(record, stretches, rest, stretches[lead].from, to);
    return { spans: [before, ...named.spans], incidents: named.incidents };
  }
  if (!begins && flowsThrough(record, from, to, hump)) {
    const reach = show(medianBetween(record.readings.pa, Math.max(from, to - 4), to));
    const why = `gas flows through: the pressure steps up to ${reach} Pa and stays there`;
    return { spans: [{ kind: 'regulated', from, to, grounds: [why] }], incidents: [] };
  }
  const sudden = hump.first === 0 ? 0 : onsetSuddenness(record, from, to);
  const fallsSharply = !hump.open && !hump.cut && hump.next < stretches.length && endsSharply(stretches, hump, record);
  const falls = !hump.open && !hump.cut && hump.next < stretches.length;
  if (falls && !fallsSharply && !endsSharply(stretches, hump, record, SLOW_FALL)) {
    if (!hasCorner(record, from, to, stretches[hump.next].to)) {
      if (bakesOut(record, hump, from, to)) return bakeOut(from, to, hump);
      return pumped('the pressure bends over gently to a highest value, as when a pump works through less conductance');
    }
  }
  const faster = accelerates(record, from, to);
  const growth = faster ? 0 : growthEvidence(record, hump);
  const evidence = sudden + (fallsSharply ? SHARP_END : 0) + growth;
  if (!whole && evidence < (faster ? 3 : 1) * ENOUGH_EVIDENCE) {
    if (!hump.cut && bakesOut(record, hump, from, to)) return bakeOut(from, to, hump);
    return pumped('the pressure drifts without a sudden change of slope');
  }
  const grounds = [
    `the pressure turns from ${show(hump.basePa)} Pa to a steady rise at once`,
    `it rises far more slowly than gas let in, to ${show(hump.topPa)} Pa`,
  ];
  if (fallsSharply) grounds.push('it falls sharply at the end, as when the valve to the pump opens');
  return { spans: [{ kind: 'isolation', from, to, grounds }], incidents: [] };
}

/**
 * Is this gas that flows through a pumped chamber? It settles as fast as a pump settles it (a few V/S, or a few
 * readings), and then stays or sinks; an isolated chamber goes on rising.
 */
function flowsThrough(record: WorkingRecord, from: number, to: number, hump: Hump): boolean {
  const { pa, time } = record.readings;
  const endPa = medianBetween(pa, Math.max(from, to - 4), to);
  const rise = endPa - hump.basePa;
  if (endPa < LEAST_STEP * hump.basePa) return false;
  let i = from;
  while (i < to && medianBetween(pa, i, Math.min(i + 2, to)) < hump.basePa + 0.85 * rise) i++;
  const settleS = Math.max(record.pumpingPerS > 0 ? 15 / record.pumpingPerS : 0, 6 * record.stepS);
  const taken = time[i] - time[Math.max(0, from - 1)];
  const rest = time[to] - time[i];
  if (taken > settleS || rest < taken || to - i < 6) return false;
  // What is left must be flat, far below the rate at which it came up.
  const middle = (i + to) >> 1;
  const drift = medianBetween(pa, middle, to) - medianBetween(pa, i, middle);
  const quick = rest > 2.5 * taken;
  return drift < (quick ? 0.1 : 0.03) * rise;
}

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
  const near = Math.max(...ONSET_RISES.map((rise) => suddennessOver(record, record.scaled, from, to, rise)));
  // What grows ever faster is no chamber that was shut; from afar its beginning looks like a kink.
  if (accelerates(record, from, to)) return near;
  return Math.max(near, suddennessOver(record, inPressure(record, from), from, to, FAR_RISE));
}

/** The record as pressure itself, in which an isolated chamber rises straight, in units of the noise at a reading. */
function inPressure(record: WorkingRecord, from: number): ScaledRecord {
  const { pa, time } = record.readings;
  const sigma = record.noise.sigmaPa(pa[from]);
  const reach = Math.min(FAR_READINGS, from);
  const end = Math.min(pa.length, from + FAR_READINGS);
  const y = new Float64Array(pa.length);
  const weight = new Float64Array(pa.length);
  for (let i = from - reach; i < end; i++) {
    y[i] = pa[i] / sigma;
    weight[i] = record.scaled.weight[i] * Math.min(1, (sigma / record.noise.sigmaPa(pa[i])) ** 2);
  }
  return { time, y, weight };
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
  const left = Math.max(0, from - (right - from + 1));
  return suddenness(scaled, left, from, right) / (record.longRun * record.longRun);
}

/**
 * Is the top of a rise a corner: does the pressure still rise before it, and fall after it, at a fair part of the mean
 * rate of the rise?
 */
function hasCorner(record: WorkingRecord, from: number, to: number, latest: number): boolean {
  const { pa, time } = record.readings;
  const reach = Math.max(3, Math.floor((to - from + 1) / 8));
  const mean =
    (medianBetween(pa, Math.max(from, to - 2), to) - pa[from]) / Math.max(time[to] - time[from], record.stepS);
  const before = describeStretch(record.readings, record.scaled, Math.max(from, to - reach), to);
  const after = describeStretch(record.readings, record.scaled, to + 1, Math.min(latest, to + 1 + reach));
  const sure = after.significance < -4 * record.longRun;
  return sure && before.ratePa > CORNER * mean && after.ratePa < -CORNER * mean;
}

/** Does the record leap up within three readings, and stay up? */
function leapsAt(y: Float64Array, from: number, spread: number): boolean {
  const before = medianBetween(y, Math.max(0, from - 4), from - 1);
  const after = Math.min(y[Math.min(from + 2, y.length - 1)], y[Math.min(from + 3, y.length - 1)]);
  const wobble = Math.abs(y[Math.max(0, from - 4)] - y[from - 1]);
  return after - before > 10 * spread + 2 * wobble;
}

function growthEvidence(record: WorkingRecord, hump: Hump): number {
  const factor = hump.topPa / Math.max(hump.basePa, 3 * record.noise.sigmaPa(hump.basePa));
  return Math.min(GROWTH_MOST, GROWTH * Math.log2(Math.max(1, factor)));
}

/** Does a rise grow faster as it goes on? Gas that collects in a shut chamber does not; heating does. */
function accelerates(record: WorkingRecord, from: number, to: number): boolean {
  const { pa } = record.readings;
  const third = Math.floor((to - from) / 3);
  const few = Math.min(4, third >> 1);
  const at = (k: number): number => medianBetween(pa, from + k * third, Math.min(to, from + k * third + few));
  return third > 2 && at(1) - at(0) < 0.7 * (at(2) - at(1));
}

/**
 * A rise by this factor over this many readings at least, gentle and ever faster, is what heating does to a pumped
 * chamber.
 */
const BAKE_FACTOR = 3;
const BAKE_READINGS = 40;

function bakesOut(record: WorkingRecord, hump: Hump, from: number, to: number): boolean {
  return to - from + 1 >= BAKE_READINGS && hump.topPa > BAKE_FACTOR * hump.basePa && accelerates(record, from, to);
}

function bakeOut(from: number, to: number, hump: Hump): NamedRecord {
  const why = `the pressure grows gently to ${show(hump.topPa)} Pa, as when a pumped chamber is heated`;
  return { spans: [{ kind: 'bake-out', from, to, grounds: [why] }], incidents: [] };
}

/** The first stretch of a rise that matters: what drifts a little before it is not part of it. */
function idleLead(stretches: readonly Stretch[], hump: Hump): number {
  let fastest = 0;
  for (let j = hump.first; j < hump.next; j++) {
    if (stretches[j].to - stretches[j].from >= 3) fastest = Math.max(fastest, stretches[j].ratePa);
  }
  let lead = hump.first;
  while (lead + 1 < hump.next) {
    const s = stretches[lead];
    const idle = Math.abs(s.ratePa) < 0.05 * fastest && s.endPa < hump.basePa + 0.05 * (hump.topPa - hump.basePa);
    if (!idle) break;
    lead++;
  }
  return lead;
}

/** Does a rise cover more than two codes of a quantised gauge? */
function severalCodes(record: WorkingRecord, from: number, to: number): boolean {
  const { pa } = record.readings;
  const start = medianBetween(pa, Math.max(0, from - 5), Math.max(0, from - 1));
  const rise = medianBetween(pa, Math.max(from, to - 4), to) - Math.min(start, pa[from]);
  // Codes are coarser just above a decade than just below it.
  return rise > 2.2 * Math.max(record.noise.stepPa(pa[from]), record.noise.stepPa(1.5 * pa[from]));
}

/** Is the fall after a hump much faster than its rise? */
function endsSharply(stretches: readonly Stretch[], hump: Hump, record: WorkingRecord, within = 0.15): boolean {
  const top = stretches[hump.next - 1];
  const after = stretches[hump.next];
  if (after === undefined) return false;
  const riseS = Math.max(1e-9, top.endS - stretches[hump.first].startS);
  const rise = hump.topPa - hump.basePa;
  const { pa, time } = record.readings;
  let last = after.from - 1;
  while (last > top.from && pa[last] < hump.topPa - 0.1 * rise) last--;
  const stepS = (time[after.from] - time[Math.max(0, after.from - 4)]) / 4;
  const latest = time[last] + within * riseS + 3 * stepS;
  for (let i = after.from; i < pa.length && time[i] <= latest; i++) {
    if (pa[i] < hump.topPa - 0.5 * rise) return true;
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
  const risen = `gas is let in: the pressure rises from ${show(hump.basePa)} to ${show(hump.topPa)} Pa`;
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
    ? `after the fill the pressure near ${show(hump.topPa)} Pa drifts one way, as gas does that is shut in`
    : `the pressure is held near ${show(hump.topPa)} Pa`;
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
  for (let j = first; j < next; j++) {
    const s = stretches[j];
    if (s.to < topAt) continue;
    const change = Math.max(Math.abs(s.endPa - s.startPa), Math.abs(stretches[next - 1].endPa - s.endPa));
    if (change < 0.1 * (hump.topPa - hump.basePa) && s.to - s.from + 1 >= 3)
      return Math.max(s.from, Math.min(topAt, s.to));
  }
  return -1;
}
