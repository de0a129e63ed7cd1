import type { GaugePrinciple } from './gauge-scale';

/** Words of the trade, in names of columns and as people say them, with the principle that they stand for. */
const WORDS: readonly (readonly [RegExp, GaugePrinciple])[] = [
  [/pirani|thermal|thermocouple|thermistor|convection|heat[ _-]?conduction/i, 'thermal'],
  [/capacit|diaphragm|membrane|\bcdg\d*\b|\bcapman\b/i, 'capacitance'],
  [/piezo/i, 'piezo'],
  [/hot[ _-]?(cathode|filament)|bayard|alpert/i, 'hot-cathode'],
  // A cold cathode ionizes, too, but is called by its cathode.
  [/^(?!.*(cold|penning|magnetron)).*(\bion(i[sz]ation)?[ _-]?gau?ge|^ion(i[sz]ation)?$)/i, 'hot-cathode'],
  [/cold[ _-]?cathode|penning|inverted[ _-]?magnetron/i, 'cold-cathode'],
];

/**
 * How a gauge works, as far as its name tells: a guess that has to be shown.
 * @param name header of a column, such as `thermal [Pa]` or `CDG1 (mbar)`, or what people call a gauge
 * @returns the principle, or undefined where the name does not tell it, or tells two
 * @source common practice, no source
 */
export function principleOfName(name: string): GaugePrinciple | undefined {
  const found = new Set(WORDS.filter(([pattern]) => pattern.test(name)).map(([, principle]) => principle));
  return found.size === 1 ? [...found][0] : undefined;
}
