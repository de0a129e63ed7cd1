import type { GaugePrinciple } from './gauge-scale';

/** Words of the trade in the names of columns, with the principle that they stand for. */
const WORDS: readonly (readonly [RegExp, GaugePrinciple])[] = [
  [/pirani|thermal|thermocouple|thermistor|heat[ _-]?conduction/i, 'thermal'],
  [/capacit|diaphragm|membrane|\bcdg\d*\b|\bcapman\b/i, 'capacitance'],
  [/piezo/i, 'piezo'],
  [/hot[ _-]?(cathode|filament)|bayard/i, 'hot-cathode'],
  [/cold[ _-]?cathode|penning/i, 'cold-cathode'],
];

/**
 * How a gauge works, as far as the name of its column tells: a guess that has to be shown.
 * @param name header of a column, such as `thermal [Pa]` or `CDG1 (mbar)`
 * @returns the principle, or undefined where the name does not tell it, or tells two
 * @source common practice, no source
 */
export function principleOfName(name: string): GaugePrinciple | undefined {
  const found = WORDS.filter(([pattern]) => pattern.test(name));
  return found.length === 1 ? found[0][1] : undefined;
}
