/** Units and quantities: what a person writes, and its value in SI. */

export * from './constants';
export {
  belowAtmosphere,
  type Conversion,
  columnToSI,
  conversionToSI,
  convert,
  fromSI,
  molarFlow,
  throughputOf,
  toSI,
  unitNamed,
} from './convert';
export { findUnit } from './find-unit';
export { type FormatOptions, formatInterval, formatNumber, formatQuantity, type Interval } from './format-quantity';
export { listUnits, siUnit } from './list-units';
export { type QuantityOptions, quantity } from './parse-quantity';
export * from './quantity';
export { shownUnit } from './shown-unit';
export type { BarometerUse, Unit } from './unit';
