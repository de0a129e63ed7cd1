import type { GaugePrinciple } from '../fits';
import { principleOfName } from '../gauges';
import { type Channel, FLAG, type GaugeLog } from '../log';
import { type Estimate, median } from '../numerics';
import * as elementary from '../numerics/elementary';
import { formatNumber } from '../units';
import { blockAverages } from './block-averages';
import type { CauseOptions } from './cause-options';
import { type GasFromPair, gasFromGaugePair } from './gauge-pair';
import type { CauseWeights } from './main-cause';
import type { RecordEvidence } from './record-evidence';

/** What came in while the valve was shut, by two gauges. */
export interface RatioOfRise {
  /** When the valve closed, s from the first row. */
  readonly closeS: number;
  /** Rise of the gas-independent gauge over what was compared, Pa. */
  readonly risePa: number;
  /** Rise of the heat-conduction gauge over that of the gas-independent one; a zero error of either drops out. */
  readonly ratio: Estimate;
  /** Standard uncertainty of the ratio from the readings alone. */
  readonly fromReadings: number;
  readonly gas: GasFromPair;
}

/** Two gauges of unlike principle on one chamber. */
export interface GasEvidence {
  /** Name of the heat-conduction gauge and of the gas-independent one. */
  readonly thermal: string;
  readonly absolute: string;
  /** Whether how they work was guessed from their names. */
  readonly guessed: boolean;
  readonly rises: readonly RatioOfRise[];
  /** Ratio of the readings over the whole record below 100 Pa, median; NaN where there is none. */
  readonly level: number;
  /** A difference that no usual gas makes, or null. */
  readonly disagreement: GaugeDisagreement | null;
}

/** Two gauges that no gas brings together. */
export interface GaugeDisagreement {
  readonly kind: 'zero' | 'factor';
  /** The heat-conduction gauge less the other at the lowest pressures, beyond the usual ratio, Pa; 0 for a factor. */
  readonly offsetPa: number;
  readonly text: string;
}

/** One factor holds for a heat-conduction gauge below this, Pa. */
const MOLECULAR_PA = 120;
/** Least relative standard uncertainty of the ratio of two gauges that were not compared in air. */
const NOT_COMPARED = 0.1;
/** What usual gases make of the ratio: argon 0.55, hydrogen up to 2.5 (physics of heat conduction; common practice). */
const USUAL_RATIOS = [0.5, 2.5] as const;

/**
 * Looks for two gauges of unlike principle, and what their ratio says about the gas that came in in each isolation.
 * @param log the log that was read
 * @param evidence the thinned record of the followed channel
 * @param options how the gauges work, where that is known; else their names are asked
 * @returns the evidence, or null where there is no such pair
 */
export function gasEvidence(log: GaugeLog, evidence: RecordEvidence, options: CauseOptions): GasEvidence | null {
  const pair = findPair(log, evidence.channel, options);
  if (pair === null) return null;
  const { thermal, absolute, guessed } = pair;
  const rises = evidence.isolations.flatMap((one) => ratioOfRise(log, thermal, absolute, one.timeS[0], one));
  const both = readingsBelow(log, thermal, absolute);
  return {
    thermal: thermal.name,
    absolute: absolute.name,
    guessed,
    rises,
    level: both.ratio.length > 0 ? median(both.ratio) : Number.NaN,
    disagreement: disagreement(thermal, absolute, both),
  };
}

interface Pair {
  readonly thermal: Channel;
  readonly absolute: Channel;
  readonly guessed: boolean;
}

/** The followed gauge and one other of the log, of which one reads by heat and one by force. */
function findPair(log: GaugeLog, followed: string, options: CauseOptions): Pair | null {
  const second = options.secondGauge;
  const told = (channel: Channel): GaugePrinciple | undefined => {
    if (channel.name === followed && options.gauge !== undefined) return options.gauge;
    return second !== undefined && isNamed(channel, second.channel) ? second.gauge : undefined;
  };
  const pressures = log.channels.filter((one) => one.quantity === 'pressure' && !/set[ _-]?(point|pt)/i.test(one.name));
  const main = pressures.find((one) => one.name === followed);
  if (main === undefined) return null;
  const principle = (channel: Channel): GaugePrinciple | undefined => told(channel) ?? principleOfName(channel.name);
  const byHeat = (channel: Channel): boolean => principle(channel) === 'thermal';
  const byForce = (channel: Channel): boolean => ['capacitance', 'piezo'].includes(principle(channel) ?? '');
  const wanted = byHeat(main) ? byForce : byForce(main) ? byHeat : null;
  const others = wanted === null ? [] : pressures.filter((one) => one !== main && wanted(one));
  const other = others.find((one) => told(one) !== undefined) ?? others[0];
  if (other === undefined) return null;
  const [thermal, absolute] = byHeat(main) ? [main, other] : [other, main];
  return { thermal, absolute, guessed: told(main) === undefined || told(other) === undefined };
}

function isNamed(channel: Channel, name: string): boolean {
  return channel.name.toLowerCase().includes(name.trim().toLowerCase());
}

/** Rows in which both gauges read well and one factor holds. */
function goodRows(log: GaugeLog, a: Channel, b: Channel, fromS: number, toS: number): Int32Array {
  const rows: number[] = [];
  for (let i = 0; i < log.rows; i++) {
    if (log.time[i] < fromS) continue;
    if (log.time[i] > toS) break;
    const good = a.flags[i] === FLAG.good && b.flags[i] === FLAG.good;
    if (good && Number.isFinite(a.values[i]) && b.values[i] <= MOLECULAR_PA) rows.push(i);
  }
  return Int32Array.from(rows);
}

function ratioOfRise(
  log: GaugeLog,
  thermal: Channel,
  absolute: Channel,
  fromS: number,
  one: { readonly closeS: number; readonly endS: number },
): RatioOfRise[] {
  const rows = goodRows(log, thermal, absolute, fromS, one.endS);
  if (rows.length < 6) return [];
  const x = blockAverages(log.time, absolute, rows, 12);
  const y = blockAverages(log.time, thermal, rows, 12);
  if (x.pa.length < 4 || x.pa.length !== y.pa.length) return [];
  const { slope, u } = lineThroughBoth(x.pa, x.sd, y.pa, y.sd);
  const risePa = x.pa[x.pa.length - 1] - x.pa[0];
  if (!(slope > 0.1 && slope < 10) || !(u < 0.35 * slope) || !(risePa > 0)) return [];
  const relative = Math.hypot(u / slope, NOT_COMPARED);
  const gas = gasFromGaugePair(slope, 1, relative);
  return [{ closeS: one.closeS, risePa, ratio: gas.ratio, fromReadings: u, gas }];
}

/**
 * Straight line where both coordinates have an uncertainty, by the method of effective variance: each point weighs
 * 1 / (uy^2 + slope^2 ux^2), found again with each new slope.
 */
function lineThroughBoth(
  x: Float64Array,
  ux: Float64Array,
  y: Float64Array,
  uy: Float64Array,
): { slope: number; u: number } {
  let slope = 1;
  let u = Infinity;
  for (let round = 0; round < 8; round++) {
    let [w, mx, my] = [0, 0, 0];
    for (let i = 0; i < x.length; i++) {
      const weight = 1 / (uy[i] ** 2 + (slope * ux[i]) ** 2);
      w += weight;
      mx += weight * x[i];
      my += weight * y[i];
    }
    let [xx, xy] = [0, 0];
    for (let i = 0; i < x.length; i++) {
      const weight = 1 / (uy[i] ** 2 + (slope * ux[i]) ** 2);
      xx += weight * (x[i] - mx / w) ** 2;
      xy += weight * (x[i] - mx / w) * (y[i] - my / w);
    }
    if (!(xx > 0)) return { slope: Number.NaN, u: Infinity };
    slope = xy / xx;
    let misfit = 0;
    for (let i = 0; i < x.length; i++) {
      misfit += (y[i] - my / w - slope * (x[i] - mx / w)) ** 2 / (uy[i] ** 2 + (slope * ux[i]) ** 2);
    }
    u = Math.sqrt(Math.max(1, misfit / (x.length - 2)) / xx);
  }
  return { slope, u };
}

interface BothReadings {
  readonly ratio: number[];
  readonly thermal: number[];
  readonly absolute: number[];
}

/** Pairs of good readings below the limit of one factor, at most two thousand, in the order of the absolute one. */
function readingsBelow(log: GaugeLog, thermal: Channel, absolute: Channel): BothReadings {
  const rows = goodRows(log, thermal, absolute, -Infinity, Infinity);
  const stride = Math.max(1, Math.ceil(rows.length / 2000));
  const kept = Array.from(rows.filter((_, i) => i % stride === 0)).sort(
    (a, b) => absolute.values[a] - absolute.values[b],
  );
  const usable = kept.filter((row) => absolute.values[row] > 0 && thermal.values[row] > 0);
  return {
    ratio: usable.map((row) => thermal.values[row] / absolute.values[row]),
    thermal: kept.map((row) => thermal.values[row]),
    absolute: kept.map((row) => absolute.values[row]),
  };
}

/** Two gauges that differ at zero, or by a factor that no usual gas makes. */
function disagreement(thermal: Channel, absolute: Channel, both: BothReadings): GaugeDisagreement | null {
  const n = both.absolute.length;
  if (n < 20) return null;
  const names = `"${thermal.name}" and "${absolute.name}"`;
  const fifth = Math.max(5, Math.floor(n / 5));
  const top = n - fifth;
  const high = median(both.thermal.slice(top)) / median(both.absolute.slice(top));
  const [lowThermal, lowAbsolute] = [median(both.thermal.slice(0, fifth)), median(both.absolute.slice(0, fifth))];
  const spans = median(both.absolute.slice(top)) > 3 * Math.max(lowAbsolute, 0);
  const inBounds = high > USUAL_RATIOS[0] && high < USUAL_RATIOS[1];
  if (spans && inBounds) {
    // With the ratios that gases make, the lower reading cannot leave these bounds, unless a zero is off.
    const [least, most] = [USUAL_RATIOS[0] * lowAbsolute, USUAL_RATIOS[1] * lowAbsolute];
    const steps = 2 * Math.hypot(thermal.resolution, absolute.resolution);
    if (lowThermal > most + steps || lowThermal < Math.min(least, most) - steps) {
      const offsetPa = lowThermal - high * lowAbsolute;
      const text =
        `${names} disagree at zero: at their lowest they read ${formatNumber(lowThermal, 2)} and ` +
        `${formatNumber(lowAbsolute, 2)} Pa, while higher up their ratio is ${formatNumber(high, 2)}; ` +
        'a pressure near that difference means nothing before both zeros are checked';
      return { kind: 'zero', offsetPa, text };
    }
  }
  if (both.ratio.length < 20) return null;
  const ratio = median(both.ratio);
  if (ratio >= USUAL_RATIOS[0] && ratio <= USUAL_RATIOS[1]) return null;
  const text =
    `${names} disagree by a factor of ${formatNumber(ratio, 2)}, more than usual gases make ` +
    `(argon 0.55, air 1, water 1.6, hydrogen up to 2.5): unit, scale or place of one of them is wrong, and loads are as uncertain`;
  return { kind: 'factor', offsetPa: 0, text };
}

/**
 * How uncertain the scale is where two gauges disagree by a factor: nobody knows which of them is right.
 * @param gas what the two gauges show, or null
 * @returns relative standard uncertainty to add, 0 where they agree, at most 1
 */
export function disagreementSpread(gas: GasEvidence | null): number {
  if (gas?.disagreement?.kind !== 'factor') return 0;
  return Math.min(1, Math.abs(elementary.log(gas.level)) / 2);
}

/**
 * A pressure no larger than the difference of two zeros is as likely the zero as the pump's: what was laid to the pump is
 * then shared with the gauge.
 * @param weights probability of each cause
 * @param evidence the thinned record
 * @param gas what the two gauges show, or null
 * @returns probabilities with the same sum
 */
export function withZeroDisagreement(
  weights: CauseWeights,
  evidence: RecordEvidence,
  gas: GasEvidence | null,
): CauseWeights {
  const steady = Math.abs(evidence.steadyPa ?? Number.NaN);
  if (gas?.disagreement?.kind !== 'zero' || !(steady < 3 * Math.abs(gas.disagreement.offsetPa))) return weights;
  const moved = 0.7 * weights['pump side'];
  return { ...weights, 'pump side': weights['pump side'] - moved, measurement: weights.measurement + moved };
}

/**
 * What two gauges say, in sentences.
 * @param found their evidence
 * @returns sentences for the grounds
 */
export function gasSentences(found: GasEvidence): string[] {
  const sentences: string[] = [];
  const last = found.rises[found.rises.length - 1];
  if (last !== undefined) {
    const by = found.guessed ? ', as their names say,' : ',';
    sentences.push(
      `"${found.thermal}" reads by heat and "${found.absolute}" by force${by} so their ratio shows the gas ` +
        '(1 in air, about 1.6 in water vapour, below 100 Pa)',
    );
  } else if (found.level > 0) {
    sentences.push(
      `"${found.thermal}" over "${found.absolute}" stands at ${formatNumber(found.level, 3)} in the middle (1 in air, about 1.6 in water vapour); ` +
        'while pumped, zero errors count as well, so this says little alone',
    );
  }
  for (const one of found.rises) {
    const { value, low, high } = one.ratio;
    sentences.push(
      `isolation at ${Math.round(one.closeS)} s: the rises stand as ${formatNumber(value, 3)} to 1 ` +
        `(${formatNumber(low, 2)} to ${formatNumber(high, 2)}, 95 %); ${one.gas.text}`,
    );
  }
  if (found.disagreement !== null) sentences.push(found.disagreement.text);
  return sentences;
}
