import { ArgumentError } from '../errors';

/** Viscosity of a dilute gas against temperature, as its source writes it. */
export type ViscosityLaw =
  /** eta = C1 T^C2 / (1 + C3/T + C4/T^2), Pa s: Perry's Chemical Engineers' Handbook, 8th ed. 2007, Table 2-312. */
  | { readonly form: 'Perry'; readonly c: readonly [number, number, number, number] }
  /** eta = A + B T + C T^2 + D T^3 + E T^4, Pa s: VDI Heat Atlas, 2nd ed. 2010, section D3.1. */
  | { readonly form: 'VDI'; readonly c: readonly [number, number, number, number, number] };

/** A gas with the values that its sources publish. */
export interface Gas {
  /** Formula, or `air`. */
  readonly name: string;
  readonly english: string;
  /** Molar mass, kg/mol (IUPAC atomic weights, abridged). */
  readonly molarMass: number;
  /** Ratio of heat capacities of the dilute gas at 293.15 K (reference equations of state, 3 to 4 digits). */
  readonly heatCapacityRatio: number;
  /** Viscosity law, or null where no source was found. */
  readonly viscosity: ViscosityLaw | null;
  /** Temperatures for which the viscosity law holds, K. */
  readonly viscosityRange: readonly [number, number];
  /** Hard-sphere diameter for the mean free path, m (CRC Handbook, "Mean free path"), or null where not tabulated. */
  readonly hardSphereDiameter: number | null;
  /** Lennard-Jones sigma from viscosities, m (Poling, 5th ed. 2000), or null. Another quantity than the hard sphere. */
  readonly lennardJonesDiameter: number | null;
}

type Row = readonly [
  name: string,
  english: string,
  gPerMol: number,
  gamma: number,
  law: readonly number[] | null,
  low: number,
  high: number,
  hardSphere: number | null,
  lennardJones: number | null,
];

/** Diameters in angstrom, molar masses in g/mol; four coefficients are Perry's form, five the VDI's. */
const ROWS: readonly Row[] = [
  ['air', 'air', 28.9647, 1.4, [1.425e-6, 0.5039, 108.3, 0], 80, 2000, 3.66, 3.711],
  ['N2', 'nitrogen', 28.0134, 1.4, [6.5592e-7, 0.6081, 54.714, 0], 63.15, 1970, 3.7, 3.798],
  ['O2', 'oxygen', 31.9988, 1.395, [1.101e-6, 0.5634, 96.3, 0], 54.35, 1500, 3.55, 3.467],
  ['Ar', 'argon', 39.948, 5 / 3, [9.2121e-7, 0.60529, 83.24, 0], 83.78, 3273.1, 3.58, 3.542],
  ['He', 'helium', 4.002602, 5 / 3, [3.253e-7, 0.7162, -9.6, 107], 20, 2000, 2.15, 2.551],
  ['Ne', 'neon', 20.1797, 5 / 3, [7.19e-7, 0.6659, 5.3, 0], 30, 3273.1, 2.54, 2.82],
  ['Kr', 'krypton', 83.798, 5 / 3, [-7.92e-7, 1.02624e-7, -5.5428e-11, 2.187e-14, -3.69e-18], 200, 1000, 4.08, 3.655],
  ['Xe', 'xenon', 131.293, 5 / 3, [-2.3692e-6, 9.8454e-8, -4.8314e-11, 1.953e-14, -3.42e-18], 200, 1000, 4.78, null],
  ['H2', 'hydrogen', 2.01588, 1.406, [1.797e-7, 0.685, -0.59, 140], 13.95, 3000, 2.71, 2.827],
  ['D2', 'deuterium', 4.028204, 1.398, [2.4999e-7, 0.6878, 0.5962, 0], 60, 480, null, null],
  ['H2O', 'water vapour', 18.01528, 1.329, [1.7096e-8, 1.1146, 0, 0], 273.16, 1073.15, null, 2.641],
  ['CO2', 'carbon dioxide', 44.0095, 1.291, [2.148e-6, 0.46, 290, 0], 194.67, 1500, 4.53, 3.941],
  ['CO', 'carbon monoxide', 28.0101, 1.399, [1.1127e-6, 0.5338, 94.7, 0], 68.15, 1250, null, 3.69],
  ['CH4', 'methane', 16.04246, 1.306, [5.2546e-7, 0.59006, 105.67, 0], 90.69, 1000, null, 3.758],
  ['NH3', 'ammonia', 17.03052, 1.307, [4.1855e-8, 0.9806, 30.8, 0], 195.41, 1000, 4.32, null],
  // SF6: Perry states the law from 205 K, but below 273 K it falls up to 8 % short of the reference correlation.
  ['SF6', 'sulfur hexafluoride', 146.055419, 1.095, [5.3986e-7, 0.6349, 34.5, 19000], 273.15, 5000, null, null],
  ['C2H2', 'acetylene', 26.03728, 1.24, [1.2025e-6, 0.4952, 291.4, 0], 192.4, 600, null, null],
  ['C2H4', 'ethylene', 28.05316, 1.244, [2.0789e-6, 0.4163, 352.7, 0], 169.41, 1000, null, null],
  ['C2H6', 'ethane', 30.06904, 1.191, [2.5906e-7, 0.67988, 98.902, 0], 90.35, 1000, null, null],
  ['C3H8', 'propane', 44.09562, 1.13, [4.9054e-8, 0.90125, 0, 0], 85.47, 1000, null, null],
  ['C4H10', 'n-butane', 58.1222, 1.094, [3.4387e-8, 0.94604, 0, 0], 134.86, 1000, null, null],
  ['C6H6', 'benzene', 78.11184, 1.116, [3.134e-8, 0.9676, 7.9, 0], 278.68, 1000, null, null],
  ['Hg', 'mercury vapour', 200.592, 5 / 3, null, 0, 0, null, null],
];

const ANGSTROM = 1e-10;

function toGas([name, english, gPerMol, heatCapacityRatio, c, low, high, hardSphere, lennardJones]: Row): Gas {
  const law = c && ({ form: c.length === 4 ? 'Perry' : 'VDI', c } as unknown as ViscosityLaw);
  return {
    name,
    english,
    molarMass: gPerMol / 1000,
    heatCapacityRatio,
    viscosity: law,
    viscosityRange: [low, high],
    hardSphereDiameter: hardSphere && hardSphere * ANGSTROM,
    lennardJonesDiameter: lennardJones && lennardJones * ANGSTROM,
  };
}

/** The gases of vacuum work, by formula. */
export const GASES: readonly Gas[] = ROWS.map(toGas);

const byName = new Map(
  GASES.flatMap((gas) => [
    [gas.name.toLowerCase(), gas],
    [gas.english.replace(' vapour', ''), gas],
    [gas.english, gas],
  ]),
);

/**
 * A gas by its formula or English name, in any case.
 * @param name such as `N2`, `helium`, `air`, `water vapour`; a gas is returned as it is
 * @returns the gas with its published values
 * @throws ArgumentError where no such gas is in the table
 * @source the table `GASES`
 */
export function gasNamed(name: string | Gas): Gas {
  if (typeof name !== 'string') return name;
  const gas = byName.get(name.trim().toLowerCase());
  if (!gas) throw new ArgumentError('gas', name, `one of ${GASES.map((g) => g.name).join(', ')}`);
  return gas;
}
