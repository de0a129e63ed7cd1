import { ArgumentError } from '../errors';
import * as elementary from '../numerics/elementary';
import { remembering } from '../numerics/remembering';
import { type CorrelatedPart, fitWithNoise, noiseSettings } from './autocorrelated-fit';
import { compactMixture, type Mixture, widenMixture } from './mixture';
import { BENDS, bentShape, findBend, PLAIN_SHAPES, type RiseShape } from './rise-shapes';

/** Readings to be described by a smooth curve. */
export interface Readings {
  /** Ascending times, s. */
  readonly time: Float64Array;
  readonly values: Float64Array;
  /** Expected relative size of the noise of each reading, about 1. */
  readonly noise: Float64Array;
  /** Step of the readings (quantisation), in their unit; 0 where not seen. */
  readonly resolution: number;
}

/** One description that was fitted, with all settings of the noise. */
interface FittedShape {
  readonly shape: RiseShape;
  /** Weights of the parts sum to the weight of the shape; those of all shapes sum to one. */
  readonly parts: readonly { readonly weight: number; readonly part: CorrelatedPart }[];
  readonly weight: number;
  readonly degreesOfFreedom: number;
}

/** A smooth description of readings, averaged over shapes and noise by their evidence. */
export interface SmoothRise {
  readonly startS: number;
  readonly endS: number;
  readonly shapes: readonly FittedShape[];
  /** Points fitted (block means where there were many readings). */
  readonly points: number;
  /** Readings in each point. */
  readonly blockSize: number;
  /** Rate uncertainty of unresolved quantisation over the window, unit of the data per s. */
  readonly quantisationRate: number;
  /** The same for a level, unit of the data. */
  readonly quantisationLevel: number;
}

const MAX_POINTS = 600;

/**
 * Describes readings by a smooth curve, without choosing beforehand how it bends: straight, quadratic, levelling off.
 * Shapes are weighted by exp(-BIC/2) (K counts coefficients, noise variance, correlation and white share), the noise by its
 * restricted likelihood.
 * @param readings at least three good readings
 * @returns the description
 * @throws ArgumentError with fewer than three readings or no lapse of time
 */
export function describeRise(readings: Readings): SmoothRise {
  return describe(readings);
}

/** The same readings are described again whenever a volume or a limit changes. */
const describe = remembering((readings: Readings): SmoothRise => {
  const n = readings.time.length;
  if (n < 3) throw new ArgumentError('readings', n, 'at least 3 good readings in the window');
  const startS = readings.time[0];
  const endS = readings.time[n - 1];
  const span = endS - startS;
  if (!(span > 0)) throw new ArgumentError('window', `${span} s`, 'a window longer than 0 s');
  const blocks = blockMeans(readings, MAX_POINTS);
  const points = blocks.time.length;
  const x = blocks.time.map((t) => (t - startS) / span);
  const steps = relativeSteps(blocks.time);
  const floor = (readings.resolution * readings.resolution) / 12 / blocks.size / 4;
  const shapes = fitShapes(x, blocks.values, blocks.noise, steps, floor);
  const sigma = Math.sqrt(
    Math.max(0, bestVariance(shapes) * blocks.size - (readings.resolution * readings.resolution) / 12),
  );
  const { rate, level } = unresolvedQuantisation(readings, sigma, span);
  return { startS, endS, shapes, points, blockSize: blocks.size, quantisationRate: rate, quantisationLevel: level };
}, 64);

/** Fits every shape for every setting of the noise and weighs them. */
function fitShapes(
  x: Float64Array,
  values: Float64Array,
  noise: Float64Array,
  steps: Float64Array,
  floor: number,
): FittedShape[] {
  const n = x.length;
  const settings = noiseSettings(n);
  const data = values.map((v, i) => v / noise[i]);
  const fitted: { shape: RiseShape; parts: CorrelatedPart[]; evidence: number }[] = [];
  for (const shape of candidateShapes(x, values, noise)) {
    if (n - shape.coefficients < 1) continue;
    const columns = shapeColumns(shape, x, noise);
    const parts: CorrelatedPart[] = [];
    let best = Number.NEGATIVE_INFINITY;
    for (const setting of settings) {
      const part = fitWithNoise(data, columns, steps, setting, floor);
      if (part === null) continue;
      parts.push(part);
      best = Math.max(best, part.logLikelihood);
    }
    if (parts.length === 0) continue;
    const counted = shape.coefficients + 1;
    fitted.push({ shape, parts, evidence: best - 0.5 * counted * elementary.log(n) + elementary.log(shape.prior) });
  }
  if (fitted.length === 0) throw new ArgumentError('readings', n, 'readings at different times');
  const top = Math.max(...fitted.map((f) => f.evidence));
  const total = fitted.reduce((sum, f) => sum + elementary.exp(f.evidence - top), 0);
  return fitted
    .map(({ shape, parts, evidence }) => {
      const weight = elementary.exp(evidence - top) / total;
      const heaviest = Math.max(...parts.map((p) => p.logWeight));
      const mass = parts.reduce((sum, p) => sum + elementary.exp(p.logWeight - heaviest), 0);
      const weighted = parts
        .map((part) => ({ part, weight: (weight * elementary.exp(part.logWeight - heaviest)) / mass }))
        .filter((p) => p.weight > 1e-4);
      return { shape, parts: weighted, weight, degreesOfFreedom: n - shape.coefficients };
    })
    .filter((f) => f.parts.length > 0 && f.weight > 1e-3);
}

/** The straight line, the parabola, and each bend that the readings show. */
function candidateShapes(x: Float64Array, values: Float64Array, noise: Float64Array): RiseShape[] {
  const shapes = [...PLAIN_SHAPES];
  const weights = noise.map((g) => 1 / (g * g));
  const smallest = Math.min(0.05, 2 * (x[1] - x[0]));
  for (const bend of BENDS) {
    const found = findBend(bend, x, values, weights, smallest);
    if (found !== null) shapes.push(bentShape(bend, found.size, found.height));
  }
  return shapes;
}

function shapeColumns(shape: RiseShape, x: Float64Array, noise: Float64Array): Float64Array[] {
  const row = new Float64Array(shape.coefficients);
  const columns = Array.from({ length: shape.coefficients }, () => new Float64Array(x.length));
  for (let i = 0; i < x.length; i++) {
    shape.columns(x[i], row);
    for (let c = 0; c < row.length; c++) columns[c][i] = row[c] / noise[i];
  }
  return columns;
}

/** Steps over their median; the first is 1. */
function relativeSteps(time: Float64Array): Float64Array {
  const steps = new Float64Array(time.length);
  for (let i = 1; i < time.length; i++) steps[i] = time[i] - time[i - 1];
  const sorted = steps.slice(1).sort();
  const typical = sorted[Math.floor(sorted.length / 2)] || 1;
  steps[0] = typical;
  return steps.map((s) => s / typical);
}

/** Means of equal numbers of consecutive readings, so that at most `most` points are left. */
function blockMeans(readings: Readings, most: number): Readings & { readonly size: number } {
  const n = readings.time.length;
  const size = Math.ceil(n / most);
  if (size === 1) return { ...readings, size };
  const blocks = Math.floor(n / size);
  const time = new Float64Array(blocks);
  const values = new Float64Array(blocks);
  const noise = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    for (let i = b * size; i < (b + 1) * size; i++) {
      time[b] += readings.time[i] / size;
      values[b] += readings.values[i] / size;
      noise[b] += readings.noise[i] / size;
    }
  }
  return { time, values, noise, resolution: readings.resolution, size };
}

function bestVariance(shapes: readonly FittedShape[]): number {
  let variance = 0;
  for (const { parts } of shapes) for (const { weight, part } of parts) variance += weight * part.variance;
  return variance;
}

/**
 * What quantisation adds that residuals cannot show. A noise of `sigma` dithers a step of `d`: the error that stays is
 * damped by exp(-2 pi^2 sigma^2 / d^2) (Widrow's quantisation theorem, from memory: B. Widrow and I. Kollar, Quantization
 * Noise). Undithered, a rise over few steps has the error of a difference of
 * two ends, d / sqrt 6; over many steps the sawtooth shows in the residuals, so that this part fades.
 */
function unresolvedQuantisation(readings: Readings, sigma: number, span: number): { rate: number; level: number } {
  const d = readings.resolution;
  if (!(d > 0)) return { rate: 0, level: 0 };
  const damping = elementary.exp((-2 * Math.PI * Math.PI * sigma * sigma) / (d * d));
  const rise = Math.abs(readings.values[readings.values.length - 1] - readings.values[0]);
  const level = (d / Math.sqrt(12)) * damping;
  return { rate: ((level * Math.SQRT2) / span) * elementary.power(Math.min(1, (4 * d) / rise), 1.5), level };
}

/** What a linear functional of the curve is, by its row of coefficients for each shape. */
function functional(rise: SmoothRise, row: (shape: RiseShape, out: Float64Array) => void, unit: number): Mixture {
  return rise.shapes.flatMap(({ shape, parts, degreesOfFreedom }) => {
    const k = shape.coefficients;
    const out = new Float64Array(k);
    row(shape, out);
    return parts.map(({ weight, part }) => {
      let centre = 0;
      let variance = 0;
      for (let a = 0; a < k; a++) {
        centre += out[a] * part.coefficients[a];
        for (let b = 0; b < k; b++) variance += out[a] * part.unitCovariance[a * k + b] * out[b];
      }
      const scale = Math.sqrt(Math.max(0, variance) * part.variance) * unit;
      return { weight, centre: centre * unit, scale, degreesOfFreedom };
    });
  });
}

/**
 * The rate of the curve at a time.
 * @param rise a description
 * @param atS time, s, within the window
 * @returns what is known of it, unit of the data per s
 */
export function rateAt(rise: SmoothRise, atS: number): Mixture {
  const span = rise.endS - rise.startS;
  const x = (atS - rise.startS) / span;
  const rate = functional(rise, (shape, out) => shape.slopes(x, out), 1 / span);
  return widenMixture(compactMixture(rate), rise.quantisationRate);
}

/**
 * The mean rate between two times: the rise of the curve over the time between.
 * @param rise a description
 * @param fromS start, s
 * @param toS end, s, after the start
 * @returns what is known of it, unit of the data per s
 */
export function meanRate(rise: SmoothRise, fromS: number, toS: number): Mixture {
  const span = rise.endS - rise.startS;
  const mean = functional(
    rise,
    (shape, out) => {
      const from = new Float64Array(out.length);
      shape.columns((fromS - rise.startS) / span, from);
      shape.columns((toS - rise.startS) / span, out);
      for (let c = 0; c < out.length; c++) out[c] -= from[c];
    },
    1 / (toS - fromS),
  );
  return widenMixture(compactMixture(mean), rise.quantisationRate);
}

/**
 * The curve's level at a time.
 * @param rise a description
 * @param atS time, s
 * @returns what is known of it, unit of the data
 */
export function levelAt(rise: SmoothRise, atS: number): Mixture {
  const x = (atS - rise.startS) / (rise.endS - rise.startS);
  const level = functional(rise, (shape, out) => shape.columns(x, out), 1);
  return widenMixture(compactMixture(level), rise.quantisationLevel);
}

/**
 * The curve itself at many times, without its uncertainty: O(n).
 * @param rise a description
 * @param times s
 * @returns values in the unit of the data
 */
export function curveValues(rise: SmoothRise, times: Float64Array): Float64Array {
  const span = rise.endS - rise.startS;
  const values = new Float64Array(times.length);
  let total = 0;
  for (const { shape, parts } of rise.shapes) {
    const row = new Float64Array(shape.coefficients);
    const mean = new Float64Array(shape.coefficients);
    for (const { weight, part } of parts) {
      total += weight;
      for (let c = 0; c < mean.length; c++) mean[c] += weight * part.coefficients[c];
    }
    for (let i = 0; i < times.length; i++) {
      shape.columns((times[i] - rise.startS) / span, row);
      for (let c = 0; c < row.length; c++) values[i] += row[c] * mean[c];
    }
  }
  return values.map((v) => v / total);
}

/**
 * The shape with the largest weight and that weight.
 * @param rise a description
 */
export function likeliestShape(rise: SmoothRise): { readonly name: RiseShape['name']; readonly weight: number } {
  const best = rise.shapes.reduce((a, b) => (b.weight > a.weight ? b : a));
  return { name: best.shape.name, weight: best.weight };
}

/**
 * Autocorrelation of the fitted noise over the typical step, and the number of independent points that it leaves.
 * @param rise a description
 */
export function noiseOf(rise: SmoothRise): { readonly correlation: number; readonly effectivePoints: number } {
  let correlation = 0;
  let inverse = 0;
  let total = 0;
  for (const { parts } of rise.shapes) {
    for (const { weight, part } of parts) {
      const red = 1 - part.whiteShare;
      total += weight;
      correlation += weight * red * part.correlation;
      // Variance of a mean over that of independent points: white part 1, red part (1 + r) / (1 - r).
      inverse += weight * (part.whiteShare + (red * (1 + part.correlation)) / (1 - part.correlation));
    }
  }
  return { correlation: correlation / total, effectivePoints: (rise.points * total) / inverse };
}
