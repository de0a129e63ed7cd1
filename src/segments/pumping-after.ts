import * as elementary from '../numerics/elementary';
import type { Hump } from './hump';
import type { Stretch, WorkingRecord } from './stretches';

/** Readings about a top in which its fall is looked for, and readings a fall is followed. */
const ABOUT = 4;
const FOLLOWED = 3;
/** Readings after it in which the pressure it falls to is looked for. */
const AHEAD = 40;

/**
 * How fast the pump takes hold after a top, as speed over volume, 1/s: the fastest d ln(p - base)/dt from one reading to
 * the next few. A lower bound where the pressure falls within a reading. A fall that does not last says nothing.
 * @param record the record
 * @param top the last reading before the fall
 * @returns 1/s; 0 where the pressure does not fall clearly
 */
export function pumpingAfter(record: WorkingRecord, top: number): number {
  const { pa, time } = record.readings;
  const last = Math.min(pa.length - 1, top + AHEAD);
  let basePa = Number.POSITIVE_INFINITY;
  for (let i = top + 1; i <= last; i++) basePa = Math.min(basePa, pa[i]);
  if (!Number.isFinite(basePa)) return 0;
  const floor = Math.max(4 * record.noise.sigmaPa(basePa), 0.02 * basePa);
  let fastest = 0;
  for (let i = Math.max(0, top - ABOUT); i <= Math.min(last - 1, top + ABOUT); i++) {
    if (pa[i] - basePa < 10 * record.noise.sigmaPa(pa[i]) + 2 * floor) continue;
    for (let j = i + 1; j <= Math.min(last, i + FOLLOWED); j++) {
      // What follows must stay low, or the fall was a dip.
      const later = Math.max(pa[Math.min(last, j + 1)], pa[Math.min(last, j + 2)]);
      const after = Math.max(pa[j] - basePa, later - basePa, floor);
      const before = pa[i] - basePa;
      if (before < 1.2 * after) continue;
      const span = Math.max(time[j] - time[i], 0.7 * (j - i) * record.stepS);
      if (span > 0) fastest = Math.max(fastest, elementary.log(before / after) / span);
    }
  }
  return fastest;
}

/** Fastest pumping seen in the record or after a hump, 1/s. */
export function pumpingSeen(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): number {
  return Math.max(record.pumpingPerS, hump.open ? 0 : pumpingAfter(record, stretches[hump.next - 1].to));
}
