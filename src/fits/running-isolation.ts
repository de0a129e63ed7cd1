import { ArgumentError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import type { SegmentedLog } from '../segments/segment';
import type { FitOptions } from './fit-options';
import { fitRateOfRise } from './rate-of-rise';
import type { RateOfRise } from './results';

/**
 * The rate of rise of the isolation in which a record ends, as far as it has come.
 * @param log the log
 * @param segmented what happened in it
 * @param options what is known besides, such as the volume
 * @returns the rate of rise (Pa/s; with a volume also the load, Pa m3/s); null where the record does not end in an
 *   isolation, the gauge is on the pump's side of it, or too few readings are in
 * @throws ArgumentError where the options cannot be used
 */
export function runningIsolation(log: GaugeLog, segmented: SegmentedLog, options: FitOptions = {}): RateOfRise | null {
  const last = segmented.segments[segmented.segments.length - 1];
  if (last?.kind !== 'isolation' || last.pumpSide) return null;
  try {
    return fitRateOfRise(log, last, segmented.channel, options, segmented.events);
  } catch (error) {
    if (error instanceof ArgumentError && /readings/.test(error.message)) return null;
    throw error;
  }
}
