import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';

/** Two sensors in one housing that show one reading. */
export interface CombinedGauge {
  /** What the lower sensor shows over the truth, no unit, such as 0.9; > 0. */
  readonly lowerGain: number;
  /** What the upper sensor shows over the truth, no unit; > 0. */
  readonly upperGain: number;
  /** Reading of the lower sensor below which it alone is shown, and above which the upper one alone is, Pa. */
  readonly changeOver: readonly [number, number];
}

/**
 * What a combined gauge shows. Between the two change-over pressures the sensors are mixed with a weight that runs evenly
 * on a logarithmic scale; where both are the same the reading jumps. Either way a step of the ratio of the gains appears
 * in a record that is not there in the gas.
 * @param gauge the two sensors
 * @param pressure true pressure, Pa, >= 0
 * @returns reading, Pa
 * @throws ArgumentError where gauge or pressure are useless
 * @source common practice, no single source
 */
export function combinedReading(gauge: CombinedGauge, pressure: number): number {
  const { lowerGain, upperGain, changeOver } = gauge;
  const p = requireNotNegative('pressure', pressure);
  const [from, to] = checked(changeOver);
  const lower = requirePositive('gain of the lower sensor', lowerGain) * p;
  const upper = requirePositive('gain of the upper sensor', upperGain) * p;
  if (lower <= from) return lower;
  if (lower >= to) return upper;
  const weight = elementary.log(lower / from) / elementary.log(to / from);
  return lower * (1 - weight) + upper * weight;
}

/**
 * Step that a change-over puts into a record: upper over lower gain, less one.
 * @param gauge gains of the two sensors
 * @returns relative step, no unit; positive where the reading jumps up on the way up
 * @throws ArgumentError where a gain is not above zero
 * @source definition
 */
export function changeOverStep(gauge: Pick<CombinedGauge, 'lowerGain' | 'upperGain'>): number {
  const { lowerGain, upperGain } = gauge;
  return (
    requirePositive('gain of the upper sensor', upperGain) / requirePositive('gain of the lower sensor', lowerGain) - 1
  );
}

/**
 * Whether a stretch of a record crosses the change-over of a combined gauge, so that its slope must not be trusted.
 * @param gauge the two sensors
 * @param fromPa lowest reading of the stretch, Pa
 * @param toPa highest reading of the stretch, Pa
 * @returns true where it crosses or touches
 * @throws ArgumentError where a reading is not finite or negative, or the change-over useless
 * @source definition
 */
export function crossesChangeOver(gauge: Pick<CombinedGauge, 'changeOver'>, fromPa: number, toPa: number): boolean {
  const low = requireNotNegative('lowest reading', Math.min(fromPa, toPa));
  const high = requireNotNegative('highest reading', Math.max(fromPa, toPa));
  const [from, to] = checked(gauge.changeOver);
  return low <= to && high >= from;
}

function checked([from, to]: CombinedGauge['changeOver']): readonly [number, number] {
  if (!(requirePositive('change-over', from) <= requirePositive('change-over', to))) {
    throw new ArgumentError('change-over', `${from} to ${to}`, 'a lower and an upper pressure');
  }
  return [from, to];
}
