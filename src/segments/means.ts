import { type Channel, FLAG, type GaugeLog } from '../log/gauge-log';

/** A log with a row for every so many rows of another. */
export interface Means {
  readonly log: GaugeLog;
  readonly channel: Channel;
}

/**
 * Means of so many rows of one channel each, with the time of the middle one: what drowns in the noise of single readings,
 * or in the steps of a display, stands out of them.
 * @param log the log
 * @param channel the channel, Pa
 * @param every rows a mean, >= 2
 * @returns a log that holds that channel alone; a mean has the flag that most of its rows have
 */
export function meansOf(log: GaugeLog, channel: Channel, every: number): Means {
  const rows = Math.ceil(log.rows / every);
  const time = new Float64Array(rows);
  const values = new Float64Array(rows).fill(Number.NaN);
  const flags = new Uint8Array(rows);
  for (let i = 0; i < rows; i++) {
    const [from, to] = [i * every, Math.min(log.rows, (i + 1) * every)];
    time[i] = log.time[(from + to - 1) >> 1];
    let sum = 0;
    let good = 0;
    let bad = 0;
    let flag = 0;
    for (let row = from; row < to; row++) {
      if (channel.flags[row] === FLAG.good && Number.isFinite(channel.values[row])) {
        sum += channel.values[row];
        good++;
      } else {
        flag = channel.flags[row];
        bad++;
      }
    }
    if (good > 0 && good >= bad) values[i] = sum / good;
    else flags[i] = flag || FLAG.missing;
  }
  const means: Channel = { ...channel, values, flags, resolution: channel.resolution / every };
  return { log: { ...log, rows, time, channels: [means], remarks: [] }, channel: means };
}
