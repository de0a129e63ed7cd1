import { ArgumentError } from '../errors';
import { firstRowFrom } from '../log/first-row';
import type { GaugeLog } from '../log/gauge-log';
import { chooseChannel } from './choose-channel';
import { goodReadings, pressureAtEnd, type Readings } from './readings';
import type { Correction, Segment, SegmentedLog } from './segment';

/**
 * Applies a person's corrections on top of what was found: each makes its stretch a segment of the kind it says and
 * cuts
 * or removes what lay there; `exclude` leaves the stretch without a segment. Later corrections go over earlier ones.
 * Nothing is edited in place: the corrections stay in the result with their reasons.
 * @param segmented what was found
 * @param corrections kinds with start and end (s from the first row) and a reason
 * @param log the log that was segmented: it says which rows lie between two moments
 * @returns a new record with the corrected segments and the corrections made
 * @throws ArgumentError when a correction has no reason, ends before it starts, or holds no row of the log
 */
export function correctSegments(
  segmented: SegmentedLog,
  corrections: readonly Correction[],
  log: GaugeLog,
): SegmentedLog {
  if (corrections.length === 0) return segmented;
  const readings = goodReadings(log.time, chooseChannel(log, segmented.channel).channel);
  let segments: readonly Segment[] = segmented.segments;
  for (const correction of corrections) segments = applyOne(segments, correction, log.time, readings);
  return { ...segmented, segments, corrections: [...segmented.corrections, ...corrections] };
}

function applyOne(
  segments: readonly Segment[],
  correction: Correction,
  time: Float64Array,
  readings: Readings,
): Segment[] {
  const { fromS, toS, reason } = correction;
  if (reason.trim() === '') throw new ArgumentError('correction', reason, 'a reason in words');
  if (!Number.isFinite(fromS) || !Number.isFinite(toS) || toS <= fromS) {
    throw new ArgumentError('correction', `${fromS} s to ${toS} s`, 'a start before its end, s from the first row');
  }
  const from = firstRowFrom(time, fromS);
  let to = firstRowFrom(time, toS);
  if (to >= time.length || time[to] > toS) to--;
  if (to < from)
    throw new ArgumentError('correction', `${fromS} s to ${toS} s`, 'a stretch with rows of the log in it');
  const out: Segment[] = [];
  for (const s of segments) {
    if (s.to < from || s.from > to) out.push(s);
    else {
      if (s.from < from) out.push(withRows(s, s.from, from - 1, time, readings));
      if (s.to > to) out.push(withRows(s, to + 1, s.to, time, readings));
    }
  }
  if (correction.kind !== 'exclude') {
    const bare = { kind: correction.kind, grounds: [`a person says so: ${reason}`], pumpSide: false, correction };
    out.push(withRows(bare, from, to, time, readings));
  }
  return out.sort((a, b) => a.from - b.from);
}

/**
 * A segment over the given rows: times from the log, pressures as read off at its ends (`pressureAtEnd`; NaN where it has
 * no good reading).
 */
export function withRows(
  what: Pick<Segment, 'kind' | 'grounds' | 'pumpSide' | 'correction'>,
  from: number,
  to: number,
  time: Float64Array,
  readings: Readings,
): Segment {
  const first = firstReadingFrom(readings.rows, from);
  const last = firstReadingFrom(readings.rows, to + 1) - 1;
  return {
    kind: what.kind,
    from,
    to,
    startS: time[from],
    endS: time[to],
    startPa: first > last ? Number.NaN : pressureAtEnd(readings.pa, first, last),
    endPa: first > last ? Number.NaN : pressureAtEnd(readings.pa, last, first),
    grounds: what.grounds,
    pumpSide: what.pumpSide,
    ...(what.correction === undefined ? {} : { correction: what.correction }),
  };
}

/** Index of the first good reading at or after a row. */
function firstReadingFrom(rows: Int32Array, row: number): number {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rows[middle] < row) low = middle + 1;
    else high = middle;
  }
  return low;
}
