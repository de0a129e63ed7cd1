import { ArgumentError } from '../errors';
import { type Estimate, requirePositive, standardUncertaintyOf, straightLine, studentQuantile } from '../numerics';
import * as elementary from '../numerics/elementary';

/** The mean rate of rise of an isolation, and when that was. */
export interface RateAfterPumping {
  /** From the beginning of pumping to the middle of the isolation, where its mean rate belongs, s, > 0. */
  readonly pumpedS: number;
  /** Pa/s, with its 95 % interval. */
  readonly rate: Estimate;
}

/**
 * With which power of the time pumped the rate of rise of repeated isolations changes: the slope of ln(rate) against
 * ln(time), weighted by the intervals of the rates. Near 0 for a leak or permeation, -0.5 for thick polymer, -1 for unbaked
 * metal, and no power at all, ever steeper, for trapped gas.
 * @param rates two or more isolations; those whose rate is not above zero say nothing here and are left out
 * @returns the exponent, no unit, with its 95 % interval: without bounds where two isolations leave no freedom
 * @throws ArgumentError where fewer than two rates are above zero, a time is not, or all times are equal
 */
export function rateExponent(rates: readonly RateAfterPumping[]): Estimate {
  const used = rates.filter(({ pumpedS, rate }) => requirePositive('time pumped', pumpedS) > 0 && rate.value > 0);
  if (used.length < 2) throw new ArgumentError('rates of rise', `${used.length} above zero`, 'at least two');
  const line = straightLine(
    used.map(({ pumpedS }) => elementary.log(pumpedS)),
    used.map(({ rate }) => elementary.log(rate.value)),
    used.map(weight),
  );
  if (line.degreesOfFreedom < 1) return { value: line.slope, low: -Infinity, high: Infinity };
  const reach = studentQuantile(0.975, line.degreesOfFreedom) * line.slopeStandardError;
  return { value: line.slope, low: line.slope - reach, high: line.slope + reach };
}

/** One over the squared relative uncertainty; a rate known to better than a thousandth counts as known so well. */
function weight({ rate }: RateAfterPumping): number {
  const relative = standardUncertaintyOf(rate) / rate.value;
  return Number.isFinite(relative) ? 1 / Math.max(relative, 1e-3) ** 2 : 1e-6;
}
