import { type GasLoad, parameter, statelessLoad } from './gas-load';

/**
 * A steady drift of the gas temperature that nobody measured: no gas moves, but the pressure rises as if a load
 * Q = V p (dT/dt) / T entered. It scales with the pressure, which tells it from a leak.
 * @returns the apparent load; parameter `drift` K/s
 * @source calc, from the ideal gas law; as `temperatureDriftLoad`
 */
export function temperatureDrift(): GasLoad {
  return statelessLoad({
    name: 'temperature drift',
    cause: 'temperature',
    gas: 'air',
    parameters: [parameter('drift', 'K/s', 1e-4, -1, 1)],
    throughput: (at, p) => (at.volumeM3 * at.pa * p[0]) / at.wallK,
    derivatives: (at, _p, _s, out) => {
      out[0] = (at.volumeM3 * at.pa) / at.wallK;
    },
  });
}
