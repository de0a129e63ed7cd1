import { ArgumentError } from '../errors';

/**
 * Refuses a number that is not finite.
 * @param what name of the argument, for the message
 * @param value the number, any unit
 * @returns the same number
 * @throws ArgumentError where it is NaN or infinite
 */
export function requireFinite(what: string, value: number): number {
  if (!Number.isFinite(value)) throw new ArgumentError(what, value, 'a finite number');
  return value;
}

/**
 * Refuses a number that is not finite and above zero.
 * @param what name of the argument, for the message
 * @param value the number, any unit
 * @returns the same number
 * @throws ArgumentError where it is NaN, infinite, zero or negative
 */
export function requirePositive(what: string, value: number): number {
  if (!(value > 0 && value < Infinity)) throw new ArgumentError(what, value, 'a finite number above zero');
  return value;
}

/**
 * Refuses a number that is not finite and at least zero.
 * @param what name of the argument, for the message
 * @param value the number, any unit
 * @returns the same number
 * @throws ArgumentError where it is NaN, infinite or negative
 */
export function requireNotNegative(what: string, value: number): number {
  if (!(value >= 0 && value < Infinity)) throw new ArgumentError(what, value, 'a finite number, zero or above');
  return value;
}

/**
 * Refuses a number that is no probability.
 * @param what name of the argument, for the message
 * @param value the number, 0 to 1
 * @returns the same number
 * @throws ArgumentError where it is NaN, below 0 or above 1
 */
export function requireProbability(what: string, value: number): number {
  if (!(value >= 0 && value <= 1)) throw new ArgumentError(what, value, 'a probability from 0 to 1');
  return value;
}

/**
 * Refuses a word that is none of those known.
 * @param what name of the argument, for the message
 * @param value the word
 * @param choices the words known
 * @returns the same word
 * @throws ArgumentError where it is none of them
 */
export function requireOneOf<T extends string>(what: string, value: T, choices: readonly T[]): T {
  if (!choices.includes(value)) throw new ArgumentError(what, value, `one of ${choices.join(', ')}`);
  return value;
}

/**
 * Refuses columns of different length.
 * @param what names of the columns, for the message
 * @param columns the columns, any unit
 * @returns their common length
 * @throws ArgumentError where the lengths differ
 */
export function requireSameLength(what: string, ...columns: readonly ArrayLike<number>[]): number {
  const lengths = columns.map((column) => column.length);
  if (lengths.some((length) => length !== lengths[0])) {
    throw new ArgumentError(what, lengths.join(' and '), 'columns of the same length');
  }
  return lengths[0];
}
