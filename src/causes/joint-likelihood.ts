import * as elementary from '../numerics/elementary';
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

interface Workspace {
  readonly prior: Float64Array;
  readonly inner: Float64Array;
  readonly cross: Float64Array;
  readonly heavy: Float64Array;
}

interface Group {
  readonly from: number;
  readonly to: number;
  /** Nuisance columns, one after another. */
  readonly nuisance: Float64Array;
  readonly count: number;
  readonly weight: Float64Array;
  readonly precision: (roughness: Roughness, out: Float64Array) => void;
  /** Weighted inner products of the nuisance columns, lower triangle of count x count. */
  readonly inner: Float64Array;
  /** The nuisance columns times the weights. */
  readonly weighted: Float64Array;
  /** Inner products with the readings, and of the readings with themselves. */
  readonly withReadings: Float64Array;
  readonly readingsSquared: number;
  /** Whether these are the pumped rows. */
  readonly pumped: boolean;
  /** Arrays that evaluations use one after another, by their size. */
  readonly workspaces: Map<number, Workspace>;
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
  const groups = evidence.isolations.map((_, i) =>
    isolationGroup(evidence, i, firstRow[i], riseOf[i], scalePa, readings),
  );
  if (rows > firstPumpedRow) groups.push(pumpedGroup(evidence, firstPumpedRow, rows, readings));
  const scratch = new Float64Array(rows);
  return {
    rows,
    firstRow,
    firstPumpedRow,
    riseOf,
    scalePa,
    baseColumn: base,
    evaluate: (columns, roughness, shift) => evaluate(groups, base, readings, columns, roughness, shift, scratch),
  };
}

function baseColumn(evidence: RecordEvidence, rows: number, firstPumpedRow: number): Float64Array {
  const largest = evidence.pumped.reduce((most, one) => one.pa.reduce((m, p) => Math.max(m, Math.abs(p)), most), 0);
  return new Float64Array(rows).fill(largest, firstPumpedRow);
}

function isolationGroup(
  evidence: RecordEvidence,
  i: number,
  from: number,
  rise: number,
  scalePa: number,
  readings: Float64Array,
): Group {
  const one = evidence.isolations[i];
  const n = one.pa.length;
  const start = one.timeS[0];
  const span = Math.max(one.timeS[n - 1] - start, 1e-9);
  const columns: Float64Array[] = [new Float64Array(n).fill(1)];
  const u = one.timeS.map((t) => (t - start) / span);
  columns.push(u.map((x) => elementary.exp(-x / 0.03)));
  columns.push(u);
  for (let j = 1; j < SMOOTH; j++) columns.push(u.map((x) => elementary.sin(Math.PI * j * x)));
  const settling = (one.timeS[0] - one.closeS) / SETTLING_S < 4;
  if (settling) columns.push(one.timeS.map((t) => elementary.exp(-(t - one.closeS) / SETTLING_S)));
  for (const step of one.stepsS) columns.push(one.timeS.map((t) => (t >= step ? 1 : 0)));
  const warming = one.warming;
  if (warming !== null) columns.push(one.pa.map((p, b) => p * warming[b]));
  const nuisance = new Float64Array(n * columns.length);
  columns.forEach((column, c) => {
    nuisance.set(column, c * n);
  });
  const meanPa = one.pa.reduce((sum, p) => sum + Math.abs(p) / n, 0);
  const slow = Math.min(1, Math.sqrt(span / 1800));
  const precision = (roughness: Roughness, out: Float64Array): void => {
    const wander = roughness.wobble * Math.abs(rise);
    const warm = (meanPa * roughness.kelvin * slow) / 293;
    const tiny = 1e-6 * scalePa;
    out[0] = inverseSquare(30 * (scalePa + meanPa));
    out[1] = inverseSquare(Math.hypot(0.01 * rise, tiny));
    out[2] = 1 / (wander ** 2 + (roughness.ramp * rise) ** 2 + warm ** 2 + tiny ** 2);
    for (let j = 1; j < SMOOTH; j++) {
      out[2 + j] = 1 / ((wander / (Math.PI * j)) ** 2 + (warm / j) ** 2 + tiny ** 2);
    }
    let at = 2 + SMOOTH;
    if (settling) out[at++] = inverseSquare(Math.hypot(0.3 * rise, tiny));
    for (let s = 0; s < one.stepsS.length; s++) out[at++] = inverseSquare(10 * scalePa);
    if (warming !== null) out[at] = 1;
  };
  const weight = one.sd.map((sd) => inverseSquare(sd));
  const count = columns.length;
  return {
    from,
    to: from + n,
    nuisance,
    count,
    weight,
    precision,
    pumped: false,
    workspaces: new Map(),
    ...products(nuisance, weight, readings, from),
  };
}

/** Inner products that do not change from one hypothesis to the next. */
function products(
  nuisance: Float64Array,
  weight: Float64Array,
  readings: Float64Array,
  from: number,
): Pick<Group, 'weighted' | 'inner' | 'withReadings' | 'readingsSquared'> {
  const n = weight.length;
  const m = nuisance.length / n;
  const y = readings.subarray(from, from + n);
  const weighted = nuisance.map((value, at) => value * weight[at % n]);
  const inner = new Float64Array(m * m);
  const withReadings = new Float64Array(m);
  for (let a = 0; a < m; a++) {
    for (let b = 0; b <= a; b++) inner[a * m + b] = dot(weighted, a * n, nuisance, b * n, n);
    withReadings[a] = dot(weighted, a * n, y, 0, n);
  }
  let readingsSquared = 0;
  for (let i = 0; i < n; i++) readingsSquared += weight[i] * y[i] * y[i];
  return { weighted, inner, withReadings, readingsSquared };
}

function dot(a: Float64Array, fromA: number, b: Float64Array, fromB: number, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[fromA + i] * b[fromB + i];
  return sum;
}

function pumpedGroup(evidence: RecordEvidence, from: number, to: number, readings: Float64Array): Group {
  const n = to - from;
  const stretches = evidence.pumped.length;
  const count = 1 + 3 * stretches;
  const perS = evidence.pumping?.perS ?? 0;
  const tails = new Float64Array(stretches);
  const nuisance = new Float64Array(n * count);
  nuisance.fill(1, 0, n);
  const weight = new Float64Array(n);
  let row = 0;
  let largest = 0;
  // A zero that drifts by this much of what the gauge is asked to follow is nothing unusual.
  const highest = evidence.isolations.reduce((most, one) => one.pa.reduce((m, p) => Math.max(m, p), most), 0);
  const smallest = evidence.pumped.reduce((least, one) => one.pa.reduce((m, p) => Math.min(m, p), least), Infinity);
  const drift = Math.max(ZERO_DRIFT * highest, -smallest);
  const zeroMoves = Math.max(drift, ZERO_STEPS * evidence.stepPa);
  evidence.pumped.forEach((one, s) => {
    const blocks = one.pa.length;
    for (let b = 0; b < blocks; b++) {
      const within = Math.hypot(SPEED_WITHIN * one.pa[b], zeroMoves);
      nuisance[(1 + s) * n + row + b] = within * (blocks > 1 ? (2 * b) / (blocks - 1) - 1 : 1);
      nuisance[(1 + 2 * stretches + s) * n + row + b] = Math.hypot(SPEED_BETWEEN * one.pa[b], zeroMoves);
      // What is left of the gas that was there when pumping began.
      const tail = perS > 0 ? elementary.exp(-perS * (one.timeS[b] - one.timeS[0])) : 0;
      nuisance[(1 + stretches + s) * n + row + b] = one.pa[0] * tail;
      weight[row + b] = 1 / (one.sd[b] ** 2 + (PUMPED_RELATIVE * one.pa[b]) ** 2 + drift ** 2);
      largest = Math.max(largest, Math.abs(one.pa[b]));
    }
    tails[s] = Math.max(1e-3, TAIL * elementary.exp(-0.3 * perS * Math.max(0, one.timeS[0] - one.startS - 6 / perS)));
    row += blocks;
  });
  // The zero of the gauge may be a little off; a zero that is far off shows in negative readings.
  const zero = Math.max(smallest < 0 ? largest : 0.1 * smallest, 1e-4 * largest, drift, 1e-15);
  const precision = (_: Roughness, out: Float64Array): void => {
    out.fill(1);
    out[0] = inverseSquare(zero);
    tails.forEach((sd, s) => {
      out[1 + stretches + s] = inverseSquare(sd);
    });
  };
  return {
    from,
    to,
    nuisance,
    count,
    weight,
    precision,
    pumped: true,
    workspaces: new Map(),
    ...products(nuisance, weight, readings, from),
  };
}

/** Readings moved from one row to another, in an array that is used again. */
function shifted(
  readings: Float64Array,
  shift: Float64Array,
  from: number,
  to: number,
  out: Float64Array,
): Float64Array {
  for (let i = from; i < to; i++) out[i] = readings[i] + shift[i];
  return out;
}

function evaluate(
  groups: readonly Group[],
  base: Float64Array,
  readings: Float64Array,
  columns: readonly Float64Array[],
  roughness: Roughness,
  shift: Float64Array | null,
  scratch: Float64Array,
): Amplitudes {
  const k = columns.length;
  const wide = k + 1;
  const gram = new Float64Array(wide * wide);
  let logDeterminant = 0;
  let rows = 0;
  const isBase = k > 0 && columns[0] === base;
  for (const group of groups) {
    const n = group.to - group.from;
    const { weight, from, weighted, count } = group;
    const wandering = group.pumped ? [] : wanderingColumns(columns, roughness);
    const m = count + wandering.length;
    rows += n;
    const { prior, inner, cross, heavy } = workspaceOf(group, m, wide);
    group.precision(roughness, prior);
    for (let a = 0; a < count; a++) for (let b = 0; b <= a; b++) inner[a * m + b] = group.inner[a * count + b];
    // The columns of this group times its weights, the readings last.
    const moved = group.pumped ? null : shift;
    const y = moved === null ? readings : shifted(readings, moved, from, group.to, scratch);
    const vectors = [...columns, y];
    const first = isBase && !group.pumped ? 1 : 0;
    for (let c = first; c < wide; c++) {
      const vector = vectors[c];
      for (let i = 0; i < n; i++) heavy[c * n + i] = weight[i] * vector[from + i];
      const known = c === k && moved === null;
      for (let a = 0; a < count; a++) {
        cross[a * wide + c] = known ? group.withReadings[a] : dot(weighted, a * n, vector, from, n);
      }
      for (let d = first; d < c; d++) gram[c * wide + d] += dot(heavy, c * n, vectors[d], from, n);
      gram[c * wide + c] += known ? group.readingsSquared : dot(heavy, c * n, vector, from, n);
    }
    wandering.forEach(({ column, sd }, w) => {
      const a = count + w;
      prior[a] = inverseSquare(sd);
      for (let b = 0; b < count; b++) inner[a * m + b] = dot(weighted, b * n, column, from, n);
      for (let b = 0; b <= w; b++) {
        const other = wandering[b].column;
        for (let i = 0; i < n; i++) inner[a * m + count + b] += weight[i] * column[from + i] * other[from + i];
      }
      for (let c = first; c < wide; c++) cross[a * wide + c] = dot(heavy, c * n, column, from, n);
    });
    for (let a = 0; a < m; a++) inner[a * m + a] += prior[a];
    logDeterminant -= logOfProduct(prior);
    logDeterminant += choleskyInPlace(inner, m);
    forwardSolve(inner, m, cross, wide);
    for (let c = 0; c < wide; c++) {
      for (let d = 0; d <= c; d++) {
        let sum = 0;
        for (let a = 0; a < m; a++) sum += cross[a * wide + c] * cross[a * wide + d];
        gram[c * wide + d] -= sum;
      }
    }
  }
  return solveAmplitudes(gram, k, rows, logDeterminant);
}

/** Arrays for `m` nuisance columns and `wide` others, set to zero where that matters. */
function workspaceOf(group: Group, m: number, wide: number): Workspace {
  const key = 64 * m + wide;
  const found = group.workspaces.get(key);
  if (found !== undefined) {
    found.inner.fill(0);
    found.cross.fill(0);
    return found;
  }
  const made = {
    prior: new Float64Array(m),
    inner: new Float64Array(m * m),
    cross: new Float64Array(m * wide),
    heavy: new Float64Array((group.to - group.from) * wide),
  };
  group.workspaces.set(key, made);
  return made;
}

/** What may be another size in each isolation, with its standard deviation. */
function wanderingColumns(
  columns: readonly Float64Array[],
  { between, swing }: Roughness,
): { readonly column: Float64Array; readonly sd: number }[] {
  const found = between.flatMap((sd, c) => (sd > 0 ? [{ column: columns[c], sd }] : []));
  return swing === null ? found : [...found, { column: swing, sd: 1 }];
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

/** Cholesky factor into the lower triangle; returns the logarithm of the determinant. */
function choleskyInPlace(a: Float64Array, n: number): number {
  const pivots = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j];
      for (let l = 0; l < j; l++) sum -= a[i * n + l] * a[j * n + l];
      if (i === j) {
        pivots[i] = Math.max(sum, 1e-13 * Math.abs(a[i * n + i]), 1e-300);
        a[i * n + i] = Math.sqrt(pivots[i]);
      } else a[i * n + j] = sum / a[j * n + j];
    }
  }
  return logOfProduct(pivots);
}

/** Logarithm of the product of positive numbers, with few logarithms. */
function logOfProduct(factors: Float64Array): number {
  let log = 0;
  let product = 1;
  for (const factor of factors) {
    if (factor > 1e100 || factor < 1e-100) log += elementary.log(factor);
    else product *= factor;
    if (product > 1e150 || product < 1e-150) {
      log += elementary.log(product);
      product = 1;
    }
  }
  return log + elementary.log(product);
}

function inverseSquare(x: number): number {
  return 1 / (x * x);
}

function forwardSolve(l: Float64Array, n: number, right: Float64Array, wide: number): void {
  for (let i = 0; i < n; i++) {
    for (let c = 0; c < wide; c++) {
      let sum = right[i * wide + c];
      for (let j = 0; j < i; j++) sum -= l[i * n + j] * right[j * wide + c];
      right[i * wide + c] = sum / l[i * n + i];
    }
  }
}

function inverseFromCholesky(l: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    for (let i = 0; i < n; i++) {
      let sum = i === c ? 1 : 0;
      for (let j = 0; j < i; j++) sum -= l[i * n + j] * column[j];
      column[i] = sum / l[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = column[i];
      for (let j = i + 1; j < n; j++) sum -= l[j * n + i] * inverse[j * n + c];
      inverse[i * n + c] = sum / l[i * n + i];
    }
  }
  return inverse;
}
