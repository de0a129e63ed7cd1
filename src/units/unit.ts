import type { Dimension } from './quantity';

/** How a pressure unit relates to the barometer: not at all, reading above it (gauge), or reading below it (vacuum). */
export type BarometerUse = 'none' | 'above' | 'below';

/** A unit of measurement: SI value = value x `scale` + `offset` (+ or - the barometer, see `barometer`). */
export interface Unit {
  /** Canonical label, plain letters, such as `mbar L/s`; `findUnit` reads it back. */
  readonly label: string;
  readonly dimension: Dimension;
  /** SI units per one of this unit; > 0. */
  readonly scale: number;
  /** SI value at reading 0, not counting the barometer; 0 but for degC and degF. */
  readonly offset: number;
  readonly barometer: BarometerUse;
  /** What was assumed to give the label a meaning, each in a sentence. */
  readonly assumptions: readonly string[];
  /** Where the label alone cannot decide: what it could mean; empty where it is clear. `scale` is then the likeliest. */
  readonly choices: readonly string[];
}

/** Exponents of length, mass, time, temperature, amount, current. */
export type Powers = readonly [number, number, number, number, number, number];

/** The kinds of quantity by their exponents. Temperature differences share those of temperature. */
const POWERS_OF: readonly (readonly [Dimension, Powers])[] = [
  ['number', [0, 0, 0, 0, 0, 0]],
  ['pressure', [-1, 1, -2, 0, 0, 0]],
  ['pressure rate', [-1, 1, -3, 0, 0, 0]],
  ['throughput', [2, 1, -3, 0, 0, 0]],
  ['molar flow', [0, 0, -1, 0, 1, 0]],
  ['mass flow', [0, 1, -1, 0, 0, 0]],
  ['volume', [3, 0, 0, 0, 0, 0]],
  ['pumping speed', [3, 0, -1, 0, 0, 0]],
  ['temperature', [0, 0, 0, 1, 0, 0]],
  ['time', [0, 0, 1, 0, 0, 0]],
  ['length', [1, 0, 0, 0, 0, 0]],
  ['area', [2, 0, 0, 0, 0, 0]],
  ['specific outgassing', [0, 1, -3, 0, 0, 0]],
  ['voltage', [2, 1, -3, 0, 0, -1]],
  ['current', [0, 0, 0, 0, 0, 1]],
  ['mass', [0, 1, 0, 0, 0, 0]],
  ['amount', [0, 0, 0, 0, 1, 0]],
  ['pressure volume', [2, 1, -2, 0, 0, 0]],
  ['viscosity', [-1, 1, -1, 0, 0, 0]],
  ['molar mass', [0, 1, 0, 0, -1, 0]],
];

const NAME_OF = new Map(POWERS_OF.map(([name, powers]) => [powers.join(), name]));

/**
 * The kind of quantity that has these exponents.
 * @param powers exponents of length, mass, time, temperature, amount, current
 * @returns the dimension, or undefined where this package has no use for it
 */
export function dimensionOf(powers: Powers): Dimension | undefined {
  return NAME_OF.get(powers.join());
}
