import { type Channel, FLAG } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import { estimateNoise, type NoiseByLevel } from './noise';
import { pressureText } from './pressure-text';
import { goodReadings, type Readings } from './readings';
import { removeSpikes, smoothSteps } from './smooth-steps';
import { cutIntoStraightPieces, type ScaledRecord, weightsOf, weightsWithinStairs } from './straight-pieces';
import { describeStretches, fastestPumping, longRunNoise, type Stretch, type WorkingRecord } from './stretches';

/** A channel worked up for naming. */
export interface WorkedUp {
  readonly record: WorkingRecord;
  /** Straight stretches, for each part of the record between outages. */
  readonly parts: readonly Stretch[][];
  /** One-reading excursions that were passed over. */
  readonly spikes: number;
}

/** Fewest good readings that can be worked on. */
export const FEWEST_GOOD = 2;
/** Rows without a good reading that part a record: what happened meanwhile is not known. */
const OUTAGE_ROWS = 8;
/** Misfit that one more cut has to save, in noise variances: keeps false cuts rare in a record of any length. */
const PRICE = 12;

/**
 * Takes the good readings of a channel, estimates its noise, and cuts it into straight stretches.
 * @param time seconds from the first row
 * @param channel the pressure channel, Pa
 */
export function workUp(time: Float64Array, channel: Channel): WorkedUp {
  const readings = goodReadings(time, channel);
  const noise = estimateNoise(readings.time, readings.pa, channel.resolution);
  const y = smoothSteps(readings.pa, noise);
  for (let i = 0; i < y.length; i++) y[i] = noise.scaled(y[i]);
  const spikes = removeSpikes(y);
  const scaled: ScaledRecord = { time: readings.time, y, weight: weightsOf(y) };
  const joining = weightsWithinStairs(readings.pa, scaled.weight, noise.stepPa);
  const longRun = longRunNoise(y);
  const price = (PRICE + 2 * elementary.log(Math.max(2, y.length))) * longRun * longRun;
  const parts = partsBetweenOutages(readings).map(([from, to]) => {
    const part = {
      time: readings.time.subarray(from, to + 1),
      y: y.subarray(from, to + 1),
      weight: scaled.weight.subarray(from, to + 1),
    };
    return describeStretches(
      readings,
      scaled,
      cutIntoStraightPieces(part, price, joining.subarray(from, to + 1)),
      from,
    );
  });
  const stretches = parts.flat();
  const record: WorkingRecord = {
    readings,
    flags: channel.flags,
    lowestPa: readings.pa.reduce((least, p) => Math.min(least, p), Number.POSITIVE_INFINITY),
    scaled,
    stepwise: { ...scaled, weight: joining },
    noise,
    longRun,
    stepS: usualStep(readings.time),
    show: pressureText(channel),
    pumpingPerS: Math.max(fastestPumping(readings, noise, stretches), fallFromAbove(time, channel, readings, noise)),
    atmospherePa: atmosphereOf(stretches),
  };
  return { record, parts, spikes };
}

/** Rows above the gauge's range that count as such, at least. */
const ABOVE_ROWS = 3;

/**
 * Speed over volume that is needed for the pressure to come from above the gauge's range to the next good reading, 1/s; 0
 * where it never does.
 */
function fallFromAbove(time: Float64Array, channel: Channel, readings: Readings, noise: NoiseByLevel): number {
  const { rows, pa } = readings;
  let highest = 0;
  for (let i = 0; i < pa.length; i++) highest = Math.max(highest, pa[i]);
  let fastest = 0;
  for (let i = 1; i < rows.length; i++) {
    const before = rows[i] - 1;
    if (rows[i] - rows[i - 1] <= ABOVE_ROWS || (channel.flags[before] & FLAG.overRange) === 0) continue;
    const span = time[rows[i]] - time[before];
    const after = Math.max(pa[i], 4 * noise.sigmaPa(pa[i]));
    if (span > 0 && highest > after) fastest = Math.max(fastest, elementary.log(highest / after) / span);
  }
  return fastest;
}

/** First and last readings of the parts between outages. */
function partsBetweenOutages(readings: Readings): [number, number][] {
  const parts: [number, number][] = [];
  let from = 0;
  const count = readings.rows.length;
  for (let i = 1; i <= count; i++) {
    if (i < count && readings.rows[i] - readings.rows[i - 1] <= OUTAGE_ROWS) continue;
    parts.push([from, i - 1]);
    from = i;
  }
  return parts;
}

/** Median time from one reading to the next, over four readings because of equal stamps, s. */
function usualStep(time: Float64Array): number {
  const stride = Math.max(1, Math.floor(time.length / 4000));
  const steps: number[] = [];
  for (let i = 4; i < time.length; i += stride) steps.push((time[i] - time[i - 4]) / 4);
  steps.sort((a, b) => a - b);
  return steps.length > 0 ? steps[steps.length >> 1] : (time[time.length - 1] - time[0]) / Math.max(1, time.length - 1);
}

/** Atmosphere as this gauge shows it: the highest level near one atmosphere at which it stands, else 101325 Pa. */
function atmosphereOf(stretches: readonly Stretch[]): number {
  let highest = 0;
  for (const s of stretches) {
    const level = (s.startPa + s.endPa) / 2;
    const flat = Math.abs(s.endPa - s.startPa) < 0.02 * level;
    if (flat && level > 7.5e4 && level < 1.15e5 && level > highest) highest = level;
  }
  return highest > 0 ? highest : 101325;
}
