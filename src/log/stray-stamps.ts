import { hasRoom, holeFor, type Looks } from './hole-in-time';
import { keepRows } from './keep-rows';
import type { LineNames } from './line-names';
import type { RawRows } from './read-rows';
import { fallsThroughout, usualStep } from './usual-step';

/** Rows in a row that may be out of line; more are a clock that was changed. */
const LONGEST_RUN = 3;
/** Share of all rows that may be, besides one run: where there are more, the stamps themselves are of another kind. */
const LARGEST_SHARE = 0.01;
/** The stamp leaps there and back again by more than this many usual steps, else the rows join on to one side. */
const LEAP = 1.5;
/** Neighbours agree when they are no farther apart than this many times the rows between them. */
const WIDEST = 5;
/** A row that came late by more than this many steps needs the hole that it left, not just room between two rows. */
const LITTLE_LATE = 10;
const LEFT_A_HOLE = 1.5;
/** In a log of stamps without any order the search is given up after so many looks. */
const MOST_LOOKS = 2e7;
const SHOWN = 5;

/**
 * Leaves out single rows, up to three together, whose stamps are ahead of or behind the rows on both sides, which agree with
 * each other: the clock was read wrongly, and where the row belongs in time is not known. A row that came late fills the hole
 * that it left and stays, and so do all rows behind a clock that was changed.
 * @param raw rows as read
 * @param names of the lines they stand in
 * @returns the rows without those, which are counted and named
 */
export function withoutStrayStamps(raw: RawRows, names: LineNames): RawRows {
  const turned = fallsThroughout(raw.time);
  const time = turned ? raw.time.map((at) => -at) : raw.time;
  const step = usualStep(time);
  if (step === 0) return raw;
  const found = strayRows(time, step);
  if (found.length === 0 || found.length > Math.max(LONGEST_RUN, LARGEST_SHARE * raw.rows)) return raw;
  const stray = new Uint8Array(raw.rows);
  for (const row of found) stray[row] = 1;
  const places = listed(found.map((row) => names(raw.lines[row])));
  const said =
    found.length === 1
      ? `the row in ${places} has a stamp out of line with the rows before and after it, which agree: left out`
      : `${found.length} rows have stamps out of line with the rows before and after them, which agree: left out (${places})`;
  return keepRows(raw, stray, found.length, 'rows whose stamp is out of line', said);
}

function listed(places: readonly string[]): string {
  const more = places.length - SHOWN;
  return [...places.slice(0, SHOWN), ...(more > 0 ? [`${more} more`] : [])].join(', ');
}

/** Rows that are out of line, in order: each such run has a fall where it begins or where it ends. */
function strayRows(time: Float64Array, step: number): number[] {
  const found: number[] = [];
  const looks = { left: MOST_LOOKS };
  for (let i = 1; i < time.length; i++) {
    if (!(time[i] < time[i - 1])) continue;
    for (let count = 1; count <= LONGEST_RUN; count++) {
      const start = isStray(time, i, count, step, looks)
        ? i
        : isStray(time, i - count, count, step, looks)
          ? i - count
          : -1;
      if (start < 0) continue;
      for (let row = start; row < start + count; row++) if (found.at(-1) !== row) found.push(row);
      break;
    }
  }
  return found;
}

/** Whether a run of rows lies beyond its neighbours on both sides, all of it on one side. */
function isStray(time: Float64Array, start: number, count: number, step: number, looks: Looks): boolean {
  const [before, after] = [start - 1, start + count];
  if (before < 0 || after >= time.length) return false;
  const [a, b] = [time[before], time[after]];
  const wide = b - a;
  if (!(wide >= 0 && wide <= WIDEST * (count + 1) * step) || !goesOn(time, before, after)) return false;
  const run = time.subarray(start, after);
  const behind = run.every((at) => at < a) && b - run[count - 1] > LEAP * step;
  const ahead = run.every((at) => at > b) && run[0] - a > LEAP * step;
  return (behind && !cameLate(time, start, step, looks)) || (ahead && !cameEarly(time, after, run[0], step, looks));
}

/** The rows beyond the neighbours rise, too; two equal neighbours need one that goes on. */
function goesOn(time: Float64Array, before: number, after: number): boolean {
  const equal = time[after] === time[before];
  if (after + 1 >= time.length) return !equal && (before === 0 || time[before - 1] <= time[before]);
  return time[after + 1] >= time[after] && (before === 0 || time[before - 1] <= time[before]);
}

function cameLate(time: Float64Array, row: number, step: number, looks: Looks): boolean {
  const hole = holeFor(time, time[row], row - 1, -1, looks);
  if (hole === undefined || !hasRoom(hole, step)) return false;
  return hole.below + hole.above >= LEFT_A_HOLE * step || time[row - 1] - time[row] <= LITTLE_LATE * step;
}

function cameEarly(time: Float64Array, after: number, at: number, step: number, looks: Looks): boolean {
  const hole = holeFor(time, at, after, 1, looks);
  if (hole === undefined || !hasRoom(hole, step)) return false;
  return hole.below + hole.above >= LEFT_A_HOLE * step || at - time[after] <= LITTLE_LATE * step;
}
