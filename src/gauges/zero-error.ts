import { requireFinite, requireNotNegative, requirePositive } from '../numerics';

/** What a gauge's zero does to an isolation. */
export interface ZeroErrorEffect {
  /** Rate of rise that the drift of the zero feigns, Pa/s. */
  readonly falseRate: number;
  /** Gas load that it feigns, Pa m3/s. */
  readonly falseLoad: number;
  /** Error of each pressure from the constant part, Pa; a slope does not feel it. */
  readonly offset: number;
}

/**
 * Effect of a zero error on a rate-of-rise test. A constant offset shifts every pressure and leaves the slope alone; a
 * drifting zero is a slope, and looks like a leak of V times the drift.
 * @param offset constant zero error, Pa
 * @param drift of the zero, Pa/s
 * @param volume of the chamber, m3, > 0
 * @returns false rate, false load and offset
 * @throws ArgumentError where an argument is useless
 * @source calc, from Q = V dp/dt
 */
export function zeroErrorEffect(offset: number, drift: number, volume: number): ZeroErrorEffect {
  const falseRate = requireFinite('drift of the zero', drift);
  return {
    falseRate,
    falseLoad: falseRate * requirePositive('volume', volume),
    offset: requireFinite('offset', offset),
  };
}

/**
 * Drift of a diaphragm gauge's zero from a drift of its temperature: full scale x coefficient x dT/dt.
 * @param fullScale Pa, > 0
 * @param temperatureDrift of the gauge, K/s
 * @param coefficient parts of full scale per K; 3e-5 where absent (common practice: a few 1e-5)
 * @returns drift of the zero, Pa/s
 * @throws ArgumentError where an argument is useless
 * @source common practice, no single source
 */
export function zeroDrift(fullScale: number, temperatureDrift: number, coefficient = 3e-5): number {
  const perKelvin = requirePositive('full scale', fullScale) * requireNotNegative('coefficient', coefficient);
  return perKelvin * requireFinite('temperature drift', temperatureDrift);
}

/**
 * How long to isolate so that the rise stands out: ten times the resolution and the expected zero error together
 * (common practice; ASTM E2930 asks for a resolution ten times finer than the limit).
 * @param rate rate of rise to be seen, Pa/s, > 0
 * @param resolution of the gauge, Pa, >= 0
 * @param zeroError expected movement of the zero meanwhile, Pa, >= 0
 * @returns time, s
 * @throws ArgumentError where an argument is useless
 * @source common practice; ASTM E2930 (from memory)
 */
export function isolationTime(rate: number, resolution: number, zeroError = 0): number {
  const blur = requireNotNegative('resolution', resolution) + requireNotNegative('zero error', zeroError);
  return (10 * blur) / requirePositive('rate', rate);
}
