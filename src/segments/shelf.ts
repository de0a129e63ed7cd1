import type { Hump } from './hump';
import { onsetSuddenness } from './onset';
import { endsSharply, severalCodes } from './quiet-rise';
import { medianBetween } from './readings';
import { FEWEST_READINGS, LEAST_RISE } from './span';
import { describeStretch, type Stretch, type WorkingRecord } from './stretches';

/** A shelf rises at most at this part of the rate that follows it. */
const FLAT = 0.12;
/** Part of the rise to a shelf that its later half may still bring. */
const SETTLED = 0.2;
/** Up to this ratio a pumped chamber may have drifted before its valve closes. */
const DRIFTED = 1.5;
/** Readings of a shelf that are looked at. */
const SHELF_READINGS = 60;
/** How sudden its end must be, on the scale of `suddenness`. */
const SUDDEN = 8;
/** on a shelf that was reached at once, where the pressure falls at once at the end, it must only not be gentle. */
const NOT_GENTLE = -2;

/**
 * A shelf in a rise: the pressure is held (or stands after a first rise) and then, at once, rises anew. A chamber that is
 * shut does not do so; a valve that closes on a chamber held by flowing gas does.
 * @returns the stretch in which the later rise begins, or -1
 */
export function endOfShelf(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): number {
  const spread = Math.sqrt(record.longRun);
  const { y } = record.scaled;
  const lastReading = stretches[hump.next - 1].to;
  const closed = !hump.open && hump.cut !== true && hump.next < stretches.length;
  const endsAtOnce = closed && endsSharply(stretches, hump, record);
  for (let j = hump.next - 1; j > hump.first; j--) {
    const s = stretches[j];
    const before = s.from - stretches[hump.first].from;
    if (before < FEWEST_READINGS || lastReading - s.from + 1 < FEWEST_READINGS) continue;
    const level = medianBetween(y, Math.max(0, s.from - 5), s.from - 1);
    const top = medianBetween(y, Math.max(s.from, lastReading - 4), lastReading);
    const line = j === hump.next - 1 ? s.endY : top;
    if (Math.max(top, line) - level < LEAST_RISE * spread) continue;
    const rate = rateSoonAfter(record, s.from, lastReading);
    const length = Math.min(SHELF_READINGS, before, Math.max(FEWEST_READINGS, 2 * (lastReading - s.from)));
    const shelf = describeStretch(record.readings, record.scaled, s.from - length, s.from - 1);
    if (!(rate > 0) || Math.abs(shelf.ratePa) > FLAT * rate) continue;
    if (!settled(record, stretches[hump.first].from, s.from - 1, hump.basePa)) continue;
    if (!severalCodes(record, s.from, lastReading)) continue;
    const quick = comesUpQuickly(record, hump, stretches[hump.first].from, s.from);
    if (!quick && !addsMuch(record, s.from, lastReading, hump.basePa)) continue;
    const least = endsAtOnce && quick ? NOT_GENTLE : SUDDEN;
    if (onsetSuddenness(record, s.from, lastReading) >= least) return j;
  }
  return -1;
}

/** Rate over the first readings of a rise, or over the first of it that stands out of the noise, Pa/s. */
function rateSoonAfter(record: WorkingRecord, from: number, last: number): number {
  const { time, y } = record.scaled;
  const { pa } = record.readings;
  const spread = Math.sqrt(record.longRun);
  const level = medianBetween(y, Math.max(0, from - 5), from - 1);
  let reach = Math.min(last, from + 3);
  while (reach < last && y[reach] - level < LEAST_RISE * spread) reach++;
  if (y[reach] - level < LEAST_RISE * spread) return describeStretch(record.readings, record.scaled, from, last).ratePa;
  const span = time[reach] - time[Math.max(0, from - 1)];
  return span > 0 ? (pa[reach] - medianBetween(pa, Math.max(0, from - 5), from - 1)) / span : 0;
}

/** Has a rise come to an end on the shelf? A chamber that is shut goes on rising until gas is let in. */
function settled(record: WorkingRecord, from: number, to: number, basePa: number): boolean {
  const { pa } = record.readings;
  const end = medianBetween(pa, Math.max(from, to - 4), to);
  const middle = (from + to) >> 1;
  const half = medianBetween(pa, Math.max(from, middle - 2), Math.min(to, middle + 2));
  const noise = LEAST_RISE * Math.sqrt(record.longRun) * record.noise.sigmaPa(end);
  return end - basePa < noise || end < DRIFTED * basePa || end - half < SETTLED * (end - basePa);
}

/** Part of the time up to the end of a shelf within which what is held comes up. */
const QUICK = 0.05;

function comesUpQuickly(record: WorkingRecord, hump: Hump, from: number, to: number): boolean {
  const { pa, time } = record.readings;
  const shelfPa = medianBetween(pa, Math.max(from, to - 5), to - 1);
  let i = from;
  while (i < to && pa[i] < hump.basePa + 0.85 * (shelfPa - hump.basePa)) i++;
  return time[i] - time[from] < QUICK * (time[to] - time[from]);
}

/** What a rise adds to one that bent over slowly, relative to it, at least: less is how it goes on bending. */
const ADDS = 0.25;

function addsMuch(record: WorkingRecord, from: number, to: number, basePa: number): boolean {
  const { pa } = record.readings;
  const shelfPa = medianBetween(pa, Math.max(0, from - 5), from - 1);
  return medianBetween(pa, Math.max(from, to - 4), to) - shelfPa > ADDS * (shelfPa - basePa);
}
