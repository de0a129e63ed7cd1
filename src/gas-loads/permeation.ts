import { requireNotNegative, requireOneOf } from '../numerics';
import * as elementary from '../numerics/elementary';
import { type ChamberConditions, type GasLoad, parameter, statelessLoad, type Values } from './gas-load';

/**
 * Permeation through a sheet that was empty when the gas came to its far side, relative to the steady flow
 * (Daynes 1920; Crank, The Mathematics of Diffusion, 2nd ed. 1975, section 4.3.3): 1 + 2 sum (-1)^n exp(-n^2 pi^2 x), and for small x
 * the equal series 2/sqrt(pi x) sum exp(-(2k+1)^2/(4x)).
 * @param x D t / l^2 = t / (6 time lag), no unit, >= 0
 * @returns relative flow, 0 to 1
 * @throws ArgumentError where x is negative or not finite
 * @source Crank, The Mathematics of Diffusion; time lag of Daynes and Barrer (from memory)
 */
export function permeationOnset(x: number): number {
  if (requireNotNegative('time over time lag', x) === 0) return 0;
  if (x < 0.2) {
    let sum = 0;
    for (let k = 0; k < 4; k++) sum += elementary.exp(-((2 * k + 1) ** 2) / (4 * x));
    return (2 / Math.sqrt(Math.PI * x)) * sum;
  }
  let sum = 1;
  for (let n = 1; n < 8; n++) sum += 2 * (n % 2 === 0 ? 1 : -1) * elementary.exp(-n * n * Math.PI * Math.PI * x);
  return sum;
}

/** d permeationOnset / dx. */
function onsetSlope(x: number): number {
  if (!(x > 0)) return 0;
  if (x < 0.2) {
    let sum = 0;
    for (let k = 0; k < 4; k++) {
      const a = (2 * k + 1) ** 2 / 4;
      sum += elementary.exp(-a / x) * (a / (x * x) - 1 / (2 * x));
    }
    return (2 / Math.sqrt(Math.PI * x)) * sum;
  }
  let sum = 0;
  for (let n = 1; n < 8; n++) {
    const rate = n * n * Math.PI * Math.PI;
    sum -= 2 * (n % 2 === 0 ? 1 : -1) * rate * elementary.exp(-rate * x);
  }
  return sum;
}

const REFERENCE_K = 293.15;

/**
 * Permeation through a seal or wall, with its time lag l^2/(6 D): Q = Q_s onset(t / (6 lag)) (1 + f)^(T - 293.15 K). In steady state
 * it looks like a real leak.
 * @param gas what comes through; air where absent
 * @returns the load; parameters `steady` Pa m3/s, `time lag` s, `exposed for` s before the record, `per kelvin` 1/K
 * @throws ArgumentError for another gas
 * @source Crank, The Mathematics of Diffusion; time lag of Daynes and Barrer (from memory)
 */
export function permeation(gas: 'air' | 'water' = 'air'): GasLoad {
  requireOneOf('gas', gas, ['air', 'water']);
  const place = (at: ChamberConditions, p: Values): number => Math.max(0, at.timeS + p[2]) / (6 * p[1]);
  const warmth = (at: ChamberConditions, p: Values): number => elementary.power(1 + p[3], at.wallK - REFERENCE_K);
  return statelessLoad({
    name: 'permeation',
    cause: 'permeation',
    gas,
    parameters: [
      parameter('steady', 'Pa m3/s', 1e-6, 0, 1),
      parameter('time lag', 's', 1e4, 1, 1e8),
      parameter('exposed for', 's', 0, -1e8, 1e9),
      parameter('per kelvin', '1/K', 0.04, 0, 0.3),
    ],
    throughput: (at, p) => p[0] * permeationOnset(place(at, p)) * warmth(at, p),
    derivatives: (at, p, _s, out) => {
      const x = place(at, p);
      const slope = p[0] * onsetSlope(x) * warmth(at, p);
      out[0] = permeationOnset(x) * warmth(at, p);
      out[1] = (-slope * x) / p[1];
      out[2] = x > 0 ? slope / (6 * p[1]) : 0;
      out[3] = (p[0] * permeationOnset(x) * warmth(at, p) * (at.wallK - REFERENCE_K)) / (1 + p[3]);
    },
  });
}
