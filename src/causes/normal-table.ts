import { normalCdf } from '../numerics';
import * as elementary from '../numerics/elementary';

const STEP = 1 / 64;
const REACH = 8;

/** The distribution function at the nodes; made on first use. */
let nodes: Float64Array | null = null;

function table(): Float64Array {
  if (nodes === null) {
    nodes = new Float64Array((2 * REACH) / STEP + 2);
    for (let i = 0; i < nodes.length; i++) nodes[i] = normalCdf(-REACH + i * STEP);
  }
  return nodes;
}

/**
 * The standard normal distribution function from a table, for the innermost loops: cubic interpolation between exact
 * nodes with exact slopes, absolute error below 1e-9.
 * @param z any number
 * @returns Phi(z), 0 to 1
 */
export function quickNormalCdf(z: number): number {
  if (z <= -REACH) return 0;
  if (z >= REACH) return 1;
  const at = (z + REACH) / STEP;
  const i = Math.floor(at);
  const u = at - i;
  const t = table();
  const x = -REACH + i * STEP;
  const slope = STEP * 0.3989422804014327;
  const left = slope * elementary.exp(-0.5 * x * x);
  const right = slope * elementary.exp(-0.5 * (x + STEP) * (x + STEP));
  const rise = t[i + 1] - t[i];
  return t[i] + u * (left + u * (3 * rise - 2 * left - right + u * (left + right - 2 * rise)));
}

/**
 * Logarithm of the standard normal distribution function, accurate far into the lower tail.
 * @param z any finite number
 * @returns ln Phi(z)
 */
export function logNormalTail(z: number): number {
  if (z > -4) return elementary.log(quickNormalCdf(z));
  const q = 1 / (z * z);
  return (
    -0.5 * z * z -
    elementary.log(-z) -
    0.9189385332046727 +
    elementary.log1p(-q * (1 - 3 * q * (1 - 5 * q * (1 - 7 * q * 0.6))))
  );
}
