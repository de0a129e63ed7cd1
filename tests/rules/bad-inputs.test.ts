import { describe, expect, it } from 'vitest';
import { ArgumentError, OutOfRangeError, QuantityError } from '../../src/errors';
import * as flow from '../../src/flow';
import * as loads from '../../src/gas-loads';
import * as gases from '../../src/gases';
import * as gauges from '../../src/gauges';
import * as simulation from '../../src/simulate';
import * as units from '../../src/units';

/**
 * Every public function of physics with a call that is good, and what of it may be negative, infinite or another word.
 * Each number and word in the arguments, however deep, is then spoilt in turn, and the documented error must come.
 */
interface GoodCall {
  readonly args: readonly unknown[];
  /** Places whose number may as well be negative, such as `0` or `1.drift`. */
  readonly negative?: readonly string[];
  /** Places whose number may be infinite. */
  readonly infinite?: readonly string[];
  /** Places whose number may be NaN: readings that are missing. */
  readonly missing?: readonly string[];
  /** Places whose word may be any: names for the reader. */
  readonly free?: readonly string[];
  /** Places that are records made by other functions here, which are not spoilt. */
  readonly skip?: readonly string[];
}

type Door = Readonly<Record<string, unknown>>;

const pump = flow.constantSpeedPump(0.01, 0.1);
const line = { pump, tube: { diameter: 0.025, length: 1 } };
const tube = { diameter: 0.025, length: 1 };
const wall = { area: 1, rate: 1e-6, after: 3600, exponent: 1 };
const kelvin = 293.15;
const linear: gauges.OutputLaw = { kind: 'linear', zeroVolts: 0, fullVolts: 10, fullScalePa: 1000 };
const logarithmic: gauges.OutputLaw = { kind: 'logarithmic', decadesPerVolt: 1, offset: -3, unit: 'Pa' };
const combined = { lowerGain: 0.9, upperGain: 1.1, changeOver: [1, 10] };
const twoVolumes = { volumeM3: 0.05, pocketM3: 1e-6, conductanceM3PerS: 1e-9, speedM3PerS: 5e-3 };
const passing = { gas: 'He', upstream: 2e5, downstream: 1e3, temperature: kelvin };
const litres = units.quantity('12.4 L ± 5 %');
const built = {
  volumeM3: 0.01,
  barometerPa: 101325,
  pump: flow.constantSpeedPump(0.01),
  loads: [{ load: loads.realLeak(), parameters: [1e-4] }],
  gauges: [{ name: 'p', unit: 'Pa', zeroPa: 0.1, lagS: 0.5, noise: { relative: 0.01, absolutePa: 0.1 } }],
  temperature: { meanK: kelvin, driftKPerS: 1e-4, swingK: 0.1, periodS: 600, phase: 0.2 },
  line: { molecularM3PerS: 0.01, viscousM3PerSPa: 1e-3 },
  gasExchangeS: 5,
  waterInAir: 0.01,
};
const schedule = { durationS: 20, startPa: 10, actions: [{ atS: 5, do: 'let gas in', flow: 1e-3 }] };

const CALLS: Readonly<Record<string, GoodCall>> = {
  // units
  belowAtmosphere: { args: [5e4, 101325] },
  columnToSI: { args: [Float64Array.of(1, 2), units.findUnit('mbar gauge', 'pressure'), 101325], skip: ['0', '1'] },
  conversionToSI: { args: [units.findUnit('mbar gauge', 'pressure'), 101325], skip: ['0'] },
  convert: { args: [1, 'mbar', 'Torr'], negative: ['0'] },
  findUnit: { args: ['mbar', 'pressure'], free: ['0', '1'] },
  formatInterval: {
    args: [{ value: 1, low: 0.5, high: 2 }, 'mbar'],
    negative: ['0.value', '0.low', '0.high'],
    infinite: ['0.low', '0.high'],
    missing: ['0.low', '0.high'],
  },
  formatNumber: { args: [1.5, 4], negative: ['0'], infinite: ['0'], missing: ['0'] },
  formatQuantity: {
    args: [
      { ...litres, assumptions: [] },
      { unit: 'L', digits: 4 },
    ],
    negative: ['0.si'],
    free: ['0.unit', '0.uncertaintyRead'],
  },
  fromSI: { args: [100, 'mbar'], negative: ['0'] },
  listUnits: { args: ['pressure'] },
  molarFlow: { args: [1, kelvin], negative: ['0'] },
  quantity: { args: ['2 barg', 'pressure', { plusMinus: 'k=2', barometerPa: 101325 }], free: ['2.plusMinus'] },
  shownUnit: { args: ['mbar'] },
  siUnit: { args: ['pressure'] },
  throughputOf: { args: [1, kelvin], negative: ['0'] },
  toSI: { args: [1, 'mbar gauge', 101325], negative: ['0'] },
  unitNamed: { args: ['mbar', 'pressure'] },
  // gases
  collisionRate: { args: ['N2', 1, kelvin, 3.7e-10] },
  convertLeakRate: { args: [1e-3, passing, { ...passing, gas: 'air' }, 'laminar'] },
  evaporationCeiling: { args: ['water', kelvin] },
  evaporationHeat: { args: ['water', kelvin] },
  extrapolatedVapourPressure: { args: ['toluene', 280] },
  flowRegime: { args: [0.1, 'Jousten'] },
  gasNamed: { args: ['He'] },
  impingementRate: { args: ['N2', 1, kelvin] },
  impingementSpeed: { args: ['N2', kelvin] },
  knudsenNumber: { args: ['N2', 1, 0.025, kelvin] },
  leakFactor: { args: ['He', 'air', 'laminar', kelvin] },
  massFlow: { args: [1, 'N2', kelvin] },
  meanFreePath: { args: ['N2', 1, kelvin, 'viscosity'] },
  meanSpeed: { args: ['N2', kelvin] },
  molecularMass: { args: ['N2'] },
  monolayerTime: { args: ['N2', 1e-4, { temperature: kelvin, sticking: 0.5, sites: 1e19 }] },
  numberDensity: { args: [1, kelvin] },
  saturationTemperature: { args: ['water', 2000] },
  substanceNamed: { args: ['water'] },
  vapourPressure: { args: ['water', kelvin] },
  vapoursFitting: { args: [2340, 0.05, [291.15, 298.15]] },
  viscosity: { args: ['N2', kelvin] },
  // flow
  apertureConductance: { args: [1e-4, 'N2', kelvin] },
  atChamber: { args: [line, 1, 'air', kelvin], skip: ['0.pump'] },
  balancePressure: { args: [line, 1e-3, 'air', kelvin], skip: ['0.pump'] },
  bermanProbability: { args: [10] },
  capillaryThroughput: { args: [{ diameter: 1e-5, length: 0.01 }, 'air', 101325, 100, kelvin] },
  constantSpeedPump: { args: [0.01, 0.1, 'pump'], free: ['2'] },
  criticalPressureRatio: { args: [1.4] },
  desorptionPressureBound: { args: [1, 5e-3, 3600, 1e19, kelvin] },
  effectiveSpeed: { args: [10, 10], infinite: ['0', '1'] },
  equivalentHole: { args: [1e-3, 'air', 101325, kelvin] },
  gasLoadBudget: { args: [[['walls', 1e-6]], 0.01, 1e-3], free: ['0.0.0'] },
  inParallel: { args: [1, 2], infinite: ['0', '1'] },
  inSeries: { args: [1, 2], infinite: ['0', '1'] },
  laminarTubeConductance: { args: [tube, 'air', 100, kelvin] },
  leakForBasePressure: { args: [5, line, 1e-6, 'air', kelvin], skip: ['1.pump'] },
  longTubeConductance: { args: [tube, 'air', kelvin] },
  molarFlowOfRise: {
    args: [2e-3, { pressure: 25300, temperature: kelvin }, { pressure: 50600, temperature: kelvin }, 70],
  },
  molecularTubeConductance: { args: [tube, 'air', kelvin] },
  orificeThroughput: {
    args: [
      { area: 1e-4, gas: 'air', upstream: 101325, downstream: 100, temperature: kelvin, dischargeCoefficient: 0.8 },
    ],
  },
  outgassingLoad: { args: [wall, 600] },
  pumpDown: {
    args: [
      {
        volume: 0.01,
        line,
        from: 101325,
        duration: 60,
        gas: 'air',
        temperature: kelvin,
        leak: 1e-5,
        outgassing: wall,
        setPoints: [100],
      },
    ],
    skip: ['0.line.pump'],
  },
  pumpDownTime: { args: [0.1, 5e-3, 101325, 10, 5] },
  pumpSpeed: { args: [pump, 10], skip: ['0'] },
  pumpThroughput: { args: [pump, 10], skip: ['0'] },
  reynoldsNumber: { args: [1, 0.025, 'air', kelvin] },
  roundArea: { args: [0.025] },
  shareOfChokedFlow: { args: [1.4, 0.9] },
  sizePump: {
    args: [{ volume: 0.2, from: 101325, to: 10, within: 600, leak: 1e-5, outgassing: wall, conductance: 0.1 }],
    infinite: ['0.conductance'],
  },
  speedForPumpDown: { args: [0.1, 60, 101325, 10] },
  stepwisePumpDownTime: { args: [0.1, [1e5, 1e3, 10], [5e-3, 4e-3]] },
  tabulatedPump: {
    args: [
      [
        [1, 0.01],
        [100, 0.02],
      ],
      0.1,
      'pump',
    ],
    free: ['2'],
  },
  temperatureDriftLoad: { args: [0.1, 1000, kelvin, 1e-4], negative: ['3'] },
  throughputOfRise: { args: [0.02, 1e-2], negative: ['1'] },
  transmissionProbability: { args: [10] },
  tubeConductance: { args: [tube, 'air', 100, kelvin] },
  tubeThroughput: { args: [tube, 'air', 100, 50, kelvin] },
  usualVesselLeakage: { args: [1000, 10] },
  vapourTolerance: {
    args: [
      2e4,
      { speed: 0.01, ballast: 1e-3, permanentGas: 10, exhaust: 110000, ambient: 101325, ambientVapour: 1000 },
    ],
  },
  // gauges
  changeOverStep: { args: [{ lowerGain: 0.9, upperGain: 1.1 }] },
  columnFromVoltage: {
    args: [linear, Float64Array.of(1, 2), [0, 10]],
    skip: ['1'],
    negative: ['0.zeroVolts', '0.fullVolts', '2.0', '2.1'],
    infinite: ['2.0', '2.1'],
  },
  combinedReading: { args: [combined, 5] },
  converterUncertainty: { args: [10, 12] },
  crossesChangeOver: { args: [{ changeOver: [1, 10] }, 0.5, 20] },
  gaugeRange: { args: [{ type: 'capacitance', fullScale: 1000 }] },
  gaugeScale: { args: ['hot-cathode', 'Ar', 0.1, 1e-3], negative: ['3'], infinite: ['3'], missing: ['3'] },
  principleOfName: { args: ['thermal'], free: ['0'] },
  gaugeTypeData: { args: ['pirani'] },
  idealThermalFactor: { args: ['He', 1.66] },
  ionSensitivity: { args: ['He', 'Redhead'] },
  isolationTime: { args: [1e-3, 0.01, 0.02] },
  logarithmicLaw: {
    args: [
      [1, 1e-3],
      [5, 10],
    ],
    negative: ['0.0', '1.0'],
  },
  pressureFromVoltage: {
    args: [logarithmic, 5, [0, 10]],
    negative: ['0.decadesPerVolt', '0.offset', '1', '2.0', '2.1'],
    infinite: ['2.0', '2.1'],
  },
  rangeState: { args: [{ type: 'capacitance', fullScale: 1000 }, 10] },
  readingUncertainty: { args: [{ type: 'capacitance', fullScale: 1000, relative: 0.01, zero: 0.1 }, 10] },
  thermalFactorBand: { args: ['He'] },
  transpirationLimit: { args: [318, kelvin] },
  transpirationRatio: { args: [{ headTemperature: 318, chamberTemperature: kelvin, bore: 4e-3, gas: 'N2' }, 0.1] },
  truePressure: { args: ['hot-cathode', 1e-4, 'He'] },
  voltageFromPressure: { args: [logarithmic, 10], negative: ['0.decadesPerVolt', '0.offset'] },
  voltageUncertaintyEffect: { args: [linear, 1e-3, 5], negative: ['0.zeroVolts', '0.fullVolts'] },
  zeroDrift: { args: [1000, 1e-4, 3e-5], negative: ['1'] },
  zeroErrorEffect: { args: [0.1, 1e-4, 0.02], negative: ['0', '1'] },
  // gas-loads
  evaporation: { args: ['water'] },
  gasCooling: { args: [] },
  isolatedRise: {
    args: [
      [{ load: loads.realLeak(), parameters: [1e-4] }],
      { volumeM3: 0.01, startPa: 1, wallK: kelvin, barometerPa: 101325, pumpedS: 60 },
      [1, 10],
    ],
    skip: ['0.0.load'],
  },
  leakRollOff: { args: ['choked', 0.9] },
  outgassing: { args: ['water'] },
  outgassingRise: { args: [{ atOneHour: 1e-5, exponent: 1, volumeM3: 0.01, pumpedS: 600 }, 60] },
  passingGasFeed: { args: ['air'] },
  passingToRunningPump: { args: [] },
  passingToStoppedPump: { args: [] },
  permeation: { args: ['air'] },
  permeationOnset: { args: [0.1] },
  pumpBackstream: { args: ['air'] },
  realLeak: { args: ['choked'] },
  saturationCurve: { args: ['water'] },
  takingSurface: { args: ['water'] },
  temperatureDrift: { args: [] },
  trappedGas: { args: ['molecular'] },
  twoVolumePressures: { args: [twoVolumes, { pa: 10, trappedPa: 1e5 }, 60] },
  twoVolumeTimeConstants: { args: [twoVolumes] },
  waterInOil: { args: [] },
  // simulate
  simulate: {
    args: [built, schedule, { seed: 1, stepS: 1 }],
    free: ['0.gauges.0.name'],
    skip: ['0.pump', '0.loads.0.load'],
    negative: [
      '0.gauges.0.zeroPa',
      '0.temperature.driftKPerS',
      '0.temperature.swingK',
      '0.temperature.phase',
      '2.seed',
    ],
  },
};

/** Functions that take nothing apart: what they are given comes from other functions here. */
const TAKE_NOTHING_APART = [
  'statelessLoad',
  'parameter',
  'typicalParameters',
  'requireParameters',
  'temperatureAt',
  'writeLogText',
];

const doors: readonly Door[] = [units, gases, flow, gauges, loads, simulation];
const functions = new Map(
  doors.flatMap((door) =>
    Object.entries(door).filter(
      (entry): entry is [string, (...args: unknown[]) => unknown] => typeof entry[1] === 'function',
    ),
  ),
);

type Leaf = { readonly place: string; readonly value: unknown };

/** Every number and word in the arguments, with its place. */
function leaves(value: unknown, place: string, skip: readonly string[]): Leaf[] {
  if (skip.includes(place)) return [];
  if (typeof value === 'number' || typeof value === 'string') return [{ place, value }];
  if (Array.isArray(value))
    return value.flatMap((inner, i) => leaves(inner, place === '' ? String(i) : `${place}.${i}`, skip));
  if (value === null || typeof value !== 'object' || ArrayBuffer.isView(value)) return [];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${place}.${key}`, skip));
}

/** The arguments with another value at a place. */
function spoilt(value: unknown, path: readonly string[], by: unknown): unknown {
  if (path.length === 0) return by;
  const [key, ...rest] = path;
  if (Array.isArray(value)) return value.map((inner, i) => (String(i) === key ? spoilt(inner, rest, by) : inner));
  const record = value as Record<string, unknown>;
  return { ...record, [key]: spoilt(record[key], rest, by) };
}

/** What came instead of the documented error; empty where it came. */
function complaint(call: (...args: unknown[]) => unknown, args: readonly unknown[], what: string): string[] {
  try {
    call(...args);
    return [`${what}: accepted`];
  } catch (error) {
    const documented =
      error instanceof ArgumentError || error instanceof OutOfRangeError || error instanceof QuantityError;
    return documented ? [] : [`${what}: ${String(error)}`];
  }
}

function spoilEach(name: string, { args, negative, infinite, missing, free, skip }: GoodCall): string[] {
  const call = functions.get(name) as (...args: unknown[]) => unknown;
  const allows = (places: readonly string[] | undefined, place: string): boolean => places?.includes(place) ?? false;
  return leaves(args, '', skip ?? []).flatMap(({ place, value }) => {
    const attempt = (by: unknown, what: string): string[] =>
      complaint(call, spoilt(args, place.split('.'), by) as unknown[], `${name}, ${what} at ${place}`);
    if (typeof value === 'string') return allows(free, place) ? [] : attempt('phlogiston', 'an unknown word');
    return [
      ...(allows(missing, place) ? [] : attempt(Number.NaN, 'NaN')),
      ...(allows(infinite, place) ? [] : attempt(Infinity, 'Infinity')),
      ...(allows(negative, place) ? [] : attempt(-1 - Math.abs(value as number), 'a negative number')),
    ];
  });
}

describe('every public function of physics', () => {
  it('is in the table', () => {
    expect(functions.size).toBeGreaterThan(120);
    const known = [...Object.keys(CALLS), ...TAKE_NOTHING_APART];
    expect([...functions.keys()].filter((name) => !known.includes(name))).toEqual([]);
    expect(known.filter((name) => !functions.has(name))).toEqual([]);
  });

  it.each(
    Object.entries(CALLS),
  )('%s takes a good call and refuses a spoilt one with the documented error', (name, good) => {
    expect(() => (functions.get(name) as (...args: unknown[]) => unknown)(...good.args)).not.toThrow();
    expect(spoilEach(name, good)).toEqual([]);
  });

  it('spoils something in most of them', () => {
    const spoilable = Object.values(CALLS).filter(({ args, skip }) => leaves(args, '', skip ?? []).length > 0);
    expect(spoilable.length).toBeGreaterThan(110);
  });
});

describe('units that are wrong or can mean two things', () => {
  it('are answered with what could be meant, never guessed', () => {
    for (const label of ['psi', 'Mbar', 'm']) {
      const caught = (() => {
        try {
          return units.unitNamed(label);
        } catch (error) {
          return error;
        }
      })();
      expect(caught).toBeInstanceOf(QuantityError);
      expect((caught as QuantityError).choices.length).toBeGreaterThan(1);
    }
  });

  it('of another kind are refused wherever a kind is wanted', () => {
    expect(() => units.convert(1, 'mbar', 'L/s')).toThrow(QuantityError);
    expect(() => units.quantity('5 mbar L/s', 'pressure')).toThrow(QuantityError);
    expect(() => units.unitNamed('L', 'pressure')).toThrow(QuantityError);
    expect(() => units.formatQuantity(litres, { unit: 'mbar' })).toThrow(QuantityError);
    expect(() => gauges.pressureFromVoltage({ ...logarithmic, unit: 'L/s' } as gauges.OutputLaw, 5)).toThrow(
      QuantityError,
    );
  });

  it('that read from the atmosphere ask for the barometer', () => {
    expect(() => units.toSI(28, 'inHg vac')).toThrow(/barometric pressure of the place/);
    expect(() => units.toSI(29.9, 'inHg vac', 95000)).toThrow(/below the barometer/);
  });
});
