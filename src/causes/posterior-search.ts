import { normalQuantile, randomStream } from '../numerics';
import * as elementary from '../numerics/elementary';

/** A point of the posterior with its weight. */
export interface WeightedPoint {
  readonly z: Float64Array;
  /** Share of the hypothesis' evidence, sums to 1. */
  readonly weight: number;
}

/** What the search found out about one hypothesis. */
export interface SearchResult {
  /** Logarithm of the evidence: the integral of likelihood times prior. */
  readonly logEvidence: number;
  readonly points: readonly WeightedPoint[];
  readonly evaluations: number;
}

/** A search that has looked around and made a short climb. */
export interface BegunSearch {
  /** Logarithm of likelihood times prior at the best point so far. */
  readonly topLog: number;
  /**
   * Goes on to the evidence.
   * @param giveUpBelow a peak below this is not explored further: its hypothesis is as good as excluded
   * @returns evidence and weighted points
   */
  finish(giveUpBelow: number): SearchResult;
}

/**
 * Integrates a likelihood over a standard normal prior: a spread of points, the best two climbed by a simplex, a normal
 * approximation at the top, and importance sampling from the mixture of both spreads (so that no region that the prior
 * allows is left out). It stops after a short climb, so that the most promising of several searches can be finished first.
 * @param logLikelihood of coordinates with a standard normal prior each
 * @param dimension 1 to 10
 * @returns how high it came, and the way on
 */
export function beginSearch(logLikelihood: (z: Float64Array) => number, dimension: number): BegunSearch {
  const d = dimension;
  let evaluations = 0;
  const logPosterior = (z: Float64Array): number => {
    evaluations++;
    let prior = 0;
    for (let i = 0; i < d; i++) prior -= 0.5 * z[i] * z[i];
    const value = logLikelihood(z) + prior;
    return Number.isFinite(value) ? value : -1e300;
  };
  const around = priorSpread(d, 12 + 6 * d).map((z) => ({ z, log: logPosterior(z) }));
  const order = [...around].sort((a, b) => b.log - a.log);
  // A short climb puts the searches in order; it says nothing about how high a whole one comes where the noise is small.
  const short = climb(logPosterior, order[0].z, d, 7 * d + 6);
  const finish = (giveUpBelow: number): SearchResult => {
    const top = climb(logPosterior, short.z, d, 18 * d + 12);
    if (top.log < giveUpBelow) {
      return { logEvidence: top.log - d, points: [{ z: top.z, weight: 1 }], evaluations };
    }
    const tops = [top];
    const other = order.find((one) => distance(one.z, order[0].z) > 1.5 && one.log > order[0].log - 8);
    if (other !== undefined) {
      let second = climb(logPosterior, other.z, d, 7 * d + 6);
      if (second.log > top.log - WORTH_CLIMBING) second = climb(logPosterior, second.z, d, 14 * d + 12);
      if (distance(second.z, tops[0].z) > 0.5 && second.log > tops[0].log - 6) tops.push(second);
      else if (second.log > tops[0].log) tops[0] = second;
    }
    return { ...integrate(logPosterior, around, tops, d), evaluations };
  };
  return { topLog: short.log, finish };
}

/** A second way up that is still this far below the first (in logarithm) after a short climb is left. */
const WORTH_CLIMBING = 8;

interface Point {
  readonly z: Float64Array;
  readonly log: number;
}

/** The integral from points spread over the prior and points drawn around the tops. */
function integrate(
  logPosterior: (z: Float64Array) => number,
  around: readonly Point[],
  tops: readonly Point[],
  d: number,
): Omit<SearchResult, 'evaluations'> {
  const points = [...around];
  const modes = tops.map((top) => ({ ...top, factor: localSpread(logPosterior, top.z, top.log, d) }));
  const drawn = 8 + 5 * d;
  const random = randomStream(7 + d);
  for (const mode of modes) {
    for (let i = 0; i < drawn; i++) {
      const z = drawAround(mode.z, mode.factor, d, random);
      points.push({ z, log: logPosterior(z) });
    }
  }
  const logs = points.map(({ z, log }) => {
    let proposal = around.length * elementary.exp(normalDensity(z, d));
    for (const mode of modes) proposal += drawn * elementary.exp(studentDensity(z, mode.z, mode.factor, d));
    return log - 0.5 * d * elementary.log(2 * Math.PI) - elementary.log(Math.max(proposal, 1e-300));
  });
  const best = Math.max(...logs);
  const weights = logs.map((log) => elementary.exp(log - best));
  const sum = weights.reduce((s, w) => s + w, 0);
  return {
    logEvidence: best + elementary.log(sum),
    points: points.map(({ z }, i) => ({ z, weight: weights[i] / sum })),
  };
}

const spreads = new Map<number, readonly Float64Array[]>();

/** Points spread evenly over the prior, the same each time. */
function priorSpread(d: number, count: number): readonly Float64Array[] {
  let found = spreads.get(d);
  if (found === undefined) {
    const steps = Array.from({ length: d }, (_, j) => rootStep(d, j));
    found = Array.from({ length: count }, (_, i) =>
      Float64Array.from(steps, (step) => normalQuantile(clip(fractionOf(0.5 + (i + 1) * step)))),
    );
    spreads.set(d, found);
  }
  return found;
}

/** Step of an additive recurrence in dimension `d`: powers of the inverse of the root of x^(d+1) = x + 1. */
function rootStep(d: number, j: number): number {
  let root = 1.5;
  for (let i = 0; i < 30; i++) root = elementary.power(1 + root, 1 / (d + 1));
  return elementary.power(root, -(j + 1));
}

function fractionOf(x: number): number {
  return x - Math.floor(x);
}

function clip(u: number): number {
  return Math.min(0.999, Math.max(0.001, u));
}

function distance(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return Math.sqrt(sum);
}

/** Simplex search upwards (Nelder and Mead), bounded in evaluations. */
function climb(
  f: (z: Float64Array) => number,
  start: Float64Array,
  d: number,
  limit: number,
): { z: Float64Array; log: number } {
  const simplex = [{ z: start, log: f(start) }];
  for (let j = 0; j < d; j++) {
    const z = Float64Array.from(start);
    z[j] += z[j] > 0 ? -0.4 : 0.4;
    simplex.push({ z, log: f(z) });
  }
  for (let used = d + 1; used < limit; ) {
    simplex.sort((a, b) => b.log - a.log);
    if (simplex[0].log - simplex[d].log < 0.08) break;
    const worst = simplex[d];
    const centre = new Float64Array(d);
    for (let i = 0; i < d; i++) for (let j = 0; j < d; j++) centre[j] += simplex[i].z[j] / d;
    const along = (factor: number): { z: Float64Array; log: number } => {
      const z = centre.map((c, j) => c + factor * (worst.z[j] - c));
      used++;
      return { z, log: f(z) };
    };
    const reflected = along(-1);
    if (reflected.log > simplex[0].log) {
      const further = along(-2);
      simplex[d] = further.log > reflected.log ? further : reflected;
    } else if (reflected.log > simplex[d - 1].log) simplex[d] = reflected;
    else {
      const inner = along(reflected.log > worst.log ? -0.5 : 0.5);
      if (inner.log > Math.max(worst.log, reflected.log)) simplex[d] = inner;
      else {
        for (let i = 1; i <= d; i++) {
          const z = simplex[i].z.map((v, j) => 0.5 * (v + simplex[0].z[j]));
          simplex[i] = { z, log: f(z) };
          used++;
        }
      }
    }
  }
  simplex.sort((a, b) => b.log - a.log);
  return simplex[0];
}

/** Lower triangular factor of the covariance of the normal approximation at a maximum. */
function localSpread(f: (z: Float64Array) => number, at: Float64Array, top: number, d: number): Float64Array {
  const h = new Float64Array(d);
  const second = new Float64Array(d * d);
  const plus = new Float64Array(d);
  for (let j = 0; j < d; j++) {
    let step = 0.25;
    for (let tries = 0; tries < 4; tries++) {
      const z = Float64Array.from(at);
      z[j] += step;
      const up = f(z);
      z[j] -= 2 * step;
      const down = f(z);
      const drop = 2 * top - up - down;
      h[j] = step;
      plus[j] = up;
      second[j * d + j] = Math.max(drop / (step * step), 0.5);
      if (drop > 8) step *= 0.3;
      else if (drop < 0.02 && step < 0.6) step *= 2.5;
      else break;
    }
  }
  for (let i = 0; i < d; i++) {
    for (let j = 0; j < i; j++) {
      const z = Float64Array.from(at);
      z[i] += h[i];
      z[j] += h[j];
      const mixed = -(f(z) - plus[i] - plus[j] + top) / (h[i] * h[j]);
      const most = 0.85 * Math.sqrt(second[i * d + i] * second[j * d + j]);
      second[i * d + j] = Math.min(most, Math.max(-most, mixed));
    }
  }
  return invertToFactor(second, d);
}

/** Factor of the inverse of a symmetric matrix given by its lower triangle; falls back to the diagonal. */
function invertToFactor(lower: Float64Array, d: number): Float64Array {
  for (let shrink = 1; shrink > 0.01; shrink *= 0.6) {
    const l = new Float64Array(d * d);
    let good = true;
    for (let i = 0; i < d && good; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = i === j ? lower[i * d + i] : shrink * lower[i * d + j];
        for (let m = 0; m < j; m++) sum -= l[i * d + m] * l[j * d + m];
        if (i === j) {
          if (sum < 1e-3 * lower[i * d + i]) good = false;
          l[i * d + i] = Math.sqrt(Math.max(sum, 1e-12));
        } else l[i * d + j] = sum / l[j * d + j];
      }
    }
    if (good) return factorOfInverse(l, d);
  }
  const diagonal = new Float64Array(d * d);
  for (let i = 0; i < d; i++) diagonal[i * d + i] = elementary.power(lower[i * d + i], -0.5);
  return diagonal;
}

function factorOfInverse(l: Float64Array, d: number): Float64Array {
  const inverse = new Float64Array(d * d);
  for (let c = 0; c < d; c++) {
    for (let i = c; i < d; i++) {
      let sum = i === c ? 1 : 0;
      for (let j = c; j < i; j++) sum -= l[i * d + j] * inverse[j * d + c];
      inverse[i * d + c] = sum / l[i * d + i];
    }
  }
  const covariance = new Float64Array(d * d);
  for (let i = 0; i < d; i++) {
    for (let j = 0; j <= i; j++) {
      for (let m = 0; m < d; m++) covariance[i * d + j] += inverse[m * d + i] * inverse[m * d + j];
    }
  }
  const out = new Float64Array(d * d);
  for (let i = 0; i < d; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i * d + j];
      for (let m = 0; m < j; m++) sum -= out[i * d + m] * out[j * d + m];
      out[i * d + j] = i === j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / out[j * d + j];
    }
  }
  return out;
}

const STUDENT = 5;

function drawAround(centre: Float64Array, factor: Float64Array, d: number, random: { normal(): number }): Float64Array {
  let chi = 0;
  for (let i = 0; i < STUDENT; i++) chi += random.normal() ** 2;
  const stretch = 1.15 * Math.sqrt(STUDENT / chi);
  const e = Float64Array.from({ length: d }, () => random.normal() * stretch);
  const z = Float64Array.from(centre);
  for (let i = 0; i < d; i++) for (let j = 0; j <= i; j++) z[i] += factor[i * d + j] * e[j];
  return z;
}

function normalDensity(z: Float64Array, d: number): number {
  let sum = -0.5 * d * elementary.log(2 * Math.PI);
  for (let i = 0; i < d; i++) sum -= 0.5 * z[i] * z[i];
  return sum;
}

/** ln Gamma((nu + d) / 2) - ln Gamma(nu / 2) for nu = 5, by dimension. */
const LOG_GAMMA_RATIO = [0, 0.4085, 0.9163, 1.5071, 2.1691, 2.8934, 3.6731, 4.5028, 5.378, 6.2946, 7.2498];

function studentDensity(z: Float64Array, centre: Float64Array, factor: Float64Array, d: number): number {
  let square = 0;
  let log = 0;
  const e = new Float64Array(d);
  for (let i = 0; i < d; i++) {
    let sum = z[i] - centre[i];
    for (let j = 0; j < i; j++) sum -= 1.15 * factor[i * d + j] * e[j];
    e[i] = sum / (1.15 * factor[i * d + i]);
    log += elementary.log(1.15 * factor[i * d + i]);
    square += e[i] * e[i];
  }
  return (
    LOG_GAMMA_RATIO[d] -
    0.5 * d * elementary.log(STUDENT * Math.PI) -
    log -
    0.5 * (STUDENT + d) * elementary.log1p(square / STUDENT)
  );
}
