/** A number with its 95 % interval, all in the unit that the field holding it names. */
export interface Estimate {
  readonly value: number;
  /** Lower end of the 95 % interval; `-Infinity` where the data set no bound. */
  readonly low: number;
  /** Upper end of the 95 % interval; `Infinity` where the data set no bound. */
  readonly high: number;
}

/**
 * A symmetric estimate from a value and its standard uncertainty.
 * @param value the value, any unit
 * @param standardUncertainty its standard uncertainty, same unit, >= 0
 * @param coverage factor to the 95 % interval, 1.96 for a normal distribution with many degrees of freedom
 * @returns value with its 95 % interval, same unit
 */
export function estimate(value: number, standardUncertainty: number, coverage = 1.959963984540054): Estimate {
  return { value, low: value - coverage * standardUncertainty, high: value + coverage * standardUncertainty };
}
