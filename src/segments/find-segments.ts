import { ArgumentError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import { sharpenFalls } from './boundaries';
import { chooseChannel } from './choose-channel';
import { confirmByColumns } from './confirm';
import { correctSegments, withRows } from './corrections';
import { findEvents } from './events';
import { gasNotShut } from './gas-not-shut';
import { gasStillFlows } from './gas-still-flows';
import { nameStretches } from './name-stretches';
import { pumpSideStretches } from './pump-side';
import { partPumped } from './pumped';
import type { Correction, Segment, SegmentedLog } from './segment';
import { USUAL_SET_POINTS_PA } from './set-points';
import { sharpenStarts } from './sharpen-starts';
import type { Incident, Span } from './span';
import { stoppedFalls } from './stopped-falls';
import { tidySpans } from './tidy-spans';
import { decideByValve } from './valve-columns';
import { type WorkedUp, workUp } from './working-record';

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
  const worked = workUp(log.time, channel);
  const { record } = worked;
  const notes = [...chosen];
  const incidents: Incident[] = [];
  const spans = nameParts(worked, options, incidents, notes);
  gasNotShut(record, spans);
  const rows = tidySpans(record, spans, log.rows);
  const found = rows.map((s) => {
    const side = s.kind === 'isolation' && (options.gaugeSide === 'pump' || s.pumpSide === true);
    return withRows({ kind: s.kind, grounds: s.grounds, pumpSide: side }, s.from, s.to, log.time, record.readings);
  });
  const segments = confirmByColumns(log, decideByValve(log, record.readings, found));
  const events = findEvents(log, record, segments, incidents, setPoints);
  notes.push(...remarksOnWork(worked, options, segments));
  return correctSegments(
    { channel: channel.name, segments, events, corrections: [], notes },
    options.corrections ?? [],
    log,
  );
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
    const spans = layOver(layOver(named.spans, stopped, false), overlaid, true);
    sharpenFalls(record, spans);
    sharpenStarts(record, spans);
    const parted = spans.flatMap((span) => (span.kind === 'pump-down' ? partPumped(record, span, part) : [span]));
    gasStillFlows(record, parted);
    return parted;
  });
}

/** Does a span lie in what was called pumped? */
const onlyPumped = (spans: readonly Span[], one: Span): boolean =>
  spans.every((s) => s.to < one.from || s.from > one.to || s.kind === 'pump-down');

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
  if (spikes > 0) notes.push(`${spikes} one-reading excursions that nobody flagged were passed over`);
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
