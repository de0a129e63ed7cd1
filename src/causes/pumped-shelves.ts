import { type PlateauCandidate, vapoursFitting } from '../gases';
import { FLAG, type GaugeLog } from '../log';
import { median } from '../numerics';
import * as elementary from '../numerics/elementary';
import type { SegmentedLog } from '../segments';
import { formatNumber } from '../units';
import { WATER_RATIO } from './gauge-pair';

/** A shelf in a pump-down: the pressure hardly falls, and later falls fast again. */
export interface PumpedShelf {
  readonly fromS: number;
  readonly toS: number;
  /** Level in the middle of it as read, Pa. */
  readonly pa: number;
  /** Whether it lies at the pressure at which water freezes. */
  readonly freezing: boolean;
  /** Whether the pressure falls fast again after it by a factor of three at least: what held it has frozen, cooled or run dry. */
  readonly ends: boolean;
  readonly vapours: readonly PlateauCandidate[];
  readonly text: string;
}

/** Triple point of water, Pa (IAPWS). */
const TRIPLE_POINT_PA = 611.657;
/** Points into which a pump-down is thinned. */
const POINTS = 240;
/** On a shelf the pressure falls at most at this part of the fastest rate before it, and after it at least three times as fast. */
const SLOW = 0.12;
const AGAIN = 3;
/** Shelves last at least so many points. */
const LEAST_POINTS = 6;

/**
 * Shelves in pump-downs. A load that only falls, and a pump at its limit, never let the pressure fall faster again: a liquid
 * that boils, freezes (water: at 611 Pa) or runs dry does.
 * @param log the log that was read
 * @param segmented what happened in it
 * @param thermal true where the gauge reads by heat conduction, so that water vapour reads about 1.6 times high
 * @param temperatures lowest and highest temperature that a liquid or ice can have, K
 * @returns the shelves in order of time
 */
export function recogniseShelves(
  log: GaugeLog,
  segmented: SegmentedLog,
  thermal: boolean,
  temperatures: readonly [number, number] = [213, 313],
): PumpedShelf[] {
  const channel = log.channels.find((one) => one.name === segmented.channel);
  if (channel === undefined) return [];
  return pumpedSpans(segmented).flatMap(({ fromS, toS }) => {
    const points = thinned(log, channel, fromS, toS);
    return shelvesOf(points, channel.resolution).map((shelf) => described(shelf, thermal, temperatures));
  });
}

/** Pump-downs with the steady stretches that join them. */
function pumpedSpans({ segments }: SegmentedLog): { fromS: number; toS: number }[] {
  const spans: { fromS: number; toS: number }[] = [];
  let open = false;
  for (const { kind, startS, endS } of segments) {
    const pumped = kind === 'pump-down' || kind === 'steady';
    if (pumped && open) spans[spans.length - 1].toS = endS;
    else if (kind === 'pump-down') spans.push({ fromS: startS, toS: endS });
    open = pumped && spans.length > 0;
  }
  return spans;
}

interface Point {
  readonly timeS: number;
  readonly pa: number;
}

/** Medians of short runs of good readings, runs that grow with time since the start. */
function thinned(
  log: GaugeLog,
  channel: { readonly values: Float64Array; readonly flags: Uint8Array },
  fromS: number,
  toS: number,
): Point[] {
  const points: Point[] = [];
  let t: number[] = [];
  let p: number[] = [];
  let until = fromS;
  const close = (): void => {
    if (p.length > 0) points.push({ timeS: t[t.length >> 1], pa: median(p) });
    t = [];
    p = [];
  };
  for (let i = 0; i < log.rows; i++) {
    const at = log.time[i];
    if (at < fromS) continue;
    if (at > toS) break;
    if (channel.flags[i] !== FLAG.good || !(channel.values[i] > 0)) continue;
    if (at > until) {
      close();
      until = fromS + (at - fromS) * 1.02 + (toS - fromS) / (4 * POINTS);
    }
    t.push(at);
    p.push(channel.values[i]);
  }
  close();
  return points;
}

interface Span {
  readonly fromS: number;
  readonly toS: number;
  readonly pa: number;
  readonly fell: number;
}

function shelvesOf(points: readonly Point[], stepPa: number): Span[] {
  const rate = points.slice(1).map((one, i) => -elementary.log(one.pa / points[i].pa) / (one.timeS - points[i].timeS));
  const found: Span[] = [];
  let fastest = 0;
  let i = 0;
  while (i < rate.length) {
    if (!(rate[i] < SLOW * fastest)) {
      fastest = Math.max(fastest, smooth(rate, i));
      i++;
      continue;
    }
    let j = i;
    while (j < rate.length && smooth(rate, j) < SLOW * fastest) j++;
    const mean = -elementary.log(points[j].pa / points[i].pa) / (points[j].timeS - points[i].timeS);
    const after = fastestAfter(points, rate, j, AGAIN * Math.max(mean, SLOW * 0.3 * fastest));
    const fallPa = after > 0 ? (1 - 1 / after) * points[j].pa : 0;
    if (j - i >= LEAST_POINTS && fallPa > SURE * Math.max(stepPa, scatterOf(points, i, j))) {
      const middle = points[(i + j) >> 1];
      found.push({ fromS: points[i].timeS, toS: points[j].timeS, pa: middle.pa, fell: after });
      fastest = 0;
    }
    i = j + 1;
  }
  return found;
}

/** A fall after a shelf is this many times what its points scatter by, and steps of the display. */
const SURE = 6;

/** How far neighbouring points of a shelf lie apart, Pa: the noise of a base looks like shelves, too. */
function scatterOf(points: readonly Point[], from: number, to: number): number {
  return median(Array.from({ length: to - from }, (_, i) => Math.abs(points[from + i + 1].pa - points[from + i].pa)));
}

/** Middle of three rates, so that a single reading makes no shelf and ends none. */
function smooth(rate: readonly number[], i: number): number {
  return median([rate[Math.max(0, i - 1)], rate[i], rate[Math.min(rate.length - 1, i + 1)]]);
}

/** By which factor the pressure falls after `from` while it falls at least this fast; 0 where it does not. */
function fastestAfter(points: readonly Point[], rate: readonly number[], from: number, least: number): number {
  let to = from;
  while (to < rate.length && smooth(rate, to) >= least) to++;
  const factor = points[from].pa / points[Math.min(to, points.length - 1)].pa;
  return factor > 1.25 ? factor : 0;
}

function described(shelf: Span, thermal: boolean, temperatures: readonly [number, number]): PumpedShelf {
  const { fromS, toS, pa, fell } = shelf;
  const ratio = thermal ? WATER_RATIO : 1;
  const freezing = Math.abs(elementary.log(pa / ratio / TRIPLE_POINT_PA)) < (thermal ? 0.3 : 0.12);
  const vapours = vapoursFitting(pa / ratio, thermal ? 0.3 : 0.1, temperatures).filter(({ fits }) => fits);
  const names = vapours
    .slice(0, 3)
    .map(({ note }) => note)
    .join('; ');
  const what = freezing
    ? 'the pressure at which water freezes (611 Pa at 0.01 degC): water has cooled itself and freezes'
    : names === ''
      ? 'no vapour of the table fits'
      : `vapours that could do this: ${names}`;
  const ends = fell >= 3;
  const after = ends
    ? `after it the pressure falls ${formatNumber(fell, 2)} times: what held it has run dry, or is ice that has grown cold`
    : 'after it the pressure falls faster again, as no wall and no leak lets it';
  const text = `while pumped from ${Math.round(fromS)} to ${Math.round(toS)} s the pressure stands near ${formatNumber(pa, 3)} Pa: ${what}; ${after}`;
  return { fromS, toS, pa, freezing, ends, vapours, text };
}
