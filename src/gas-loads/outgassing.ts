import { requireNotNegative, requireOneOf, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { type ChamberConditions, type GasLoad, parameter, statelessLoad, type Values } from './gas-load';

/** Outgassing is stated at this time of pumping, s. */
export const OUTGASSING_REFERENCE_S = 3600;
/** Outgassing is stated at this temperature, K. */
export const OUTGASSING_REFERENCE_K = 293.15;

/**
 * Outgassing of walls by a power law of the time of pumping (Dayton 1959; Elsey 1975; O'Hanlon, chapter 4):
 * Q = Q1 ((t + t0) / 1 h)^-alpha (1 + f)^(T - 293.15 K) (1 - b p_own). The offset t0 stands for a clock that is not known; b is
 * the readsorption, one over the pressure at which walls and gas are in balance; f is 12 to 15 % per kelvin for water
 * (activation near 90 to 100 kJ/mol; common practice).
 * @param gas what comes off; water where absent
 * @returns the load; parameters `at one hour` Pa m3/s, `exponent`, `clock offset` s, `readsorption` 1/Pa, `per kelvin` 1/K
 * @throws ArgumentError for another gas
 * @source Dayton 1959; Elsey 1975; O'Hanlon, chapter 4 (from memory)
 */
export function outgassing(gas: 'air' | 'water' = 'water'): GasLoad {
  requireOneOf('gas', gas, ['air', 'water']);
  const clock = (at: ChamberConditions, p: Values): number => Math.max(1, at.pumpedS + p[2]) / OUTGASSING_REFERENCE_S;
  const warmth = (at: ChamberConditions, p: Values): number =>
    elementary.power(1 + p[4], at.wallK - OUTGASSING_REFERENCE_K);
  return statelessLoad({
    name: 'outgassing',
    cause: 'outgassing',
    gas,
    parameters: [
      parameter('at one hour', 'Pa m3/s', 1e-5, 0, 1e2),
      parameter('exponent', '', 1, 0, 3),
      parameter('clock offset', 's', 60, 1, 1e7),
      parameter('readsorption', '1/Pa', 1e-3, 0, 1e6),
      parameter('per kelvin', '1/K', 0.13, 0, 0.5),
    ],
    throughput: (at, p) =>
      p[0] * elementary.power(clock(at, p), -p[1]) * warmth(at, p) * (1 - p[3] * at.partialPa[gas]),
    derivatives: (at, p, _s, out) => {
      const t = clock(at, p);
      const base = elementary.power(t, -p[1]) * warmth(at, p);
      const room = 1 - p[3] * at.partialPa[gas];
      const whole = p[0] * base * room;
      out[0] = base * room;
      out[1] = -whole * elementary.log(t);
      out[2] = at.pumpedS + p[2] > 1 ? (-whole * p[1]) / (t * OUTGASSING_REFERENCE_S) : 0;
      out[3] = -p[0] * base * at.partialPa[gas];
      out[4] = (whole * (at.wallK - OUTGASSING_REFERENCE_K)) / (1 + p[4]);
    },
  });
}

/** Outgassing of an isolated chamber, without readsorption, at steady temperature. */
export interface IsolatedOutgassing {
  /** Outgassing at one hour of pumping, Pa m3/s. */
  readonly atOneHour: number;
  /** Exponent alpha of the power law, no unit, 0 or above. */
  readonly exponent: number;
  /** Volume, m3. */
  readonly volumeM3: number;
  /** Time of pumping when the valve closed, s. */
  readonly pumpedS: number;
}

/**
 * Rise of an isolated chamber by outgassing: (Q1 t_ref^a / V) [(t1 + tau)^(1-a) - t1^(1-a)] / (1 - a), and
 * (Q1 t_ref / V) ln(1 + tau/t1) for a = 1.
 * @param of outgassing Pa m3/s at one hour and exponent, both >= 0; volume m3 and time of pumping s, both > 0
 * @param elapsedS time since the valve closed, s, >= 0
 * @returns rise of pressure, Pa
 * @throws ArgumentError where a number is out of range
 * @source calc, the power law integrated
 */
export function outgassingRise(of: IsolatedOutgassing, elapsedS: number): number {
  requireNotNegative('outgassing', of.atOneHour);
  requireNotNegative('exponent', of.exponent);
  requirePositive('volume', of.volumeM3);
  const t1 = requirePositive('time of pumping', of.pumpedS);
  const log = elementary.log1p(requireNotNegative('elapsed time', elapsedS) / t1);
  const power = 1 - of.exponent;
  // expm1(a x) / a tends to x, so the two laws are one.
  const shape = Math.abs(power * log) < 1e-12 ? log : elementary.expm1(power * log) / power;
  const factor = (of.atOneHour / of.volumeM3) * elementary.power(OUTGASSING_REFERENCE_S, of.exponent);
  return factor * elementary.power(t1, power) * shape;
}
