import { ArgumentError } from '../errors';
import { requirePositive } from '../numerics';
import { ROOM_TEMPERATURE } from '../units';
import { meanFreePath } from './kinetic-theory';
import type { Gas } from './species';

/** Whose limits of the Knudsen number are meant; authors differ. */
export type RegimeAuthor = 'Ryans and Roper' | 'Jousten' | "O'Hanlon" | 'Roth' | 'aerodynamics';

/** How gas flows: molecules hit each other, both, or the walls alone. */
export type FlowRegime = 'viscous' | 'transition' | 'molecular';

/**
 * Limits of the Knudsen number (path over bore): viscous below the first, molecular above the second.
 * Ryans and Roper 1986 eq. 2-34; Jousten, Handbook of Vacuum Technology (DIN 28400 tradition, from memory); O'Hanlon
 * 3rd ed. 2003 (from memory); Roth, Vacuum Technology (d/path > 110 viscous, < 1 molecular, from memory); aerodynamics
 * (ASME J. Heat Transfer 123, 486: continuum and slip to 0.1, free molecular above 10).
 */
export const REGIME_LIMITS: Readonly<Record<RegimeAuthor, readonly [number, number]>> = {
  'Ryans and Roper': [0.01, 1],
  Jousten: [0.01, 0.5],
  "O'Hanlon": [0.01, 1],
  Roth: [1 / 110, 1],
  aerodynamics: [0.1, 10],
};

/**
 * Knudsen number: mean free path (from viscosity) over the smallest width.
 * @param gas the gas or its name
 * @param pressure Pa, > 0
 * @param width bore or other smallest width, m, > 0
 * @param temperature K; 293.15 where absent
 * @returns Knudsen number, no unit
 * @throws ArgumentError where an argument is not above zero; OutOfRangeError outside the range of the viscosity law
 * @source definition
 */
export function knudsenNumber(
  gas: Gas | string,
  pressure: number,
  width: number,
  temperature: number = ROOM_TEMPERATURE,
): number {
  return meanFreePath(gas, pressure, temperature) / requirePositive('width', width);
}

/**
 * The flow regime at a Knudsen number, by a named author's limits.
 * @param knudsen Knudsen number, no unit, > 0
 * @param author whose limits; `Jousten` where absent
 * @returns the regime
 * @throws ArgumentError where the number is not above zero or the author unknown
 * @source `REGIME_LIMITS`, by author
 */
export function flowRegime(knudsen: number, author: RegimeAuthor = 'Jousten'): FlowRegime {
  const limits = REGIME_LIMITS[author];
  if (!limits) throw new ArgumentError('author', author, `one of ${Object.keys(REGIME_LIMITS).join(', ')}`);
  if (requirePositive('Knudsen number', knudsen) < limits[0]) return 'viscous';
  return knudsen > limits[1] ? 'molecular' : 'transition';
}
