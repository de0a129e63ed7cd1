import { type Gas, meanSpeed, viscosity } from '../gases';
import { requirePositive } from '../numerics';

/**
 * Knudsen's limit of thermal transpiration: in molecular flow a head warmer than the chamber reads high by
 * sqrt(T_head / T_chamber). Measured heads stay below it (1.026 measured where the limit says 1.037), so it is a bound.
 * @param headTemperature K, > 0
 * @param chamberTemperature K, > 0
 * @returns pressure in the head over pressure in the chamber, no unit
 * @throws ArgumentError where a temperature is not above zero
 * @source Knudsen; Daude and others, arXiv 1308.6794 (abstract)
 */
export function transpirationLimit(headTemperature: number, chamberTemperature: number): number {
  return Math.sqrt(
    requirePositive('head temperature', headTemperature) / requirePositive('chamber temperature', chamberTemperature),
  );
}

/** A heated diaphragm gauge on a tube. */
export interface HeatedHead {
  /** K. */
  readonly headTemperature: number;
  /** K. */
  readonly chamberTemperature: number;
  /** Bore of the tube between them, m. */
  readonly bore: number;
  readonly gas: Gas | string;
}

/** Ratio of head to chamber pressure with bounds. */
export interface TranspirationRatio {
  /** Pressure in the head over pressure in the chamber, no unit. */
  readonly value: number;
  /** Its lower bound, no unit. */
  readonly low: number;
  /** Its upper bound, no unit. */
  readonly high: number;
  /** Pressure at which half of the effect is left, Pa. */
  readonly halfEffect: number;
}

/**
 * Thermal transpiration between the regimes: ratio = 1 + (limit - 1)/(1 + p/p_half), p_half = 2 eta v/d with viscosity
 * and mean speed at the mean temperature, the scaling by viscosity, speed and bore of Daude and others (arXiv 1308.6794).
 * The simple form in between is our own; the truth lies between 1 and Knudsen's limit, which are its bounds. Practically
 * gone above 100 Pa for usual tubes.
 * @param head the heated head
 * @param pressure in the chamber, Pa, > 0
 * @returns pressure in the head over pressure in the chamber, with bounds
 * @throws ArgumentError where an argument is not above zero; OutOfRangeError outside the gas's viscosity law
 * @source Daude and others, arXiv 1308.6794 (abstract), for the scaling; the form in between is our own
 */
export function transpirationRatio(head: HeatedHead, pressure: number): TranspirationRatio {
  const limit = transpirationLimit(head.headTemperature, head.chamberTemperature);
  const T = (head.headTemperature + head.chamberTemperature) / 2;
  const halfEffect = (2 * viscosity(head.gas, T) * meanSpeed(head.gas, T)) / requirePositive('bore', head.bore);
  const value = 1 + (limit - 1) / (1 + requirePositive('pressure', pressure) / halfEffect);
  return { value, low: Math.min(1, limit), high: Math.max(1, limit), halfEffect };
}
