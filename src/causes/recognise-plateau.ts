import { type PlateauCandidate, vapoursFitting } from '../gases';
import type { Estimate } from '../numerics';
import { formatNumber } from '../units';
import type { RecordEvidence } from './record-evidence';

/** A pressure at which a rise ended or stayed. */
export interface Plateau {
  /** Seconds from the first row at which the isolation began. */
  readonly closeS: number;
  /** The plateau as read, Pa. */
  readonly pa: Estimate;
  /** Part of the rise that came in the last quarter of the isolation; a plateau has little. */
  readonly lastQuarter: number;
  /** Vapours whose saturation pressure fits, gas factor of the gauge allowed for; those that fit first. */
  readonly vapours: readonly PlateauCandidate[];
  readonly text: string;
}

/** A thermal gauge reads water vapour high by this (common practice 1.4 to 2). */
const THERMAL_WATER = 1.6;

/**
 * Isolations that end in a plateau, and which vapours fit. A plateau alone does not prove a liquid: a seat that passes
 * and a pocket that has emptied level off as well; the same end value each time speaks for vapour.
 * @param evidence the thinned record
 * @param thermal true where the gauge reads by heat conduction
 * @param temperatures lowest and highest temperature that a liquid or ice can have, K; a liquid that evaporates is colder
 *   than its vessel
 * @returns one plateau for each isolation that has one
 */
export function recognisePlateaus(
  evidence: RecordEvidence,
  thermal: boolean,
  temperatures: readonly [number, number] = [213, 298],
): Plateau[] {
  return evidence.isolations.flatMap((one) => {
    const n = one.pa.length;
    if (n < 8) return [];
    const rise = one.pa[n - 1] - one.pa[0];
    const span = one.timeS[n - 1] - one.timeS[0];
    let b = n - 1;
    while (b > 0 && one.timeS[b] > one.timeS[0] + 0.75 * span) b--;
    const lastQuarter = rise > 0 ? (one.pa[n - 1] - one.pa[b]) / rise : 1;
    if (!(rise > 10 * one.sd[n - 1]) || lastQuarter > 0.08) return [];
    const value = one.pa[n - 1] + Math.max(0, lastQuarter) * rise;
    // A gauge whose zero is off can end below zero: no vapour is held there.
    if (!(value > 0)) return [];
    const u = Math.hypot(one.sd[n - 1], lastQuarter * rise);
    const factor = thermal ? THERMAL_WATER : 1;
    const vapours = vapoursFitting(value / factor, thermal ? 0.3 : Math.min(0.5, 0.03 + (2 * u) / value), temperatures);
    const fitting = vapours.filter((v) => v.fits).map((v) => v.note);
    const text =
      fitting.length > 0
        ? `the isolation at ${Math.round(one.closeS)} s ends near ${formatNumber(value, 3)} Pa; vapours that could do this: ${fitting.slice(0, 3).join('; ')}`
        : `the isolation at ${Math.round(one.closeS)} s ends near ${formatNumber(value, 3)} Pa; no vapour of the table fits`;
    return [
      { closeS: one.closeS, pa: { value, low: value - 1.96 * u, high: value + 1.96 * u }, lastQuarter, vapours, text },
    ];
  });
}
