import { requireNotNegative, requireOneOf, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { type GasLoad, parameter, type Values } from './gas-load';

/**
 * Gas trapped behind a narrow path (a virtual leak): Q = C (p_t - p) in molecular flow, Q = K (p_t^2 - p^2) in viscous
 * flow, V_t dp_t/dt = -Q. A vent fills the pocket again through the same path.
 * @param path molecular (conductance C, m3/s) or viscous (K, m3/(s Pa))
 * @returns the load; parameters `pocket volume` m3, the path's conductance, `start pressure` Pa
 * @throws ArgumentError for another path
 * @source definition: a conductance between two volumes
 */
export function trappedGas(path: 'molecular' | 'viscous'): GasLoad {
  requireOneOf('path', path, ['molecular', 'viscous']);
  const viscous = path === 'viscous';
  const conductance = viscous
    ? parameter('viscous conductance', 'm3/(s Pa)', 1e-14, 0, 1e-3)
    : parameter('conductance', 'm3/s', 1e-9, 0, 1);
  const drive = (pocket: number, chamber: number): number =>
    viscous ? pocket * pocket - chamber * chamber : pocket - chamber;
  return {
    name: `trapped gas, ${path} path`,
    cause: 'virtual leak',
    gas: 'air',
    parameters: [
      parameter('pocket volume', 'm3', 1e-6, 1e-12, 1),
      conductance,
      parameter('start pressure', 'Pa', 101325, 0, 1e6),
    ],
    states: [{ name: 'trapped pressure', unit: 'Pa', negligible: 1e-4 }],
    start: (p) => [p[2]],
    throughput: (at, p, s) => p[1] * drive(s[0], at.pa),
    stateRate: (at, p, s, out) => {
      out[0] = (-p[1] * drive(s[0], at.pa)) / p[0];
    },
    derivatives: (at, _p: Values, s, out) => {
      out[0] = 0;
      out[1] = drive(s[0], at.pa);
      out[2] = 0;
    },
  };
}

/** Chamber and pocket at a moment. */
export interface TwoVolumeState {
  /** Chamber pressure, Pa. */
  readonly pa: number;
  /** Pocket pressure, Pa. */
  readonly trappedPa: number;
}

/** A chamber with a pocket behind a path of constant conductance. */
export interface TwoVolumeSystem {
  /** Chamber, m3. */
  readonly volumeM3: number;
  /** Pocket, m3. */
  readonly pocketM3: number;
  /** Conductance of the path, m3/s. */
  readonly conductanceM3PerS: number;
  /** Effective pumping speed at the chamber, m3/s; 0 where isolated. */
  readonly speedM3PerS: number;
}

/**
 * Time constants of a chamber with a pocket behind a molecular path: the eigenvalues of V dp/dt = -S p + C (p_t - p),
 * V_t dp_t/dt = -C (p_t - p).
 * @param system volumes m3, conductance and speed m3/s
 * @returns fast and slow time constant, s; the slow one is infinite where isolated
 * @throws ArgumentError where a volume or the conductance is not above zero, or the speed is below zero
 * @source calc, eigenvalues of the two equations
 */
export function twoVolumeTimeConstants(system: TwoVolumeSystem): { readonly fastS: number; readonly slowS: number } {
  const { fast, slow } = eigenvalues(system);
  return { fastS: -1 / fast, slowS: slow === 0 ? Infinity : -1 / slow };
}

function eigenvalues(system: TwoVolumeSystem): {
  readonly fast: number;
  readonly slow: number;
  readonly pumped: number;
  readonly back: number;
} {
  const v = requirePositive('chamber volume', system.volumeM3);
  const vt = requirePositive('pocket volume', system.pocketM3);
  const c = requirePositive('conductance', system.conductanceM3PerS);
  const s = requireNotNegative('pumping speed', system.speedM3PerS);
  const pumped = (s + c) / v;
  const back = c / vt;
  const sum = pumped + back;
  const root = Math.sqrt((pumped - back) ** 2 + (4 * c * c) / (v * vt));
  const fast = -(sum + root) / 2;
  // From the product of the eigenvalues, so that nothing cancels.
  return { fast, slow: -((s * c) / (v * vt)) / -fast, pumped, back };
}

/**
 * Pressures of a chamber with a pocket behind a molecular path, in closed form.
 * @param system volumes m3, conductance and speed m3/s
 * @param start pressures at time zero, Pa
 * @param timeS time, s, zero or above
 * @returns pressures at that time, Pa
 * @throws ArgumentError where the system or the time cannot be used
 * @source calc, the two equations solved
 */
export function twoVolumePressures(system: TwoVolumeSystem, start: TwoVolumeState, timeS: number): TwoVolumeState {
  requireNotNegative('time', timeS);
  requireNotNegative('chamber pressure', start.pa);
  requireNotNegative('pocket pressure', start.trappedPa);
  const { fast, slow, back } = eigenvalues(system);
  // Eigenvectors (x, 1) of the pocket's equation: x = 1 + lambda / back.
  const xFast = 1 + fast / back;
  const xSlow = 1 + slow / back;
  const weightFast = (start.pa - xSlow * start.trappedPa) / (xFast - xSlow);
  const weightSlow = start.trappedPa - weightFast;
  const a = weightFast * elementary.exp(fast * timeS);
  const b = weightSlow * elementary.exp(slow * timeS);
  return { pa: a * xFast + b * xSlow, trappedPa: a + b };
}
