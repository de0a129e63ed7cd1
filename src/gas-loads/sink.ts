import { requireOneOf } from '../numerics';
import { type ChamberConditions, type GasLoad, LOAD_GASES, type LoadGas, parameter, type Values } from './gas-load';

/**
 * A surface that takes gas up: cold (a trap; balance at its vapour pressure) or gettering (fresh metal, dry sieve):
 * Q = -S (p_own - p_balance) (1 - taken/capacity), and what it took is counted.
 * @param gas what is taken up; water where absent
 * @returns the load (a loss); parameters `speed` m3/s, `balance pressure` Pa, `capacity` Pa m3
 * @throws ArgumentError for another gas
 * @source definition: a speed towards a balance pressure
 */
export function takingSurface(gas: LoadGas = 'water'): GasLoad {
  requireOneOf('gas', gas, LOAD_GASES);
  const room = (p: Values, s: Values): number => Math.min(1, Math.max(0, 1 - s[0] / p[2]));
  const flow = (at: ChamberConditions, p: Values, s: Values): number => -p[0] * (at.partialPa[gas] - p[1]) * room(p, s);
  return {
    name: 'surface that takes gas up',
    cause: 'sink',
    gas,
    parameters: [
      parameter('speed', 'm3/s', 1e-5, 0, 1e3),
      parameter('balance pressure', 'Pa', 1, 0, 1e5),
      parameter('capacity', 'Pa m3', 100, 1e-9, 1e9),
    ],
    states: [{ name: 'taken', unit: 'Pa m3', negligible: 1e-8 }],
    start: () => [0],
    throughput: flow,
    stateRate: (at, p, s, out) => {
      out[0] = -flow(at, p, s);
    },
    derivatives: (at, p, s, out) => {
      const away = at.partialPa[gas] - p[1];
      out[0] = -away * room(p, s);
      out[1] = p[0] * room(p, s);
      out[2] = s[0] > 0 && s[0] < p[2] ? (-p[0] * away * s[0]) / (p[2] * p[2]) : 0;
    },
  };
}
