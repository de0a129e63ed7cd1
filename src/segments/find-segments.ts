import type { GaugeLog } from '../log/gauge-log';
import { nameStretches } from './name-stretches';
import { estimateNoise } from './noise';
import { goodReadings, medianBetween } from './readings';
import type { Segment, SegmentedLog } from './segment';
import { removeSpikes, smoothSteps } from './smooth-steps';
import { cutIntoStraightPieces, type ScaledRecord, weightsOf } from './straight-pieces';
import { describeStretches, fastestPumping, type Stretch, type WorkingRecord } from './stretches';

/**
 * Finds what happens in a log, from the pressure alone.
 * @param log a log that has been read
 * @param options the name of the pressure channel to follow
 */
export function findSegments(log: GaugeLog, options: { channel?: string } = {}): SegmentedLog {
  const channel = log.channels.find((c) => c.name === options.channel) ?? log.channels[0];
  const readings = goodReadings(log.time, channel);
  const noise = estimateNoise(readings.time, readings.pa);
  const y = smoothSteps(readings.pa, noise).map((p) => noise.scaled(p));
  removeSpikes(y);
  const scaled: ScaledRecord = { time: readings.time, y, weight: weightsOf(y) };
  const pieces = cutIntoStraightPieces(scaled, 12 + 2 * Math.log(y.length));
  const stretches = describeStretches(readings, scaled, pieces);
  const record: WorkingRecord = {
    readings,
    scaled,
    noise,
    pumpingPerS: fastestPumping(readings, scaled, noise),
    atmospherePa: atmosphereOf(stretches),
  };
  const named = nameStretches(record, stretches);
  const segments: Segment[] = named.spans.map((span) => ({
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

function atmosphereOf(stretches: readonly Stretch[]): number {
  let highest = 0;
  for (const s of stretches) {
    const level = (s.startPa + s.endPa) / 2;
    const flat = Math.abs(s.endPa - s.startPa) < 0.02 * level;
    if (flat && level > 7.5e4 && level < 1.15e5 && level > highest) highest = level;
  }
  return highest > 0 ? highest : 101325;
}
