import type { Estimate } from './estimate';

/**
 * A part of a whole for reading, with no more digits than it has meaning; all and nothing are said only where they are.
 * @param part of the whole, 0 to 1
 * @returns such as `12 %`, `under 1 %`
 */
export function percentText(part: number): string {
  if (part > 0 && part < 0.005) return 'under 1 %';
  if (part > 0.995 && part < 1) return 'over 99 %';
  return `${Math.round(100 * part)} %`;
}

/**
 * A probability for reading: none is certain.
 * @param probability 0 to 1
 * @returns such as `87 %`, `over 99 %`
 */
export function probabilityText(probability: number): string {
  if (probability > 0.995) return 'over 99 %';
  return probability < 0.005 ? 'under 1 %' : percentText(probability);
}

/**
 * A share with its interval, kept between nothing and all.
 * @param share of the whole, 0 to 1, with its 95 % interval
 * @returns such as `42 % (30 % to 55 %)`; `under 1 %` where it cannot be more, `over 99 %` where it cannot be less
 */
export function shareText(share: Estimate): string {
  const [low, high] = [Math.max(0, share.low), Math.min(1, share.high)];
  if (high < 0.005) return percentText(high);
  if (low > 0.995 && share.value > 0.995) return 'over 99 %';
  return `${percentText(share.value)} (${percentText(low)} to ${percentText(high)})`;
}
