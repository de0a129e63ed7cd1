import { randomUUID } from 'node:crypto';
import { sendDisplay } from '../display/send';
import { currentRun } from './current-run';

/** Between two pictures of the same progress, ms. */
const everyMs = 100;

interface Shown {
  readonly id: string;
  at: number;
}

/** What a run shows of its long works, by their words. */
const shownBy = new WeakMap<object, Map<string, Shown>>();
/** Outside a reactive kernel there is one run. */
const noRun = {};

/**
 * Shows how far a long work has come, in one line that is replaced, and pauses for a moment, so that an interrupt, a
 * moved input or another request is heard: `for (…) { …; await progress(i, n, 'fitting'); }`.
 * @param done how much is done, 0 to `of`
 * @param of how much there is, > 0
 * @param words what is being done
 */
export async function progress(done: number, of: number, words: string): Promise<void> {
  const run = currentRun() ?? noRun;
  const works = shownBy.get(run) ?? new Map<string, Shown>();
  shownBy.set(run, works);
  const shown = works.get(words);
  const now = Date.now();
  const isDone = done >= of;
  if (!shown || isDone || now - shown.at >= everyMs) {
    const text = isDone ? `${words}: done` : `${words}: ${Math.floor((100 * Math.max(0, done)) / of)} %`;
    const id = shown?.id ?? randomUUID();
    sendDisplay({ data: { 'text/plain': text }, metadata: {} }, id, shown !== undefined);
    if (isDone) works.delete(words);
    else works.set(words, { id, at: now });
  }
  await new Promise((resume) => setImmediate(resume));
}
