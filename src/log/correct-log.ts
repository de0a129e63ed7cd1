import { ArgumentError } from '../errors';
import { findNamed } from './find-column';
import { type Channel, FLAG, type GaugeLog, type LogCorrection } from './gauge-log';

/**
 * Excludes stretches of a log, each with its reason. The readings stay in the new log, flagged `excluded`, and the
 * corrections stand beside them; the log given is not changed.
 * @param log as read, perhaps corrected before
 * @param corrections what to exclude: from, to (seconds from the first row, both included), reason, channel or all
 * @returns a new log with the flags and the corrections
 * @throws ArgumentError where a correction has no reason, no stretch, or an unknown channel
 */
export function correctLog(log: GaugeLog, corrections: readonly LogCorrection[]): GaugeLog {
  for (const correction of corrections) check(correction);
  const named = corrections.map((c) => ({
    ...c,
    ...(c.channel ? { channel: findNamed(log.channels, c.channel, 'channel').name } : {}),
  }));
  const channels = log.channels.map((channel) => {
    const own = named.filter((c) => c.channel === undefined || c.channel === channel.name);
    return own.length === 0 ? channel : excluded(channel, log.time, own);
  });
  return { ...log, channels, corrections: [...(log.corrections ?? []), ...named] };
}

function check({ fromS, toS, reason }: LogCorrection): void {
  if (typeof reason !== 'string' || reason.trim() === '')
    throw new ArgumentError('correction', 'no reason', 'why the stretch is excluded');
  if (!(fromS <= toS))
    throw new ArgumentError('correction', `${fromS} to ${toS} s`, 'a stretch from a time to a later one');
}

function excluded(channel: Channel, time: Float64Array, corrections: readonly LogCorrection[]): Channel {
  const flags = channel.flags.slice();
  for (const { fromS, toS } of corrections) {
    for (let i = firstAtOrAfter(time, fromS); i < time.length && time[i] <= toS; i++) flags[i] |= FLAG.excluded;
  }
  return { ...channel, flags };
}

function firstAtOrAfter(time: Float64Array, at: number): number {
  let [low, high] = [0, time.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
