import { type Channel, FLAG, type GaugeLog } from '../log/gauge-log';
import type { Readings } from './readings';

/**
 * The last good readings of a channel.
 * @param overS from so long before the last row, s; further back until `enough` are found, to ten times as long
 * @param sinceS but never from before this moment
 */
export function readingsSince(
  log: GaugeLog,
  channel: Channel,
  overS: number,
  enough: number,
  sinceS: number,
): Readings {
  const lastS = log.rows > 0 ? log.time[log.rows - 1] : 0;
  const rows: number[] = [];
  for (let row = log.rows - 1; row >= 0; row--) {
    const age = lastS - log.time[row];
    if (log.time[row] < sinceS || age > 10 * overS || (age > overS && rows.length >= enough)) break;
    if (channel.flags[row] === FLAG.good && Number.isFinite(channel.values[row])) rows.push(row);
  }
  rows.reverse();
  return {
    rows: Int32Array.from(rows),
    time: Float64Array.from(rows, (row) => log.time[row]),
    pa: Float64Array.from(rows, (row) => channel.values[row]),
  };
}
