import type { DataFrame } from 'danfojs-node';
import { ArgumentError } from '../../src/errors';
import { type FrameLike, isFrame } from '../display/kinds';

const isMissing = (value: unknown): boolean => value === null || value === undefined || value === '';

/** A column of numbers where every value is one or missing, else of texts. */
function columnOf(frame: FrameLike, k: number): Float64Array | string[] {
  const values = frame.values.map((row) => row[k]);
  const numeric = values.every((value) => typeof value === 'number' || typeof value === 'boolean' || isMissing(value));
  if (numeric) return Float64Array.from(values, (value) => (isMissing(value) ? Number.NaN : Number(value)));
  return values.map((value) => (isMissing(value) ? '' : String(value)));
}

/**
 * The columns of a danfo frame, by name: numbers as `Float64Array` (NaN where missing), anything else as texts. The types
 * are told by the values themselves, since danfo guesses a column's from its first rows.
 * @throws ArgumentError where it is no frame, or two columns have one name
 */
export function fromDataFrame(dataFrame: DataFrame): Record<string, Float64Array | string[]> {
  const frame: unknown = dataFrame;
  if (!isFrame(frame)) throw new ArgumentError('data frame', typeof frame, 'a danfo DataFrame');
  const twice = frame.columns.find((name, k) => frame.columns.indexOf(name) !== k);
  if (twice !== undefined) throw new ArgumentError('columns of the data frame', twice, 'each name once; rename one');
  return Object.fromEntries(frame.columns.map((name, k) => [name, columnOf(frame, k)]));
}
