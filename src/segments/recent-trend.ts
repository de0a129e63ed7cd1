import { ArgumentError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import {
  autocorrelation,
  type Estimate,
  effectivePoints,
  type StraightLine,
  straightLine,
  studentQuantile,
} from '../numerics';
import { readingsSince } from './last-readings';

/** Where the pressure has been going lately. */
export interface RecentTrend {
  /** What was looked at, s from the first row. */
  readonly fromS: number;
  readonly toS: number;
  readonly readings: number;
  /** Mean rate of change over it, Pa/s. */
  readonly ratePaPerS: Estimate;
  /**
   * Sure at 97.5 % of its sign; `steady`: a change by a tenth over the time looked at would be seen, and is not;
   * `not clear`: anything else.
   */
  readonly direction: 'rises' | 'falls' | 'steady' | 'not clear';
}

/** How far back to look. */
export interface TrendOptions {
  /** s, above 0; 60 where absent. In a slow log as many seconds as hold eight readings. */
  readonly overS?: number;
  /** Never before this moment, s from the first row, such as when a valve was closed. */
  readonly sinceS?: number;
}

/** Fewest readings of a trend, and as many as a slow log is looked back for. */
const FEWEST = 4;
const ENOUGH = 8;
/** A line that misses the readings by so many times their noise is no description of them. */
const CURVED = 3;
/** Change over the window, relative, that has to be excluded before a reading is called steady. */
const STEADY = 0.1;

/**
 * The rate at which a pressure has been changing lately, as the slope of a straight line, with its 95 % interval. Where
 * the pressure bends, as in a fast pump-down, only the latter half is taken, and half of that again, until a line
 * describes it. The residuals' autocorrelation widens the interval, and so does the step of the display: each end of the
 * line may be off by it. O(readings looked at).
 * @param log a log that has been read
 * @param channelName the pressure channel
 * @param options how far back, s
 * @returns the trend, rates in Pa/s; null with fewer than four good readings to judge by
 * @throws ArgumentError where there is no such pressure channel or the time is not positive
 */
export function recentTrend(log: GaugeLog, channelName: string, options: TrendOptions = {}): RecentTrend | null {
  const overS = options.overS ?? 60;
  if (!(overS > 0 && Number.isFinite(overS))) throw new ArgumentError('trend', overS, 'a positive time in s');
  const channel = pressureChannel(log, channelName);
  let { time, pa } = readingsSince(log, channel, overS, ENOUGH, options.sinceS ?? -Infinity);
  if (time.length < FEWEST || !(time[time.length - 1] > time[0])) return null;
  let line = straightLine(time, pa);
  while (time.length >= 2 * ENOUGH && isCurved(line, pa, channel.resolution)) {
    const half = time.length >> 1;
    time = time.subarray(half);
    pa = pa.subarray(half);
    line = straightLine(time, pa);
  }
  const [fromS, toS] = [time[0], time[time.length - 1]];
  const half = halfWidth(line, time, pa, channel.resolution);
  const ratePaPerS = { value: line.slope, low: line.slope - half, high: line.slope + half };
  const direction = directionOf(ratePaPerS, toS - fromS, line.centreY);
  return { fromS, toS, readings: time.length, ratePaPerS, direction };
}

/** Noise from neighbour to neighbour knows nothing of a bend, the residuals of the line do. */
function isCurved(line: StraightLine, pa: Float64Array, resolution: number): boolean {
  let squares = 0;
  for (let i = 1; i < pa.length; i++) squares += (pa[i] - pa[i - 1]) ** 2;
  // Neighbours differ by the slope too, which does not count.
  const steps = pa.length - 1;
  const mean = (pa[pa.length - 1] - pa[0]) / steps;
  const noise = Math.sqrt(Math.max(0, squares / steps - mean * mean) / 2);
  return line.residualStandardDeviation > CURVED * Math.max(noise, resolution / Math.sqrt(12));
}

function halfWidth(line: StraightLine, time: Float64Array, pa: Float64Array, resolution: number): number {
  const residuals = pa.map((p, i) => p - line.intercept - line.slope * time[i]);
  const counted = Math.max(3, effectivePoints(time.length, autocorrelation(residuals)));
  const fromNoise = line.slopeStandardError * Math.sqrt(time.length / counted);
  const fromSteps = resolution / Math.sqrt(6) / (time[time.length - 1] - time[0]);
  return studentQuantile(0.975, counted - 2) * fromNoise + 1.96 * fromSteps;
}

function directionOf(rate: Estimate, forS: number, levelPa: number): RecentTrend['direction'] {
  if (rate.low > 0) return 'rises';
  if (rate.high < 0) return 'falls';
  return Math.max(rate.high, -rate.low) * forS < STEADY * Math.abs(levelPa) ? 'steady' : 'not clear';
}
