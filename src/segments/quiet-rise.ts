import { FLAG } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import { type Hump, pressureBefore } from './hump';
import { risesOn } from './inflow';
import { accelerates, onsetSuddenness } from './onset';
import { pumpingSeen } from './pumping-after';
import { medianBetween } from './readings';
import { FEWEST_READINGS, LEAST_RISE, type NamedRecord, type Span } from './span';
import { describeStretch, flaggedBetween, longRunNoise, type Stretch, type WorkingRecord } from './stretches';

/**
 * Evidence for an isolation, on the scale of `suddenness`: that needed, that of a sharp end, that of growth by a
 * factor 2.
 */
const ENOUGH_EVIDENCE = 4;
const SHARP_END = 7;
const GROWTH = 2;
const GROWTH_MOST = 8;
/** A rise by less than this factor without a sharp end may be a room that warms: more evidence is needed. */
const LITTLE = 1.4;
/** Rates beside the top of a rise over its mean rate, at least, for a corner; about 0.3 is what a gentle bend has. */
const CORNER = 0.5;
/** An opened valve takes half of a rise away in this part of its time, or the end must be sudden at least. */
const SLOW_FALL = 1;
/** Where it takes half away in this part, and the rise stands out of the noise so far, a gentle beginning weighs no more than */
const QUICK_FALL = 0.05;
const SURE_RISE = 12;
const GENTLE = -3;
/** Gas that flows through a chamber raises its pressure by this factor at least; less is a drift. */
const LEAST_STEP = 1.1;
/**
 * A rise by this factor over this many readings at least, gentle and ever faster, is what heating does to a pumped
 * chamber.
 */
const BAKE_FACTOR = 3;
const BAKE_READINGS = 40;

/** A rise too slow for gas let in: an isolation, or a drift of a pumped chamber. */
export function nameQuietRise(
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
  const whole = hump.first === 0 && hump.open && risesThroughout(record, from, to);
  if (!whole && to - from + 1 < FEWEST_READINGS) return pumped('a rise too short to judge is passed over');
  const { y } = record.scaled;
  const begins = hump.first === 0;
  const soon = medianBetween(y, from, Math.min(to, from + 2));
  // Where a fall came just before, the readings there say nothing of the base.
  const basis = begins ? y[from] : Math.min(medianBetween(y, Math.max(0, from - 5), from - 1), soon);
  // Of one straight stretch the line knows the end better than the last readings do.
  const line = hump.next === hump.first + 1 ? stretches[hump.first].endY : Number.NEGATIVE_INFINITY;
  const rise = Math.max(medianBetween(y, Math.max(from, to - 2), to), line) - basis;
  if (!whole && !severalCodes(record, from, to)) return pumped('a rise by a code or two of the gauge is passed over');
  if (!whole && staysAtBottom(record, from, to, rise))
    return pumped('noise at the bottom of the range of the gauge is passed over');
  const wander = begins ? record.longRun : wanderBefore(record, from);
  if (!whole && rise < LEAST_RISE * Math.sqrt(wander)) return pumped('a rise within the noise is passed over');
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
  if (begins && hump.open && !whole) return pumped('a base, at whose end something begins');
  if (!begins && flowsThrough(record, stretches, from, to, hump)) {
    const reach = record.show(medianBetween(record.readings.pa, Math.max(from, to - 4), to));
    const why = `gas flows through: the pressure steps up to ${reach} and stays there`;
    return { spans: [{ kind: 'regulated', from, to, grounds: [why] }], incidents: [] };
  }
  const sudden = hump.first === 0 ? 0 : onsetSuddenness(record, from, to) * (record.longRun / wander) ** 2;
  const fallsSharply = !hump.open && !hump.cut && hump.next < stretches.length && endsSharply(stretches, hump, record);
  const falls = !hump.open && !hump.cut && hump.next < stretches.length;
  if (falls && !fallsSharply && !endsSharply(stretches, hump, record, SLOW_FALL)) {
    if (!hasCorner(record, from, to, stretches[hump.next].to)) {
      if (bakesOut(record, hump, from, to)) return bakeOut(record, from, to, hump);
      return pumped('the pressure bends over gently to a highest value, as when a pump works through less conductance');
    }
  }
  if (!whole && !begins && !fallsSharply && onlySteps(record, from, to, hump)) {
    return pumped('the pressure steps up a little and stands');
  }
  const faster = accelerates(record, from, to);
  const growth = faster ? 0 : growthEvidence(record, hump);
  // What falls as only an opened valve lets it fall was shut, however its rise began: a drift and a burst fall as they rose.
  const opened = fallsSharply && rise > SURE_RISE * Math.sqrt(record.longRun) && opensAt(stretches, hump, record);
  const evidence = (opened ? Math.max(sudden, GENTLE) : sudden) + (fallsSharply ? SHARP_END : 0) + growth;
  const wanted = (faster ? 3 : !fallsSharply && growth < GROWTH * elementary.log2(LITTLE) ? 2 : 1) * ENOUGH_EVIDENCE;
  if (!whole && evidence < wanted) {
    if (!hump.cut && bakesOut(record, hump, from, to)) return bakeOut(record, from, to, hump);
    return pumped('the pressure drifts without a sudden change of slope');
  }
  const grounds = [
    `the pressure turns from ${record.show(hump.basePa)} to a steady rise at once`,
    `it rises far more slowly than gas let in, to ${record.show(hump.topPa)}`,
  ];
  if (fallsSharply) grounds.push('it falls sharply at the end, as when the valve to the pump opens');
  return { spans: [{ kind: 'isolation', from, to, grounds }], incidents: [] };
}

/**
 * Is this gas that flows through a pumped chamber? It settles as fast as a pump settles it (a few V/S, or a few
 * readings), and then stays or sinks; an isolated chamber goes on rising.
 */
function flowsThrough(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  from: number,
  to: number,
  hump: Hump,
): boolean {
  const { pa, time } = record.readings;
  const endPa = medianBetween(pa, Math.max(from, to - 4), to);
  const rise = endPa - hump.basePa;
  // A small step must begin at once: rooms that warm and cool come and go gently.
  if (endPa < SUDDEN_STEP * hump.basePa && onsetSuddenness(record, from, to) < ENOUGH_EVIDENCE) return false;
  if (endPa < SMALL_STEP * hump.basePa && settlesAsItFalls(record, from, to, hump.basePa, endPa)) return true;
  if (endPa < LEAST_STEP * hump.basePa) return false;
  let i = from;
  while (i < to && medianBetween(pa, i, Math.min(i + 2, to)) < hump.basePa + 0.85 * rise) i++;
  const settleS = Math.max(record.pumpingPerS > 0 ? 15 / record.pumpingPerS : 0, 6 * record.stepS);
  const taken = time[i] - time[Math.max(0, from - 1)];
  const rest = time[to] - time[i];
  const shaped = i - from >= RESOLVED_RISE && taken > SHAPED_PART * (time[to] - time[from]);
  if (shaped && endPa > CLEAR_STEP * hump.basePa && slowAsShut(record, stretches, from, hump, rise)) return false;
  if (taken > settleS || rest < taken || to - i < 6) return false;
  // What is left must be flat, far below the rate at which it came up.
  const middle = (i + to) >> 1;
  const drift = medianBetween(pa, middle, to) - medianBetween(pa, i, middle);
  if (i - from < RESOLVED_RISE && risesOn(record, i, to)) return false;
  const quick = rest > 2.5 * taken;
  return drift < (quick ? 0.1 : 0.03) * rise;
}

/** Does the pressure only step up by less than gas that flows through does, within a few readings, and stand there? */
function onlySteps(record: WorkingRecord, from: number, to: number, hump: Hump): boolean {
  const { pa } = record.readings;
  const endPa = medianBetween(pa, Math.max(from, to - 4), to);
  const soon = medianBetween(pa, Math.min(to, from + 2), Math.min(to, from + 4));
  const rise = endPa - hump.basePa;
  return endPa < LEAST_STEP * hump.basePa && soon - hump.basePa > 0.7 * rise && !risesOn(record, from + 1, to);
}

/** Up to this ratio a rise may be a drift. */
const SUDDEN_STEP = 1.6;
/** Up to this ratio of pressures a rise that settles as the pump settles it is gas that flows through; */
const SMALL_STEP = 1.6;
/** its time and that of the fall agree within this ratio, */
const ALIKE = 2;
/** and its last part, as a part of its time, stands: it brings this part of the rise at most. */
const LAST_PART = 0.4;
const STANDS = 0.15;

/** Does a rise come to a level as the fall after it leaves that level, in the time constant of the pump? */
function settlesAsItFalls(record: WorkingRecord, from: number, to: number, basePa: number, endPa: number): boolean {
  const { pa, time } = record.readings;
  const rise = endPa - basePa;
  const level = (i: number): number => medianBetween(pa, Math.max(0, i - 1), Math.min(pa.length - 1, i + 1));
  let up = from;
  while (up < to && level(up) < basePa + 0.63 * rise) up++;
  let down = to + 1;
  while (down < pa.length - 1 && level(down) > endPa - 0.63 * rise) down++;
  const upS = time[up] - time[Math.max(0, from - 1)];
  const downS = time[down] - time[to];
  if (down >= pa.length - 1 || Math.min(upS, downS) < 2 * record.stepS) return false;
  if (upS > ALIKE * downS || downS > ALIKE * upS) return false;
  let last = to;
  while (last > from && time[to] - time[last] < LAST_PART * (time[to] - time[from])) last--;
  if (to - last < 5 || upS > time[last] - time[from]) return false;
  const middle = (last + to) >> 1;
  return medianBetween(pa, middle, to) - medianBetween(pa, last, middle) < STANDS * rise;
}

/** Readings up to 85 % of a rise from which on its shape can be judged. */
const RESOLVED_RISE = 3;
/** the step from which on the two shapes differ, */
const CLEAR_STEP = 2.5;
/** and the part of the stretch it must take: what comes up sooner and then stands is held by a controller. */
const SHAPED_PART = 0.05;
/** A rise may exceed what the pump removed before, S p, by this ratio: speeds differ a little with pressure and gas. */
const SHUT_MARGIN = 1.5;

/**
 * Does a rise begin no faster than gas collects in a chamber that was pumped and is shut, p S/V? Gas turned on beside the
 * pump comes up towards (p1 - p) S/V, several times that.
 */
function slowAsShut(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  from: number,
  hump: Hump,
  rise: number,
): boolean {
  const { pa, time } = record.readings;
  let half = from;
  while (half < pa.length - 1 && pa[half] < hump.basePa + 0.5 * rise) half++;
  const taken = time[half] - time[Math.max(0, from - 1)];
  return 0.5 * rise < SHUT_MARGIN * pumpingSeen(record, stretches, hump) * hump.basePa * taken;
}

function growthEvidence(record: WorkingRecord, hump: Hump): number {
  const factor = hump.topPa / Math.max(hump.basePa, 3 * record.noise.sigmaPa(hump.basePa));
  return Math.min(GROWTH_MOST, GROWTH * elementary.log2(Math.max(1, factor)));
}

function bakesOut(record: WorkingRecord, hump: Hump, from: number, to: number): boolean {
  return to - from + 1 >= BAKE_READINGS && hump.topPa > BAKE_FACTOR * hump.basePa && accelerates(record, from, to);
}

function bakeOut(record: WorkingRecord, from: number, to: number, hump: Hump): NamedRecord {
  const why = `the pressure grows gently to ${record.show(hump.topPa)}, as when a pumped chamber is heated`;
  return { spans: [{ kind: 'bake-out', from, to, grounds: [why] }], incidents: [] };
}

/** Part of its rise that the first half of a record of nothing but a rise brings at least. */
const FIRST_HALF = 0.1;

/** Is a record a rise from its beginning, and not a base with a rise at its end? */
function risesThroughout(record: WorkingRecord, from: number, to: number): boolean {
  const { pa } = record.readings;
  if (to - from + 1 < 2 * FEWEST_READINGS) return true;
  const few = 2;
  const at = (i: number): number => medianBetween(pa, Math.max(from, i - few), Math.min(to, i + few));
  return at((from + to) >> 1) - at(from) > FIRST_HALF * (at(to) - at(from));
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

/** Does the pressure fall at the end of a rise as only a valve that opens lets it fall? */
function opensAt(stretches: readonly Stretch[], hump: Hump, record: WorkingRecord): boolean {
  return endsSharply(stretches, hump, record, QUICK_FALL);
}

/** Part of rows at the bottom of the range in which the noise there is cut off. */
const BOTTOM_PART = 0.1;
/** Readings before a rise that are looked at for it; out of them a rise must be so long. */
const CLIPPED_READINGS = 60;
const OUT_OF_CLIPPED = 20;
/** or so high, noise standard deviations. */
const HIGH_OUT = 25;

/**
 * Is a rise noise at the bottom of the gauge's range? What is below is cut off there, so that only what sticks out is seen: a
 * rise must leave the bottom, and not for a few readings only.
 */
function staysAtBottom(record: WorkingRecord, from: number, to: number, rise: number): boolean {
  if (partAtBottom(record, (from + to) >> 1, to) > BOTTOM_PART) return true;
  if (to - from + 1 >= OUT_OF_CLIPPED || rise > HIGH_OUT * Math.sqrt(record.longRun)) return false;
  const before = partAtBottom(record, Math.max(0, from - CLIPPED_READINGS), from - 1);
  return before > BOTTOM_PART && before < 1 - BOTTOM_PART;
}

/** Part of the rows between two readings that are under range, or show the lowest value of all. */
function partAtBottom(record: WorkingRecord, from: number, to: number): number {
  const { rows, pa } = record.readings;
  let under = flaggedBetween(record, rows[from], rows[to], FLAG.underRange);
  for (let i = from; i <= to; i++) if (pa[i] <= record.lowestPa) under++;
  return under / Math.max(1, rows[to] - rows[from] + 1);
}

/** Readings before a rise whose noise is looked at on its own. */
const WANDER_READINGS = 400;

/** Noise of a mean over that of white noise just before a rise, where the gauge may err otherwise than in the whole record. */
function wanderBefore(record: WorkingRecord, from: number): number {
  return Math.max(record.longRun, longRunNoise(record.scaled.y.subarray(Math.max(0, from - WANDER_READINGS), from)));
}

/** Does a rise cover more than two codes of a quantised gauge? */
export function severalCodes(record: WorkingRecord, from: number, to: number): boolean {
  const { pa } = record.readings;
  const start = medianBetween(pa, Math.max(0, from - 5), Math.max(0, from - 1));
  // Where a fall came just before, its last readings say nothing of the base.
  const soon = medianBetween(pa, from, Math.min(to, from + 4));
  const rise = medianBetween(pa, Math.max(from, to - 4), to) - Math.min(start, pa[from], soon);
  // Codes are coarser just above a decade than just below it.
  const coarser = inNextDecade(pa[from], rise) ? record.noise.stepPa(1.5 * pa[from]) : 0;
  return rise > 2.2 * Math.max(record.noise.stepPa(pa[from]), coarser);
}

const NEXT_DECADE = 0.95;

/** Does a rise come to the decade above the one it began in, or nearly? */
function inNextDecade(fromPa: number, rise: number): boolean {
  if (!(fromPa > 0)) return false;
  const decade = elementary.power(10, Math.floor(elementary.log10(fromPa) + 1e-9) + 1);
  return fromPa + Math.max(0, rise) > NEXT_DECADE * decade;
}

/** Is the fall after a hump much faster than its rise? */
export function endsSharply(stretches: readonly Stretch[], hump: Hump, record: WorkingRecord, within = 0.15): boolean {
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

/**
 * Is the top of a rise a corner: does the pressure still rise before it, and fall after it, at a fair part of the mean
 * rate of the rise?
 */
function hasCorner(record: WorkingRecord, from: number, to: number, latest: number): boolean {
  const { pa, time } = record.readings;
  const reach = Math.max(8, Math.floor((to - from + 1) / 8));
  const mean =
    (medianBetween(pa, Math.max(from, to - 2), to) - pa[from]) / Math.max(time[to] - time[from], record.stepS);
  const before = describeStretch(record.readings, record.scaled, Math.max(from, to - reach), to);
  const after = describeStretch(record.readings, record.scaled, to + 1, Math.min(latest, to + 1 + reach));
  const sure = after.significance < -4 * record.longRun;
  return sure && before.ratePa > CORNER * mean && after.ratePa < -CORNER * mean;
}
