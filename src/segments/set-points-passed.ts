import { ArgumentError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { goodReadings } from './readings';
import { crossings } from './set-points';

/** Where a pressure stands towards a set point. */
export interface SetPointState {
  /** Pa */
  readonly pa: number;
  /** Where it is now; `about` where it has come back no further than noise may take it; null without a good reading. */
  readonly now: 'below' | 'about' | 'above' | null;
  /** When it last passed, s from the first row; null where it has been so as long as the record lasts. */
  readonly sinceS: number | null;
  /** How often it was passed, both ways. */
  readonly passed: number;
}

/**
 * Which set points a record has passed, and when last; with hysteresis, so that noise on the line does not count. O(n)
 * for each set point.
 * @param log a log that has been read
 * @param channelName the pressure channel
 * @param setPointsPa set points, Pa, above 0
 * @returns one state a set point, in their order
 * @throws ArgumentError where there is no such pressure channel or a set point is not positive
 */
export function setPointsPassed(log: GaugeLog, channelName: string, setPointsPa: readonly number[]): SetPointState[] {
  const bad = setPointsPa.find((pa) => !(pa > 0 && Number.isFinite(pa)));
  if (bad !== undefined) throw new ArgumentError('set point', bad, 'a positive pressure in Pa');
  const { time, pa } = goodReadings(log.time, pressureChannel(log, channelName));
  return setPointsPa.map((setPoint) => {
    const found = crossings(time, pa, setPoint);
    const last = found[found.length - 1];
    const isBelow = last ? last.down : pa[0] < setPoint;
    const reading = pa[pa.length - 1];
    const now = pa.length === 0 ? null : !isBelow ? 'above' : reading < setPoint ? 'below' : 'about';
    return { pa: setPoint, now, sinceS: last ? last.atS : null, passed: found.length };
  });
}
