import { ArgumentError } from '../errors';
import type { Channel, GaugeLog } from '../log/gauge-log';
import { wallClock } from '../log/wall-clock';
import { endBeforeOverRange, sharpenFalls, sharpenInlets } from './boundaries';
import { chooseChannel, countGood } from './choose-channel';
import { confirmByColumns } from './confirm';
import { correctSegments, withRows } from './corrections';
import { findEvents } from './events';
import { gasNotShut } from './gas-not-shut';
import { gasStillFlows } from './gas-still-flows';
import { meansOf } from './means';
import { nameStretches } from './name-stretches';
import { pumpSideStretches } from './pump-side';
import { partPumped } from './pumped';
import type { Readings } from './readings';
import type { Correction, Segment, SegmentedLog } from './segment';
import { USUAL_SET_POINTS_PA } from './set-points';
import { sharpenStarts } from './sharpen-starts';
import { slowFalls } from './slow-falls';
import type { Incident, Span } from './span';
import { stoppedFalls } from './stopped-falls';
import type { WorkingRecord } from './stretches';
import { tidySpans } from './tidy-spans';
import { decideByValve } from './valve-columns';
import { FEWEST_GOOD, type WorkedUp, workUp } from './working-record';

/** What a person may say about a log before it is segmented. */
export interface SegmentOptions {
  /** Header of the pressure channel to follow; see `chooseChannel`. */
  readonly channel?: string;
  /** Which side of the valve the gauge is on; without it, the chamber's side is assumed and the other noticed. */
  readonly gaugeSide?: 'chamber' | 'pump';
  /** What the gauge measures by. Above 100 Pa thermal gauges read too wrongly for set points: that is noted. */
  readonly gauge?: 'thermal' | 'capacitance' | 'hot-cathode' | 'cold-cathode' | 'piezo' | 'combined';
  /** A person's corrections, applied last. */
  readonly corrections?: readonly Correction[];
  /** Set points whose crossings are told, Pa; 20 Torr, 500 mTorr and 200 mTorr where absent. */
  readonly setPointsPa?: readonly number[];
  /** The chamber's volume, m3. Not needed for finding segments. */
  readonly volumeM3?: number;
}

/**
 * Finds what happens in a log from the pressure; a column of the valve to the pump decides where the pressure cannot, other
 * columns only confirm. O(n log n).
 * @param log a log that has been read
 * @param options channel, gauge and corrections
 * @returns segments that cover every row once (but for what was excluded), events, and notes of guesses and doubts
 * @throws QuestionError when several gauges disagree and none is named
 * @throws ArgumentError when the channel is unknown or has fewer than two good readings
 */
export function findSegments(log: GaugeLog, options: SegmentOptions = {}): SegmentedLog {
  const setPoints = options.setPointsPa ?? USUAL_SET_POINTS_PA;
  const bad = setPoints.find((p) => !(p > 0) || !Number.isFinite(p));
  if (bad !== undefined) throw new ArgumentError('set point', bad, 'a positive pressure in Pa');
  const { channel, notes: chosen } = chooseChannel(log, options.channel);
  const plain = nameRows(log, channel, options);
  const { worked, incidents } = plain;
  const means = inMeans(log, channel, options, plain);
  const segments = means?.segments ?? plain.segments;
  const events = findEvents(log, worked.record, segments, incidents, setPoints);
  const notes = [...chosen, ...plain.notes, ...(means?.notes ?? []), ...remarksOnWork(worked, options, segments)];
  return correctSegments(
    { channel: channel.name, clock: wallClock(log), segments, events, corrections: [], notes },
    options.corrections ?? [],
    log,
  );
}

const isIsolation = ({ kind }: Segment): boolean => kind === 'isolation';

/** What was found in the rows of a channel. */
interface NamedRows {
  readonly worked: WorkedUp;
  readonly segments: readonly Segment[];
  readonly incidents: readonly Incident[];
  readonly notes: readonly string[];
}

function nameRows(log: GaugeLog, channel: Channel, options: SegmentOptions): NamedRows {
  const worked = workUp(log.time, channel);
  const { record } = worked;
  const notes: string[] = [];
  const incidents: Incident[] = [];
  const spans = nameParts(worked, options, incidents, notes);
  gasNotShut(record, spans);
  const rows = tidySpans(record, spans, log.rows);
  const found = rows.map((s) => {
    const side = s.kind === 'isolation' && (options.gaugeSide === 'pump' || s.pumpSide === true);
    return withRows({ kind: s.kind, grounds: s.grounds, pumpSide: side }, s.from, s.to, log.time, record.readings);
  });
  return { worked, segments: confirmByColumns(log, decideByValve(log, record.readings, found)), incidents, notes };
}

/** Rows a mean, where single readings do not show an isolation; a record of fewer means than this shows nothing more. */
const MEANS = [5, 20];
const FEWEST_MEANS = 60;
/** A long record is looked at in its longer means only: what stands out of the short ones stands out of them, too. */
const MOST_MEANS = 60_000;
/** An isolation that only means show lasts so many of them at least. */
const SHORTEST_IN_MEANS = 6;
/** And ends so many times above its beginning, or begins at a level and falls back there at once: */
const RISES_BY = 1.5;
/** within so many means, by so much of its rise. */
const BACK_MEANS = 4;
const BACK_PART = 0.6;

/** Looks for isolations in means of several rows, where they drown in the noise or the steps of single ones. */
function inMeans(
  log: GaugeLog,
  channel: Channel,
  options: SegmentOptions,
  { worked, segments: plain }: NamedRows,
): { readonly segments: readonly Segment[]; readonly notes: readonly string[] } | null {
  const { readings } = worked.record;
  const none = !plain.some(isIsolation);
  for (const every of MEANS) {
    if (log.rows < FEWEST_MEANS * every) return null;
    if (log.rows > MOST_MEANS * every) continue;
    const means = meansOf(log, channel, every);
    if (countGood(means.channel) < FEWEST_GOOD) return null;
    const { segments } = nameRows(means.log, means.channel, options);
    const isNew = (one: Segment): boolean =>
      isIsolation(one) && risesBeyondDoubt(one, plain, means.channel, worked.record);
    const found = segments.filter(isNew);
    if (found.length === 0 || (none && segments.some((one) => isIsolation(one) && !isNew(one)))) continue;
    const inRows = (one: Segment): Segment =>
      withRows(one, one.from * every, Math.min(log.rows, (one.to + 1) * every) - 1, log.time, readings);
    return {
      segments: none ? segments.map(inRows) : laidOver(plain, found.map(inRows), log.time, readings),
      notes: [
        none
          ? `isolations stand out only of means of ${every} rows: their ends are sure to that`
          : `${found.length} of the isolations stand out only of means of ${every} rows: their ends are sure to that`,
      ],
    };
  }
  return null;
}

/** Segments with others laid over them, which lie in those alone that nothing but pumping is seen in. */
function laidOver(
  segments: readonly Segment[],
  over: readonly Segment[],
  time: Float64Array,
  readings: Readings,
): readonly Segment[] {
  let out: readonly Segment[] = segments;
  for (const one of over) {
    // Where the rows show its later part, they know its end better.
    const later = segments.find((s) => isIsolation(s) && s.from <= one.to && s.to >= one.from);
    const top = later === undefined ? one : withRows(one, one.from, later.to, time, readings);
    out = out.flatMap((s) => {
      if (s.to < top.from || s.from > top.to) return [s];
      const left = s.from < top.from ? [withRows(s, s.from, top.from - 1, time, readings)] : [];
      const right = s.to > top.to ? [withRows(s, top.to + 1, s.to, time, readings)] : [];
      return s.from <= top.from ? [...left, top, ...right] : [...left, ...right];
    });
  }
  return out;
}

/** Long enough, well above where it began or back there at once, and no place where the single rows saw gas let in. */
function risesBeyondDoubt(one: Segment, plain: readonly Segment[], means: Channel, record: WorkingRecord): boolean {
  if (one.pumpSide || one.to - one.from < SHORTEST_IN_MEANS || !(one.endPa > one.startPa)) return false;
  const fromLevelAndBack = stoodBefore(one, means) && fallsBack(one, means);
  if (!(one.endPa > RISES_BY * Math.max(one.startPa, 0)) && !fromLevelAndBack) return false;
  return plain.every((seen) => {
    const apart = seen.endS <= one.startS || seen.startS >= one.endS;
    return apart || UNSEEN.includes(seen.kind) || (fromLevelAndBack && isPartOf(seen, one, record));
  });
}

const UNSEEN: readonly string[] = ['pump-down', 'steady', 'unknown'];
/** An isolation of the rows is part of one that means show if it lies in it but for so much, */
const OUTSIDE = 0.05;
/** and begins when this part of the rise is done, but not so much that rows would show it, noise deviations. */
const RISEN_PART = 0.1;
const DROWNS = 40;

/** Do the rows show a later part only of an isolation that means show whole? */
function isPartOf(seen: Segment, whole: Segment, { noise }: WorkingRecord): boolean {
  const length = seen.endS - seen.startS;
  const outside = Math.max(0, whole.startS - seen.startS) + Math.max(0, seen.endS - whole.endS);
  const risen = seen.startPa - whole.startPa;
  const drowns = risen < DROWNS * noise.sigmaPa(seen.startPa) && risen > RISEN_PART * (whole.endPa - whole.startPa);
  return isIsolation(seen) && outside <= OUTSIDE * length && drowns;
}

/** Means before a rise that must have stood, and the part of the rise up to which they may have moved. */
const LEVEL_MEANS = 12;
const LEVEL_PART = 0.35;

/** Did the pressure stand before a rise, no higher than where it began? */
function stoodBefore({ from, startPa, endPa }: Segment, { values, flags }: Channel): boolean {
  if (from < LEVEL_MEANS) return false;
  let lowest = startPa;
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = from - LEVEL_MEANS; i < from; i++) {
    if (flags[i] !== 0) continue;
    lowest = Math.min(lowest, values[i]);
    highest = Math.max(highest, values[i]);
  }
  return highest - lowest < LEVEL_PART * (endPa - lowest);
}

/** Is the pressure back where a rise began within a few means after it? */
function fallsBack({ to, startPa, endPa }: Segment, { values, flags }: Channel): boolean {
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = to + 1; i <= Math.min(values.length - 1, to + BACK_MEANS); i++) {
    if (flags[i] === 0 && values[i] < lowest) lowest = values[i];
  }
  return lowest < endPa - BACK_PART * (endPa - startPa);
}

/** Names each part between outages, then parts the pumped spans and looks for a gauge on the pump's side. */
function nameParts(worked: WorkedUp, options: SegmentOptions, incidents: Incident[], notes: string[]): Span[] {
  const { record, parts } = worked;
  return parts.flatMap((part) => {
    const named = nameStretches(record, part);
    incidents.push(...named.incidents);
    const overlaid = options.gaugeSide === 'chamber' ? [] : pumpSideStretches(record, part);
    if (overlaid.length > 0) {
      notes.push("the gauge seems to sit on the pump's side of a valve: its isolations are no rates of rise");
    }
    const stopped = stoppedFalls(record, part).filter((s) => onlyPumped(named.spans, s));
    const withFalls = overlaid.length > 0 ? named.spans : withSlowFalls(named.spans, slowFalls(record, part));
    const spans = layOver(layOver(withFalls, stopped, false), overlaid, true);
    sharpenFalls(record, spans);
    endBeforeOverRange(record, spans);
    sharpenInlets(record, spans);
    sharpenStarts(record, spans);
    const parted = spans.flatMap((span) => (span.kind === 'pump-down' ? partPumped(record, span, part) : [span]));
    gasStillFlows(record, parted);
    return parted;
  });
}

/** Does a span lie in what was called pumped? */
const onlyPumped = (spans: readonly Span[], one: Span): boolean =>
  spans.every((s) => s.to < one.from || s.from > one.to || s.kind === 'pump-down');

/** Does a span lie in what was called pumped, steady or held? */
const onlyHeld = (spans: readonly Span[], one: Span): boolean =>
  spans.every((s) => s.to < one.from - 2 || s.from > one.to || HELD.includes(s.kind));
const HELD: readonly string[] = ['pump-down', 'steady', 'regulated'];

/**
 * Lays falls in a shut chamber over what was called pumped or held, one after the other: after each the pressure comes back to
 * the pump's own level, which is no isolation, and no gas let in.
 */
function withSlowFalls(spans: readonly Span[], slow: readonly Span[]): Span[] {
  let out = [...spans];
  const grounds = ['the pressure comes back at once to where it stood before the valve closed'];
  for (const one of slow) {
    if (!onlyHeld(out, one)) continue;
    let back = one.to + BACK_READINGS;
    out = layOver(out, [one], false).map((s) => {
      if (s.from < one.to || s.from > back || !COMES_BACK.includes(s.kind)) return s;
      // What was let in, as it seemed, and what holds it, are one.
      back = s.to + 1;
      return { ...s, kind: 'pump-down', grounds };
    });
  }
  return out;
}

/** It comes back within so many readings. */
const BACK_READINGS = 3;
const COMES_BACK: readonly string[] = ['isolation', 'regulated', 'fill'];

/** Spans with others laid over them; what is left of the lower ones stays. */
function layOver(spans: readonly Span[], over: readonly Span[], pumpSide: boolean): Span[] {
  let out = [...spans];
  for (const top of over) {
    out = out.flatMap((s) => {
      if (s.to < top.from || s.from > top.to) return [s];
      const left = s.from < top.from ? [{ ...s, to: top.from - 1 }] : [];
      const right = s.to > top.to ? [{ ...s, from: top.to + 1 }] : [];
      return [...left, ...right];
    });
    out.push({ ...top, pumpSide });
  }
  return out.sort((a, b) => a.from - b.from);
}

function remarksOnWork(worked: WorkedUp, options: SegmentOptions, segments: readonly Segment[]): string[] {
  const { record, spikes } = worked;
  const notes: string[] = [];
  if (spikes === 1) notes.push('one excursion of a single reading that nobody flagged was passed over');
  if (spikes > 1) notes.push(`${spikes} excursions of a single reading that nobody flagged were passed over`);
  if (record.longRun > 2) {
    notes.push('neighbouring readings err together: short and slow rises may have been passed over');
  }
  const isolated = segments.some((s) => s.kind === 'isolation');
  if (options.gaugeSide === 'pump' && isolated) {
    notes.push("the gauge is said to sit on the pump's side of the valve: its isolations are no rates of rise");
  }
  if (isolated && !(record.pumpingPerS > 0)) {
    notes.push('no fall by the pump is seen, so that a slow fill cannot be told from an isolation by its rate');
  }
  if (options.gauge === 'thermal' && record.readings.pa.some((p) => p > 100)) {
    notes.push('a thermal gauge depends strongly on the gas above about 100 Pa (common practice, no source)');
  }
  return notes;
}
