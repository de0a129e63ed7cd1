import { ArgumentError, QuantityError } from '../errors';
import { GAS_CONSTANT, STANDARD_ATMOSPHERE } from './constants';
import { findUnit } from './find-unit';
import type { Dimension } from './quantity';
import type { Unit } from './unit';

/** Scale and offset of a unit, so that a whole column converts in one pass: SI = value x scale + offset. */
export interface Conversion {
  /** SI units in one of the unit. */
  readonly scale: number;
  /** What is added then, in SI. */
  readonly offset: number;
}

/**
 * Scale and offset to SI, with the barometer worked in for gauge pressures and for readings below atmosphere.
 * @param unit the unit
 * @param barometerPa barometric pressure at the place (station level, not reduced to sea level), Pa, > 0; needed for
 *   gauge and vacuum units only
 * @returns scale and offset such that SI = value x scale + offset
 * @throws QuantityError where a unit needs a barometer and none is given; ArgumentError for a useless barometer
 * @source the table of units: NIST SP 811
 */
export function conversionToSI(unit: Unit, barometerPa?: number): Conversion {
  if (unit.barometer === 'none') return { scale: unit.scale, offset: unit.offset };
  if (barometerPa === undefined) {
    throw new QuantityError(unit.label, 'the barometric pressure of the place, since this unit reads from it', [
      `${unit.label} with a barometer in Pa`,
      unit.label.replace(/ (gauge|vac)$|(?<=psi|bar)g$/, (_, word) => (word ? ' abs' : 'a')),
    ]);
  }
  if (!(barometerPa > 0 && barometerPa < Infinity)) throw new ArgumentError('barometer', barometerPa, '> 0 Pa');
  const below = unit.barometer === 'below';
  const percent = unit.label === '% vac';
  const scale = percent ? barometerPa / 100 : unit.scale;
  return { scale: below ? -scale : scale, offset: barometerPa };
}

/**
 * A value in SI.
 * @param value the reading, in `unit`; finite
 * @param unit the unit, or its label
 * @param barometerPa barometric pressure, Pa, > 0; for gauge and vacuum units only
 * @returns the value in the SI unit of the unit's kind (Pa, m3, s, K, m3/s, Pa m3/s, mol/s, kg/s, ...)
 * @throws ArgumentError where the value is not finite; QuantityError where the unit is unknown, or a reading below
 *   atmosphere is larger than the barometer allows
 * @source the table of units: NIST SP 811
 */
export function toSI(value: number, unit: Unit | string, barometerPa?: number): number {
  if (!Number.isFinite(value)) throw new ArgumentError('value', value, 'a finite number');
  const known = unitNamed(unit);
  const { scale, offset } = conversionToSI(known, barometerPa);
  const si = value * scale + offset;
  if (known.barometer !== 'none' && si < 0) {
    throw new QuantityError(`${value} ${known.label}`, `at most ${barometerPa} Pa below the barometer`);
  }
  return si;
}

/**
 * A value in a unit, from SI.
 * @param si the value in SI
 * @param unit the unit wanted, or its label
 * @param barometerPa barometric pressure, Pa, > 0; for gauge and vacuum units only
 * @returns the value in `unit`
 * @throws ArgumentError where the value is not finite; QuantityError where the unit is unknown or needs a barometer
 * @source the table of units: NIST SP 811
 */
export function fromSI(si: number, unit: Unit | string, barometerPa?: number): number {
  if (!Number.isFinite(si)) throw new ArgumentError('value', si, 'a finite number');
  const { scale, offset } = conversionToSI(unitNamed(unit), barometerPa);
  return (si - offset) / scale;
}

/**
 * A value in another unit of the same kind.
 * @param value the value, in `from`; finite
 * @param from its unit or label
 * @param to the unit wanted or its label; of the same kind
 * @param barometerPa barometric pressure, Pa, > 0; for gauge and vacuum units only
 * @returns the value in `to`
 * @throws QuantityError where the kinds differ or a unit is unknown; ArgumentError where the value is not finite
 * @source the table of units: NIST SP 811
 */
export function convert(value: number, from: Unit | string, to: Unit | string, barometerPa?: number): number {
  const source = unitNamed(from);
  const target = typeof to === 'string' ? (findUnit(to, source.dimension) ?? unitNamed(to)) : to;
  if (source.dimension !== target.dimension) {
    throw new QuantityError(target.label, `a unit of ${source.dimension}, as ${source.label} is`);
  }
  return fromSI(toSI(value, source, barometerPa), target, barometerPa);
}

/**
 * A column of readings in SI, in one pass; NaN stays NaN.
 * @param values readings in `unit`
 * @param unit the unit
 * @param barometerPa barometric pressure, Pa, > 0; for gauge and vacuum units only
 * @returns a new column in SI
 * @throws QuantityError where the unit needs a barometer and none is given
 * @source the table of units: NIST SP 811
 */
export function columnToSI(values: Float64Array, unit: Unit, barometerPa?: number): Float64Array {
  const { scale, offset } = conversionToSI(unit, barometerPa);
  const out = new Float64Array(values.length);
  for (let i = 0; i < values.length; i++) out[i] = values[i] * scale + offset;
  return out;
}

/**
 * The unit that a label means, or an error that says what could be meant.
 * @param unit a label, or a unit which is returned as it is
 * @param dimension the kind wanted; any where absent
 * @returns the unit
 * @throws QuantityError where the label is unknown, ambiguous (with the choices) or of another kind
 * @source the table of units: NIST SP 811
 */
export function unitNamed(unit: Unit | string, dimension?: Dimension): Unit {
  if (typeof unit !== 'string') return unit;
  const known = findUnit(unit, dimension);
  if (known && known.choices.length > 0)
    throw new QuantityError(unit, 'a label that can mean one unit only', known.choices);
  if (known) return known;
  const other = dimension && findUnit(unit);
  if (other) throw new QuantityError(unit, `a unit of ${dimension}, not of ${other.dimension}`);
  throw new QuantityError(unit, dimension ? `a unit of ${dimension}` : 'a known unit');
}

/**
 * Molar flow of a throughput: n = Q / (R T).
 * @param throughput Pa m3/s
 * @param temperature of the gas for which the throughput is stated, K, > 0
 * @returns molar flow, mol/s
 * @throws ArgumentError where an argument is not finite or the temperature not positive
 * @source ideal gas law; R exact since 2019
 */
export function molarFlow(throughput: number, temperature: number): number {
  if (!Number.isFinite(throughput)) throw new ArgumentError('throughput', throughput, 'a finite number of Pa m3/s');
  if (!(temperature > 0 && temperature < Infinity)) throw new ArgumentError('temperature', temperature, '> 0 K');
  return throughput / (GAS_CONSTANT * temperature);
}

/**
 * Throughput of a molar flow: Q = n R T.
 * @param flow mol/s
 * @param temperature of the gas for which the throughput shall be stated, K, > 0
 * @returns throughput, Pa m3/s
 * @throws ArgumentError where an argument is not finite or the temperature not positive
 * @source ideal gas law; R exact since 2019
 */
export function throughputOf(flow: number, temperature: number): number {
  if (!Number.isFinite(flow)) throw new ArgumentError('molar flow', flow, 'a finite number of mol/s');
  return flow / molarFlow(1, temperature);
}

/**
 * Absolute pressure from a reading below atmosphere, as dials show it: p = barometer - reading.
 * @param readingPa the reading below atmosphere, Pa, 0 to the barometer
 * @param barometerPa barometric pressure at the place, Pa, > 0; 101325 where absent
 * @returns absolute pressure, Pa
 * @throws ArgumentError where the reading is below 0 or above the barometer, or that is useless
 * @source definition; Ryans and Roper 1986, eq. 3-1
 */
export function belowAtmosphere(readingPa: number, barometerPa: number = STANDARD_ATMOSPHERE): number {
  if (!(barometerPa > 0 && barometerPa < Infinity)) throw new ArgumentError('barometer', barometerPa, '> 0 Pa');
  if (!(readingPa >= 0 && readingPa <= barometerPa)) {
    throw new ArgumentError('reading below atmosphere', readingPa, `0 to the barometer, ${barometerPa} Pa`);
  }
  return barometerPa - readingPa;
}
