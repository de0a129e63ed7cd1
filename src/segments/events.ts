import type { GaugeLog } from '../log/gauge-log';
import type { PressureText } from './pressure-text';
import type { Readings } from './readings';
import type { LogEvent, Segment } from './segment';
import { crossings } from './set-points';
import type { Incident } from './span';
import { findSteps } from './steps';
import type { WorkingRecord } from './stretches';

/** A pause of this many usual steps is a gap. */
const GAP_STEPS = 5;
/** More crossings of one set point than this are a reading that hovers about it: the first and last are told. */
const MOST_CROSSINGS = 40;

/** So many last readings of an isolation belong to the opening of the valve. */
const LAST_READINGS = 4;
/** A hold longer than this many times filling and pumping is a process, not a purge. */
const LONGEST_HOLD = 1;

/** Everything that happens at a moment, in order of time. */
export function findEvents(
  log: GaugeLog,
  record: WorkingRecord,
  segments: readonly Segment[],
  incidents: readonly Incident[],
  setPointsPa: readonly number[],
): LogEvent[] {
  const events = [
    ...incidents
      .filter((incident) => !opensTheValve(record, segments, incident))
      .map((incident) => incidentEvent(record, incident)),
    ...setPointsPa.flatMap((p) => crossingEvents(record, p)),
    ...purgeCycles(segments, record.show),
    ...findSteps(record, segments),
    ...gaps(record.readings, record.stepS),
    ...log.remarks.map((r): LogEvent => ({ kind: 'remark', atS: r.atS, text: r.text, numbers: {} })),
    ...steadyEvents(segments, record.show),
  ];
  return events.sort((a, b) => a.atS - b.atS);
}

/** A burst in the last readings of an isolation that is pumped next: what was pumped away is the isolation's own gas. */
function opensTheValve({ readings, stepS }: WorkingRecord, segments: readonly Segment[], incident: Incident): boolean {
  const atS = readings.time[incident.at];
  return (
    incident.kind === 'burst' &&
    segments.some(
      (one, k) =>
        one.kind === 'isolation' &&
        segments[k + 1]?.kind === 'pump-down' &&
        atS >= one.endS - LAST_READINGS * stepS &&
        atS <= one.endS + stepS,
    )
  );
}

function incidentEvent({ readings, show }: WorkingRecord, incident: Incident): LogEvent {
  const { fromPa, toPa, kind } = incident;
  const text =
    kind === 'burst'
      ? `a burst of gas from ${show(fromPa)} to ${show(toPa)}, pumped away`
      : `the pressure steps from ${show(fromPa)} to ${show(toPa)} and stays`;
  return {
    kind,
    atS: readings.time[incident.at],
    text,
    numbers: { rise_Pa: toPa - fromPa, from_Pa: fromPa, to_Pa: toPa },
  };
}

function crossingEvents({ readings, show }: WorkingRecord, setPointPa: number): LogEvent[] {
  const found = crossings(readings.time, readings.pa, setPointPa);
  const told = found.length <= MOST_CROSSINGS ? found : [found[0], found[found.length - 1]];
  return told.map(({ atS, down }) => ({
    kind: 'crossing',
    atS,
    text:
      `the pressure ${down ? 'falls below' : 'rises above'} the set point of ${show(setPointPa)}` +
      (told.length < found.length ? ` (one of ${found.length} crossings)` : ''),
    numbers: { set_point_Pa: setPointPa, down: down ? 1 : 0 },
  }));
}

/** A fill followed by a pump-down that brings the pressure back: one purge cycle, told at the start of its fill. */
function purgeCycles(segments: readonly Segment[], show: PressureText): LogEvent[] {
  const events: LogEvent[] = [];
  for (let k = 0; k < segments.length; k++) {
    const fill = segments[k];
    if (fill.kind !== 'fill') continue;
    let next = k + 1;
    while (next < segments.length && ['regulated', 'isolation'].includes(segments[next].kind)) next++;
    const down = segments[next];
    if (down === undefined || down.kind !== 'pump-down') continue;
    const fromPa = k > 0 ? segments[k - 1].endPa : fill.startPa;
    const toPa = Math.max(fill.endPa, segments[next - 1].endPa);
    const heldS = segments[next - 1].endS - fill.endS;
    if (heldS > LONGEST_HOLD * (fill.endS - fill.startS + down.endS - down.startS)) continue;
    if (!(toPa > 10 * fromPa) || !(down.endPa < 0.1 * toPa)) continue;
    events.push({
      kind: 'purge cycle',
      atS: fill.startS,
      text: `filled from ${show(fromPa)} to ${show(toPa)} and pumped down again to ${show(down.endPa)}`,
      numbers: { from_Pa: fromPa, to_Pa: toPa, back_Pa: down.endPa, for_s: down.endS - fill.startS },
    });
  }
  return events;
}

function gaps(readings: Readings, stepS: number): LogEvent[] {
  const { time } = readings;
  const events: LogEvent[] = [];
  for (let i = 1; i < time.length && events.length < 1000; i++) {
    const pause = time[i] - time[i - 1];
    if (pause <= GAP_STEPS * stepS || !(stepS > 0)) continue;
    events.push({
      kind: 'gap',
      atS: time[i - 1],
      text: `no good reading for ${Number(pause.toPrecision(3))} s`,
      numbers: { for_s: pause },
    });
  }
  return events;
}

function steadyEvents(segments: readonly Segment[], show: PressureText): LogEvent[] {
  return segments
    .filter((s) => s.kind === 'steady')
    .map((s) => ({
      kind: 'steady',
      atS: s.startS,
      text: `the reading is steady near ${show(s.endPa)} for ${Number((s.endS - s.startS).toPrecision(3))} s`,
      numbers: { for_s: s.endS - s.startS, start_Pa: s.startPa, end_Pa: s.endPa },
    }));
}
