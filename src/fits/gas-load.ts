import { normalCdf, normalQuantile } from '../numerics/distributions';
import * as elementary from '../numerics/elementary';
import type { Estimate } from '../numerics/estimate';
import { remembering } from '../numerics/remembering';
import {
  type Mixture,
  mixtureCdf,
  mixtureCentre,
  mixtureQuantile,
  mixtureStandardUncertainty,
  quantileOf,
  widenMixture,
} from './mixture';
import type { BudgetLine } from './results';

/** A factor of a product with its relative standard uncertainty, taken as log-normal: it cannot change its sign. */
export interface Factor {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** Relative standard uncertainty, >= 0. */
  readonly relative: number;
  readonly from: string;
}

/** A term that is added to a rate, of value 0, with its standard uncertainty. */
export interface Offset {
  readonly name: string;
  readonly standardUncertainty: number;
  readonly unit: string;
  readonly from: string;
}

/** What is known of a product of a rate and factors. */
export interface Product {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly budget: readonly BudgetLine[];
  /** Probability that the product is at most `x`. */
  readonly cdf: (x: number) => number;
  /** Ends of the central 95 % interval, from the distribution function. */
  readonly ends: () => readonly [number, number];
}

const NODES = Float64Array.from({ length: 31 }, (_, i) => normalQuantile((i + 0.5) / 31));

/**
 * Product of a rate, which may have any sign, and factors: Q = (rate + offsets) f1 f2 ...; the interval by numerical
 * propagation of distributions (JCGM 101), the budget to first order (JCGM 100, 5.1).
 * @param rate what is known of the rate
 * @param rateLine name, unit and ground of the rate for the budget
 * @param factors factors with their uncertainty
 * @param offsets what may add to the rate
 * @returns the product in the product of the units
 */
export function productOf(
  rate: Mixture,
  rateLine: { readonly name: string; readonly unit: string; readonly from: string },
  factors: readonly Factor[],
  offsets: readonly Offset[] = [],
): Product {
  const scale = factors.reduce((product, factor) => product * factor.value, 1);
  const added = offsets.reduce((sum, offset) => sum + offset.standardUncertainty ** 2, 0);
  const wide = widenMixture(rate, Math.sqrt(added));
  const relative = rounded(Math.sqrt(factors.reduce((sum, factor) => sum + elementary.log1p(factor.relative ** 2), 0)));
  const centre = mixtureCentre(rate);
  const value = centre * scale;
  const rateUncertainty = mixtureStandardUncertainty(rate);
  const contributions: BudgetLine[] = [
    line(rateLine.name, centre, rateLine.unit, rateUncertainty, scale * rateUncertainty, rateLine.from),
    ...offsets.map((o) =>
      line(o.name, 0, o.unit, o.standardUncertainty, Math.abs(scale) * o.standardUncertainty, o.from),
    ),
    ...factors.map((f) =>
      line(f.name, f.value, f.unit, Math.abs(f.value) * f.relative, Math.abs(value) * f.relative, f.from),
    ),
  ];
  const variance = contributions.reduce((sum, c) => sum + c.contribution ** 2, 0);
  const budget = contributions.map((c) => ({ ...c, share: variance > 0 ? c.contribution ** 2 / variance : 0 }));
  const standardUncertainty = Math.sqrt(variance);
  return {
    value,
    standardUncertainty,
    budget,
    cdf: (x) => cdfBeforeScale(wide, relative)(x / scale),
    ends: () => {
      const [low, high] = endsBeforeScale(wide, relative, centre, rounded(standardUncertainty / Math.abs(scale)));
      return [low * scale, high * scale];
    },
  };
}

/** Twelve digits: what a percentage loses on its way through another volume must not make it another percentage. */
function rounded(x: number): number {
  return Number(x.toPrecision(12));
}

/** A volume that is moved with its relative uncertainty only scales a load, so the rest is remembered. */
const cdfBeforeScale = remembering(cdfOfProduct, 64);
const endsBeforeScale = remembering(
  (rate: Mixture, relative: number, value: number, standardUncertainty: number): readonly [number, number] => {
    const cdf = cdfBeforeScale(rate, relative);
    const reach = [value - 2 * standardUncertainty, value + 2 * standardUncertainty] as const;
    return [quantileOf(cdf, 0.025, ...reach), quantileOf(cdf, 0.975, ...reach)];
  },
  64,
);

/**
 * Distribution function of rate x a log-normal factor: averaged over even quantiles of the narrower of the two,
 * so that the wider one keeps it smooth.
 */
function cdfOfProduct(rate: Mixture, relative: number): (x: number) => number {
  if (relative === 0) return (x) => mixtureCdf(rate, x);
  const spread = mixtureStandardUncertainty(rate);
  const signed = Math.abs(mixtureCentre(rate)) > 5 * spread;
  if (!signed || spread > relative * Math.abs(mixtureCentre(rate))) {
    return (x) => NODES.reduce((sum, z) => sum + mixtureCdf(rate, x / elementary.exp(relative * z)), 0) / NODES.length;
  }
  const rates = NODES.map((_, i) => mixtureQuantile(rate, (i + 0.5) / NODES.length));
  return (x) =>
    rates.reduce((sum, r) => {
      const ratio = x / r;
      const below = ratio > 0 ? normalCdf(elementary.log(ratio) / relative) : 0;
      return sum + (r > 0 ? below : 1 - below);
    }, 0) / rates.length;
}

/**
 * Value and 95 % interval of a product, from its distribution function.
 * @param product a product
 */
export function productEstimate({ value, standardUncertainty, ends }: Product): Estimate {
  if (standardUncertainty === 0) return { value, low: value, high: value };
  const [low, high] = ends();
  return { value, low: Math.min(value, low), high: Math.max(value, high) };
}

function line(
  name: string,
  value: number,
  unit: string,
  standardUncertainty: number,
  contribution: number,
  from: string,
): BudgetLine {
  return { name, value, unit, standardUncertainty, contribution: Math.abs(contribution), share: 0, from };
}
