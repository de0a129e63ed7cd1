import { ArgumentError } from '../errors';
import { requireFinite, requirePositive } from '../numerics';
import { GAS_CONSTANT } from '../units';

/**
 * Gas load of an isolated volume: Q = V dp/dt, isothermal.
 * @param volume m3, > 0
 * @param rate rate of rise, Pa/s
 * @returns throughput, Pa m3/s
 * @throws ArgumentError where an argument is useless
 * @source definition
 */
export function throughputOfRise(volume: number, rate: number): number {
  return requirePositive('volume', volume) * requireFinite('rate of rise', rate);
}

/** Pressure and temperature at one moment. */
export interface GasState {
  /** Pa. */
  readonly pressure: number;
  /** K. */
  readonly temperature: number;
}

/**
 * Molar flow into an isolated volume with its temperature: n = (V/R)(p2/T2 - p1/T1)/t (40 CFR 1065.644; EN 13184).
 * @param volume m3, > 0
 * @param before pressure and temperature at the start
 * @param after pressure and temperature at the end
 * @param time between them, s, > 0
 * @returns molar flow, mol/s; negative where gas is lost
 * @throws ArgumentError where an argument is useless
 * @source 40 CFR 1065.644; EN 13184
 */
export function molarFlowOfRise(volume: number, before: GasState, after: GasState, time: number): number {
  const amount = ({ pressure, temperature }: GasState): number => {
    if (!(pressure >= 0 && pressure < Infinity)) throw new ArgumentError('pressure', pressure, '>= 0 Pa');
    return pressure / requirePositive('temperature', temperature);
  };
  const change = amount(after) - amount(before);
  return ((requirePositive('volume', volume) / GAS_CONSTANT) * change) / requirePositive('time', time);
}

/**
 * What a drift of temperature looks like in an isolated volume: Q = V p (dT/dt)/T. It falls with the pressure, so a test
 * at low pressure is less disturbed.
 * @param volume m3, > 0
 * @param pressure Pa, > 0
 * @param temperature K, > 0
 * @param drift of the temperature, K/s
 * @returns apparent throughput, Pa m3/s
 * @throws ArgumentError where an argument is useless
 * @source calc, from the ideal gas law
 */
export function temperatureDriftLoad(volume: number, pressure: number, temperature: number, drift: number): number {
  const energy = requirePositive('volume', volume) * requirePositive('pressure', pressure);
  return (energy * requireFinite('drift', drift)) / requirePositive('temperature', temperature);
}
