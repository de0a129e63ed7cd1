import { BlankoffError, QuestionError } from '../errors';

/** Something that is open, with the answers that make sense. */
export interface OpenPoint {
  readonly 'what is open': string;
  /** Answers that make sense, where there is a list of them. */
  readonly answers: string;
}

/** What was worked out, or what stands in the way. */
export interface Attempt<T> {
  /** The result; null where something stands in the way. */
  readonly value: T | null;
  /** What has to be answered first, or why it cannot be done; empty where it was. */
  readonly open: readonly OpenPoint[];
}

/**
 * Tries something and keeps an open question, or the reason why it cannot be done, as a value that can be shown: a
 * notebook then goes on with what it has. Errors that are not ours go through.
 * @param work what to do
 * @returns its result, or what stands in the way
 */
export function attempt<T>(work: () => T): Attempt<T> {
  try {
    return { value: work(), open: [] };
  } catch (error) {
    if (error instanceof QuestionError) {
      const open = error.questions.map(({ text, choices }) => ({ 'what is open': text, answers: choices.join(', ') }));
      return { value: null, open };
    }
    if (error instanceof BlankoffError) return { value: null, open: [{ 'what is open': error.message, answers: '' }] };
    throw error;
  }
}

/**
 * Goes on from what was tried: with its result, or with what stands in its way.
 * @param before what was tried
 * @param work what to do with its result
 * @returns the result of that, or what stands in the way of either
 */
export function onward<A, B>(before: Attempt<A>, work: (value: A) => B): Attempt<B> {
  const { value, open } = before;
  return value === null ? { value: null, open } : attempt(() => work(value));
}
