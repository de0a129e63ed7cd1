import { medianBetween } from './readings';
import type { Span } from './span';
import type { WorkingRecord } from './stretches';

/** A rise that reaches this, Pa, */
const FILLS_TO_PA = 300;
/** and that the pumping seen explains only in part, by this factor, */
const EXPLAINED = 2;
/** is gas let in if an isolation of the same record brings less than its rate over this. */
const OTHER_RATE = 8;

interface Rise {
  readonly span: Span;
  readonly ratePa: number;
  readonly basePa: number;
  readonly topPa: number;
}

/**
 * A fast rise by a pump that the logger does not resolve could be a big leak or a slow fill. The gas load of a chamber
 * does not change by orders of magnitude from one isolation to the next: where another isolation rises far more slowly,
 * the fast rise is gas let in. Not across an atmosphere, where somebody may have mended the leak.
 * @param record the record
 * @param spans named spans in order; those that are meant are changed
 */
export function gasNotShut(record: WorkingRecord, spans: readonly Span[]): void {
  let run: Rise[] = [];
  for (const [k, span] of spans.entries()) {
    if (span.kind === 'atmosphere' || span.kind === 'venting') {
      tell(record, run);
      run = [];
    } else if (span.kind === 'isolation' && k > 0) run.push(riseOf(record, span));
  }
  tell(record, run);
}

function riseOf(record: WorkingRecord, span: Span): Rise {
  const { pa, time } = record.readings;
  const { from, to } = span;
  const basePa = medianBetween(pa, Math.max(0, from - 5), Math.max(0, from - 1));
  const topPa = medianBetween(pa, Math.max(from, to - 2), to);
  return { span, basePa, topPa, ratePa: (topPa - basePa) / Math.max(time[to] - time[from], record.stepS) };
}

function tell(record: WorkingRecord, rises: readonly Rise[]): void {
  for (const { span, ratePa, basePa, topPa } of rises) {
    const floorPa = Math.max(basePa, 3 * record.noise.sigmaPa(basePa));
    if (topPa < FILLS_TO_PA || ratePa < EXPLAINED * record.pumpingPerS * floorPa) continue;
    const other = rises.find((one) => one.ratePa * OTHER_RATE < ratePa);
    if (other === undefined) continue;
    span.kind = 'fill';
    span.grounds = [
      `gas is let in: the pressure rises from ${record.show(basePa)} to ${record.show(topPa)}`,
      'another isolation of this record rises far more slowly',
    ];
  }
}
