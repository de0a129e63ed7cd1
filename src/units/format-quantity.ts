import { ArgumentError } from '../errors';
import { fromSI, unitNamed } from './convert';
import type { Quantity } from './quantity';
import type { Unit } from './unit';

/** How to show a quantity. */
export interface FormatOptions {
  /** Label of the unit to show it in; that of the quantity where absent. */
  readonly unit?: string;
  /** Significant digits of a value that has no uncertainty, 1 to 15; 4 where absent. */
  readonly digits?: number;
}

/** A value with its 95 % interval, as `Estimate` of the results. */
export interface Interval {
  /** Best value, SI. */
  readonly value: number;
  /** Lower end of the interval, SI; -Infinity where the data set none. */
  readonly low: number;
  /** Upper end of the interval, SI; Infinity where the data set none. */
  readonly high: number;
}

const POWER_BELOW = -3;
const POWER_ABOVE = 5;

/**
 * A quantity for reading: `3.2e-4 ± 0.4e-4 Pa m3/s (k = 2)`. The uncertainty is shown expanded, rounded to one digit,
 * two where it begins with 1 or 2, and the value to the same place (GUM 7.2.6). Without uncertainty: 4 digits.
 * @param quantity the quantity
 * @param options unit and digits
 * @returns the text
 * @throws QuantityError where the unit is unknown or of another kind; ArgumentError where value, uncertainty or digits are
 *   useless
 * @source GUM (JCGM 100) 7.2.6
 */
export function formatQuantity(quantity: Quantity, options: FormatOptions = {}): string {
  const { standardUncertainty } = quantity;
  if (!(standardUncertainty >= 0 && standardUncertainty < Infinity)) {
    throw new ArgumentError('standard uncertainty', standardUncertainty, 'a finite number, zero or above');
  }
  const label = options.unit ?? quantity.unit;
  if (label === '' || (label === '%' && options.unit === undefined && quantity.unit === '')) {
    return join(
      plusMinus(quantity.si, 2 * quantity.standardUncertainty, options.digits),
      '',
      quantity.standardUncertainty,
    );
  }
  const unit = unitNamed(label, quantity.dimension);
  const [value, expanded] = shown(quantity, unit);
  return join(plusMinus(value, expanded, options.digits), unit.label, expanded);
}

function shown(quantity: Quantity, unit: Unit): [number, number] {
  if (unit.barometer !== 'none') throw new ArgumentError('unit', unit.label, 'a unit that does not need a barometer');
  return [fromSI(quantity.si, unit), (2 * quantity.standardUncertainty) / unit.scale];
}

function join(number: string, label: string, uncertainty: number): string {
  return [number, label, uncertainty > 0 ? '(k = 2)' : ''].filter((part) => part !== '').join(' ');
}

/**
 * A value with its 95 % interval, for reading: `3.2e-4 ± 0.4e-4 Pa m3/s (95 %)` where the interval lies evenly about the
 * value, `3.2e-4 (2.0e-4 to 5.1e-4) Pa m3/s (95 %)` where not, `below 5.1e-4 ...` where the data set no lower bound.
 * @param interval value and interval, in SI
 * @param unit the unit to show it in, or its label
 * @returns the text
 * @throws QuantityError where the unit is unknown; ArgumentError where the value is not finite
 * @source GUM (JCGM 100) 7.2.6
 */
export function formatInterval(interval: Interval, unit: Unit | string): string {
  const known = unitNamed(unit);
  const to = (si: number): number => (Number.isFinite(si) ? fromSI(si, known) : si);
  const [value, low, high] = [fromSI(interval.value, known), to(interval.low), to(interval.high)];
  const end = `${known.label} (95 %)`;
  if (low === -Infinity && high === Infinity) return `${formatNumber(value)} ${known.label} (no bound)`;
  if (low === -Infinity) return `below ${formatNumber(high, 2)} ${end}`;
  if (high === Infinity) return `above ${formatNumber(low, 2)} ${end}`;
  const half = (high - low) / 2;
  if (half === 0) return `${formatNumber(value)} ${known.label}`;
  if (Math.abs((high + low) / 2 - value) <= 0.1 * half) return `${plusMinus(value, half)} ${end}`;
  // As many digits as tell the ends apart: two where the interval is as wide as the value.
  const digits = Math.min(8, Math.max(2, exponentOf(value) - exponentOf(half) + 2));
  const [middle, from, to95] = [value, low, high].map((number) => formatNumber(number, digits));
  return `${middle} (${from} to ${to95}) ${end}`;
}

/**
 * A number for reading, with a power of ten where it is small or large: `0.012`, `3.2e-4`.
 * @param value the number, any unit
 * @param digits significant digits, 1 to 15; 4 where absent
 * @returns the text, without needless zeros at the end; a number that is not finite as its name
 * @throws ArgumentError where the digits are no whole number from 1 to 15
 * @source our own notation
 */
export function formatNumber(value: number, digits = 4): string {
  if (!(Number.isInteger(digits) && digits >= 1 && digits <= 15)) {
    throw new ArgumentError('digits', digits, 'a whole number, 1 to 15');
  }
  if (!Number.isFinite(value)) return String(value);
  if (value === 0) return '0';
  const rounded = Number(value.toPrecision(digits));
  const exponent = exponentOf(rounded);
  if (exponent < POWER_BELOW || exponent >= POWER_ABOVE) {
    const mantissa = Number((rounded / 10 ** exponent).toPrecision(digits));
    return `${mantissa}e${exponent}`;
  }
  return String(rounded);
}

function exponentOf(value: number): number {
  return value === 0 ? 0 : Number(value.toExponential().split('e')[1]);
}

/** `value ± spread` on a common power of ten and to the same place. */
function plusMinus(value: number, spread: number, digits = 4): string {
  const alone = formatNumber(value, digits);
  if (!(spread > 0)) return alone;
  const leading = Number(spread.toExponential(1).split('e')[0]);
  const keep = leading < 3 ? 2 : 1;
  const rounded = Number(spread.toPrecision(keep));
  const lastPlace = exponentOf(rounded) - keep + 1;
  const exponent = exponentOf(Math.max(Math.abs(value), rounded));
  const power = exponent < POWER_BELOW || exponent >= POWER_ABOVE ? exponent : 0;
  const decimals = Math.min(Math.max(power - lastPlace, 0), 15);
  const put = (x: number): string => {
    const steps = Math.round(x / 10 ** lastPlace);
    const text = (steps * 10 ** (lastPlace - power)).toFixed(decimals);
    return power === 0 || steps === 0 ? text : `${text}e${power}`;
  };
  return `${put(value)} ± ${put(rounded)}`;
}
