/** A number with its 95 % interval, all in the unit that the field holding it names. */
export interface Estimate {
  readonly value: number;
  /** Lower end of the 95 % interval; `-Infinity` where the data set no bound. */
  readonly low: number;
  /** Upper end of the 95 % interval; `Infinity` where the data set no bound. */
  readonly high: number;
}

/** Half the width of the central 95 % interval of a normal distribution, in standard deviations. */
export const NORMAL_95 = 1.959963984540054;

/**
 * A symmetric estimate from a value and its standard uncertainty.
 * @param value the value, any unit
 * @param standardUncertainty its standard uncertainty, same unit, >= 0
 * @param coverage factor to the 95 % interval, 1.96 for a normal distribution with many degrees of freedom
 * @returns value with its 95 % interval, same unit
 */
export function estimate(value: number, standardUncertainty: number, coverage = NORMAL_95): Estimate {
  return { value, low: value - coverage * standardUncertainty, high: value + coverage * standardUncertainty };
}

/**
 * The standard uncertainty for which an interval of 95 % stands, as if it were that of a normal distribution.
 * @param interval with its ends, any unit
 * @returns a quarter of the width over 1.96/2, same unit; `Infinity` where an end is not bounded
 */
export function standardUncertaintyOf({ low, high }: Pick<Estimate, 'low' | 'high'>): number {
  return (high - low) / (2 * NORMAL_95);
}
