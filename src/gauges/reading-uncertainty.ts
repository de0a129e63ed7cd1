import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { type GaugeType, type GaugeTypeData, gaugeTypeData } from './gauge-type';

/** A gauge as far as it is known. */
export interface GaugeAtHand {
  readonly type: GaugeType;
  /** Full scale, Pa; needed for diaphragm and dial gauges. */
  readonly fullScale?: number;
  /** Relative standard uncertainty (k = 1, no unit) from a certificate, in place of the usual one at its best. */
  readonly relative?: number;
  /** Standard uncertainty of its zero, Pa; 0 where absent. */
  readonly zero?: number;
}

/** Where a pressure lies for a gauge. */
export type RangeState = 'under range' | 'in range' | 'over range';

/**
 * Pressures that a gauge can show.
 * @param gauge the gauge
 * @returns lowest and highest pressure, Pa
 * @throws ArgumentError for an unknown type, or without full scale where one is needed
 * @source common practice, no single source; see `GAUGE_TYPES`
 */
export function gaugeRange(gauge: GaugeAtHand): [number, number] {
  return scaled(gauge, gaugeTypeData(gauge.type).range);
}

/**
 * Whether a gauge can show a pressure.
 * @param gauge the gauge
 * @param pressure Pa, >= 0
 * @returns in, under or over its range
 * @throws ArgumentError where gauge or pressure are useless
 * @source as `gaugeRange`
 */
export function rangeState(gauge: GaugeAtHand, pressure: number): RangeState {
  const [low, high] = gaugeRange(gauge);
  const p = requireNotNegative('pressure', pressure);
  if (p < low) return 'under range';
  return p > high ? 'over range' : 'in range';
}

/**
 * Standard uncertainty of a reading in the gas that the gauge is set for: scale and zero in quadrature,
 * u = sqrt((r p)^2 + z^2). The relative part r is that of the gauge's best range and grows, on a logarithmic scale of
 * pressure, to that of its ends. Another gas comes on top: see `truePressure`.
 * @param gauge the gauge
 * @param pressure the reading, Pa, within its range
 * @returns standard uncertainty (k = 1), Pa; Infinity outside its range, where it knows nothing
 * @throws ArgumentError where gauge or pressure are useless
 * @source GUM (JCGM 100) 5.1.2 for the sum; the parts are common practice
 */
export function readingUncertainty(gauge: GaugeAtHand, pressure: number): number {
  const p = requirePositive('pressure', pressure);
  if (rangeState(gauge, p) !== 'in range') return Infinity;
  const zero = requireNotNegative('zero uncertainty', gauge.zero ?? 0);
  return Math.hypot(relativePart(gauge, gaugeTypeData(gauge.type), p) * p, zero);
}

function relativePart(gauge: GaugeAtHand, data: GaugeTypeData, p: number): number {
  const best = gauge.relative ?? data.relative;
  if (!(best >= 0 && best < 1)) throw new ArgumentError('relative uncertainty', best, '0 to below 1');
  const ends = Math.max(data.relativeAtEnds, best);
  const [low, high] = scaled(gauge, data.range);
  const [bestLow, bestHigh] = scaled(gauge, data.best);
  if (p < bestLow) return best + (ends - best) * (elementary.log(bestLow / p) / elementary.log(bestLow / low));
  if (p > bestHigh) return best + (ends - best) * (elementary.log(p / bestHigh) / elementary.log(high / bestHigh));
  return best;
}

function scaled(gauge: GaugeAtHand, [low, high]: readonly [number, number]): [number, number] {
  const { hasFullScale } = gaugeTypeData(gauge.type);
  if (!hasFullScale) return [low, high];
  if (gauge.fullScale === undefined)
    throw new ArgumentError(`full scale of the ${gauge.type} gauge`, 'none', 'a pressure');
  const full = requirePositive(`full scale of the ${gauge.type} gauge`, gauge.fullScale);
  return [low * full, high * full];
}
