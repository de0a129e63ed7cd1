import { ArgumentError } from '../errors';
import { requireFinite, requireOneOf, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { type Unit, unitNamed } from '../units';

/** The law of a gauge's voltage output. */
export type OutputLaw =
  /** p = full scale x (U - zero)/(full - zero). */
  | { readonly kind: 'linear'; readonly zeroVolts: number; readonly fullVolts: number; readonly fullScalePa: number }
  /** p = 10^(decades per volt x U + offset), in the unit named. */
  | {
      readonly kind: 'logarithmic';
      readonly decadesPerVolt: number;
      readonly offset: number;
      /** Unit of the pressure that the law gives. */
      readonly unit: Unit | string;
    };

/** Voltages that carry a pressure; outside, the output says that the gauge is off, broken, under or over range. */
export type VoltageSpan = readonly [lowest: number, highest: number];

/**
 * A logarithmic law from two points of the gauge's manual.
 * @param first voltage (V) and pressure (Pa)
 * @param second another voltage and pressure
 * @returns the law, giving Pa
 * @throws ArgumentError where voltages are equal or a pressure is not above zero
 * @source calc, the line through two points
 */
export function logarithmicLaw(first: readonly [number, number], second: readonly [number, number]): OutputLaw {
  const [u1, u2] = [requireFinite('voltage', first[0]), requireFinite('voltage', second[0])];
  if (u1 === u2) throw new ArgumentError('voltages', `${u1} and ${u2}`, 'two different voltages');
  const [d1, d2] = [first[1], second[1]].map((p) => elementary.log10(requirePositive('pressure', p)));
  const decadesPerVolt = (d2 - d1) / (u2 - u1);
  return { kind: 'logarithmic', decadesPerVolt, offset: d1 - decadesPerVolt * u1, unit: 'Pa' };
}

/**
 * Pressure from a gauge's voltage.
 * @param law the law of the output
 * @param volts V
 * @param span voltages that carry a pressure; any where absent. A saturated converter code must be dropped, not converted
 * @returns pressure, Pa; NaN for a voltage outside the span
 * @throws ArgumentError where law or voltage are useless
 * @source definition: `OutputLaw`
 */
export function pressureFromVoltage(law: OutputLaw, volts: number, span?: VoltageSpan): number {
  return columnFromVoltage(law, Float64Array.of(requireFinite('voltage', volts)), span)[0];
}

/**
 * Pressures from a column of voltages, in one pass.
 * @param law the law of the output
 * @param volts V; NaN stays NaN
 * @param span voltages that carry a pressure; any where absent
 * @returns a new column, Pa; NaN for voltages outside the span
 * @throws ArgumentError where law or span are useless
 * @source definition: `OutputLaw`
 */
export function columnFromVoltage(
  law: OutputLaw,
  volts: Float64Array,
  span: VoltageSpan = [-Infinity, Infinity],
): Float64Array {
  const convert = converter(law);
  const [lowest, highest] = span;
  if (!(lowest <= highest)) throw new ArgumentError('voltages', `${lowest} to ${highest}`, 'a lowest and a highest, V');
  return volts.map((u) => (u >= lowest && u <= highest ? convert(u) : Number.NaN));
}

function converter(law: OutputLaw): (volts: number) => number {
  if (law.kind === 'linear') {
    const width =
      requireFinite('voltage at full scale', law.fullVolts) - requireFinite('voltage at zero', law.zeroVolts);
    if (width === 0) throw new ArgumentError('voltage law', width, 'two different voltages');
    const perVolt = requirePositive('full scale', law.fullScalePa) / width;
    return (u) => (u - law.zeroVolts) * perVolt;
  }
  requireOneOf('voltage law', law.kind, ['linear', 'logarithmic']);
  const slope = requireFinite('decades per volt', law.decadesPerVolt);
  if (slope === 0) throw new ArgumentError('decades per volt', slope, 'a number that is not zero');
  const factor = pascals(law.unit) * elementary.power(10, requireFinite('offset', law.offset));
  return (u) => factor * elementary.power(10, slope * u);
}

function pascals(unit: Unit | string): number {
  return unitNamed(unit, 'pressure').scale;
}

/**
 * Voltage that a gauge puts out at a pressure: the inverse of `pressureFromVoltage`.
 * @param law the law of the output
 * @param pressure Pa; > 0 for a logarithmic law
 * @returns voltage, V
 * @throws ArgumentError where law or pressure are useless
 * @source definition: `OutputLaw`
 */
export function voltageFromPressure(law: OutputLaw, pressure: number): number {
  converter(law);
  if (law.kind === 'linear') {
    const width = law.fullVolts - law.zeroVolts;
    return law.zeroVolts + (requireFinite('pressure', pressure) / law.fullScalePa) * width;
  }
  const decades = elementary.log10(requirePositive('pressure', pressure) / pascals(law.unit));
  return (decades - law.offset) / law.decadesPerVolt;
}

/**
 * Standard uncertainty of a converter's step: full range / 2^bits / sqrt 12 (GUM F.2.2.1).
 * @param fullVolts range of the converter, V, > 0
 * @param bits whole bits, 1 to 32
 * @returns standard uncertainty, V
 * @throws ArgumentError where an argument is useless
 * @source GUM (JCGM 100) F.2.2.1
 */
export function converterUncertainty(fullVolts: number, bits: number): number {
  if (!(Number.isInteger(bits) && bits >= 1 && bits <= 32))
    throw new ArgumentError('bits', bits, 'a whole number, 1 to 32');
  return requirePositive('converter range', fullVolts) / elementary.power(2, bits) / Math.sqrt(12);
}

/**
 * Relative standard uncertainty of a pressure from that of a voltage: ln 10 x decades per volt x u(U) for a logarithmic
 * law; for a linear one u(U) over the voltage above zero.
 * @param law the law of the output
 * @param voltUncertainty standard uncertainty, V, >= 0
 * @param volts the voltage, V; needed for a linear law
 * @returns relative standard uncertainty, no unit
 * @throws ArgumentError where an argument is useless, or a linear law comes without a voltage above its zero
 * @source calc, the law differentiated
 */
export function voltageUncertaintyEffect(law: OutputLaw, voltUncertainty: number, volts?: number): number {
  if (!(voltUncertainty >= 0 && voltUncertainty < Infinity)) {
    throw new ArgumentError('uncertainty of the voltage', voltUncertainty, 'a finite number, zero or above');
  }
  converter(law);
  if (law.kind === 'logarithmic') return Math.LN10 * Math.abs(law.decadesPerVolt) * voltUncertainty;
  const above =
    volts === undefined
      ? Number.NaN
      : (requireFinite('voltage', volts) - law.zeroVolts) * Math.sign(law.fullVolts - law.zeroVolts);
  if (!(above > 0)) throw new ArgumentError('voltage', volts, 'a voltage above the zero of the law');
  return voltUncertainty / above;
}
