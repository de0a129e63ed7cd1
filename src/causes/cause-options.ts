import { ArgumentError } from '../errors';
import type { GaugePrinciple } from '../fits';
import { formatQuantity } from '../units/format-quantity';
import type { Quantity } from '../units/quantity';

/** Another gauge of the log: beside one of another principle it shows the gas. */
export interface SecondGauge {
  /** Name of its column, or a part of it. */
  readonly channel: string;
  readonly gauge: GaugePrinciple;
}

/** What is known besides the log. Everything may be left out; what is left out widens the finding. */
export interface CauseOptions {
  /** Volume that is isolated, m3, pipes up to the valve seat included. Without it there are no loads. */
  readonly volume?: Quantity;
  /** Principle of the gauge that was followed. */
  readonly gauge?: GaugePrinciple;
  /** Another gauge on the same chamber, by its column and how it works; asked of the columns' names where absent. */
  readonly secondGauge?: SecondGauge;
  /** The gas, where it is known (`air`, `nitrogen`, `water`); without it each cause is taken with its own gas. */
  readonly gas?: string;
  /** The pressure that the system ought to reach, Pa. */
  readonly target?: Quantity;
  /** The largest leak allowed: a throughput (Pa m3/s) or, without a volume, a pressure rate (Pa/s). */
  readonly limit?: Quantity;
  /** Largest accepted probability that a leak above the limit is passed; 0.05 where absent. */
  readonly risk?: number;
  /** Relative standard uncertainty of the gauge's scale; from its principle where absent. */
  readonly gaugeScale?: number;
}

/**
 * Refuses what cannot be used, before any work.
 * @param options as given
 * @throws ArgumentError where a quantity is not finite, not positive or of the wrong dimension
 */
export function checkCauseOptions(options: CauseOptions): void {
  checkQuantity('volume', options.volume, ['volume']);
  checkQuantity('target', options.target, ['pressure']);
  checkQuantity('limit', options.limit, ['throughput', 'pressure rate']);
  const { risk, gaugeScale } = options;
  if (risk !== undefined && !(risk > 0 && risk < 0.5)) throw new ArgumentError('risk', risk, 'a number from 0 to 0.5');
  if (gaugeScale !== undefined && !(gaugeScale >= 0 && gaugeScale < 1)) {
    throw new ArgumentError('gauge scale', gaugeScale, 'a relative standard uncertainty from 0 to 1');
  }
}

function checkQuantity(what: string, value: Quantity | undefined, dimensions: readonly string[]): void {
  if (value === undefined) return;
  if (!dimensions.includes(value.dimension)) throw new ArgumentError(what, value.dimension, dimensions.join(' or '));
  if (!(Number.isFinite(value.si) && value.si > 0)) {
    throw new ArgumentError(what, shownValue(value), `a ${value.dimension} above 0`);
  }
  if (!(Number.isFinite(value.standardUncertainty) && value.standardUncertainty >= 0)) {
    throw new ArgumentError(`${what} uncertainty`, value.standardUncertainty, 'a finite value of at least 0');
  }
}

/** In the unit in which it was written; what is no number has none. */
function shownValue(value: Quantity): string {
  return Number.isFinite(value.si) ? formatQuantity({ ...value, standardUncertainty: 0 }) : `${value.si} ${value.unit}`;
}
