import { ArgumentError } from '../errors';
import { type Channel, FLAG, type GaugeLog } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import type { Readings } from './smooth-rise';

/**
 * The channel of a name.
 * @param log a log
 * @param name its header
 * @throws ArgumentError with the names that there are
 */
export function channelNamed(log: GaugeLog, name: string): Channel {
  const found = log.channels.find((channel) => channel.name === name);
  if (found === undefined) {
    throw new ArgumentError('channel', name, `one of ${log.channels.map((c) => `"${c.name}"`).join(', ')}`);
  }
  return found;
}

/**
 * Rows of a stretch whose readings are good.
 * @param channel a channel
 * @param from first row
 * @param to last row, inclusive
 * @returns row numbers, ascending
 */
export function goodRows(channel: Channel, from: number, to: number): Int32Array {
  const rows = new Int32Array(Math.max(0, to - from + 1));
  let count = 0;
  for (let row = Math.max(0, from); row <= to && row < channel.values.length; row++) {
    if (channel.flags[row] === FLAG.good && Number.isFinite(channel.values[row])) rows[count++] = row;
  }
  return rows.slice(0, count);
}

/**
 * The values of a column at rows.
 * @param column any column
 * @param rows row numbers
 */
export function pick(column: Float64Array, rows: Int32Array): Float64Array {
  const out = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i++) out[i] = column[rows[i]];
  return out;
}

/** Readings that are looked at for their step. */
const LOOKED_AT = 2000;

/**
 * The step of readings (quantisation): the greatest common divisor of the differences of different values, as the last
 * digit of a log or the codes of a converter make it.
 * @param values readings, any unit
 * @param otherwise what to take where all readings are alike, same unit
 * @returns the step; 0 where no common divisor is seen
 */
export function stepOfReadings(values: Float64Array, otherwise: number): number {
  const stride = Math.ceil(values.length / LOOKED_AT);
  const sorted = values.filter((_, i) => i % stride === 0).sort();
  const n = sorted.length;
  const rounding = 1e-10 * Math.max(Math.abs(sorted[0]), Math.abs(sorted[n - 1]));
  let step = 0;
  let different = 0;
  for (let i = 1; i < n; i++) {
    const gap = sorted[i] - sorted[i - 1];
    if (gap <= rounding) continue;
    different++;
    step = commonDivisor(step, gap, Math.max(rounding, 1e-6 * gap));
    // A step far below every difference is none: the readings are as good as continuous.
    if (step < 1e-5 * (sorted[n - 1] - sorted[0])) return 0;
  }
  return different === 0 ? otherwise : step;
}

/** Euclid's algorithm for lengths that are known to a tolerance. */
function commonDivisor(a: number, b: number, tolerance: number): number {
  let large = Math.max(a, b);
  let small = Math.min(a, b);
  for (let i = 0; i < 60 && small > tolerance; i++) {
    const rest = large - small * Math.round(large / small);
    large = small;
    small = Math.abs(rest);
  }
  return large;
}

/**
 * How the noise of readings grows with their size: the relative noise of each reading, (p / median)^g with g from 0
 * (constant noise) to 1 (noise in proportion), from the deviations of each reading from the line through its neighbours.
 * @param time s, ascending
 * @param values any unit
 * @returns relative size of the noise, 1 at the median
 */
export function relativeNoise(time: Float64Array, values: Float64Array): Float64Array {
  const n = values.length;
  const flat = new Float64Array(n).fill(1);
  const bins = 8;
  if (n < bins * 8) return flat;
  const logs: number[] = [];
  const noises: number[] = [];
  for (let bin = 0; bin < bins; bin++) {
    const from = Math.max(1, Math.floor((bin * n) / bins));
    const to = Math.min(n - 1, Math.floor(((bin + 1) * n) / bins));
    let deviation = 0;
    let level = 0;
    for (let i = from; i < to; i++) {
      const share = (time[i] - time[i - 1]) / Math.max(time[i + 1] - time[i - 1], Number.MIN_VALUE);
      deviation += Math.abs(values[i] - values[i - 1] - share * (values[i + 1] - values[i - 1]));
      level += values[i];
    }
    if (!(deviation > 0 && level > 0)) return flat;
    logs.push(elementary.log(level / (to - from)));
    noises.push(elementary.log(deviation / (to - from)));
  }
  const reach = Math.max(...logs) - Math.min(...logs);
  if (reach < elementary.log(3)) return flat;
  const meanLog = logs.reduce((a, b) => a + b) / bins;
  const meanNoise = noises.reduce((a, b) => a + b) / bins;
  let up = 0;
  let down = 0;
  for (let i = 0; i < bins; i++) {
    up += (logs[i] - meanLog) * (noises[i] - meanNoise);
    down += (logs[i] - meanLog) ** 2;
  }
  const power = Math.min(1, Math.max(0, up / down));
  if (power < 0.15) return flat;
  const median = values.slice().sort()[n >> 1];
  const smallest = elementary.exp(Math.min(...logs) - 0.7);
  return values.map((p) => elementary.power(Math.max(p, smallest) / median, power));
}

/**
 * Readings for a smooth description, from rows of a channel.
 * @param log the log
 * @param channel its channel
 * @param rows rows to take
 * @param values values at the rows, where they are not the channel's own (corrected ones)
 */
export function readingsAt(log: GaugeLog, channel: Channel, rows: Int32Array, values?: Float64Array): Readings {
  const time = pick(log.time, rows);
  const own = pick(channel.values, rows);
  const taken = values ?? own;
  return {
    time,
    values: taken,
    noise: relativeNoise(time, taken),
    resolution: rows.length > 0 ? stepOfReadings(own, channel.resolution) : 0,
  };
}
