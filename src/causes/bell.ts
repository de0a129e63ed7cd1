import * as elementary from '../numerics/elementary';

/**
 * Density of a normal distribution.
 * @param x where
 * @param centre its mean
 * @param sd its standard deviation, > 0
 * @returns the density, per unit of x
 */
export function bell(x: number, centre: number, sd: number): number {
  return elementary.exp(-0.5 * ((x - centre) / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));
}
