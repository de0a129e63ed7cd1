import type { IsolationEvidence } from './record-evidence';

/** A moment at which a rise stops or slows at once. */
export interface SuddenStop {
  /** When, s from the first row. */
  readonly atS: number;
  /** How far off that may be, s. */
  readonly withinS: number;
}

/** Blocks on either side that a slope is taken from. */
const REACH = 4;
/** Past it the rise goes on with this part of its rate at most. */
const SLOWED = 0.4;
/** Standard deviations by which both rates differ at least. */
const SURE = 12;

/**
 * The moment at which a rise slows the most abruptly: a liquid that runs dry, as no wall and no vapour that saturates does,
 * for these bend slowly.
 * @param isolations of the thinned record
 * @returns the moment, or null where no rise stops at once
 */
export function suddenStop(isolations: readonly IsolationEvidence[]): SuddenStop | null {
  let best: SuddenStop | null = null;
  let sharpest = SURE;
  for (const one of isolations) {
    const n = one.pa.length;
    for (let b = REACH; b + REACH < n; b++) {
      const before = slope(one, b - REACH, b - 1);
      const after = slope(one, b + 1, b + REACH);
      if (!(before.rate > 0) || after.rate > SLOWED * before.rate) continue;
      // Up to it the rate stays; a rise that bends has lost some of it before.
      const last = slope(one, b - 2, b - 1).rate;
      const bends = last < 0.6 * slope(one, b - REACH, b - 3).rate || slope(one, b + 1, b + 2).rate > SLOWED * last;
      const sure = (before.rate - after.rate) / Math.hypot(before.sd, after.sd);
      if (bends || sure <= sharpest) continue;
      sharpest = sure;
      const atS =
        (after.at - before.at + before.rate * before.timeS - after.rate * after.timeS) / (before.rate - after.rate);
      const low = one.timeS[b - 1];
      const high = one.timeS[b + 1];
      best = { atS: Math.min(high, Math.max(low, atS)), withinS: 0.25 * (high - low) };
    }
  }
  return best;
}

/** Straight line through some blocks: rate and its standard deviation, with the middle it goes through. */
function slope({ timeS, pa, sd }: IsolationEvidence, from: number, to: number) {
  const n = to - from + 1;
  let t = 0;
  let p = 0;
  for (let b = from; b <= to; b++) {
    t += timeS[b] / n;
    p += pa[b] / n;
  }
  let tt = 0;
  let tp = 0;
  let noise = 0;
  for (let b = from; b <= to; b++) {
    tt += (timeS[b] - t) ** 2;
    tp += (timeS[b] - t) * (pa[b] - p);
    noise += (sd[b] * (timeS[b] - t)) ** 2;
  }
  return { rate: tp / tt, sd: Math.sqrt(noise) / tt, timeS: t, at: p };
}
