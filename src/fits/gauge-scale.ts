import { ArgumentError } from '../errors';

/** How a gauge works; it decides how exact its scale is and what another gas does to it. */
export const GAUGE_PRINCIPLES = ['thermal', 'capacitance', 'hot-cathode', 'cold-cathode', 'piezo', 'combined'] as const;

/** One of the principles. */
export type GaugePrinciple = (typeof GAUGE_PRINCIPLES)[number];

/** What a gauge's principle says about its scale. */
export interface GaugeScale {
  /** Relative standard uncertainty of the scale in the gas that it is set for. */
  readonly scale: number;
  /** Relative standard uncertainty from a gas that is not known; 0 where the gas does not matter or is known. */
  readonly gas: number;
  /** Where the figures come from, in a sentence. */
  readonly from: string;
}

/**
 * Typical relative standard uncertainties by principle. Common practice, no single source: capacitance 0.25 to 1 %,
 * thermal 10 to 15 % in its best decades and 30 to 60 % with an unknown gas; ionisation gauges spread by 15 % one from
 * another (P. Redhead, relative sensitivities in the CRC Handbook: individual gauges +-15 %), and by gas from 0.43 (H2)
 * to 1.4 (Ar, CO2) of nitrogen.
 */
const SCALES: Readonly<Record<GaugePrinciple, { readonly scale: number; readonly gas: number }>> = {
  capacitance: { scale: 0.005, gas: 0 },
  piezo: { scale: 0.01, gas: 0 },
  thermal: { scale: 0.12, gas: 0.3 },
  'hot-cathode': { scale: 0.1, gas: 0.3 },
  'cold-cathode': { scale: 0.2, gas: 0.3 },
  combined: { scale: 0.15, gas: 0.3 },
};

const UNKNOWN = 0.15;

/**
 * The uncertainty of a gauge's scale.
 * @param principle how the gauge works; not known where absent
 * @param gas the gas in the chamber, where it is known: `air` and `nitrogen` are what gauges are set for
 * @param given relative standard uncertainty of the scale from a certificate, instead of the typical one
 * @returns relative standard uncertainties and their ground
 * @throws ArgumentError for an unknown principle or a useless uncertainty
 */
export function gaugeScale(principle?: GaugePrinciple, gas?: string, given?: number): GaugeScale {
  if (given !== undefined && !(given >= 0 && given < 1)) {
    throw new ArgumentError('gauge scale', given, 'a relative standard uncertainty from 0 to below 1');
  }
  if (principle === undefined) {
    const scale = given ?? UNKNOWN;
    const from = given === undefined ? 'principle of the gauge not given: taken as 15 %' : 'given';
    return { scale, gas: 0, from };
  }
  if (!Object.hasOwn(SCALES, principle)) {
    throw new ArgumentError('gauge', principle, `one of ${GAUGE_PRINCIPLES.join(', ')}`);
  }
  const typical = SCALES[principle];
  const known = gas !== undefined && /^(air|dry air|nitrogen|n2)$/i.test(gas.trim());
  const byGas = known ? 0 : typical.gas;
  return {
    scale: given ?? typical.scale,
    gas: byGas,
    from: given === undefined ? `typical of a ${principle} gauge (common practice, no certificate given)` : 'given',
  };
}
