import { ArgumentError } from '../../src/errors';
import { formatQuantity, fromSI, type Quantity, quantity, toSI } from '../../src/units';
import type { AnyInputOptions, InputDefault } from './options';

/** What a control holds: a number, a text, a tick, the place of a choice, or two ends. */
export type Held = number | string | boolean | readonly [number, number];

/** What a control looks like; the same in JupyterLab and on a page. */
export type ControlShape =
  | { readonly kind: 'field'; readonly step: number | null }
  | {
      readonly kind: 'slider';
      readonly min: number;
      readonly max: number;
      readonly step: number;
      readonly log: boolean;
    }
  | { readonly kind: 'choice'; readonly choices: readonly string[] }
  | { readonly kind: 'tick' }
  | { readonly kind: 'text' }
  | { readonly kind: 'window'; readonly min: number; readonly max: number; readonly step: number };

/** An input without its name: its look, what it holds at first, and what that means. */
export interface Control {
  readonly shape: ControlShape;
  /** What stands beside it; null for the name of the const. */
  readonly label: string | null;
  /** Unit of the numbers that it holds, for reading; empty where they have none. */
  readonly unit: string;
  readonly initial: Held;
  /**
   * The value that belongs to what it holds.
   * @throws ArgumentError or QuantityError where it is none
   */
  read(held: Held): unknown;
  /** The value in words. */
  words(held: Held): string;
}

/** Whether a text that nothing else is known of is a quantity: it begins like a number. */
export const beginsAsQuantity = (text: string): boolean => /^[\d\-+.(]/.test(text.trim());

/**
 * Makes out what an input is, from its default and its options.
 * @throws ArgumentError where they do not fit together; QuantityError where a text is no quantity
 */
export function controlFor(initial: InputDefault, options: AnyInputOptions = {}): Control {
  if (options.choices) return choice(initial, options.choices, options);
  if (typeof initial === 'boolean') return tick(initial, options);
  if (typeof initial === 'number') return number(initial, options);
  if (Array.isArray(initial)) return window(initial as [number, number], options);
  if (typeof initial !== 'string')
    throw new ArgumentError('input', initial, 'a number, a text, true or false, or [from, to]');
  const isQuantity = options.dimension !== undefined || options.unit !== undefined || beginsAsQuantity(initial);
  if (!isQuantity || options.text) return text(initial, options);
  return options.optional ? optionalControl(initial, options) : quantityControl(initial, options);
}

function common(options: AnyInputOptions): { label: string | null; unit: string } {
  return { label: options.label ?? null, unit: '' };
}

function choice(initial: unknown, choices: readonly (string | number)[], options: AnyInputOptions): Control {
  const place = choices.indexOf(initial as string | number);
  if (place < 0) throw new ArgumentError('input', initial, `one of its choices: ${choices.join(', ')}`);
  const read = (held: Held): string | number => {
    // An empty text or a tick is no place, though it counts as a number.
    const chosen = typeof held === 'number' ? choices[held] : undefined;
    if (chosen === undefined) throw new ArgumentError('choice', held, `a place from 0 to ${choices.length - 1}`);
    return chosen;
  };
  const shape = { kind: 'choice', choices: choices.map(String) } as const;
  return { ...common(options), shape, initial: place, read, words: (held) => String(read(held)) };
}

function tick(initial: boolean, options: AnyInputOptions): Control {
  const words = (held: Held): string => (held === true ? 'yes' : 'no');
  return { ...common(options), shape: { kind: 'tick' }, initial, read: (held) => held === true, words };
}

function text(initial: string, options: AnyInputOptions): Control {
  return { ...common(options), shape: { kind: 'text' }, initial, read: String, words: String };
}

function number(initial: number, options: AnyInputOptions): Control {
  const ends = endsOf(options, (end) => finite('input', end));
  const within = (held: Held): number => {
    const value = finite('input', typeof held === 'string' ? Number.NaN : held);
    if (value < ends.min || value > ends.max) throw new ArgumentError('input', value, rangeWords(ends.min, ends.max));
    return value;
  };
  within(initial);
  const { min, max } = ends;
  const hasBoth = Number.isFinite(min) && Number.isFinite(max);
  const shape: ControlShape = hasBoth
    ? slider(min, max, options, initial)
    : { kind: 'field', step: options.step ?? null };
  return { ...common(options), shape, initial, read: within, words: String };
}

function window(initial: readonly [number, number], options: AnyInputOptions): Control {
  const read = (held: Held): readonly [number, number] => {
    const [from, to] = Array.isArray(held) ? (held as unknown[]) : [];
    const ends = [finite('window', from), finite('window', to)] as const;
    if (initial.length !== 2 || ends[0] > ends[1])
      throw new ArgumentError('window', `[${ends}]`, '[from, to], from the lower to the higher');
    return ends;
  };
  const [, to] = read(initial);
  const ends = endsOf(options, (end) => finite('window', end));
  const min = Number.isFinite(ends.min) ? ends.min : Math.min(0, initial[0]);
  const max = Number.isFinite(ends.max) ? ends.max : to;
  const { step } = slider(min, max, options);
  const unit = options.unit ?? '';
  const words = (held: Held): string => `${read(held).join(' to ')}${unit && ` ${unit}`}`;
  return { label: options.label ?? null, unit, shape: { kind: 'window', min, max, step }, initial, read, words };
}

function quantityControl(initial: string, options: AnyInputOptions): Control {
  const first = quantity(initial, options.dimension, options);
  const parse = (words: string): Quantity => quantity(words, first.dimension, { ...options, unit: first.unit });
  const shared = { label: options.label ?? null, unit: first.unit };
  if (options.min === undefined || options.max === undefined) {
    const within = (held: Held): Quantity => inRange(parse(String(held)), options, parse);
    within(initial);
    return { ...shared, shape: { kind: 'text' }, initial, read: within, words: (held) => formatQuantity(within(held)) };
  }
  const inUnit = (value: Quantity): number => fromSI(value.si, first.unit);
  const ends = endsOf(options, (end) => inUnit(parse(String(end))));
  const isRelative = /%/.test(initial);
  const read = (held: Held): Quantity => {
    const si = toSI(finite('input', held), first.unit);
    const scale = isRelative && first.si !== 0 ? Math.abs(si / first.si) : 1;
    return inRange({ ...first, si, standardUncertainty: first.standardUncertainty * scale }, options, parse);
  };
  const start = Number(inUnit(first).toPrecision(12));
  read(start);
  const shape = slider(ends.min, ends.max, options, start);
  return { ...shared, shape, initial: start, read, words: (held) => formatQuantity(read(held)) };
}

/** A field for a quantity that may be left empty. */
function optionalControl(initial: string, options: AnyInputOptions): Control {
  if (options.dimension === undefined) throw new ArgumentError('optional input', 'no dimension', 'its dimension');
  const parse = (words: string): Quantity => quantity(words, options.dimension, options);
  const isEmpty = (held: Held): boolean => String(held).trim() === '';
  const read = (held: Held): Quantity | undefined =>
    isEmpty(held) ? undefined : inRange(parse(String(held)), options, parse);
  const words = (held: Held): string => {
    const value = read(held);
    return value === undefined ? 'not given' : formatQuantity(value);
  };
  read(initial);
  return { label: options.label ?? null, unit: '', shape: { kind: 'text' }, initial, read, words };
}

function inRange(value: Quantity, options: AnyInputOptions, parse: (words: string) => Quantity): Quantity {
  const low = options.min === undefined ? null : parse(String(options.min));
  const high = options.max === undefined ? null : parse(String(options.max));
  // Ends that were converted and back are met with a rounding.
  const slack = 1e-12 * Math.abs(value.si);
  if ((low && value.si < low.si - slack) || (high && value.si > high.si + slack)) {
    const words = (end: Quantity | null): string | number => (end ? formatQuantity(end) : Number.POSITIVE_INFINITY);
    throw new ArgumentError(
      'input',
      formatQuantity(value),
      low && high ? `${words(low)} to ${words(high)}` : low ? `at least ${words(low)}` : `at most ${words(high)}`,
    );
  }
  return value;
}

function endsOf(options: AnyInputOptions, read: (end: string | number) => number): { min: number; max: number } {
  const min = options.min === undefined ? Number.NEGATIVE_INFINITY : read(options.min);
  const max = options.max === undefined ? Number.POSITIVE_INFINITY : read(options.max);
  if (min >= max) throw new ArgumentError('input', `min ${min}, max ${max}`, 'min below max');
  return { min, max };
}

function slider(min: number, max: number, options: AnyInputOptions, initial = min): ControlShape & { kind: 'slider' } {
  const log = options.log === true;
  if (log && min <= 0) throw new ArgumentError('input', `min ${min}`, 'a min above zero, because log is set');
  const step = options.step ?? (log ? 0.01 : stepThrough(initial - min, tidyStep((max - min) / 100)));
  if (!(finite('step', step) > 0)) throw new ArgumentError('step', step, 'a number above zero');
  return { kind: 'slider', min, max, step, log };
}

/** Finest step that is taken so that a slider holds its first value: of the usual one. */
const FINEST_STEP = 0.001;

/** The step, or the next tidy one below it that leads to a distance: else a slider would show another value than it has. */
function stepThrough(distance: number, step: number): number {
  const leads = (by: number): boolean => Math.abs(distance / by - Math.round(distance / by)) < 1e-9;
  for (let by = step; by >= FINEST_STEP * step; by = tidyStep(0.6 * by)) if (leads(by)) return by;
  return step;
}

/** The power of ten, or twice or five times one, that is next below. */
function tidyStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  const digit = step / power >= 5 ? 5 : step / power >= 2 ? 2 : 1;
  return Number((digit * power).toPrecision(3));
}

function finite(what: string, value: unknown): number {
  if (typeof value !== 'number' || !Number.isFinite(value)) throw new ArgumentError(what, value, 'a finite number');
  return value;
}

function rangeWords(min: number, max: number): string {
  if (min === Number.NEGATIVE_INFINITY) return `at most ${max}`;
  return max === Number.POSITIVE_INFINITY ? `at least ${min}` : `${min} to ${max}`;
}
