import { ArgumentError, OutOfRangeError } from '../errors';
import { requireFinite } from '../numerics';
import * as elementary from '../numerics/elementary';
import { ROOM_TEMPERATURE } from '../units';
import { type Gas, gasNamed } from './species';

/**
 * Viscosity of a dilute gas; it does not depend on pressure. Perry 8th ed. 2007 Table 2-312,
 * eta = C1 T^C2 / (1 + C3/T + C4/T^2); krypton and xenon VDI Heat Atlas 2010, a polynomial. Against reference
 * correlations good to 3 % from 225 K (water, benzene and SF6 280 K) to 500 K, ammonia, propane and butane to 5 %.
 * @param gas the gas or its name
 * @param temperature K, within the range of the law; 293.15 where absent
 * @returns viscosity, Pa s
 * @throws OutOfRangeError outside the range of the law; ArgumentError where the gas has no law
 * @source Perry's Chemical Engineers' Handbook, 8th ed. 2007, Table 2-312
 */
export function viscosity(gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  const { name, viscosity: law, viscosityRange } = gasNamed(gas);
  const T = requireFinite('temperature', temperature);
  if (law === null) throw new ArgumentError('gas', name, 'a gas with a viscosity law');
  const [low, high] = viscosityRange;
  if (T < low || T > high) throw new OutOfRangeError(`temperature for the viscosity of ${name}`, T, low, high, 'K');
  if (law.form === 'Perry') {
    const [c1, c2, c3, c4] = law.c;
    return (c1 * elementary.power(T, c2)) / (1 + c3 / T + c4 / (T * T));
  }
  const [a, b, c, d, e] = law.c;
  return a + T * (b + T * (c + T * (d + T * e)));
}
