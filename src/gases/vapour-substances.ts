/** A vapour-pressure equation as its source writes it; all give Pa for K. */
export type VapourLaw =
  /** log10 p = A - B / (T + C). */
  | { readonly form: 'Antoine'; readonly c: readonly [number, number, number] }
  /** ln p = C1 + C2/T + C3 ln T + C4 T^C5. */
  | { readonly form: 'Perry'; readonly c: readonly [number, number, number, number, number] }
  /** ln(p/pc) = (Tc/T) sum a_i (1 - T/Tc)^n_i. */
  | {
      readonly form: 'Wagner';
      readonly temperature: number;
      readonly pressure: number;
      readonly a: readonly number[];
      readonly n: readonly number[];
    }
  /** ln(p/pt) = (Tt/T) sum a_i (T/Tt)^b_i, for ice. */
  | {
      readonly form: 'sublimation';
      readonly temperature: number;
      readonly pressure: number;
      readonly a: readonly number[];
      readonly n: readonly number[];
    };

/** Something whose vapour can hold up a pressure. */
export interface VapourSubstance {
  readonly name: string;
  readonly phase: 'liquid' | 'solid';
  /** Molar mass, kg/mol. */
  readonly molarMass: number;
  readonly law: VapourLaw;
  /** Temperatures for which the law is stated, K. */
  readonly range: readonly [number, number];
  /** Relative uncertainty (no unit) of the pressure within the range (k = 2), from the source or from the spread of sources. */
  readonly relativeUncertainty: number;
  /** Where the law comes from. */
  readonly source: string;
}

const POLING = "Poling, Prausnitz and O'Connell, 5th ed. 2000, appendix A (Antoine, in Pa and K)";
const PERRY = "Perry's Chemical Engineers' Handbook, 8th ed. 2007, Table 2-8";

function antoine(
  name: string,
  gPerMol: number,
  c: [number, number, number],
  low: number,
  high: number,
): VapourSubstance {
  return {
    name,
    phase: 'liquid',
    molarMass: gPerMol / 1000,
    law: { form: 'Antoine', c },
    range: [low, high],
    relativeUncertainty: 0.03,
    source: POLING,
  };
}

function perry(
  name: string,
  gPerMol: number,
  c: [number, number, number, number, number],
  range: readonly [number, number],
  relativeUncertainty: number,
): VapourSubstance {
  return {
    name,
    phase: 'liquid',
    molarMass: gPerMol / 1000,
    law: { form: 'Perry', c },
    range,
    relativeUncertainty,
    source: PERRY,
  };
}

/** The substances whose vapour is met in vacuum systems, each with its law, range and source. */
export const VAPOUR_SUBSTANCES: readonly VapourSubstance[] = [
  {
    name: 'water',
    phase: 'liquid',
    molarMass: 0.01801528,
    law: {
      form: 'Wagner',
      temperature: 647.096,
      pressure: 22.064e6,
      a: [-7.85951783, 1.84408259, -11.7866497, 22.6807411, -15.9618719, 1.80122502],
      n: [1, 1.5, 3, 3.5, 4, 7.5],
    },
    range: [273.16, 647.096],
    relativeUncertainty: 0.001,
    source: 'IAPWS, saturation properties of ordinary water (auxiliary equation of Wagner and Pruss), SR1-86(1992)',
  },
  {
    name: 'ice',
    phase: 'solid',
    molarMass: 0.01801528,
    law: {
      form: 'sublimation',
      temperature: 273.16,
      pressure: 611.657,
      a: [-21.2144006, 27.3203819, -6.1059813],
      n: [0.00333333333, 1.20666667, 1.70333333],
    },
    range: [50, 273.16],
    relativeUncertainty: 0.001,
    source: 'IAPWS, melting and sublimation of ordinary water substance, R14-08(2011)',
  },
  antoine('diethyl ether', 74.1216, [9.10962, 1090.64, -41.95], 229.71, 328.31),
  antoine('dichloromethane', 84.93258, [9.07622, 1070.07, -49.91], 235.2, 333.36),
  antoine('acetone', 58.07914, [9.2184, 1197.01, -45.09], 247.38, 350.65),
  antoine('chloroform', 119.37764, [8.96288, 1106.904, -54.598], 250.1, 356.89),
  antoine('methanol', 32.04186, [10.20277, 1580.08, -33.65], 262.59, 356),
  antoine('tetrahydrofuran', 72.10572, [9.12142, 1203.11, -46.795], 253.5, 361.71),
  antoine('n-hexane', 86.17536, [9.00139, 1170.875, -48.833], 254.24, 365.25),
  antoine('ethyl acetate', 88.10512, [9.13361, 1195.13, -60.68], 265.5, 372.51),
  antoine('ethanol', 46.06844, [10.33675, 1648.22, -42.232], 276.5, 369.54),
  antoine('2-propanol', 60.09502, [10.24268, 1580.92, -53.54], 281.28, 373.46),
  antoine('toluene', 92.13842, [9.05043, 1327.62, -55.525], 286.44, 409.61),
  perry('acetonitrile', 41.05192, [58.302, -5385.6, -5.4954, 5.3634e-6, 2], [229.32, 545.5], 0.03),
  perry('dimethylformamide', 73.09378, [82.762, -7955.5, -8.8038, 4.2431e-6, 2], [212.72, 649.6], 0.04),
  perry('dimethyl sulfoxide', 78.13344, [56.273, -7620.6, -4.6279, 4.3819e-7, 2], [291.67, 729], 0.04),
  perry('oxygen', 31.9988, [51.245, -1200.2, -6.4361, 0.028405, 1], [54.36, 154.58], 0.02),
  perry('liquid carbon dioxide', 44.0095, [140.54, -4735, -21.268, 0.040909, 1], [216.58, 304.21], 0.02),
  {
    name: 'dry ice',
    phase: 'solid',
    molarMass: 0.0440095,
    law: {
      form: 'Wagner',
      temperature: 216.592,
      pressure: 0.51795e6,
      a: [-14.740846, 2.4327015, -5.3061778],
      n: [1, 1.9, 2.9],
    },
    range: [154, 216.592],
    relativeUncertainty: 0.02,
    source: 'Span and Wagner, J. Phys. Chem. Ref. Data 25, 1509 (1996), eq. 3.12',
  },
  {
    name: 'mercury',
    phase: 'liquid',
    molarMass: 0.200592,
    law: {
      form: 'Wagner',
      temperature: 1764,
      pressure: 167e6,
      a: [-4.57618368, -1.40726277, 2.36263541, -31.0889985, 58.0183959, -27.6304546],
      n: [1, 1.89, 2, 8, 8.5, 9],
    },
    range: [234.3156, 1764],
    relativeUncertainty: 0.03,
    source: 'Huber, Laesecke and Friend, Ind. Eng. Chem. Res. 45, 7351 (2006)',
  },
];
