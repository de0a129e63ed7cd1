import { findUnit, type Unit } from '../units';
import { FLAG } from './gauge-log';
import { numberAt, numberStop } from './number-text';

/** A cell as a reading: its number, its flag, and what followed the number. */
export interface Reading {
  /** NaN where the cell holds none; the bound where it says `>1000` or `<1e-3`. */
  readonly value: number;
  /** Bits of `FLAG`. */
  readonly flag: number;
  /** Text behind the number, such as a unit; empty where there is none. */
  readonly suffix: string;
  /** False where the text makes no sense as a reading. */
  readonly understood: boolean;
}

const WORDS = new Map<string, number>();
const SPELLINGS: readonly (readonly [number, string])[] = [
  [
    FLAG.overRange,
    'over|ovr|or|o.r.|over range|overrange|over-range|over_range|above range|ol|o.l.|ovl|ovrng|overflow',
  ],
  [
    FLAG.overRange,
    'overload|high|hi|+++|>>>|>|sat|saturated|inf|+inf|infinity|+infinity|1.#inf|+ovfl|ovfl|messbereich +',
  ],
  [
    FLAG.overRange,
    'überbereich|ueberbereich|zu hoch|max|over rng|upper range|out of range high|or hi|range over|>range',
  ],
  [FLAG.underRange, 'under|udr|ur|u.r.|under range|underrange|under-range|under_range|below range|ul|unrng|undrng'],
  [FLAG.underRange, 'underflow|low|lo|---<|<<<|<|-inf|-infinity|-1.#inf|-ovfl|unterbereich|zu niedrig|<range|min|udf'],
  [FLAG.off, 'off|aus|gauge off|gauge_off|sensor off|no sensor|no gauge|not connected|disconnected|disabled|standby'],
  [FLAG.off, 'filament off|fil off|emission off|hv off|no emission|degas|inactive|kein sensor|nc|n.c.|open circuit'],
  [FLAG.missing, '-|--|---|----|-----|–|—|.|..|...|*|**|***|****|*****|?|??|???|x|nan|nanq|1.#qnan|-1.#ind|1.#ind'],
  [FLAG.missing, 'n/a|na|#n/a|n.a.|null|none|nil|nodata|no data|missing|err|error|fault|fail|failed|timeout|time out'],
  [FLAG.missing, '#num!|#value!|#div/0!|#ref!|invalid|bad|bad data|no reading|sensor error|comm error|undefined|void'],
];
for (const [flag, words] of SPELLINGS) for (const word of words.split('|')) WORDS.set(word, flag);

/**
 * The flag that a word in place of a reading stands for.
 * @param text the cell
 * @returns bits of `FLAG`, or undefined where it is no such word
 */
export function wordFlag(text: string): number | undefined {
  const word = text.trim().toLowerCase();
  if (word === '') return FLAG.missing;
  return WORDS.get(word) ?? (/^[-–—_.=*?#\s]+$/.test(word) ? FLAG.missing : undefined);
}

const encoder = new TextEncoder();

/**
 * Reads a cell that is more than a plain number: words, bounds, thousands separators, powers of ten, units.
 * @param text the cell
 * @param mark decimal mark of the log
 * @returns its number, flag and unit text
 */
export function readReading(text: string, mark: '.' | ','): Reading {
  const flag = wordFlag(text);
  if (flag !== undefined) return { value: Number.NaN, flag, suffix: '', understood: true };
  const plain = tidyNumber(text, mark);
  const bound = /^([<>≤≥＜＞])\s*=?\s*(?=[-+.\d])/.exec(plain);
  const bytes = encoder.encode(bound ? plain.slice(bound[0].length) : plain);
  const value = numberAt(bytes, 0, bytes.length, mark === '.' ? 46 : 44);
  const none = { value: Number.NaN, flag: FLAG.missing, suffix: '', understood: false };
  if (Number.isNaN(value)) return none;
  if (!Number.isFinite(value)) return { ...none, flag: FLAG.overRange, understood: true };
  const suffix = new TextDecoder().decode(bytes.subarray(numberStop.at)).trim();
  if (/^[\d.,:/+-]/.test(suffix)) return none;
  const rangeFlag = bound ? (/[>≥＞]/.test(bound[1]) ? FLAG.overRange : FLAG.underRange) : FLAG.good;
  const word = suffix === '' || findUnit(suffix) ? undefined : wordFlag(suffix.replace(/^[([]|[)\]]$/g, ''));
  if (word !== undefined) return { value, flag: rangeFlag | word, suffix: '', understood: true };
  return suffix === '' || findUnit(suffix) ? { value, flag: rangeFlag, suffix, understood: true } : none;
}

/** Brings typographic forms to plain ones: minus signs, `x10^-5`, thousands separators. */
function tidyNumber(text: string, mark: '.' | ','): string {
  const plain = text
    .trim()
    .replace(/[−–‒]/g, '-')
    .replace(/(\d)\s?[x×*·]\s?10\^?\s?\(?([-+]?\d+)\)?/i, '$1E$2')
    .replace(/(\d)\s?[x×*·]\s?10([⁻⁺]?[⁰¹²³⁴-⁹]+)/i, (_, digit: string, power: string) => `${digit}E${lowered(power)}`)
    .replace(/^([-+]?\d{1,3})(?:['’\u00a0\u202f ]\d{3})+(?!\d)/, (group) => group.replace(/['’\u00a0\u202f ]/g, ''));
  if (mark === '.')
    return plain.replace(/^([-+<> ]*\d{1,3})((?:,\d{3})+)(?![\d,])/, (_, a, b) => a + b.replace(/,/g, ''));
  return plain.replace(/^([-+<> ]*\d{1,3})((?:\.\d{3})+)(?![\d.])/, (_, a, b) => a + b.replace(/\./g, ''));
}

function lowered(power: string): string {
  const digits = '⁰¹²³⁴⁵⁶⁷⁸⁹';
  return [...power].map((c) => (c === '⁻' ? '-' : c === '⁺' ? '+' : String(digits.indexOf(c)))).join('');
}

/**
 * The unit that stands behind the number in a cell.
 * @param suffix text behind the number
 * @returns the unit, or undefined where it is none
 */
export function suffixUnit(suffix: string): Unit | undefined {
  return suffix === '' ? undefined : findUnit(suffix);
}
