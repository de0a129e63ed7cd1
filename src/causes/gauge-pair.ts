import { ArgumentError } from '../errors';
import type { Estimate } from '../numerics';
import { normalCdf } from '../numerics';

/** What two gauges of unlike principle say about the gas. */
export interface GasFromPair {
  /** Reading of the heat-conduction gauge over that of the gas-independent one. */
  readonly ratio: Estimate;
  /** Part of the gas that is water vapour, 0 to 1. */
  readonly waterPart: Estimate;
  /** Probability that most of the gas is water vapour. */
  readonly mostlyWater: number;
  readonly text: string;
}

/** A heat-conduction gauge set for air reads water vapour high by this (common practice: 1.4 to 2). */
export const WATER_RATIO = 1.6;
const WATER_SPREAD = 0.12;

/**
 * Two gauges as a gas analyser: a heat-conduction gauge over a diaphragm gauge goes from about 1.6 in water vapour to 1
 * in air, so part = (ratio - 1) / (1.6 - 1). Holds in molecular conduction, below about 100 Pa.
 * @param thermalPa reading of the heat-conduction gauge, Pa, > 0
 * @param absolutePa reading of the diaphragm gauge, Pa, > 0, zero checked
 * @param relative relative standard uncertainty of the ratio in air; 0.1 where the pair was not compared in air
 * @returns ratio, part of water vapour with its 95 % interval
 * @throws ArgumentError where a reading is not positive or above 100 Pa
 */
export function gasFromGaugePair(thermalPa: number, absolutePa: number, relative = 0.1): GasFromPair {
  for (const [what, p] of [
    ['thermal reading', thermalPa],
    ['diaphragm reading', absolutePa],
  ] as const) {
    if (!(p > 0 && p <= 200))
      throw new ArgumentError(what, p, 'above 0 and up to about 100 Pa, where one factor holds');
  }
  if (!(relative > 0 && relative < 1)) throw new ArgumentError('relative uncertainty', relative, '0 to 1');
  const ratio = thermalPa / absolutePa;
  const u = ratio * relative;
  const span = WATER_RATIO - 1;
  const part = (ratio - 1) / span;
  const uPart = Math.hypot(u / span, (part * WATER_SPREAD) / span);
  const clip = (x: number): number => Math.min(1, Math.max(0, x));
  const mostlyWater = 1 - normalCdf((0.5 - part) / uPart);
  const text =
    mostlyWater > 0.9
      ? 'most of the gas is water vapour: walls, a liquid or steam rather than an air leak'
      : mostlyWater < 0.1
        ? 'most of the gas is air or the like: a leak, a trapped pocket or a feed rather than walls'
        : 'the two readings do not decide between air and water vapour';
  return {
    ratio: { value: ratio, low: ratio - 1.96 * u, high: ratio + 1.96 * u },
    waterPart: { value: clip(part), low: clip(part - 1.96 * uPart), high: clip(part + 1.96 * uPart) },
    mostlyWater,
    text,
  };
}
