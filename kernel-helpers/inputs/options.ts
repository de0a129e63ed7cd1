import type { Dimension, Quantity, QuantityOptions } from '../../src/units';

/** What all inputs may have. */
export interface InputOptions {
  /** What stands beside the control; the name of the const where absent. */
  readonly label?: string;
}

/** A number: with both ends a slider, else a field. */
export interface NumberOptions extends InputOptions {
  readonly min?: number;
  readonly max?: number;
  /** Smallest move; a hundredth of the range where absent. */
  readonly step?: number;
  /** A slider over powers of ten; both ends have to be above zero. */
  readonly log?: boolean;
}

/** One of several things. */
export interface ChoiceOptions<T extends string | number> extends InputOptions {
  /** The things; the default is one of them. */
  readonly choices: readonly T[];
}

/** A text that is no quantity though it may begin with a digit. */
export interface TextOptions extends InputOptions {
  readonly text: true;
}

/** A value with its unit: with both ends a slider in the unit of the default, else a field for a text such as `8 L ± 2 %`. */
export interface QuantityInputOptions extends InputOptions, QuantityOptions {
  /** The kind of quantity; that of the default where absent. */
  readonly dimension?: Dimension;
  /** Ends of a slider, as quantities (`'5 L'`) or as numbers in the unit of the default. */
  readonly min?: string | number;
  readonly max?: string | number;
  /** Smallest move, in the unit of the default; a hundredth of the range where absent. */
  readonly step?: number;
  /** A field that may be left empty; the value is then undefined: not given. */
  readonly optional?: boolean;
}

/** A stretch of time or of anything else, from and to. */
export interface WindowOptions extends InputOptions {
  /** What the two numbers count, such as `s`; it only stands beside the control. */
  readonly unit?: string;
  /** Ends of the control; 0 and the end of the default where absent. */
  readonly min?: number;
  readonly max?: number;
  /** Smallest move; a hundredth of the range where absent. */
  readonly step?: number;
}

type NumberStart = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | '-' | '+' | '.' | '(';

/** What an input with a text as default gives: a quantity where the text begins like a number, else the text. */
export type InputOfText<S extends string> = string extends S
  ? Quantity | string
  : S extends `${NumberStart}${string}`
    ? Quantity
    : string;

/** All that may stand in the options of an input, whatever its default. */
export type AnyInputOptions = InputOptions & {
  readonly min?: string | number;
  readonly max?: string | number;
  readonly step?: number;
  readonly log?: boolean;
  readonly choices?: readonly (string | number)[];
  readonly text?: boolean;
  readonly optional?: boolean;
  readonly dimension?: Dimension;
} & QuantityOptions;

/** What may be the default of an input. */
export type InputDefault = boolean | number | string | readonly [number, number];

/**
 * A value that a person may change while the notebook follows. In JupyterLab it is a control; anywhere else it is its
 * default, or what the command line gave.
 *
 * It is the whole initialiser of a top-level `const`, whose name is its key: `const volume = input('12.4 L ± 5 %')`.
 * `input(5)` is a number, `input(5, { min: 0, max: 10 })` a slider, `input(true)` a tick, `input('air', { choices })` a
 * choice, `input([0, 3600])` a window. A text that begins like a number is a quantity with its unit, never a bare number;
 * so is one with `dimension` or `unit`; any other text is a text, and so is one with `text: true`.
 * `input('', { dimension: 'volume', optional: true })` may be left empty.
 * @param initial the default
 * @param options label, ends, choices; a wrong combination is an error that says so
 * @returns the value now
 * @throws ArgumentError where default and options do not fit together; QuantityError where a text is no quantity;
 *   CellError where it stands anywhere else than as the whole initialiser of a top-level const
 */
export interface Input {
  (initial: boolean, options?: InputOptions): boolean;
  <const T extends string | number>(initial: T, options: ChoiceOptions<T>): T;
  (initial: number, options?: NumberOptions): number;
  (initial: readonly [number, number], options?: WindowOptions): readonly [number, number];
  (initial: string, options: TextOptions): string;
  (
    initial: string,
    options: QuantityInputOptions & { readonly dimension: Dimension; readonly optional: true },
  ): Quantity | undefined;
  (
    initial: string,
    options: QuantityInputOptions & ({ readonly dimension: Dimension } | { readonly unit: string }),
  ): Quantity;
  <const S extends string>(initial: S, options?: QuantityInputOptions): InputOfText<S>;
}
