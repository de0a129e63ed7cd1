import { requireOneOf } from '../numerics';
import { type GasLoad, parameter, statelessLoad } from './gas-load';

/**
 * What comes from the pump while the valve is open: its ultimate pressure and its backstream, Q = S p_ult. With the flow
 * S p out of the chamber this is the usual S (1 - p_ult / p); closed, nothing comes.
 * @param gas what comes back; air where absent
 * @returns the load; parameters `speed` m3/s at the chamber, `ultimate` Pa
 * @throws ArgumentError for another gas
 * @source definition: S (1 - p_ult/p), split into what leaves and what comes back
 */
export function pumpBackstream(gas: 'air' | 'water' = 'air'): GasLoad {
  requireOneOf('gas', gas, ['air', 'water']);
  return statelessLoad({
    name: 'backstream of the pump',
    cause: 'pump side',
    gas,
    parameters: [parameter('speed', 'm3/s', 2e-3, 0, 1e3), parameter('ultimate', 'Pa', 1, 0, 1e5)],
    throughput: (at, p) => (at.pumpOpen ? p[0] * p[1] : 0),
    derivatives: (at, p, _s, out) => {
      out[0] = at.pumpOpen ? p[1] : 0;
      out[1] = at.pumpOpen ? p[0] : 0;
    },
  });
}
