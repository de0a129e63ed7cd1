/** Steps looked at, spread over the log. */
const STEPS = 10_000;

/**
 * The usual time from row to row: the median of the steps forward, of some thousand of them spread over the log.
 * @param time of the rows, s
 * @returns the step, s; 0 where time never goes on
 */
export function usualStep(time: Float64Array): number {
  const stride = Math.max(1, Math.floor(time.length / STEPS));
  const steps: number[] = [];
  for (let i = 1; i < time.length; i += stride) {
    const step = time[i] - time[i - 1];
    if (step > 0) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  return steps.length === 0 ? 0 : steps[Math.floor(steps.length / 2)];
}

/**
 * Whether a table runs from its newest row to its oldest.
 * @param time of the rows as read, s
 * @returns whether nearly all steps go back
 */
export function fallsThroughout(time: Float64Array): boolean {
  if (time.length < 3) return false;
  let down = 0;
  let up = 0;
  for (let i = 1; i < time.length; i++) {
    if (time[i] < time[i - 1]) down++;
    else if (time[i] > time[i - 1]) up++;
  }
  return down > 10 * up && down > 1;
}
