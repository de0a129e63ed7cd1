import * as elementary from '../numerics/elementary';
import { isVapour, nameBesideLeak } from './hypotheses';
import type { Draw } from './weigh-hypotheses';

/**
 * No model of a liquid is better than this part of what it makes in the second half of an isolation, and its error comes
 * again in each one, as a leak does: its heat, its surface and what the gauge makes of its vapour are not known (settled on
 * training seeds of the bench).
 */
const VAPOUR_ERROR = 0.2;
/** A vapour that has come to rest still creeps with its temperature, by 6.5 % per kelvin (Clausius and Clapeyron, calc). */
const CREEP = 0.01;

/**
 * Takes back what speaks for a leak beside a vapour as far as the error of the vapour's model would make the same: the
 * logarithm of the odds between a set with and without its leak shrinks by the part that the model's error has in the leak's
 * variance, and the leak is widened by it. A leak that is larger than that stays.
 * @param draws of the weighing
 * @param weightOf weight of each set of sources by name
 * @param longestS seconds of the longest isolation
 * @returns draws with other weights, which sum to 1, and wider leaks
 */
export function doubtLeaksBesideVapour(
  draws: readonly Draw[],
  weightOf: ReadonlyMap<string, number>,
  longestS: number,
): Draw[] {
  const names = new Set(draws.filter(leaksBesideVapour).map(({ hypothesis }) => hypothesis.name));
  let doubted = [...draws];
  for (const name of names) doubted = doubtOne(doubted, name, weightOf, longestS);
  return doubted;
}

function doubtOne(
  draws: readonly Draw[],
  name: string,
  weightOf: ReadonlyMap<string, number>,
  longestS: number,
): Draw[] {
  const leaking = draws.filter(({ hypothesis }) => hypothesis.name === name);
  const beside = nameBesideLeak(name);
  const without = draws.filter(({ hypothesis }) => hypothesis.name === beside);
  const weight = sum(leaking);
  const both = weight + sum(without);
  const own = variance(leaking);
  const error = leaking.reduce((all, one) => all + (one.weight * vapourError(one, longestS) ** 2) / weight, 0);
  const alone = weightOf.get(beside) ?? 0;
  const odds = elementary.log(Math.max(weightOf.get(name) ?? 0, 1e-300) / Math.max(alone, 1e-300));
  if (!(odds > 0 && error > 0)) return [...draws];
  const leaks = both / (1 + elementary.exp((-odds * own) / (own + error)));
  // Where the set without its leak was given up, its place is taken by the same draws without their leak.
  const others = without.length > 0 ? without : leaking.map(withoutLeak);
  const share = (both - leaks) / sum(others);
  return [
    ...draws.filter((one) => !leaking.includes(one) && !without.includes(one)),
    ...leaking.map((one) => ({
      ...one,
      weight: (one.weight * leaks) / weight,
      leakSd: Math.hypot(one.leakSd, vapourError(one, longestS)),
    })),
    ...others.map((one) => ({ ...one, weight: one.weight * share })),
  ];
}

/** The leak comes last. */
function withoutLeak(draw: Draw): Draw {
  const { hypothesis } = draw;
  return {
    ...draw,
    hypothesis: {
      ...hypothesis,
      name: nameBesideLeak(hypothesis.name),
      sources: hypothesis.sources.slice(0, -1),
    },
    riseLast: draw.riseLast.slice(0, -1),
    riseAll: draw.riseAll.slice(0, -1),
    closing: draw.closing.slice(0, -1),
    end: draw.end.slice(0, -1),
    leakMean: Number.NaN,
    leakSd: Number.NaN,
  };
}

function leaksBesideVapour({ hypothesis, leakSd }: Draw): boolean {
  return leakSd > 0 && hypothesis.sources.some(isVapour);
}

function sum(draws: readonly Draw[]): number {
  return draws.reduce((all, one) => all + one.weight, 0);
}

/** Variance of the leak over all draws of one set, (Pa/s)^2. */
function variance(draws: readonly Draw[]): number {
  const weight = sum(draws);
  const mean = draws.reduce((all, one) => all + (one.weight * one.leakMean) / weight, 0);
  return draws.reduce((all, one) => all + (one.weight * ((one.leakMean - mean) ** 2 + one.leakSd ** 2)) / weight, 0);
}

/** What the model of the vapour may be wrong by, Pa/s: of its rate in the second half, between the mean one and the last. */
function vapourError({ hypothesis, riseLast, end }: Draw, longestS: number): number {
  let error = 0;
  hypothesis.sources.forEach((source, c) => {
    if (!isVapour(source)) return;
    const mean = Math.abs(riseLast[c]) / longestS;
    error += VAPOUR_ERROR * Math.sqrt(mean * Math.abs(end[c])) + CREEP * mean;
  });
  return error;
}
