import { shareOfChokedFlow } from '../flow';
import { requireNotNegative, requireOneOf } from '../numerics';
import * as elementary from '../numerics/elementary';
import { STANDARD_ATMOSPHERE } from '../units';
import { type ChamberConditions, type GasLoad, parameter, statelessLoad, type Values } from './gas-load';

/** How gas gets through a leak; it decides when the flow falls off as the chamber fills. */
export type LeakPath = 'choked' | 'molecular' | 'laminar';

const PATHS: readonly LeakPath[] = ['choked', 'molecular', 'laminar'];

const GAMMA = 1.4;
/** Part of the outside pressure within which a balance of pressures is approached linearly. */
const LAMINAR_NEAR_BALANCE = 1e-3;

/**
 * Flow of a leak relative to its flow into perfect vacuum, as the chamber fills with air. Molecular: 1 - x; laminar:
 * 1 - x^2; choked orifice: 1 below the critical ratio 0.5283, above it `shareOfChokedFlow` (gamma 1.4). Below zero for
 * x above 1. Source: Levenspiel, Engineering Flow and Heat Exchange, 3rd ed. 2014, section 4.1.8.
 * @param path how the gas gets through
 * @param ratio chamber pressure over outside pressure, no unit, >= 0
 * @returns relative flow, 1 in vacuum, 0 at balance
 * @throws ArgumentError for another path, or a ratio that is negative or not finite
 * @source Levenspiel, Engineering Flow and Heat Exchange, 3rd ed. 2014, section 4.1.8
 */
export function leakRollOff(path: LeakPath, ratio: number): number {
  return rollOff(requireOneOf('path', path, PATHS), requireNotNegative('pressure ratio', ratio));
}

/**
 * The same for a solver, whose trial steps may go astray: what is not finite stays so, and the solver takes a shorter step.
 * @param path how the gas gets through
 * @param ratio chamber pressure over outside pressure, no unit
 * @returns relative flow, or NaN
 */
export function rollOff(path: LeakPath, ratio: number): number {
  if (path === 'molecular') return 1 - ratio;
  if (path === 'laminar') return 1 - ratio * ratio;
  if (!Number.isFinite(ratio)) return Number.NaN;
  if (ratio > 1) return -rollOff(path, 1 / ratio) * ratio;
  // Close to balance the flow is laminar, in proportion to the difference; the square root would have no finite slope.
  const near = Math.min(Math.max(ratio, 0), 1 - LAMINAR_NEAR_BALANCE);
  return shareOfChokedFlow(GAMMA, near) * Math.min(1, (1 - ratio) / LAMINAR_NEAR_BALANCE);
}

/**
 * Real leak from the air outside: Q = Q0 (p_out / 101325 Pa)^m roll-off(p / p_out), m = 1 for molecular and choked, 2 for
 * laminar flow (the barometer's share).
 * @param path how the gas gets through; choked where absent (constant until half an atmosphere)
 * @returns the load; parameter `leak`, Pa m3/s of air into vacuum at 101325 Pa outside
 * @throws ArgumentError for another path
 * @source as `leakRollOff`; the share of the barometer: calc
 */
export function realLeak(path: LeakPath = 'choked'): GasLoad {
  requireOneOf('path', path, PATHS);
  const shape = (at: ChamberConditions): number =>
    elementary.power(at.barometerPa / STANDARD_ATMOSPHERE, path === 'laminar' ? 2 : 1) *
    rollOff(path, at.pa / at.barometerPa);
  return statelessLoad({
    name: `real leak, ${path}`,
    cause: 'real leak',
    gas: 'air',
    parameters: [parameter('leak', 'Pa m3/s', 1e-4, 0, 1e3)],
    throughput: (at, p: Values) => p[0] * shape(at),
    derivatives: (at, _p, _s, out) => {
      out[0] = shape(at);
    },
  });
}
