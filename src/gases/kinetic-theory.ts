import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from '../numerics';
import { AVOGADRO, BOLTZMANN, GAS_CONSTANT, ROOM_TEMPERATURE } from '../units';
import { type Gas, gasNamed } from './species';
import { viscosity } from './viscosity';

/**
 * Molecules per volume of an ideal gas: n = p / (k T).
 * @param pressure Pa, >= 0
 * @param temperature K, > 0; 293.15 where absent
 * @returns number density, 1/m3
 * @throws ArgumentError where an argument is not finite or of the wrong sign
 * @source ideal gas law
 */
export function numberDensity(pressure: number, temperature: number = ROOM_TEMPERATURE): number {
  return requireNotNegative('pressure', pressure) / (BOLTZMANN * requirePositive('temperature', temperature));
}

/**
 * Mean speed of the molecules: sqrt(8 R T / (pi M)).
 * @param gas the gas or its name
 * @param temperature K, > 0; 293.15 where absent
 * @returns mean speed, m/s
 * @throws ArgumentError where the temperature is not above zero or the gas unknown
 * @source kinetic theory (Maxwell); CRC Handbook, mean free path and related properties
 */
export function meanSpeed(gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  return Math.sqrt(
    (8 * GAS_CONSTANT * requirePositive('temperature', temperature)) / (Math.PI * gasNamed(gas).molarMass),
  );
}

/**
 * Molecules that strike a surface: J = p / sqrt(2 pi m k T) = n v / 4 (Hertz, Knudsen).
 * @param gas the gas or its name
 * @param pressure Pa, >= 0
 * @param temperature K, > 0; 293.15 where absent
 * @returns impingement rate, 1/(m2 s)
 * @throws ArgumentError where an argument is not finite or of the wrong sign
 * @source kinetic theory (Hertz, Knudsen)
 */
export function impingementRate(gas: Gas | string, pressure: number, temperature: number = ROOM_TEMPERATURE): number {
  return (numberDensity(pressure, temperature) * meanSpeed(gas, temperature)) / 4;
}

/**
 * Volume of gas that strikes a surface, v / 4: the molecular conductance of an opening per area.
 * @param gas the gas or its name
 * @param temperature K, > 0; 293.15 where absent
 * @returns volume rate per area, m3/(s m2), which is m/s
 * @throws ArgumentError where the temperature is not above zero or the gas unknown
 * @source kinetic theory (Knudsen)
 */
export function impingementSpeed(gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  return meanSpeed(gas, temperature) / 4;
}

/**
 * Time to cover a clean surface with one layer: t = sites / (sticking x J).
 * @param gas the gas or its name
 * @param pressure Pa, > 0
 * @param options temperature (K, 293.15), sticking probability (0 to 1, 1) and sites (1/m2, 1e19)
 * @returns monolayer time, s
 * @throws ArgumentError where an argument is not finite, of the wrong sign or the sticking above 1
 * @source definition; 1e19 sites a square metre: common practice
 */
export function monolayerTime(
  gas: Gas | string,
  pressure: number,
  options: { readonly temperature?: number; readonly sticking?: number; readonly sites?: number } = {},
): number {
  const { temperature = ROOM_TEMPERATURE, sticking = 1, sites = 1e19 } = options;
  if (!(sticking > 0 && sticking <= 1)) throw new ArgumentError('sticking', sticking, 'above 0 and at most 1');
  requirePositive('sites', sites);
  return sites / (sticking * impingementRate(gas, requirePositive('pressure', pressure), temperature));
}

/** Which size of the molecule a mean free path rests on. */
export type PathFrom = 'viscosity' | 'hard sphere';

/**
 * Mean free path. Molecular diameters differ by definition, by up to 40 % in the path for helium, so it says which:
 * `viscosity` (the default, right for flow regimes): (eta / p) sqrt(pi R T / (2 M)) with the gas's viscosity at T;
 * `hard sphere`: k T / (sqrt 2 pi d^2 p) with the diameter of the CRC Handbook, which reproduces that table.
 * Diameters of other kinds (Lennard-Jones, kinetic) must not be put into the second equation.
 * @param gas the gas or its name
 * @param pressure Pa, > 0
 * @param temperature K, > 0 and within the viscosity law; 293.15 where absent
 * @param from `viscosity`, `hard sphere`, or a hard-sphere diameter in m
 * @returns mean free path, m
 * @throws ArgumentError where an argument is not above zero or the gas has no such value; OutOfRangeError outside the
 *   range of the viscosity law
 * @source kinetic theory (Maxwell); diameters of the CRC Handbook
 */
export function meanFreePath(
  gas: Gas | string,
  pressure: number,
  temperature: number = ROOM_TEMPERATURE,
  from: PathFrom | number = 'viscosity',
): number {
  const species = gasNamed(gas);
  const p = requirePositive('pressure', pressure);
  const T = requirePositive('temperature', temperature);
  if (from === 'viscosity') {
    return (viscosity(species, T) / p) * Math.sqrt((Math.PI * GAS_CONSTANT * T) / (2 * species.molarMass));
  }
  const d = from === 'hard sphere' ? species.hardSphereDiameter : requirePositive('diameter', from);
  if (d === null) throw new ArgumentError('gas', species.name, 'a gas with a tabulated hard-sphere diameter');
  return (BOLTZMANN * T) / (Math.SQRT2 * Math.PI * d * d * p);
}

/**
 * Collisions of one molecule per time: mean speed over hard-sphere mean free path.
 * @param gas the gas or its name
 * @param pressure Pa, > 0
 * @param temperature K, > 0; 293.15 where absent
 * @param diameter hard-sphere diameter, m; that of the CRC Handbook where absent
 * @returns collision rate, 1/s
 * @throws ArgumentError where an argument is not above zero or the gas has no tabulated diameter
 * @source kinetic theory; U.S. Standard Atmosphere 1976
 */
export function collisionRate(
  gas: Gas | string,
  pressure: number,
  temperature: number = ROOM_TEMPERATURE,
  diameter?: number,
): number {
  return meanSpeed(gas, temperature) / meanFreePath(gas, pressure, temperature, diameter ?? 'hard sphere');
}

/**
 * Mass of one molecule.
 * @param gas the gas or its name
 * @returns mass, kg
 * @throws ArgumentError where the gas is unknown
 * @source definition
 */
export function molecularMass(gas: Gas | string): number {
  return gasNamed(gas).molarMass / AVOGADRO;
}

/**
 * Mass flow of a throughput: m = Q M / (R T).
 * @param throughput Pa m3/s, >= 0
 * @param gas the gas or its name
 * @param temperature of the gas for which the throughput is stated, K, > 0; 293.15 where absent
 * @returns mass flow, kg/s
 * @throws ArgumentError where an argument is not finite or of the wrong sign
 * @source ideal gas law
 */
export function massFlow(throughput: number, gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  const molar =
    requireNotNegative('throughput', throughput) / (GAS_CONSTANT * requirePositive('temperature', temperature));
  return molar * gasNamed(gas).molarMass;
}
