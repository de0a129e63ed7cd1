import { ArgumentError } from '../errors';
import { requireFinite, requireNotNegative } from '../numerics';
import { ROOM_TEMPERATURE, STANDARD_ATMOSPHERE } from '../units';
import { type Gas, gasNamed } from './species';
import { viscosity } from './viscosity';

/** Under what a leak rate was, or would be, found. */
export interface LeakConditions {
  readonly gas: Gas | string;
  /** Pressure on the high side, Pa; 101325 where absent. */
  readonly upstream?: number;
  /** Pressure on the low side, Pa; 0 where absent. */
  readonly downstream?: number;
  /** Temperature of gas and path, K; 293.15 where absent. */
  readonly temperature?: number;
}

/** How the gas goes through the leak: molecule by molecule, or as a laminar stream. */
export type LeakRegime = 'molecular' | 'laminar';

/**
 * The leak rate of the same path with another gas, pressure or temperature. Molecular: Q ~ sqrt(T/M) (p1 - p2).
 * Laminar: Q ~ (p1^2 - p2^2) / eta(T). A real leak may be either, or many paths of both kinds: convert in both and take
 * the two as bounds. Source: EN 1779 and the flow laws of Knudsen and Poiseuille.
 * @param rate leak rate found, any unit of throughput, >= 0
 * @param from the conditions under which it was found
 * @param to the conditions asked for
 * @param regime `molecular` or `laminar`
 * @returns leak rate under `to`, in the unit of `rate`
 * @throws ArgumentError where a pressure, temperature or the rate is useless, or the regime unknown
 * @source flow laws of Knudsen and Poiseuille; EN 1779 converts so
 */
export function convertLeakRate(rate: number, from: LeakConditions, to: LeakConditions, regime: LeakRegime): number {
  const before = drive(from, regime);
  if (before === 0) throw new ArgumentError('pressures of the known leak', before, 'a pressure difference');
  return (requireNotNegative('leak rate', rate) * drive(to, regime)) / before;
}

/** What drives and slows the flow, up to the geometry. */
function drive(conditions: LeakConditions, regime: LeakRegime): number {
  const { gas, upstream = STANDARD_ATMOSPHERE, downstream = 0, temperature = ROOM_TEMPERATURE } = conditions;
  const high = requireNotNegative('upstream pressure', upstream);
  const low = requireNotNegative('downstream pressure', downstream);
  const T = requireFinite('temperature', temperature);
  if (!(T > 0)) throw new ArgumentError('temperature', T, 'a finite number above zero');
  if (low > high) throw new ArgumentError('downstream pressure', low, `at most the upstream pressure, ${high} Pa`);
  if (regime === 'molecular') return Math.sqrt(T / gasNamed(gas).molarMass) * (high - low);
  if (regime === 'laminar') return (high * high - low * low) / viscosity(gas, T);
  throw new ArgumentError('regime', regime, 'molecular or laminar');
}

/**
 * Factor by which a leak rate changes when one gas takes the place of another, all else equal.
 * @param from the gas of the known rate
 * @param to the gas asked for
 * @param regime `molecular` (square root of the inverse mass ratio) or `laminar` (inverse viscosity ratio)
 * @param temperature K, > 0 and within the viscosity laws for `laminar`; 293.15 where absent
 * @returns factor, no unit
 * @throws ArgumentError where a gas or regime is unknown or the temperature useless; OutOfRangeError outside the range of a
 *   viscosity law
 * @source flow laws of Knudsen and Poiseuille; EN 1779 converts so
 */
export function leakFactor(
  from: Gas | string,
  to: Gas | string,
  regime: LeakRegime,
  temperature: number = ROOM_TEMPERATURE,
): number {
  return convertLeakRate(1, { gas: from, temperature }, { gas: to, temperature }, regime);
}
