import { ArgumentError } from '../errors';
import { requirePositive } from '../numerics';
import { saturationTemperature, vapourPressure } from './vapour-pressure';
import { VAPOUR_SUBSTANCES, type VapourSubstance } from './vapour-substances';

/** A substance whose vapour could hold a pressure at a plateau. */
export interface PlateauCandidate {
  readonly substance: VapourSubstance;
  /** Its temperature at that pressure, K, from the lower to the upper end of the pressure. */
  readonly temperature: readonly [number, number];
  /** True where that temperature agrees with the temperatures the parts can have. */
  readonly fits: boolean;
  /** How far its temperature lies outside, K; 0 where it fits. */
  readonly missedBy: number;
  /** A sentence for the reader. */
  readonly note: string;
}

/**
 * Which substance could hold a pressure at a plateau: each whose saturation temperature at that pressure agrees with the
 * temperatures its liquid or solid can have. The uncertainty of each law is worked in. Evaporating liquid is colder than
 * its vessel, so let the temperatures reach down as far as it may have cooled itself.
 * @param pressure the plateau, Pa, > 0
 * @param relativeUncertainty of the pressure reading (k = 2), gas factor of the gauge included; 0 to below 1
 * @param temperatures lowest and highest temperature that the liquid or solid can have, K
 * @returns all substances that reach the pressure, those that fit first, then by how far they miss
 * @throws ArgumentError where the pressure or the temperatures are useless
 * @source the laws of `VAPOUR_SUBSTANCES`; to compare them is our own
 */
export function vapoursFitting(
  pressure: number,
  relativeUncertainty: number,
  temperatures: readonly [number, number],
): PlateauCandidate[] {
  const p = requirePositive('pressure', pressure);
  if (!(relativeUncertainty >= 0 && relativeUncertainty < 1)) {
    throw new ArgumentError('relative uncertainty', relativeUncertainty, '0 to below 1');
  }
  const [low, high] = temperatures;
  if (!(requirePositive('temperature', low) <= requirePositive('temperature', high))) {
    throw new ArgumentError('temperatures', `${low} to ${high}`, 'lowest and highest, K');
  }
  return VAPOUR_SUBSTANCES.flatMap((substance) => candidate(substance, p, relativeUncertainty, low, high)).sort(
    (a, b) => a.missedBy - b.missedBy,
  );
}

function candidate(
  substance: VapourSubstance,
  p: number,
  relativeUncertainty: number,
  low: number,
  high: number,
): PlateauCandidate[] {
  const u = Math.hypot(relativeUncertainty, substance.relativeUncertainty);
  const reach = substance.range.map((T) => vapourPressure(substance, T));
  const from = Math.max(p * Math.max(1 - u, 1e-3), reach[0]);
  const to = Math.min(p * (1 + u), reach[1]);
  if (from > to) return [];
  const temperature: [number, number] = [saturationTemperature(substance, from), saturationTemperature(substance, to)];
  const missedBy = Math.max(temperature[0] - high, low - temperature[1], 0);
  // Plus 0, so that nothing is said to be -0.0 degC.
  const at = temperature.map((T) => (Math.round(10 * (T - 273.15)) / 10 + 0).toFixed(1)).join(' to ');
  const note = `${substance.name} (${substance.phase}) holds this pressure at ${at} degC`;
  return [{ substance, temperature, fits: missedBy === 0, missedBy, note }];
}
