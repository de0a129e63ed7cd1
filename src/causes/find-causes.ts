import type { RecordFits } from '../fits/results';
import type { GaugeLog } from '../log/gauge-log';
import type { SegmentedLog } from '../segments/segment';
import { type CauseOptions, checkCauseOptions } from './cause-options';
import { CAUSES, type Finding } from './finding';

/**
 * What a record supports: the causes, the real leak with its interval, conformity.
 * This version commits to no cause: it bounds the leak by the whole load of the last isolation.
 * @param _log the log that was read
 * @param _segmented what happened in it
 * @param fits its rates of rise and pump-downs
 * @param options what is known besides
 * @returns the finding
 * @throws ArgumentError where an option cannot be used
 */
export function findCauses(
  _log: GaugeLog,
  _segmented: SegmentedLog,
  fits: RecordFits,
  options: CauseOptions = {},
): Finding {
  checkCauseOptions(options);
  const usable = fits.isolations.filter((one) => !one.segment.pumpSide);
  const last = usable[usable.length - 1];
  const load = last?.gasLoad ?? null;
  const realLeak = load && { value: Math.max(0, load.value) / 2, low: 0, high: Math.max(0, load.high) };
  const bound = options.limit?.dimension === 'pressure rate' ? last?.rate.high : realLeak?.high;
  const limit = options.limit?.si;
  const below = bound !== undefined && limit !== undefined && bound < limit;
  return {
    verdict: 'undetermined',
    mainCause: CAUSES.map((cause) => ({ cause, probability: 1 / CAUSES.length })),
    present: [],
    realLeak,
    conforms: limit === undefined ? null : below ? 'yes' : 'inconclusive',
    rule: limit === undefined ? null : 'yes only where the whole load is below the limit (its 97.5 % end)',
    grounds: ['the causes have not been told apart; the leak is bounded by the whole load'],
    nextTest: null,
    otherTests: [],
    cautions: [],
  };
}
