import { type Channel, FLAG } from './gauge-log';

/** The names of the flags. */
export type FlagName = Exclude<keyof typeof FLAG, 'good'>;

/**
 * How many readings of a channel carry each flag; flags that none carries are left out.
 * @param channel of a log
 * @returns counts by the name of the flag
 */
export function countFlags(channel: Channel): Partial<Record<FlagName, number>> {
  const counts = new Uint32Array(256);
  for (let i = 0; i < channel.flags.length; i++) counts[channel.flags[i]]++;
  const found: Partial<Record<FlagName, number>> = {};
  for (const [name, bit] of Object.entries(FLAG) as [keyof typeof FLAG, number][]) {
    if (name === 'good') continue;
    let count = 0;
    for (let flags = 1; flags < 256; flags++) if (flags & bit) count += counts[flags];
    if (count > 0) found[name] = count;
  }
  return found;
}
