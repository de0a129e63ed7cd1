import { countFlags, type FlagName } from './count-flags';
import { type Channel, FLAG } from './gauge-log';

/** How each flag is said, the gravest first. */
const FLAG_WORDS: Readonly<Record<FlagName, string>> = {
  underRange: 'under range',
  overRange: 'over range',
  off: 'gauge off',
  missing: 'missing',
  stuck: 'stuck',
  spike: 'spike',
  excluded: 'excluded',
};

const NAMES = Object.keys(FLAG_WORDS) as FlagName[];

/**
 * Why a reading must not be used, in words.
 * @param flags bits of `FLAG`
 * @returns the words of all that are set, the gravest first; none for a good reading
 */
export function flagWords(flags: number): string[] {
  return NAMES.filter((name) => (flags & FLAG[name]) !== 0).map((name) => FLAG_WORDS[name]);
}

/**
 * Counts of flags in words.
 * @param channels whose readings are counted together
 * @returns such as `3 over range`, `1 spike`, the gravest first; none where all readings are good
 */
export function flagCounts(...channels: readonly Channel[]): string[] {
  const counts = channels.map(countFlags);
  return NAMES.map((name) => [counts.reduce((sum, one) => sum + (one[name] ?? 0), 0), FLAG_WORDS[name]] as const)
    .filter(([count]) => count > 0)
    .map(([count, words]) => `${count} ${words}`);
}
