import { ArgumentError } from '../errors';
import { type Gas, gasNamed } from '../gases';
import { requirePositive } from '../numerics';
import { type GaugeType, gaugeTypeData } from './gauge-type';

/** Whose table of relative sensitivities is meant; they disagree (argon 1.4 and 1.2, benzene 3.8 and 5.9). */
export type SensitivitySource = 'Redhead' | 'Summers';

/**
 * Sensitivity of ionisation gauges relative to nitrogen. Redhead: averages of twelve experimenters, individual gauges
 * within 15 % (CRC Handbook, relative sensitivity of Bayard-Alpert gauges). Summers: NASA TN D-5285, 1969 (from memory).
 */
export const ION_SENSITIVITIES: Readonly<Record<SensitivitySource, Readonly<Record<string, number>>>> = {
  Redhead: {
    He: 0.18,
    Ne: 0.31,
    Ar: 1.4,
    Kr: 1.9,
    Xe: 2.7,
    N2: 1,
    H2: 0.43,
    O2: 0.96,
    CO: 1,
    CO2: 1.4,
    H2O: 0.93,
    SF6: 2.3,
    Hg: 3.5,
    CH4: 1.6,
    C2H6: 2.6,
    C3H8: 3.5,
    C4H10: 4.3,
    C2H4: 1.3,
    C2H2: 0.61,
    C6H6: 3.8,
  },
  Summers: {
    N2: 1,
    air: 1,
    Ar: 1.2,
    CO2: 1.4,
    CO: 1.05,
    CH4: 1.6,
    NH3: 1.3,
    C4H10: 4.9,
    C6H6: 5.9,
    Ne: 0.23,
    Kr: 1.7,
    O2: 1,
  },
};

/** How far single gauges stray from Redhead's averages. */
const ION_SPREAD = 0.15;

/**
 * Sensitivity of an ionisation gauge for a gas, relative to nitrogen: true pressure = indicated / sensitivity.
 * @param gas the gas or its name; air is taken as nitrogen where the table has none
 * @param source whose table; `Redhead` where absent
 * @returns relative sensitivity, no unit
 * @throws ArgumentError where the table has no such gas
 * @source Redhead in the CRC Handbook; Summers, NASA TN D-5285, 1969 (from memory)
 */
export function ionSensitivity(gas: Gas | string, source: SensitivitySource = 'Redhead'): number {
  const table = ION_SENSITIVITIES[source];
  if (!table) throw new ArgumentError('source', source, 'Redhead or Summers');
  const { name } = gasNamed(gas);
  const value = table[name] ?? (name === 'air' ? table.N2 : undefined);
  if (value === undefined) throw new ArgumentError('gas', name, `one of ${Object.keys(table).join(', ')}`);
  return value;
}

/**
 * Ideal correction of a heat-conduction gauge in molecular flow with equal accommodation: true = factor x indicated,
 * factor = [(g+1)/((g-1) sqrt M)] of nitrogen over that of the gas. Real wires take up heat from light gases badly, so
 * helium and hydrogen lie nearer to 1: see `thermalFactorBand`.
 * @param gas the gas or its name
 * @param heatCapacityRatio g in place of the table's
 * @returns factor on a nitrogen-calibrated reading, no unit
 * @throws ArgumentError where the gas is unknown or the ratio not above 1
 * @source kinetic theory of heat conduction in molecular flow (calc)
 */
export function idealThermalFactor(gas: Gas | string, heatCapacityRatio?: number): number {
  const species = gasNamed(gas);
  return conduction(gasNamed('N2')) / conduction(species, heatCapacityRatio);
}

/** Heat taken from a wire, up to what all gases share. */
function conduction(gas: Gas, heatCapacityRatio = gas.heatCapacityRatio): number {
  const g = heatCapacityRatio;
  if (!(g > 1 && g < Infinity)) throw new ArgumentError('heat capacity ratio', g, 'above 1');
  return (g + 1) / ((g - 1) * Math.sqrt(gas.molarMass));
}

/** Factors met on real heat-conduction gauges below about 100 Pa; common practice, deliberately coarse. */
const THERMAL_BANDS: Readonly<Record<string, readonly [number, number]>> = {
  air: [1, 1],
  N2: [0.98, 1.02],
  O2: [0.95, 1.05],
  CO: [0.95, 1.05],
  He: [0.7, 1],
  H2: [0.4, 0.65],
  Ar: [1.5, 1.8],
  H2O: [0.5, 0.75],
  CO2: [0.85, 1],
};
/** For gases without a band: the ideal factor, this much either way. */
const UNKNOWN_SPREAD = 1.5;

/**
 * Band in which the correction of a real heat-conduction gauge lies: true = factor x indicated, set for air.
 * @param gas the gas or its name
 * @returns lowest and highest factor, no unit
 * @throws ArgumentError where the gas is unknown
 * @source common practice, no single source
 */
export function thermalFactorBand(gas: Gas | string): readonly [number, number] {
  const species = gasNamed(gas);
  const band = THERMAL_BANDS[species.name];
  if (band) return band;
  const ideal = idealThermalFactor(species);
  return [ideal / UNKNOWN_SPREAD, ideal * UNKNOWN_SPREAD];
}

/** Above this reading one factor does not do for a heat-conduction gauge, Pa. */
export const THERMAL_FACTOR_LIMIT = 100;

/** A true pressure with its bounds. */
export interface TruePressure {
  /** Middle of the bounds, Pa. */
  readonly value: number;
  /** Pa. */
  readonly low: number;
  /** Pa; Infinity where no bound can be given. */
  readonly high: number;
  /** What stands behind it, in a sentence. */
  readonly note: string;
}

/**
 * What a reading means in another gas than the one the gauge is set for (air or nitrogen): bounds from the gas alone.
 * @param type how the gauge works
 * @param indicated the reading, Pa, > 0
 * @param gas the gas or its name
 * @returns true pressure with bounds; no upper bound for heat-conduction gauges above 100 Pa in another gas
 * @throws ArgumentError where the reading is useless or no table knows the gas
 * @source as `ionSensitivity` and `thermalFactorBand`
 */
export function truePressure(type: GaugeType, indicated: number, gas: Gas | string): TruePressure {
  const p = requirePositive('reading', indicated);
  const { name, english } = gasNamed(gas);
  const { gasDependence } = gaugeTypeData(type);
  if (gasDependence === 'none') {
    return { value: p, low: p, high: p, note: 'this gauge feels the force of the gas, whatever the gas' };
  }
  if (gasDependence === 'ionisation') {
    const s = ionSensitivity(name);
    const [low, high] = [p / (s * (1 + ION_SPREAD)), p / (s * (1 - ION_SPREAD))];
    return {
      value: p / s,
      low,
      high,
      note: `relative sensitivity ${s} for ${english} (Redhead), single gauges 15 % apart`,
    };
  }
  const [low, high] = thermalFactorBand(name);
  const likeAir = high - low < 0.11;
  if (p > THERMAL_FACTOR_LIMIT && !likeAir) {
    const note = `above ${THERMAL_FACTOR_LIMIT} Pa no factor holds for ${english}: the true pressure may be far higher`;
    return { value: p, low: p * Math.min(low, 1), high: Infinity, note };
  }
  const note = `factor ${Number(low.toPrecision(2))} to ${Number(high.toPrecision(2))} for ${english}, common practice`;
  return { value: (p * (low + high)) / 2, low: p * low, high: p * high, note };
}
