import type { GaugeLog } from '../log/gauge-log';
import { nameStretches } from './name-stretches';
import { medianBetween } from './readings';
import type { Segment, SegmentedLog } from './segment';
import { workUp } from './working-record';

/**
 * Finds what happens in a log, from the pressure alone.
 * @param log a log that has been read
 * @param options the name of the pressure channel to follow
 */
export function findSegments(log: GaugeLog, options: { channel?: string } = {}): SegmentedLog {
  const channel = log.channels.find((c) => c.name === options.channel) ?? log.channels[0];
  const { record, parts } = workUp(log.time, channel);
  const { readings } = record;
  const spans = parts.flatMap((part) => nameStretches(record, part).spans);
  const segments: Segment[] = spans.map((span) => ({
    kind: span.kind,
    from: readings.rows[span.from],
    to: readings.rows[span.to],
    startS: readings.time[span.from],
    endS: readings.time[span.to],
    startPa: medianBetween(readings.pa, span.from, Math.min(span.from + 2, span.to)),
    endPa: medianBetween(readings.pa, Math.max(span.from, span.to - 2), span.to),
    grounds: span.grounds,
    pumpSide: false,
  }));
  return { channel: channel.name, segments, events: [], corrections: [], notes: [] };
}
