import * as elementary from '../numerics/elementary';
import { choleskyInPlace, forwardSolve, inverseFromCholesky, logOfProduct } from './cholesky';
import type { RecordEvidence } from './record-evidence';

/** How rough the world is allowed to be while causes are laid over it. */
export interface Roughness {
  /** Relative standard deviation by which a load may slowly wander, 0 to 1. */
  readonly wobble: number;
  /** Standard deviation of the gas temperature's wander, K per square root of half an hour, up to that. */
  readonly kelvin: number;
  /** Relative standard deviation by which each source's amplitude may differ from isolation to isolation. */
  readonly between: readonly number[];
  /** Relative standard deviation of a slow rise that a liquid warming up again adds; 0 without one. */
  readonly ramp: number;
  /** What the room's temperature does in each isolation on its own, Pa for 1 standard deviation; null without one. */
  readonly swing: Float64Array | null;
}

/** A record as rows of numbers: the isolations' blocks first, then the pumped blocks. */
export interface JointLikelihood {
  /** Number of rows. */
  readonly rows: number;
  /** First row of each isolation, and one past the last. */
  readonly firstRow: readonly number[];
  /** Seconds since closing of the rows of each isolation. */
  readonly elapsedS: readonly Float64Array[];
  /** First pumped row. */
  readonly firstPumpedRow: number;
  /** Observed rise of each isolation, Pa. */
  readonly riseOf: readonly number[];
  /** Largest absolute rise of all isolations, Pa; the unit of the amplitudes. */
  readonly scalePa: number;
  /** What the pump's own limit adds: the largest steady pumped pressure in the pumped rows, 0 before, Pa. */
  readonly baseColumn: Float64Array;
  /**
   * Marginal likelihood of columns with free amplitudes; closing pressures, slow wander, room temperature, closing
   * bursts, the pump's limit and the zero error are integrated out.
   * @param columns one per source, `rows` long, Pa for an amplitude of 1
   * @param roughness of this hypothesis
   * @param shift added to the readings before, Pa, or null
   */
  evaluate(columns: readonly Float64Array[], roughness: Roughness, shift: Float64Array | null): Amplitudes;
}

/** Normal posterior of the amplitudes (prior: normal, standard deviation 1, not yet cut at zero). */
export interface Amplitudes {
  /** Logarithm of the marginal likelihood before the cut at zero. */
  readonly logEvidence: number;
  readonly mean: Float64Array;
  /** k x k row-major. */
  readonly covariance: Float64Array;
  /** Weighted sum of squares that is left. */
  readonly misfit: number;
}

const SMOOTH = 6;
/** Degrees of freedom behind the noise estimate: what is left may be larger than the noise says. */
const NOISE_FREEDOM = 25;
const PUMPED_RELATIVE = 0.06;
/** Part of the first pressure of a pumped stretch that may be gas on its way out, where it begins early. */
const TAIL = 0.5;
/** Part of the highest pressure of a record by which the gauge's zero may move. */
const ZERO_DRIFT = 1e-4;
/** Steps of its display by which it may move from one pumped stretch to the next. */
const ZERO_STEPS = 1.5;
/** Relative standard deviation of a pump's speed from one stretch to the next, and within one. */
const SPEED_BETWEEN = 0.15;
const SPEED_WITHIN = 0.12;
/** Strokes of valves, bursts and lags of gauges are over within a few of these, s. */
const SETTLING_S = 2.5;

/** Rows of one isolation, or all pumped rows, with what may be there besides the sources already in them. */
interface Group {
  readonly from: number;
  readonly to: number;
  readonly weight: Float64Array;
  /** What has the same prior whatever is laid over the record, taken out beforehand. */
  readonly settled: Settled;
  /** Number of columns whose prior follows the roughness. */
  readonly varying: number;
  /** Their prior precisions. */
  readonly precision: (roughness: Roughness, out: Float64Array) => void;
  /** These columns times the weights, without what is settled, one after another. */
  readonly weighted: Float64Array;
  /** Their inner products, lower triangle of varying x varying. */
  readonly inner: Float64Array;
  /** Whether these are the pumped rows. */
  readonly pumped: boolean;
}

/** Nuisance columns of a prior that never changes, as directions in which the readings tell nothing of the sources. */
interface Settled {
  readonly count: number;
  /** count x n: the inverse factor of their precision times columns times weights. */
  readonly basis: Float64Array;
  /** What they add to the logarithm of the determinant. */
  readonly log: number;
}

/** Arrays that evaluations use one after another, for so many vectors. */
interface Workspace {
  readonly prior: Float64Array;
  readonly inner: Float64Array;
  readonly cross: Float64Array;
  readonly own: Float64Array;
  readonly local: Float64Array;
  readonly heavy: Float64Array;
}

/**
 * Lays a record out for the inference.
 * @param evidence the thinned record, with at least one isolation
 * @returns the likelihood of any set of sources
 */
export function jointLikelihood(evidence: RecordEvidence): JointLikelihood {
  const firstRow: number[] = [];
  let rows = 0;
  for (const one of evidence.isolations) {
    firstRow.push(rows);
    rows += one.pa.length;
  }
  firstRow.push(rows);
  const firstPumpedRow = rows;
  for (const one of evidence.pumped) rows += one.pa.length;
  const readings = new Float64Array(rows);
  evidence.isolations.forEach((one, i) => {
    readings.set(one.pa, firstRow[i]);
  });
  let at = firstPumpedRow;
  for (const one of evidence.pumped) {
    readings.set(one.pa, at);
    at += one.pa.length;
  }
  const riseOf = evidence.isolations.map((one) => one.pa[one.pa.length - 1] - one.pa[0]);
  const noise = evidence.isolations.reduce((most, one) => Math.max(most, one.sd[0], one.sd[one.sd.length - 1]), 0);
  const scalePa = Math.max(...riseOf.map(Math.abs), 2 * noise, 1e-15);
  const base = baseColumn(evidence, rows, firstPumpedRow);
  const groups = evidence.isolations.map((_, i) => isolationGroup(evidence, i, firstRow[i], riseOf[i], scalePa));
  if (rows > firstPumpedRow) groups.push(pumpedGroup(evidence, firstPumpedRow, rows));
  const room = {
    shifted: readings.slice(),
    most: groups.reduce((most, one) => Math.max(most, one.varying), 0),
    settled: groups.reduce((most, one) => Math.max(most, one.settled.count), 0),
    longest: groups.reduce((most, one) => Math.max(most, one.to - one.from), 0),
    workspaces: new Map<number, Workspace>(),
  };
  return {
    rows,
    firstRow,
    elapsedS: evidence.isolations.map((one) => one.timeS.map((t) => t - one.closeS)),
    firstPumpedRow,
    riseOf,
    scalePa,
    baseColumn: base,
    evaluate: (columns, roughness, shift) => evaluate(groups, base, readings, columns, roughness, shift, room),
  };
}

function baseColumn(evidence: RecordEvidence, rows: number, firstPumpedRow: number): Float64Array {
  const largest = evidence.pumped.reduce((most, one) => one.pa.reduce((m, p) => Math.max(m, Math.abs(p)), most), 0);
  return new Float64Array(rows).fill(largest, firstPumpedRow);
}

function isolationGroup(evidence: RecordEvidence, i: number, from: number, rise: number, scalePa: number): Group {
  const one = evidence.isolations[i];
  const n = one.pa.length;
  const start = one.timeS[0];
  const span = Math.max(one.timeS[n - 1] - start, 1e-9);
  const u = one.timeS.map((t) => (t - start) / span);
  const meanPa = one.pa.reduce((sum, p) => sum + Math.abs(p) / n, 0);
  const tiny = 1e-6 * scalePa;
  const settled: Column[] = [
    { values: new Float64Array(n).fill(1), sd: 30 * (scalePa + meanPa) },
    { values: u.map((x) => elementary.exp(-x / 0.03)), sd: Math.hypot(0.01 * rise, tiny) },
  ];
  if ((one.timeS[0] - one.closeS) / SETTLING_S < 4) {
    const values = one.timeS.map((t) => elementary.exp(-(t - one.closeS) / SETTLING_S));
    settled.push({ values, sd: Math.hypot(0.3 * rise, tiny) });
  }
  for (const step of one.stepsS) settled.push({ values: one.timeS.map((t) => (t >= step ? 1 : 0)), sd: 10 * scalePa });
  const warming = one.warming;
  if (warming !== null) settled.push({ values: one.pa.map((p, b) => p * warming[b]), sd: 1 });
  const varying = [u];
  for (let j = 1; j < SMOOTH; j++) varying.push(u.map((x) => elementary.sin(Math.PI * j * x)));
  const slow = Math.min(1, Math.sqrt(span / 1800));
  const precision = (roughness: Roughness, out: Float64Array): void => {
    const wander = roughness.wobble * Math.abs(rise);
    const warm = (meanPa * roughness.kelvin * slow) / 293;
    out[0] = 1 / (wander ** 2 + (roughness.ramp * rise) ** 2 + warm ** 2 + tiny ** 2);
    for (let j = 1; j < SMOOTH; j++) out[j] = 1 / ((wander / (Math.PI * j)) ** 2 + (warm / j) ** 2 + tiny ** 2);
  };
  return { from, to: from + n, pumped: false, precision, ...takenOut(one.sd.map(inverseSquare), settled, varying) };
}

/** A nuisance column with the standard deviation of its amplitude. */
interface Column {
  readonly values: Float64Array;
  readonly sd: number;
}

/** Takes the settled columns out of the rows, once for all evaluations. */
function takenOut(
  weight: Float64Array,
  settled: readonly Column[],
  varying: readonly Float64Array[],
): Pick<Group, 'weight' | 'settled' | 'varying' | 'weighted' | 'inner'> {
  const n = weight.length;
  const count = settled.length;
  const factor = new Float64Array(count * count);
  const basis = new Float64Array(count * n);
  settled.forEach(({ values, sd }, a) => {
    for (let i = 0; i < n; i++) basis[a * n + i] = weight[i] * values[i];
    for (let b = 0; b <= a; b++) factor[a * count + b] = dot(basis, a * n, settled[b].values, 0, n);
    factor[a * count + a] += inverseSquare(sd);
  });
  const priors = Float64Array.from(settled, ({ sd }) => inverseSquare(sd));
  const log = choleskyInPlace(factor, count) - logOfProduct(priors, count);
  forwardSolve(factor, count, basis, n);
  const weighted = new Float64Array(varying.length * n);
  const inner = new Float64Array(varying.length ** 2);
  varying.forEach((values, a) => {
    for (let i = 0; i < n; i++) weighted[a * n + i] = weight[i] * values[i];
    for (let s = 0; s < count; s++) {
      const part = dot(basis, s * n, values, 0, n);
      for (let i = 0; i < n; i++) weighted[a * n + i] -= part * basis[s * n + i];
    }
    for (let b = 0; b <= a; b++) inner[a * varying.length + b] = dot(weighted, a * n, varying[b], 0, n);
  });
  return { weight, settled: { count, basis, log }, varying: varying.length, weighted, inner };
}

function dot(a: Float64Array, fromA: number, b: Float64Array, fromB: number, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[fromA + i] * b[fromB + i];
  return sum;
}

function pumpedGroup(evidence: RecordEvidence, from: number, to: number): Group {
  const n = to - from;
  const perS = evidence.pumping?.perS ?? 0;
  const weight = new Float64Array(n);
  let row = 0;
  let largest = 0;
  // A zero that drifts by this much of what the gauge is asked to follow is nothing unusual.
  const highest = evidence.isolations.reduce((most, one) => one.pa.reduce((m, p) => Math.max(m, p), most), 0);
  const smallest = evidence.pumped.reduce((least, one) => one.pa.reduce((m, p) => Math.min(m, p), least), Infinity);
  const drift = Math.max(ZERO_DRIFT * highest, -smallest);
  const zeroMoves = Math.max(drift, ZERO_STEPS * evidence.stepPa);
  const settled: Column[] = [];
  for (const one of evidence.pumped) {
    const [slope, offset, left] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
    const blocks = one.pa.length;
    for (let b = 0; b < blocks; b++) {
      const within = Math.hypot(SPEED_WITHIN * one.pa[b], zeroMoves);
      slope[row + b] = within * (blocks > 1 ? (2 * b) / (blocks - 1) - 1 : 1);
      offset[row + b] = Math.hypot(SPEED_BETWEEN * one.pa[b], zeroMoves);
      // What is left of the gas that was there when pumping began.
      left[row + b] = one.pa[0] * (perS > 0 ? elementary.exp(-perS * (one.timeS[b] - one.timeS[0])) : 0);
      weight[row + b] = 1 / (one.sd[b] ** 2 + (PUMPED_RELATIVE * one.pa[b]) ** 2 + drift ** 2);
      largest = Math.max(largest, Math.abs(one.pa[b]));
    }
    const early = Math.max(0, one.timeS[0] - one.startS - 6 / perS);
    const tail = Math.max(1e-3, TAIL * elementary.exp(-0.3 * perS * early));
    settled.push({ values: slope, sd: 1 }, { values: offset, sd: 1 }, { values: left, sd: tail });
    row += blocks;
  }
  // The zero of the gauge may be a little off; a zero that is far off shows in negative readings.
  const zero = Math.max(smallest < 0 ? largest : 0.1 * smallest, 1e-4 * largest, drift, 1e-15);
  settled.push({ values: new Float64Array(n).fill(1), sd: zero });
  return { from, to, pumped: true, precision: () => undefined, ...takenOut(weight, settled, []) };
}

/** What the evaluations of one record share. */
interface Room {
  /** Readings, moved where a hypothesis moves them. */
  readonly shifted: Float64Array;
  readonly most: number;
  readonly settled: number;
  readonly longest: number;
  readonly workspaces: Map<number, Workspace>;
}

function evaluate(
  groups: readonly Group[],
  base: Float64Array,
  readings: Float64Array,
  columns: readonly Float64Array[],
  roughness: Roughness,
  shift: Float64Array | null,
  room: Room,
): Amplitudes {
  const k = columns.length;
  const wide = k + 1;
  if (shift !== null) for (let i = 0; i < readings.length; i++) room.shifted[i] = readings[i] + shift[i];
  // The sources, the readings, and last what the room's temperature does.
  const vectors = [...columns, shift === null ? readings : room.shifted];
  if (roughness.swing !== null) vectors.push(roughness.swing);
  const all = vectors.length;
  const differing = differingVectors(roughness, k);
  const { prior, inner, cross, own, local, heavy } = workspaceFor(room, all);
  const gram = new Float64Array(wide * wide);
  let logDeterminant = 0;
  let rows = 0;
  const isBase = k > 0 && columns[0] === base;
  for (const group of groups) {
    const { from, weight, weighted, varying, settled } = group;
    const n = group.to - from;
    rows += n;
    // What the pump adds is nothing in an isolation; what differs between isolations is nothing while pumped.
    const first = isBase && !group.pumped ? 1 : 0;
    const until = group.pumped ? wide : all;
    const m = group.pumped ? 0 : varying + differing.length;
    for (let c = first; c < until; c++) {
      const vector = vectors[c];
      for (let s = 0; s < settled.count; s++) own[s * all + c] = dot(settled.basis, s * n, vector, from, n);
      for (let a = 0; a < varying; a++) cross[a * all + c] = dot(weighted, a * n, vector, from, n);
      for (let i = 0; i < n; i++) heavy[i] = weight[i] * vector[from + i];
      for (let d = first; d <= c; d++) {
        let sum = dot(heavy, 0, vectors[d], from, n);
        for (let s = 0; s < settled.count; s++) sum -= own[s * all + c] * own[s * all + d];
        local[c * all + d] = sum;
        local[d * all + c] = sum;
      }
    }
    logDeterminant += settled.log;
    if (m > 0) {
      group.precision(roughness, prior);
      for (let a = 0; a < varying; a++) {
        for (let b = 0; b < a; b++) inner[a * m + b] = group.inner[a * varying + b];
        inner[a * m + a] = group.inner[a * varying + a] + prior[a];
      }
      for (let w = 0; w < differing.length; w++) {
        const { vector, sd } = differing[w];
        const a = varying + w;
        prior[a] = inverseSquare(sd);
        for (let b = 0; b < varying; b++) inner[a * m + b] = cross[b * all + vector];
        for (let b = 0; b < w; b++) inner[a * m + varying + b] = local[vector * all + differing[b].vector];
        inner[a * m + a] = local[vector * all + vector] + prior[a];
        for (let c = first; c < wide; c++) cross[a * all + c] = local[vector * all + c];
      }
      logDeterminant += choleskyInPlace(inner, m) - logOfProduct(prior, m);
      forwardSolve(inner, m, cross, all, first, wide);
    }
    for (let c = first; c < wide; c++) {
      for (let d = first; d <= c; d++) {
        let sum = local[c * all + d];
        for (let a = 0; a < m; a++) sum -= cross[a * all + c] * cross[a * all + d];
        gram[c * wide + d] += sum;
      }
    }
  }
  return solveAmplitudes(gram, k, rows, logDeterminant);
}

/** What may be another size in each isolation, with its standard deviation, by its place among the vectors. */
function differingVectors(
  { between, swing }: Roughness,
  k: number,
): { readonly vector: number; readonly sd: number }[] {
  const found: { vector: number; sd: number }[] = [];
  for (let c = 0; c < between.length; c++) if (between[c] > 0) found.push({ vector: c, sd: between[c] });
  if (swing !== null) found.push({ vector: k + 1, sd: 1 });
  return found;
}

function workspaceFor(room: Room, all: number): Workspace {
  let found = room.workspaces.get(all);
  if (found === undefined) {
    const most = room.most + all;
    found = {
      prior: new Float64Array(most),
      inner: new Float64Array(most * most),
      cross: new Float64Array(most * all),
      own: new Float64Array(room.settled * all),
      local: new Float64Array(all * all),
      heavy: new Float64Array(room.longest),
    };
    room.workspaces.set(all, found);
  }
  return found;
}

function solveAmplitudes(gram: Float64Array, k: number, rows: number, logNuisance: number): Amplitudes {
  const wide = k + 1;
  const a = new Float64Array(k * k);
  for (let c = 0; c < k; c++) {
    for (let d = 0; d <= c; d++) a[c * k + d] = gram[c * wide + d];
    a[c * k + c] += 1;
  }
  const logAmplitudes = choleskyInPlace(a, k);
  const covariance = inverseFromCholesky(a, k);
  const right = gram.subarray(k * wide, k * wide + k);
  const mean = new Float64Array(k);
  let explained = 0;
  for (let c = 0; c < k; c++) {
    for (let d = 0; d < k; d++) mean[c] += covariance[c * k + d] * right[d];
    explained += mean[c] * right[c];
  }
  const misfit = Math.max(0, gram[k * wide + k] - explained);
  const widen = Math.max(1, (NOISE_FREEDOM + misfit) / (NOISE_FREEDOM + rows));
  for (let i = 0; i < covariance.length; i++) covariance[i] *= widen;
  return {
    logEvidence:
      -0.5 * (logNuisance + logAmplitudes) - 0.5 * (NOISE_FREEDOM + rows) * elementary.log1p(misfit / NOISE_FREEDOM),
    mean,
    covariance,
    misfit,
  };
}

function inverseSquare(x: number): number {
  return 1 / (x * x);
}
