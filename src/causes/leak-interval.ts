import { type Estimate, findRoot, normalQuantile, remembering } from '../numerics';
import * as elementary from '../numerics/elementary';
import { nameBesideLeak } from './hypotheses';
import { logNormalTail, quickNormalCdf } from './normal-table';
import type { Draw } from './weigh-hypotheses';

/** The posterior of the real leak as a distribution that can be asked. */
export interface LeakDistribution {
  /** Probability that there is a leak at all. */
  readonly present: number;
  /**
   * Probability that the leak, given that there is one, is at most `x`.
   * @param x rate Pa/s or load Pa m3/s, as the distribution was made
   */
  readonly atMost: (x: number) => number;
  /**
   * Quantile of the leak given that there is one.
   * @param probability 0 to 1
   */
  readonly quantile: (probability: number) => number;
}

const NODES = [0.05, 0.2, 0.4, 0.6, 0.8, 0.95];
const NODE_WEIGHTS = [0.12, 0.18, 0.2, 0.2, 0.18, 0.12];

/**
 * Mixes the leaks of all draws, each a normal distribution cut at zero, with a common factor (volume, gauge scale)
 * that is log-normal.
 * @param draws of the weighing
 * @param factor from a rate, Pa/s, to what is wanted: 1 for rates, the volume for loads
 * @param relative relative standard uncertainty of the factor and of the gauge's scale
 * @returns the distribution; `present` 0 where no draw has a leak
 */
export function leakDistribution(draws: readonly Draw[], factor: number, relative: number): LeakDistribution {
  const { present, atMost, quantile } = rateDistribution(draws, relative);
  return { present, atMost: (x) => atMost(x / factor), quantile: (probability) => factor * quantile(probability) };
}

/** The rates need not be mixed again where only the volume was moved. */
const rateDistribution = remembering((draws: readonly Draw[], relative: number): LeakDistribution => {
  const leaking = draws.filter((one) => Number.isFinite(one.leakMean) && one.leakSd > 0);
  const present = leaking.reduce((sum, one) => sum + one.weight, 0);
  const spread = Math.sqrt(elementary.log1p(relative * relative));
  // Where a leak is well away from zero a narrow factor only widens it; else the factor is stepped through.
  const parts = heaviest(asIfLeaking(draws, leaking)).map((one) => {
    const sure = one.leakMean > 4 * one.leakSd && spread < 0.06;
    const sd = sure ? Math.hypot(one.leakSd, spread * one.leakMean) : one.leakSd;
    return { ...cutNormal(one.weight, one.leakMean, sd), sure };
  });
  const scales = NODES.map((node) => elementary.exp(spread * normalQuantile(node)));
  const atMost = (x: number): number => {
    if (!(x > 0) || present === 0) return 0;
    let sum = 0;
    for (const one of parts) {
      let share = one.sure ? cutCdf(x, one) : 0;
      for (let n = 0; !one.sure && n < scales.length; n++) share += NODE_WEIGHTS[n] * cutCdf(x / scales[n], one);
      sum += one.weight * share;
    }
    return sum;
  };
  const top = 3 * parts.reduce((most, one) => Math.max(most, Math.max(one.centre, 0) + 8 * one.sd), 0);
  const quantile = remembering((probability: number): number => {
    if (!(atMost(top) > probability)) return top;
    return probability > 0 ? findRoot((x) => atMost(x) - probability, 0, top) : 0;
  }, 8);
  return { present, atMost, quantile };
}, 4);

/**
 * The draws with a leak, weighed by all that speaks for what stands beside the leak, so that the chance that there is
 * no leak neither narrows the bound nor lifts what fits only with one.
 */
function asIfLeaking(draws: readonly Draw[], leaking: readonly Draw[]): Draw[] {
  const beside = (one: Draw): string => nameBesideLeak(one.hypothesis.name);
  const all = new Map<string, number>();
  const own = new Map<string, number>();
  for (const one of draws) {
    const key = one.hypothesis.name === 'nothing' ? '' : beside(one);
    all.set(key, (all.get(key) ?? 0) + one.weight);
  }
  for (const one of leaking) own.set(beside(one), (own.get(beside(one)) ?? 0) + one.weight);
  const scaled = leaking.map((one) => {
    const key = beside(one);
    return { ...one, weight: (one.weight * (all.get(key) ?? 0)) / (own.get(key) ?? 1) };
  });
  const sum = scaled.reduce((total, one) => total + one.weight, 0);
  return scaled.map((one) => ({ ...one, weight: one.weight / sum }));
}

/** The draws that carry all but a two-thousandth of the weight, so that quantiles come quickly. */
function heaviest(draws: readonly Draw[]): Draw[] {
  const sorted = [...draws].sort((a, b) => b.weight - a.weight);
  let sum = 0;
  const kept = sorted.filter((one, i) => {
    const keep = sum < 0.9995 && i < 800;
    sum += one.weight;
    return keep;
  });
  const total = kept.reduce((all, one) => all + one.weight, 0);
  return kept.map((one) => ({ ...one, weight: one.weight / total }));
}

/** A normal distribution cut at zero, made ready for many questions. */
interface CutNormal {
  readonly weight: number;
  readonly centre: number;
  readonly sd: number;
  /** Probability above and below zero before the cut. */
  readonly above: number;
  readonly below: number;
}

function cutNormal(weight: number, centre: number, sd: number): CutNormal {
  const z = centre / sd;
  return { weight, centre, sd, above: elementary.exp(logNormalTail(z)), below: quickNormalCdf(-z) };
}

function cutCdf(x: number, { centre, sd, above, below }: CutNormal): number {
  const z = centre / sd;
  if (z < -5) return -elementary.expm1((z * x) / sd);
  return Math.min(1, Math.max(0, (quickNormalCdf((x - centre) / sd) - below) / above));
}

/**
 * The leak with its 95 % interval. The lower end is zero as long as the record may do without a leak (by more than
 * 2.5 %); the upper end never profits from the chance that there is none.
 * @param leak its distribution
 * @param whole what a leak cannot exceed where no set of sources has one: the whole load, in the unit of the distribution
 * @returns value and interval in the unit of the distribution
 */
export function leakInterval(leak: LeakDistribution, whole: number): Estimate {
  if (leak.present === 0) return { value: 0, low: 0, high: whole };
  const absent = 1 - leak.present;
  const low = absent >= 0.025 ? 0 : leak.quantile((0.025 - absent) / leak.present);
  const high = leak.quantile(absent > 0.5 ? 0.95 : 0.975);
  const value = leak.present >= 0.5 ? leak.quantile(0.5) : leak.quantile(0.5) * leak.present;
  return { value: Math.min(high, Math.max(low, value)), low, high };
}
