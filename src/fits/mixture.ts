import { studentCdf } from '../numerics/distributions';
import { type Estimate, standardUncertaintyOf } from '../numerics/estimate';
import { remembering } from '../numerics/remembering';

/** One Student distribution of a mixture; `scale` may be 0 (a point). */
export interface StudentPart {
  /** Not negative; the weights of a mixture sum to one. */
  readonly weight: number;
  readonly centre: number;
  readonly scale: number;
  /** Degrees of freedom; `Infinity` for a normal distribution. */
  readonly degreesOfFreedom: number;
}

/** What is known of one number: a weighted mixture of Student distributions, in the unit of the number. */
export type Mixture = readonly StudentPart[];

/**
 * A mixture of one normal distribution.
 * @param centre the value, any unit
 * @param standardUncertainty its standard uncertainty, same unit, >= 0
 */
export function normalMixture(centre: number, standardUncertainty: number): Mixture {
  return [{ weight: 1, centre, scale: standardUncertainty, degreesOfFreedom: Number.POSITIVE_INFINITY }];
}

/**
 * Probability that the number is at most `x`.
 * @param mixture what is known of the number
 * @param x a value in the unit of the number
 * @returns 0 to 1
 */
export function mixtureCdf(mixture: Mixture, x: number): number {
  let sum = 0;
  for (const part of mixture) {
    sum +=
      part.weight *
      (part.scale > 0 ? studentCdf((x - part.centre) / part.scale, part.degreesOfFreedom) : x >= part.centre ? 1 : 0);
  }
  return Math.min(1, Math.max(0, sum));
}

/**
 * Mean of the mixture's centres.
 * @param mixture what is known of the number
 */
export function mixtureCentre(mixture: Mixture): number {
  let sum = 0;
  for (const part of mixture) sum += part.weight * part.centre;
  return sum;
}

/**
 * The value below which the number lies with probability `q`, by bisection.
 * @param mixture what is known of the number
 * @param q probability, 0 < q < 1
 */
export function mixtureQuantile(mixture: Mixture, q: number): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { centre, scale } of mixture) {
    low = Math.min(low, centre - 2 * scale);
    high = Math.max(high, centre + 2 * scale);
  }
  return quantileOf((x) => mixtureCdf(mixture, x), q, low, high);
}

/**
 * The point at which a rising distribution function reaches `q`: widens the bracket, then bisects.
 * @param cdf distribution function
 * @param q probability, 0 < q < 1
 * @param low first guess of a point below
 * @param high first guess of a point above
 */
export function quantileOf(cdf: (x: number) => number, q: number, low: number, high: number): number {
  let a = low;
  let b = high;
  const reach = Math.max(b - a, 1e-12 * Math.max(Math.abs(a), Math.abs(b)), Number.MIN_VALUE);
  let atA = cdf(a) - q;
  let atB = cdf(b) - q;
  for (let i = 0, step = reach; i < 60 && atA > 0; i++, step *= 2) {
    a -= step;
    atA = cdf(a) - q;
  }
  for (let i = 0, step = reach; i < 60 && atB < 0; i++, step *= 2) {
    b += step;
    atB = cdf(b) - q;
  }
  // False position with halving of the end that stays (the Illinois rule), bisection where it would not move.
  for (let i = 0; i < 60 && b - a > 1e-5 * reach; i++) {
    const guess = i % 3 === 2 ? (a + b) / 2 : (a * atB - b * atA) / (atB - atA);
    const middle = guess > a && guess < b ? guess : (a + b) / 2;
    const atMiddle = cdf(middle) - q;
    if (Math.abs(atMiddle) < 1e-7) return middle;
    if (atMiddle < 0) {
      a = middle;
      atA = atMiddle;
      atB /= 2;
    } else {
      b = middle;
      atB = atMiddle;
      atA /= 2;
    }
  }
  return (a + b) / 2;
}

/**
 * Value and central 95 % interval of a mixture.
 * @param mixture what is known of the number
 */
export function mixtureEstimate(mixture: Mixture): Estimate {
  return estimate(mixture);
}

/** Asked again for the same mixture by its interval, its standard uncertainty and each product with it. */
const estimate = remembering((mixture: Mixture): Estimate => {
  const value = mixtureCentre(mixture);
  return {
    value,
    low: Math.min(value, mixtureQuantile(mixture, 0.025)),
    high: Math.max(value, mixtureQuantile(mixture, 0.975)),
  };
}, 128);

/**
 * The standard uncertainty that stands for a mixture: a quarter of its central 95 % interval over 1.96/2, which stays
 * finite where a Student distribution has no variance.
 * @param mixture what is known of the number
 */
export function mixtureStandardUncertainty(mixture: Mixture): number {
  return standardUncertaintyOf(mixtureEstimate(mixture));
}

/**
 * The mixture with an independent normal uncertainty added to each part.
 * @param mixture what is known of the number
 * @param standardUncertainty to be added, same unit, >= 0
 */
export function widenMixture(mixture: Mixture, standardUncertainty: number): Mixture {
  if (standardUncertainty === 0) return mixture;
  return mixture.map((part) => {
    const added = standardUncertainty ** 2;
    const own = part.scale ** 2;
    // Welch-Satterthwaite: the added uncertainty is known, so it raises the degrees of freedom.
    const dof = own > 0 ? part.degreesOfFreedom * ((own + added) / own) ** 2 : Number.POSITIVE_INFINITY;
    return { ...part, scale: Math.sqrt(own + added), degreesOfFreedom: dof };
  });
}

/**
 * A mixture of few parts with the same spread: parts of like scale are put together, centre and variance kept.
 * @param mixture what is known of the number; weights need not sum to one
 * @param most largest number of parts left
 * @returns a mixture whose weights sum to one
 */
export function compactMixture(mixture: Mixture, most = 8): Mixture {
  const total = mixture.reduce((sum, part) => sum + part.weight, 0);
  const sorted = [...mixture].sort((a, b) => a.scale - b.scale);
  const groups: StudentPart[][] = [];
  let reached = 0;
  let share = -1;
  for (const part of sorted) {
    const next = Math.min(most - 1, Math.floor((most * (reached + part.weight / 2)) / total));
    if (next !== share) groups.push([]);
    groups[groups.length - 1].push(part);
    share = next;
    reached += part.weight;
  }
  return groups.map((group) => {
    const weight = group.reduce((sum, part) => sum + part.weight, 0);
    const mean = (of: (part: StudentPart) => number): number =>
      group.reduce((sum, part) => sum + part.weight * of(part), 0) / weight;
    const centre = mean((part) => part.centre);
    return {
      weight: weight / total,
      centre,
      scale: Math.sqrt(mean((part) => part.scale ** 2 + (part.centre - centre) ** 2)),
      degreesOfFreedom: 1 / mean((part) => 1 / part.degreesOfFreedom),
    };
  });
}
