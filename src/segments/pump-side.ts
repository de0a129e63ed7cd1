import * as elementary from '../numerics/elementary';
import { medianBetween } from './readings';
import type { Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

/** The drop at closing, as a ratio of pressures, that makes one look for it. */
const DROP = 1.25;
/** The pressure comes back to where it was, up to this ratio. */
const BACK = 1.35;
/** A gauge that stands higher than this waits for a pump-down, Pa. */
const HIGHEST_PA = 2000;
/** The rise at the end overshoots at most by this ratio: more is gas let in. */
const OVERSHOOT = 30;
/** What may be left of its fall after a few readings: the pump's side of a valve is small. */
const STILL_FALLS = 0.3;
/** Fewest readings of such a stretch. */
const FEWEST = 8;

/**
 * Finds stretches in which a gauge on the pump's side of the valve sees the valve close: from a steady pressure a
 * sudden
 * fall to a lower one, then a sudden rise, after which the pressure comes back to where it was. A chamber that is
 * pumped
 * better would not go back by itself; one that is isolated would rise.
 * @returns isolations to lay over the spans, first and last reading
 */
export function pumpSideStretches(record: WorkingRecord, stretches: readonly Stretch[]): Span[] {
  const found: Span[] = [];
  let levelPa = Number.POSITIVE_INFINITY;
  for (let k = 1; k < stretches.length; k++) {
    const level = stretches[k - 1];
    if (level.to - level.from + 1 < 5 || Math.abs(elementary.log(level.endPa / level.startPa)) > 0.15) continue;
    if (level.endPa > HIGHEST_PA) continue;
    const end = lowUntil(record, stretches, k, level.endPa);
    if (end < 0) continue;
    found.push({
      kind: 'isolation',
      from: stretches[k].from,
      to: stretches[end].to,
      grounds: [
        'the pressure falls at once from a steady value, stays low, then rises at once and returns to that value: ' +
          "so does a gauge on the pump's side of a valve that closes and opens",
      ],
    });
    levelPa = Math.min(levelPa, level.endPa);
    k = end;
  }
  return found.length > 0 && lowestOutside(stretches, found) > levelPa / BACK ? found : [];
}

/**
 * Lowest pressure outside of the given stretches. With gas that is turned off and on the chamber goes back to a base it
 * has had before; on the pump's side of a valve so low a pressure is only seen while it is closed.
 */
function lowestOutside(stretches: readonly Stretch[], found: readonly Span[]): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const s of stretches) {
    if (found.some((f) => s.to >= f.from - 3 && s.from <= f.to + 3)) continue;
    lowest = Math.min(lowest, s.endPa);
  }
  return lowest;
}

/** The last stretch of the low that begins with stretch `k`, or -1 when it is none. */
function lowUntil(record: WorkingRecord, stretches: readonly Stretch[], k: number, levelPa: number): number {
  const { pa } = record.readings;
  const spread = Math.sqrt(record.longRun);
  const first = stretches[k];
  const reach = Math.min(first.from + 3, first.to, pa.length - 1);
  const sudden = pa[reach] * DROP < levelPa && first.startY < stretches[k - 1].endY - 10 * spread;
  if (!sudden) return -1;
  for (let j = k; j < stretches.length; j++) {
    const s = stretches[j];
    const next = stretches[j + 1];
    if (next === undefined || Math.max(s.startPa, s.endPa) * 1.1 > levelPa) return -1;
    const leap = next.startY - s.endY > 10 * spread && next.startPa > s.endPa * DROP;
    if (!leap) {
      // It must not creep up: that would be a chamber that is shut off.
      if (s.significance > 6 * record.longRun && s.endPa > s.startPa * 1.1) return -1;
      continue;
    }
    if (s.to - first.from + 1 < FEWEST || next.startPa > levelPa * OVERSHOOT) return -1;
    // What falls on for long is a shut chamber in which something takes gas up.
    const lowPa = medianBetween(pa, Math.max(first.from, s.to - 2), s.to);
    if (pa[reach] - lowPa > STILL_FALLS * (levelPa - lowPa)) return -1;
    return comesBack(record, stretches, j + 1, levelPa) ? j : -1;
  }
  return -1;
}

/** After the leap, does the pressure settle where it was before? */
function comesBack(record: WorkingRecord, stretches: readonly Stretch[], j: number, levelPa: number): boolean {
  const { pa } = record.readings;
  const from = stretches[j].from;
  for (let k = j; k < stretches.length && k < j + 12; k++) {
    const s = stretches[k];
    if (s.to - s.from + 1 < 5) continue;
    const flat = Math.abs(elementary.log(s.endPa / s.startPa)) < 0.1;
    const here = medianBetween(pa, Math.max(from, s.to - 4), s.to);
    if (flat) return here < levelPa * BACK && here * BACK > levelPa;
  }
  return false;
}
