import { requireOneOf } from '../numerics';
import { type ChamberConditions, type GasLoad, parameter, statelessLoad } from './gas-load';

/** The seat of the pump's valve lets gas by only while it is closed; open, it is a valve. */
function closed(at: ChamberConditions): number {
  return at.pumpOpen ? 0 : 1;
}

/**
 * The closed valve to a running pump lets gas by: the chamber goes on being pumped, Q = -C (p - p_line).
 * @returns the load (a loss); parameters `seat conductance` m3/s, `line pressure` Pa
 * @source definition: a conductance between two pressures
 */
export function passingToRunningPump(): GasLoad {
  return statelessLoad({
    name: 'valve passes to the running pump',
    cause: 'passing valve',
    gas: 'air',
    parameters: [parameter('seat conductance', 'm3/s', 1e-6, 0, 1), parameter('line pressure', 'Pa', 1, 0, 1e5)],
    throughput: (at, p) => -p[0] * (at.pa - p[1]) * closed(at),
    derivatives: (at, p, _s, out) => {
      out[0] = -(at.pa - p[1]) * closed(at);
      out[1] = p[0] * closed(at);
    },
  });
}

/**
 * The closed valve to a stopped pump lets gas by: the line fills through the pump and feeds the chamber, Q = C (p_line - p),
 * V_line dp_line/dt = B (p_out - p_line) - Q. While the valve is open the line follows the chamber.
 * @returns the load; parameters `seat conductance` m3/s, `line volume` m3, `back conductance` m3/s through the stopped pump,
 *   `line pressure` Pa at the start
 * @source definition: a conductance between two pressures
 */
export function passingToStoppedPump(): GasLoad {
  const flow = (at: ChamberConditions, p: ArrayLike<number>, s: ArrayLike<number>): number =>
    p[0] * (s[0] - at.pa) * closed(at);
  return {
    name: 'valve passes to the stopped pump',
    cause: 'passing valve',
    gas: 'air',
    parameters: [
      parameter('seat conductance', 'm3/s', 1e-8, 0, 1),
      parameter('line volume', 'm3', 1e-3, 1e-9, 10),
      parameter('back conductance', 'm3/s', 1e-6, 0, 1),
      parameter('line pressure', 'Pa', 100, 0, 2e5),
    ],
    states: [{ name: 'line pressure', unit: 'Pa', negligible: 1e-3 }],
    start: (p) => [p[3]],
    throughput: flow,
    stateRate: (at, p, s, out) => {
      const back = at.pumpRunning ? 0 : p[2] * (at.barometerPa - s[0]);
      // Half a second is short against everything that is read, and long for the solver.
      out[0] = at.pumpOpen ? (at.pa - s[0]) / 0.5 : (back - flow(at, p, s)) / p[1];
    },
    derivatives: (at, _p, s, out) => {
      out[0] = (s[0] - at.pa) * closed(at);
      out.fill(0, 1, 4);
    },
  };
}

/**
 * A valve of a gas feed (or a vent) lets gas by: a flow that does not care about the chamber's pressure while that is far
 * below the feed's, Q = C (p_feed - p). It looks like a real leak.
 * @param gas what the feed holds; air where absent
 * @returns the load; parameters `seat conductance` m3/s, `feed pressure` Pa
 * @throws ArgumentError for another gas
 * @source definition: a conductance between two pressures
 */
export function passingGasFeed(gas: 'air' | 'solvent' = 'air'): GasLoad {
  requireOneOf('gas', gas, ['air', 'solvent']);
  return statelessLoad({
    name: 'valve of a gas feed passes',
    cause: 'passing valve',
    gas,
    parameters: [parameter('seat conductance', 'm3/s', 1e-9, 0, 1), parameter('feed pressure', 'Pa', 2e5, 0, 2e7)],
    throughput: (at, p) => p[0] * (p[1] - at.pa),
    derivatives: (at, p, _s, out) => {
      out[0] = p[1] - at.pa;
      out[1] = p[0];
    },
  });
}
