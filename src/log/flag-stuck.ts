import { FLAG } from './gauge-log';

/** Rows on either side from which the liveliness of a gauge is judged. */
const AROUND = 200;
const SHORTEST = 10;
/** Live readings needed for a judgement. */
const ENOUGH = 20;
/** Above this share of repeats, a gauge is too coarse to be called stuck. */
const TOO_COARSE = 0.25;

/**
 * Flags a stuck gauge: one value for far longer than its repeats around, at about the same level, lead to expect,
 * with a
 * leap when it comes free (or noise before it that died for good). A coarse gauge at a steady pressure repeats itself
 * around as well, and leaves its value by one of its own steps: that is not stuck.
 * @param values raw readings
 * @param flags changed in place
 * @returns number of readings flagged
 */
export function flagStuck(values: Float64Array, flags: Uint8Array): number {
  let count = 0;
  const n = values.length;
  for (let i = 0; i < n; i++) {
    if (flags[i] !== 0) continue;
    const from = i;
    while (i + 1 < n && flags[i + 1] === 0 && values[i + 1] === values[from]) i++;
    const length = i - from + 1;
    if (length < SHORTEST || !isStuck(values, flags, from, i)) continue;
    for (let k = from + 1; k <= i; k++) flags[k] |= FLAG.stuck;
    count += length - 1;
  }
  return count;
}

/** How readings move beside a run. */
interface Life {
  pairs: number;
  same: number;
  turns: number;
  steps: number;
  sum: number;
}

function isStuck(values: Float64Array, flags: Uint8Array, from: number, to: number): boolean {
  const level = values[from];
  const before = lifeBeside(values, flags, level, from - 1, -1);
  const after = lifeBeside(values, flags, level, to + 1, 1);
  const pairs = before.pairs + after.pairs;
  if (pairs < ENOUGH) return false;
  const share = (before.same + after.same + 1) / (pairs + 2);
  if (share > TOO_COARSE) return false;
  const expected = Math.log(values.length) / -Math.log(share);
  if (to - from + 1 <= 3 * expected + 5) return false;
  const usual = (before.sum + after.sum) / Math.max(before.steps + after.steps, 1);
  if (to + 1 < values.length && flags[to + 1] === 0 && Math.abs(values[to + 1] - level) > 2 * usual) return true;
  const turns = (before.turns + after.turns) / Math.max(before.steps + after.steps, 1);
  return turns > 0.3;
}

/** Counts repeats and turns on one side of a run, at levels within a factor two of it. */
function lifeBeside(values: Float64Array, flags: Uint8Array, level: number, start: number, away: -1 | 1): Life {
  const life: Life = { pairs: 0, same: 0, turns: 0, steps: 0, sum: 0 };
  let last = Number.NaN;
  let lastStep = 0;
  for (let k = 0, i = start; k < AROUND && i >= 0 && i < values.length; k++, i += away) {
    if (flags[i] !== 0) continue;
    const value = values[i];
    const near = Math.abs(value) < 2 * Math.abs(level) && Math.abs(value) > 0.5 * Math.abs(level);
    if (near && !Number.isNaN(last)) {
      const step = value - last;
      life.pairs++;
      if (step === 0) life.same++;
      else {
        life.steps++;
        life.sum += Math.abs(step);
        if (step * lastStep < 0) life.turns++;
        lastStep = step;
      }
    }
    last = near ? value : Number.NaN;
  }
  return life;
}
