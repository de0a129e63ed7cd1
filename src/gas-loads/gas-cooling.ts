import * as elementary from '../numerics/elementary';
import { type ChamberConditions, type GasLoad, parameter, statelessLoad, type Values } from './gas-load';

/**
 * Gas that a fast fill has warmed (or a fast pump-down has cooled) going back to wall temperature: no gas moves, but the
 * pressure does as if a load Q = -V p (D/tau) e^(-t/tau) / (T + D e^(-t/tau)) entered. Below zero for warmed gas.
 * @returns the apparent load; parameters `excess` K at its start (below zero for cold gas), `time constant` s, `begins` s
 * @source calc, from the ideal gas law; ISO 21360-1 names the effect
 */
export function gasCooling(): GasLoad {
  const decay = (at: ChamberConditions, p: Values): number =>
    at.timeS < p[2] ? 0 : elementary.exp(-(at.timeS - p[2]) / p[1]);
  const flow = (at: ChamberConditions, p: Values): number => {
    const e = decay(at, p);
    return (-at.volumeM3 * at.pa * p[0] * e) / (p[1] * (at.wallK + p[0] * e));
  };
  return statelessLoad({
    name: 'gas returning to wall temperature',
    cause: 'sink',
    gas: 'air',
    parameters: [
      parameter('excess', 'K', 20, -200, 300),
      parameter('time constant', 's', 10, 0.1, 1e4),
      parameter('begins', 's', 0, -1e9, 1e9),
    ],
    throughput: flow,
    derivatives: (at, p, _s, out) => {
      const e = decay(at, p);
      const gas = at.wallK + p[0] * e;
      const base = -at.volumeM3 * at.pa;
      out[0] = (base * e * at.wallK) / (p[1] * gas * gas);
      const perDecay = (base * p[0] * at.wallK) / (p[1] * gas * gas);
      out[1] = -flow(at, p) / p[1] + (perDecay * e * (at.timeS - p[2])) / (p[1] * p[1]);
      out[2] = (perDecay * e) / p[1];
    },
  });
}
