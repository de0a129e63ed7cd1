import { ArgumentError } from '../errors';
import { normalCdf } from '../numerics/distributions';
import { type Estimate, NORMAL_95 } from '../numerics/estimate';
import type { Conformity } from './results';

/** What is judged: a distribution function, or an estimate which is then taken as two half normal distributions. */
export type Judged = { readonly value: number; readonly cdf: (x: number) => number } | Estimate;

/** How to judge. */
export interface JudgeOptions {
  /** Largest probability that what is passed is above the limit; 0.05 where absent. */
  readonly risk?: number;
  /** What is judged, for the sentence: `gas load`, `rate of rise`, `real leak`. */
  readonly of?: string;
  /** Writes a value for people; plain numbers where absent. */
  readonly show?: (value: number) => string;
}

/**
 * Judges a value against an upper limit by guarded acceptance (JCGM 106:2012, clause 8.3; from memory): `yes` where
 * the probability of being above the limit is at most the risk, `no` where the probability of being within it is at most
 * the risk, `inconclusive` between.
 * @param limit the limit, in the unit of the value, finite
 * @param judged what is known of the value
 * @param options risk and words
 * @returns the conformity with its rule and risk
 * @throws ArgumentError where the limit is not finite or the risk is not between 0 and 0.5
 */
export function judge(limit: number, judged: Judged, options: JudgeOptions = {}): Conformity {
  const { risk = 0.05, of = 'value', show = (v: number): string => v.toPrecision(3) } = options;
  if (!Number.isFinite(limit)) throw new ArgumentError('limit', limit, 'a finite number');
  if (!(risk > 0 && risk < 0.5)) throw new ArgumentError('risk', risk, 'a probability above 0 and below 0.5');
  const probability = 'cdf' in judged ? judged.cdf(limit) : cdfOfEstimate(judged, limit);
  const conforms = probability >= 1 - risk ? 'yes' : probability <= risk ? 'no' : 'inconclusive';
  const percent = Number((100 * risk).toPrecision(2));
  const passed = surely(conforms === 'no' ? 1 - probability : probability);
  const what = `the ${of} of ${show(judged.value)}`;
  const sentence = {
    yes: `${what} is within ${show(limit)} with a probability of ${passed}`,
    no: `${what} is above ${show(limit)} with a probability of ${passed}`,
    inconclusive: `${what} is within ${show(limit)} with a probability of ${passed}: too near to say`,
  }[conforms];
  return {
    conforms,
    probability,
    rule: `guarded acceptance after JCGM 106: yes where the ${of} is within the limit with at least ${Number((100 - percent).toPrecision(4))} %, no where with at most ${percent} %`,
    risk: `a false yes or a false no has a probability of at most ${percent} %`,
    of,
    text: sentence,
  };
}

/** To a tenth of a percent, for a risk is one in twenty or less; nothing is certain. */
function surely(probability: number): string {
  if (probability > 0.9995) return 'over 99.9 %';
  return probability < 0.0005 ? 'under 0.1 %' : `${(100 * probability).toFixed(1)} %`;
}

/** Probability of at most `x`, from an estimate: a half normal distribution on each side of the value. */
function cdfOfEstimate({ value, low, high }: Estimate, x: number): number {
  const side = x < value ? value - low : high - value;
  if (side === 0) return x < value ? 0 : 1;
  if (!Number.isFinite(side)) return 0.5;
  return normalCdf(((x - value) / side) * NORMAL_95);
}
