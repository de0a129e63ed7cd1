import { ArgumentError } from '../errors';
import { truePressure } from './gas-factor';
import { type GaugeType, gaugeTypeData } from './gauge-type';
import { readingUncertainty } from './reading-uncertainty';

/** How a gauge works, as a person who stands before it says it. */
export const GAUGE_PRINCIPLES = ['thermal', 'capacitance', 'hot-cathode', 'cold-cathode', 'piezo', 'combined'] as const;

/** One of the principles. */
export type GaugePrinciple = (typeof GAUGE_PRINCIPLES)[number];

/** What a gauge's principle says about its scale. */
export interface GaugeScale {
  /** Relative standard uncertainty (no unit) of the scale in the gas that it is set for. */
  readonly scale: number;
  /** True over indicated pressure, no unit, for the gas named; 1 where none is, or where the gas does not matter. */
  readonly gasFactor: number;
  /** Relative standard uncertainty of that factor; 0 where the gas does not matter. */
  readonly gas: number;
  /** Where the figures come from, each in a sentence. */
  readonly from: string;
  readonly gasFrom: string;
}

/** Relative standard uncertainty where even the principle is not known (common practice: a thermal gauge's). */
const UNKNOWN = 0.15;
/** For a gauge that depends on the gas, with a gas that is not known: 30 to 60 % (common practice). */
const UNKNOWN_GAS = 0.3;
/** The same where no factor holds for the gas that is. */
const NO_FACTOR = 0.6;
/** Below this a combined gauge reads by ionisation, above it by heat, Pa (common practice). */
const COMBINED_CHANGE_PA = 0.1;

/**
 * The uncertainty of a gauge's scale and what the gas does to it.
 * @param principle how the gauge works; not known where absent
 * @param gas the gas in the chamber, where it is known: `air` and `nitrogen` are what gauges are set for
 * @param given relative standard uncertainty of the scale from a certificate, instead of the typical one
 * @param pressure where it is read, Pa; taken as 1 Pa where it is not known (absent, not finite or not above zero)
 * @returns relative standard uncertainties and their grounds
 * @throws ArgumentError for an unknown principle or gas, or a useless uncertainty
 * @source common practice, no single source; see `GAUGE_TYPES` and `truePressure`
 */
export function gaugeScale(principle?: GaugePrinciple, gas?: string, given?: number, pressure = 1): GaugeScale {
  if (given !== undefined && !(given >= 0 && given < 1)) {
    throw new ArgumentError('gauge scale', given, 'a relative standard uncertainty from 0 to below 1');
  }
  const at = Number.isFinite(pressure) && pressure > 0 ? pressure : 1;
  if (principle === undefined) {
    const from = given === undefined ? 'principle of the gauge not given: taken as 15 %' : 'given';
    return { scale: given ?? UNKNOWN, gasFactor: 1, gas: 0, from, gasFrom: '' };
  }
  const type = typeOf(principle, at);
  const from =
    given === undefined ? `typical of a ${principle} gauge (common practice, not from a certificate)` : 'given';
  const scale = given ?? Math.max(principle === 'combined' ? UNKNOWN : 0, typicalScale(type, at));
  return { scale, from, ...gasEffect(type, gas, at) };
}

function typeOf(principle: GaugePrinciple, pressure: number): GaugeType {
  if (principle === 'thermal') return 'pirani';
  if (principle === 'combined') return pressure < COMBINED_CHANGE_PA ? 'hot-cathode' : 'pirani';
  if (GAUGE_PRINCIPLES.includes(principle)) return principle;
  throw new ArgumentError('gauge', principle, `one of ${GAUGE_PRINCIPLES.join(', ')}`);
}

/** Relative uncertainty at a pressure; of a gauge whose full scale is not known, that of its best range. */
function typicalScale(type: GaugeType, pressure: number): number {
  const data = gaugeTypeData(type);
  if (data.hasFullScale) return data.relative;
  const relative = readingUncertainty({ type }, pressure) / pressure;
  return Number.isFinite(relative) ? relative : data.relativeAtEnds;
}

function gasEffect(
  type: GaugeType,
  gas: string | undefined,
  pressure: number,
): Pick<GaugeScale, 'gasFactor' | 'gas' | 'gasFrom'> {
  if (gaugeTypeData(type).gasDependence === 'none') return { gasFactor: 1, gas: 0, gasFrom: '' };
  if (gas === undefined) {
    const gasFrom = 'gas not known: a gauge of this kind reads another value for each';
    return { gasFactor: 1, gas: UNKNOWN_GAS, gasFrom };
  }
  // Gauges are set for air or nitrogen, whichever the certificate names.
  if (/^(air|nitrogen|n2)$/i.test(gas.trim())) return { gasFactor: 1, gas: 0, gasFrom: '' };
  const { value, low, high, note } = truePressure(type, pressure, gas);
  if (!Number.isFinite(high)) return { gasFactor: 1, gas: NO_FACTOR, gasFrom: note };
  return { gasFactor: value / pressure, gas: (high - low) / value / (2 * Math.sqrt(3)), gasFrom: note };
}
