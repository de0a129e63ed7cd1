import { ArgumentError } from '../errors';

/** How a gauge works. */
export type GaugeType =
  | 'thermocouple'
  | 'pirani'
  | 'convection'
  | 'capacitance'
  | 'hot-cathode'
  | 'cold-cathode'
  | 'piezo'
  | 'bourdon';

/** How the kind of gas changes a reading: not at all, by its heat conduction, or by how easily it is ionised. */
export type GasDependence = 'none' | 'thermal' | 'ionisation';

/** What gauges of one principle can know. Figures of the trade, deliberately coarse; a certificate is better. */
export interface GaugeTypeData {
  readonly type: GaugeType;
  /** What it is, in words. */
  readonly words: string;
  /** Pressures that it can show at all, Pa. For diaphragm gauges, as parts of full scale. */
  readonly range: readonly [number, number];
  /** Pressures where it is at its best, Pa; parts of full scale for diaphragm gauges. */
  readonly best: readonly [number, number];
  /** Relative standard uncertainty (k = 1, no unit) at its best, in the gas that it is set for. */
  readonly relative: number;
  /** The same at the ends of its range, no unit. */
  readonly relativeAtEnds: number;
  readonly gasDependence: GasDependence;
  /** Whether range, best and zero are parts of a full scale that each gauge has for its own. */
  readonly hasFullScale: boolean;
  /** What to beware of, each in a sentence. */
  readonly beware: readonly string[];
}

const THERMAL_BEWARE = [
  'its zero moves with temperature and dirt: below ten times the zero error the reading flattens falsely',
  'above 100 Pa the curves of different gases part and cross: argon at atmosphere may read a few tens of mbar',
];
const ION_BEWARE = [
  'its sensitivity is constant only below about 0.1 Pa',
  'it makes and pumps gas itself, and its sensitivity drifts by some percent in a year',
];

/** Common practice, no single source; ISO 19685 covers Pirani gauges from 0.01 Pa to 150 kPa. */
export const GAUGE_TYPES: readonly GaugeTypeData[] = [
  {
    type: 'thermocouple',
    words: 'thermocouple gauge (heat conduction)',
    range: [0.1, 270],
    best: [1, 65],
    relative: 0.15,
    relativeAtEnds: 0.5,
    gasDependence: 'thermal',
    hasFullScale: false,
    beware: THERMAL_BEWARE,
  },
  {
    type: 'pirani',
    words: 'Pirani gauge (heat conduction)',
    range: [0.05, 10000],
    best: [0.5, 1000],
    relative: 0.12,
    relativeAtEnds: 0.4,
    gasDependence: 'thermal',
    hasFullScale: false,
    beware: THERMAL_BEWARE,
  },
  {
    type: 'convection',
    words: 'convection-enhanced Pirani gauge (heat conduction)',
    range: [0.1, 101325],
    best: [1, 1000],
    relative: 0.12,
    relativeAtEnds: 0.4,
    gasDependence: 'thermal',
    hasFullScale: false,
    beware: [...THERMAL_BEWARE, 'it must stand as its maker says, since convection feels which way is up'],
  },
  {
    type: 'capacitance',
    words: 'capacitance diaphragm gauge (force on a membrane)',
    range: [1e-4, 1],
    best: [1e-2, 1],
    relative: 0.005,
    relativeAtEnds: 0.1,
    gasDependence: 'none',
    hasFullScale: true,
    beware: [
      'its zero must be set far below the lowest reading, and again after each vent',
      'a heated head reads up to 4 % high in molecular flow (thermal transpiration)',
    ],
  },
  {
    type: 'hot-cathode',
    words: 'hot-cathode ionisation gauge',
    range: [1e-9, 1],
    best: [1e-7, 0.1],
    relative: 0.1,
    relativeAtEnds: 0.3,
    gasDependence: 'ionisation',
    hasFullScale: false,
    beware: ION_BEWARE,
  },
  {
    type: 'cold-cathode',
    words: 'cold-cathode (crossed-field) ionisation gauge',
    range: [1e-7, 1],
    best: [1e-6, 0.1],
    relative: 0.2,
    relativeAtEnds: 0.5,
    gasDependence: 'ionisation',
    hasFullScale: false,
    beware: [...ION_BEWARE, 'it may start late, and it pumps more than a hot cathode'],
  },
  {
    type: 'piezo',
    words: 'piezo-resistive gauge (force on a membrane)',
    range: [1e-3, 1],
    best: [5e-2, 1],
    relative: 0.01,
    relativeAtEnds: 0.2,
    gasDependence: 'none',
    hasFullScale: true,
    beware: ['its zero moves with temperature: below a few hundred Pa it is a guess'],
  },
  {
    type: 'bourdon',
    words: 'Bourdon dial gauge (force on a bent tube)',
    range: [2e-2, 1],
    best: [0.2, 1],
    relative: 0.03,
    relativeAtEnds: 0.5,
    gasDependence: 'none',
    hasFullScale: true,
    beware: [
      'it reads below the atmosphere of the day: without the barometer of the place it knows no absolute pressure',
      'half a division of 0.5 inHg is 17 mbar: it is of no use for a rate of rise',
    ],
  },
];

/**
 * What gauges of a principle can know.
 * @param type the principle
 * @returns range, uncertainty, dependence on gas and what to beware of
 * @throws ArgumentError for an unknown principle
 * @source common practice, no single source; see `GAUGE_TYPES`
 */
export function gaugeTypeData(type: GaugeType): GaugeTypeData {
  const data = GAUGE_TYPES.find((entry) => entry.type === type);
  if (!data) throw new ArgumentError('gauge type', type, `one of ${GAUGE_TYPES.map((entry) => entry.type).join(', ')}`);
  return data;
}
