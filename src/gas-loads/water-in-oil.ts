import { GAS_CONSTANT } from '../units';
import { type ChamberConditions, type GasLoad, parameter, type Values } from './gas-load';
import { saturationCurve } from './saturation';

const MOLAR_MASS = 0.018015;

/**
 * Water held in oil (or another liquid that dissolves it): its pressure over the oil is that of pure water times how full
 * the oil is (Henry's law up to saturation): Q = C (p_sat(T) min(1, m/m_full) - p_own), dm/dt = -M Q/(R T).
 * @returns the load; parameters `conductance` m3/s, `mass` kg of water held, `capacity` kg that the oil can hold
 * @source Henry's law
 */
export function waterInOil(): GasLoad {
  const curve = saturationCurve('water');
  const drive = (at: ChamberConditions, p: Values, s: Values): number =>
    curve.pressure(at.wallK) * Math.min(1, Math.max(0, s[0]) / p[2]) - at.partialPa.water;
  return {
    name: 'water held in oil',
    cause: 'evaporation',
    gas: 'water',
    parameters: [
      parameter('conductance', 'm3/s', 1e-6, 0, 1),
      parameter('mass', 'kg', 1e-4, 0, 10),
      parameter('capacity', 'kg', 2e-4, 1e-9, 10),
    ],
    states: [{ name: 'water held', unit: 'kg', negligible: 1e-11 }],
    start: (p) => [p[1]],
    throughput: (at, p, s) => p[0] * drive(at, p, s),
    stateRate: (at, p, s, out) => {
      out[0] = (-p[0] * drive(at, p, s) * MOLAR_MASS) / (GAS_CONSTANT * at.wallK);
    },
    derivatives: (at, p, s, out) => {
      const held = Math.max(0, s[0]);
      out[0] = drive(at, p, s);
      out[1] = 0;
      out[2] = held < p[2] ? (-p[0] * curve.pressure(at.wallK) * held) / (p[2] * p[2]) : 0;
    },
  };
}
