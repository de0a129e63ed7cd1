import { fromSI } from '../units';

/** A unit of time that suits a stretch, with seconds in one of it. */
export interface TimeScale {
  readonly unit: 's' | 'min' | 'h' | 'd';
  readonly seconds: number;
}

/**
 * The unit of time in which a stretch is read most easily.
 * @param durationS length of the stretch, s
 * @returns seconds up to 5 min, minutes up to 3 h, hours up to 4 d, then days
 */
export function timeScale(durationS: number): TimeScale {
  if (durationS <= 300) return { unit: 's', seconds: 1 };
  if (durationS <= 3 * 3600) return { unit: 'min', seconds: 60 };
  if (durationS <= 4 * 86_400) return { unit: 'h', seconds: 3600 };
  return { unit: 'd', seconds: 86_400 };
}

/**
 * A number as people write it: three digits, powers of ten where it is very large or small.
 * @param value any finite number
 * @param digits significant digits
 * @returns the text; `unbounded` or `unknown` where it is not finite
 */
export function shortNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return value > 0 ? 'unbounded' : value < 0 ? 'unbounded below' : 'unknown';
  if (value === 0) return '0';
  const size = Math.abs(value);
  if (size >= 1e-2 && size < 1e5) return String(Number(value.toPrecision(digits)));
  return Number(value.toPrecision(digits)).toExponential();
}

/**
 * Names that the reader can tell apart: as they are where they differ, else numbered.
 * @param names the names
 * @returns as many, all different
 */
export function toldApart(names: readonly string[]): string[] {
  const differ = new Set(names).size === names.length;
  return differ ? [...names] : names.map((name, i) => `${i + 1} ${name}`);
}

/**
 * A length of time in words, in its own best unit.
 * @param seconds the length, s
 * @returns such as `12.5 min`
 */
export function timeWords(seconds: number): string {
  const { unit, seconds: one } = timeScale(Math.abs(seconds));
  return `${shortNumber(seconds / one)} ${unit}`;
}

/**
 * A pressure in words.
 * @param pa the pressure, Pa; NaN where the gauge had no reading
 * @param unit the label to show it in
 * @returns such as `1.2e-3 mbar`, or `no reading`
 */
export function pressureWords(pa: number, unit: string): string {
  if (Number.isNaN(pa)) return 'no reading';
  return `${shortNumber(fromSI(pa, unit))} ${unit}`;
}

/**
 * The range of a logarithmic pressure axis: the readings' own range with a little air, in the unit shown.
 * @param low lowest positive value to show, in the unit shown
 * @param high highest value to show, in the unit shown
 */
export function logDomain(low: number, high: number): [number, number] {
  if (!(low > 0) || !(high > 0)) return [1e-3, 1];
  const air = Math.max(0.08, 0.05 * Math.log10(high / low));
  return [low * 10 ** -air, high * 10 ** air];
}

/**
 * Entries of a legend side by side, so that it is no wider than its chart: 0.8 em a letter, and the symbol.
 * @param names the entries
 * @param width width of the chart, pixels
 * @returns how many, at least 1
 */
export function legendColumns(names: readonly string[], width: number): number {
  const longest = names.reduce((most, name) => Math.max(most, name.length), 0);
  return Math.max(1, Math.min(names.length, Math.floor(width / (longest * 8.8 + 45))));
}

/** Vega expression: true on the grid lines of whole decades, which then stand out. */
const WHOLE_DECADE = 'abs(log(datum.value) / LN10 - round(log(datum.value) / LN10)) < 1e-6';

/** The y axis of a logarithmic pressure chart. */
export function logPressureAxis(unit: string, domain: readonly [number, number]): Record<string, unknown> {
  return {
    field: 'pressure',
    type: 'quantitative',
    title: `pressure / ${unit}`,
    scale: { type: 'log', domain, nice: false, clamp: true },
    axis: {
      format: '~g',
      labelOverlap: true,
      tickCount: 8,
      gridOpacity: { condition: { test: WHOLE_DECADE, value: 1 }, value: 0.35 },
    },
  };
}
