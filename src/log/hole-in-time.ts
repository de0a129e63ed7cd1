/** How many rows are looked at for a hole, and how many looks are left for a whole log. */
const FARTHEST = 1000;
/** A row stands in a hole when it is at least this share of a usual step away from both its neighbours there. */
const ROOM = 0.4;

/** Looks that are left: a log of stamps without any order must not take forever. */
export interface Looks {
  left: number;
}

/** Between which two rows a moment would stand: how far it is from each, s. */
export interface Hole {
  readonly below: number;
  readonly above: number;
}

/**
 * Finds where among earlier or later rows a moment would stand.
 * @param time of the rows, s
 * @param at the moment, s
 * @param from the row to begin with
 * @param direction -1 towards the first row, 1 towards the last
 * @param looks how many rows may still be looked at; counted down
 * @returns the hole; undefined where there is none near enough
 */
export function holeFor(
  time: Float64Array,
  at: number,
  from: number,
  direction: -1 | 1,
  looks: Looks,
): Hole | undefined {
  let passed = -direction * Number.POSITIVE_INFINITY;
  const last = Math.max(-1, Math.min(time.length, from + direction * FARTHEST));
  for (let k = from; k !== last && looks.left > 0; k += direction) {
    looks.left--;
    if (direction * (time[k] - at) >= 0) {
      const [below, above] = direction < 0 ? [time[k], passed] : [passed, time[k]];
      return { below: at - below, above: above - at };
    }
    passed = direction < 0 ? Math.min(passed, time[k]) : Math.max(passed, time[k]);
  }
  return undefined;
}

/**
 * Whether there is room for a row in a hole.
 * @param hole as found
 * @param step usual time from row to row, s
 * @returns whether it is away from the rows on both sides
 */
export function hasRoom(hole: Hole | undefined, step: number): boolean {
  return hole !== undefined && hole.below > ROOM * step && hole.above > ROOM * step;
}
