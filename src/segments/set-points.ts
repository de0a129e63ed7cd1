import { ArgumentError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import { chooseChannel } from './choose-channel';
import { goodReadings } from './readings';
import type { Segment, SegmentedLog } from './segment';

/** Set points of furnace practice, Pa: 20 Torr, 500 mTorr, 200 mTorr (common practice, no source). */
export const USUAL_SET_POINTS_PA: readonly number[] = [2666.4473684210525, 66.66118421052632, 26.664473684210527];

/** A pressure must go this far past a set point, relative, before it counts as having come back. */
export const HYSTERESIS = 0.1;

/** When a falling pressure passes a set point, and when it leaves it upwards again. */
export interface Crossing {
  readonly index: number;
  readonly atS: number;
  readonly down: boolean;
}

/**
 * Crossings of a set point with hysteresis: down at the set point, up at the set point plus a tenth, so that noise on
 * the
 * line does not count twice. The moment is interpolated on log pressure.
 * @param time seconds, ascending
 * @param pa pressure, Pa
 * @param setPointPa the set point, Pa
 * @returns the crossings in order of time
 */
export function crossings(time: Float64Array, pa: Float64Array, setPointPa: number): Crossing[] {
  const upper = setPointPa * (1 + HYSTERESIS);
  const found: Crossing[] = [];
  if (pa.length === 0) return found;
  let below = pa[0] < setPointPa;
  for (let i = 1; i < pa.length; i++) {
    const line = below ? upper : setPointPa;
    if (below ? pa[i] < line : pa[i] >= line) continue;
    below = !below;
    found.push({ index: i, atS: momentOf(time, pa, i, line), down: below });
  }
  return found;
}

function momentOf(time: Float64Array, pa: Float64Array, i: number, line: number): number {
  const from = elementary.log(Math.max(pa[i - 1], 1e-15));
  const to = elementary.log(Math.max(pa[i], 1e-15));
  if (from === to) return time[i];
  const part = Math.min(1, Math.max(0, (elementary.log(line) - from) / (to - from)));
  return time[i - 1] + part * (time[i] - time[i - 1]);
}

/**
 * Seconds from the start of a stretch until the pressure first falls to a set point.
 * @param log the log
 * @param channel name of the pressure channel, as in `SegmentedLog.channel`
 * @param segment the stretch, usually a pump-down; a reading after its end does not count
 * @param setPointPa the set point, Pa, above 0
 * @returns seconds, 0 where it is below already, or null where it is not reached
 * @throws ArgumentError when the set point is not a positive number or the channel is unknown
 */
export function timeToSetPoint(log: GaugeLog, channel: string, segment: Segment, setPointPa: number): number | null {
  if (!(setPointPa > 0) || !Number.isFinite(setPointPa)) {
    throw new ArgumentError('set point', setPointPa, 'a positive pressure in Pa');
  }
  const readings = goodReadings(log.time, chooseChannel(log, channel).channel);
  let previous = -1;
  for (let i = 0; i < readings.rows.length && readings.rows[i] <= segment.to; i++) {
    if (readings.rows[i] < segment.from) continue;
    if (readings.pa[i] <= setPointPa) {
      if (previous < 0) return 0;
      return momentOf(readings.time, readings.pa, i, setPointPa) - segment.startS;
    }
    previous = i;
  }
  return null;
}

/**
 * Since when the reading has been steady: the start of the steady, regulated or atmospheric stretch with which the log
 * ends, or null where it ends in motion.
 * @param segmented a log with its segments
 * @returns seconds from the first row and how long since, s
 */
export function steadySince(segmented: SegmentedLog): { readonly sinceS: number; readonly forS: number } | null {
  const last = segmented.segments[segmented.segments.length - 1];
  if (last === undefined || !['steady', 'regulated', 'atmosphere'].includes(last.kind)) return null;
  return { sinceS: last.startS, forS: last.endS - last.startS };
}
