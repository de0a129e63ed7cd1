import { ArgumentError, QuantityError } from '../errors';
import { conversionToSI, unitNamed } from './convert';
import type { Dimension, Quantity, UncertaintyReading } from './quantity';
import type { Unit } from './unit';

/** How to read a quantity where the text leaves it open. */
export interface QuantityOptions {
  /**
   * What `± 0.6` means where the text does not say (`k = 1`, `k = 2`, `limits`): `k=2` where absent, the 95 % interval
   * of a certificate. `12.4(6)` is always one standard uncertainty (GUM 7.2.2), a range always limits.
   */
  readonly plusMinus?: 'k=1' | 'k=2' | 'limits';
  /** Unit of a bare number, such as `L`; without it a bare number is refused unless a number is wanted. */
  readonly unit?: string;
  /** Barometric pressure of the place, Pa; for gauge pressures and readings below atmosphere. */
  readonly barometerPa?: number;
}

const NUMBER = String.raw`[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+|\s?[x*]\s?10\^?[+-]?\d+)?`;
const CONCISE = /^([+-]?\d+(?:[.,]\d+)?)\((\d+)\)((?:[eE][+-]?\d+)?)\s*(.*)$/;
const RANGE = new RegExp(`^(${NUMBER})\\s*(?:to|\\.\\.\\.?|(?<=[\\d\\s])-)\\s*(${NUMBER})\\s*(.*)$`);
const LEADING = new RegExp(`^(${NUMBER})\\s*(.*)$`);
const FRACTION = /^(?:(\d+)[ -])?(\d+)\/(\d+)(?=[\s"'a-z])\s*(.+)$/i;
const LONGEST_TEXT = 120;

/**
 * Reads a quantity: `12.4 L ± 5 %`, `12.4 +/- 0.6 L`, `12.4(6) L`, `(12.4 ± 0.6) L (k = 1)`, `12 to 13 L`, `1/2 in`,
 * `2e-2 mbar`, `10 mTorr/h`, `20 degC ± 0.5 K`.
 * How a stated uncertainty is read: `±` as k = 2 unless the text or `options.plusMinus` says otherwise; digits in
 * parentheses as k = 1 (GUM 7.2.2); a range as limits of a rectangular distribution, half-width / sqrt 3 (GUM 4.3.7).
 * @param text the quantity as a person writes it
 * @param dimension the kind wanted; any where absent
 * @param options how to read what the text leaves open
 * @returns the quantity, its value and standard uncertainty in SI
 * @throws QuantityError where the text is no quantity, or its unit is unknown, ambiguous (with the choices) or of
 *   another kind
 * @source notations of GUM (JCGM 100) 7.2.2 and 7.2.4
 */
export function quantity(text: string, dimension?: Dimension, options: QuantityOptions = {}): Quantity {
  if (typeof text !== 'string') throw new ArgumentError('quantity', text, 'a text such as "12.4 L ± 5 %"');
  if (text.length > LONGEST_TEXT) throw new QuantityError(`${text.slice(0, 20)}...`, 'at most 120 characters');
  const { body, stated } = cutReading(tidy(text), text);
  const parts = readRange(body) ?? readConcise(body) ?? readPlusMinus(body, text);
  if (!parts) throw new QuantityError(text, 'a number with a unit, such as "12.4 L ± 5 %"');
  const unit = unitOf(parts.unit, dimension, options.unit, text);
  return assemble(text, parts, unit, stated, options);
}

/** A text taken apart: numbers in the written unit. */
interface Parts {
  readonly value: number;
  readonly unit: string;
  /** The uncertainty as written, in the unit, in another unit, or relative. */
  readonly spread: number;
  readonly spreadUnit: string;
  readonly read: UncertaintyReading | 'plus-minus';
  readonly assumptions: readonly string[];
}

function tidy(text: string): string {
  return text
    .replace(/[−–—]/g, '-')
    .replace(/[\u2009\u202f\u00a0]/g, ' ')
    .replace(/\+\s?\/?\s?-(?=\s?[\d.])/g, ' ± ')
    .replace(/×/g, 'x')
    .replace(/(\d) (?=\d{3}(?:\D|$))/g, '$1')
    .replace(/\s+/g, ' ')
    .trim();
}

/** Cuts `(k = 2)`, `, k=1`, `(95 %)`, `(limits)` off the end. */
function cutReading(body: string, text: string): { body: string; stated: 'k=1' | 'k=2' | 'limits' | undefined } {
  const match = /^(.*?)[\s,;]*\(?\b(?:k\s?=\s?([\d.]+)|(95)\s?%|(limits|rectangular))\)?$/i.exec(body);
  if (!match || !/[±(]/.test(match[1])) return { body, stated: undefined };
  if (match[4]) return { body: match[1], stated: 'limits' };
  const factor = match[3] ? 2 : Number(match[2]);
  if (factor !== 1 && factor !== 2)
    throw new QuantityError(text, 'a coverage factor of 1 or 2', ['k = 1', 'k = 2', 'limits']);
  return { body: match[1], stated: factor === 1 ? 'k=1' : 'k=2' };
}

function readRange(body: string): Parts | undefined {
  const match = RANGE.exec(body);
  if (!match || match[3].includes('±')) return undefined;
  const [low, high] = [toNumber(match[1]), toNumber(match[2])];
  if (!(high.value > low.value)) throw new QuantityError(body, 'a range from low to high');
  const spread = (high.value - low.value) / 2;
  const assumptions = [...low.assumptions, ...high.assumptions];
  return {
    value: (low.value + high.value) / 2,
    unit: match[3],
    spread,
    spreadUnit: match[3],
    read: 'limits',
    assumptions,
  };
}

function readConcise(body: string): Parts | undefined {
  const match = CONCISE.exec(body);
  if (!match || match[4].includes('±')) return undefined;
  const digits = match[1].split(/[.,]/)[1]?.length ?? 0;
  const power = Number(match[3].slice(1) || 0);
  const { value, assumptions } = toNumber(match[1] + match[3]);
  const spread = Number(`${match[2]}e${power - digits}`);
  return { value, unit: match[4], spread, spreadUnit: match[4], read: 'k=1', assumptions };
}

function readPlusMinus(body: string, text: string): Parts | undefined {
  const wrapped = /^\((.*±.*)\)\s*(.*)$/.exec(body);
  const [left, right, more] = (wrapped ? `${wrapped[1]} ${wrapped[2]}` : body).split('±').map((part) => part.trim());
  if (more !== undefined) throw new QuantityError(text, 'one ± only');
  const first = readNumber(left);
  if (!first) return undefined;
  if (right === undefined) return { ...first, spread: 0, spreadUnit: '', read: 'none' };
  const second = readNumber(right);
  if (!second || second.value < 0) throw new QuantityError(text, 'a number >= 0 after ±');
  const unit = first.unit || (second.unit === '%' ? '' : second.unit);
  const assumptions = [...first.assumptions, ...second.assumptions];
  return {
    value: first.value,
    unit,
    spread: second.value,
    spreadUnit: second.unit || unit,
    read: 'plus-minus',
    assumptions,
  };
}

function readNumber(part: string): { value: number; unit: string; assumptions: readonly string[] } | undefined {
  const fraction = FRACTION.exec(part);
  if (fraction && Number(fraction[3]) > 0) {
    const value = Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
    return { value, unit: fraction[4], assumptions: [] };
  }
  const match = LEADING.exec(part);
  if (!match) return undefined;
  return { ...toNumber(match[1]), unit: match[2] };
}

function toNumber(written: string): { value: number; assumptions: readonly string[] } {
  const scientific = written.replace(/\s?[x*]\s?10\^?/, 'e');
  if (!scientific.includes(',')) return finite(Number(scientific), written, []);
  const point = scientific.replace(',', '.');
  if (/,\d{3}(?:$|e)/i.test(scientific) && !/^[+-]?0,/.test(scientific)) {
    throw new QuantityError(written, 'a decimal point', [point, scientific.replace(',', '')]);
  }
  return finite(Number(point), written, [`comma in ${written} read as the decimal mark`]);
}

function finite(value: number, written: string, assumptions: readonly string[]): ReturnType<typeof toNumber> {
  if (!Number.isFinite(value)) throw new QuantityError(written, 'a finite number');
  return { value, assumptions };
}

function unitOf(label: string, dimension: Dimension | undefined, fallback: string | undefined, text: string): Unit {
  const written = label || fallback || '';
  if (written === '') {
    if (dimension === 'number') return unitNamed('%');
    throw new QuantityError(text, dimension ? `a number with a unit of ${dimension}` : 'a unit after the number');
  }
  try {
    return unitNamed(written, dimension);
  } catch (error) {
    if (!(error instanceof QuantityError)) throw error;
    throw new QuantityError(text, error.expected, error.choices);
  }
}

function assemble(
  text: string,
  parts: Parts,
  unit: Unit,
  stated: 'k=1' | 'k=2' | 'limits' | undefined,
  options: QuantityOptions,
): Quantity {
  const bare = unit.dimension === 'number' && parts.unit === '' && !options.unit;
  const { scale, offset } = bare ? { scale: 1, offset: 0 } : conversionToSI(unit, options.barometerPa);
  const si = parts.value * scale + offset;
  if (unit.barometer !== 'none' && si < 0) throw new QuantityError(text, 'a pressure above zero at this barometer');
  if (unit.dimension === 'temperature' && si < 0) throw new QuantityError(text, 'a temperature above absolute zero');
  const read = parts.read === 'plus-minus' ? (stated ?? options.plusMinus ?? 'k=2') : parts.read;
  const wide = spreadSI(text, parts, unit, scale, si);
  const divisor = read === 'k=2' ? 2 : read === 'limits' ? Math.sqrt(3) : 1;
  return {
    dimension: unit.dimension,
    si,
    standardUncertainty: wide / divisor,
    unit: bare ? '' : unit.label,
    uncertaintyRead: read,
    assumptions: [...parts.assumptions, ...unit.assumptions],
  };
}

/** The stated spread in SI: relative, in the unit of the value, or in its own. */
function spreadSI(text: string, parts: Parts, unit: Unit, scale: number, si: number): number {
  if (parts.spread === 0) return 0;
  if (parts.spreadUnit === '%' && parts.unit !== '%') {
    if (unit.offset !== 0) throw new QuantityError(text, 'an uncertainty in K or degrees, not in % of a temperature');
    return (Math.abs(si) * parts.spread) / 100;
  }
  if (parts.spreadUnit === parts.unit || parts.spreadUnit === '') return parts.spread * Math.abs(scale);
  const kind = unit.dimension === 'temperature' ? 'temperature difference' : unit.dimension;
  return parts.spread * unitNamed(parts.spreadUnit, kind).scale;
}
