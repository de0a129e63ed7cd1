import {
  analyse,
  type ChartSpec,
  constantSpeedPump,
  curvesChart,
  evaporation,
  type GasLoad,
  type GaugeLog,
  impingementSpeed,
  intervalsChart,
  ionSensitivity,
  isolatedRise,
  isolationChart,
  laminarTubeConductance,
  molecularTubeConductance,
  type NamedCurve,
  outgassing,
  outgassingLoad,
  pumpDown,
  quantity,
  type RateAfterPumping,
  type RateOfRise,
  type RepeatedIsolations,
  rateAgainstTimePumpedChart,
  realLeak,
  roundArea,
  type SimulatedGauge,
  sideBySide,
  simulate,
  substanceNamed,
  thermalFactorBand,
  transmissionProbability,
  trappedGas,
  tubeConductance,
  typicalParameters,
  vapourPressure,
} from '../../src';

/** Evenly spaced numbers from one end to the other. */
const evenly = (from: number, to: number, count = 200): number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));

/** The same on a logarithmic axis. */
const byDecades = (from: number, to: number, count = 200): number[] =>
  evenly(Math.log(from), Math.log(to), count).map(Math.exp);

/** The system of the template `notebooks/size-a-system.ipynb`, at its defaults, followed for a day. */
const TUBE = { diameter: 0.025, length: 1.5 };
const SPEED = quantity('16 m3/h').si;
const WALLS = { area: 1.2, rate: quantity('5e-8 mbar L/(s cm2)').si, exponent: 1 };
const EMPTY = {
  volume: 0.06,
  line: { pump: constantSpeedPump(SPEED, quantity('2e-4 mbar').si), tube: TUBE },
  duration: 24 * 3600,
};

/** Pump-down of the template `size-a-system`: what it would be without loads, and what stops it. */
function pumpDownOfTemplate(): ChartSpec {
  const whole = pumpDown({ ...EMPTY, leak: quantity('2e-4 mbar L/s').si, outgassing: WALLS });
  const empty = pumpDown(EMPTY);
  const minutes = (course: { readonly timeS: Float64Array }): number[] => Array.from(course.timeS, (s) => s / 60);
  const mbar = (course: { readonly pa: Float64Array }): number[] => Array.from(course.pa, (pa) => pa / 100);
  const later = byDecades(120, EMPTY.duration);
  const speed = 1 / (1 / SPEED + 1 / molecularTubeConductance(TUBE, 'air'));
  return curvesChart(
    [
      { name: 'pressure in the chamber', x: minutes(whole), y: mbar(whole) },
      { name: 'volume gas alone', x: minutes(empty), y: mbar(empty) },
      {
        name: 'walls alone: load over speed',
        x: later.map((s) => s / 60),
        y: later.map((s) => outgassingLoad(WALLS, s) / speed / 100),
      },
    ],
    {
      x: { title: 'time of pumping', unit: 'min', scale: 'log', domain: [0.05, 1440] },
      y: { title: 'pressure', unit: 'mbar', scale: 'log', domain: [1e-4, 1100] },
    },
    {
      title: 'A pump-down and its stages',
      levels: [{ y: 2e-4, label: 'ultimate of the pump' }],
      notes: [
        { x: 1.2, y: 100, label: '1 volume gas' },
        { x: 3, y: 0.15, label: '2 the line grows narrow' },
        { x: 25, y: 0.006, label: '3 walls' },
        { x: 250, y: 0.0012, label: '4 pump and leak' },
      ],
    },
  );
}

interface BuiltIn {
  readonly load: GasLoad;
  readonly parameters: readonly number[];
}

/** An invented chamber of 20 L, pumped from atmosphere and shut off for five minutes again and again. */
function record(
  loads: readonly BuiltIn[],
  closings: readonly number[],
  seed: number,
  other: { readonly gauge?: Partial<SimulatedGauge>; readonly burst?: number } = {},
): GaugeLog {
  const gauge = {
    name: 'chamber',
    unit: 'mbar',
    noise: { relative: 0.002, absolutePa: 0.01, correlationS: 4 },
    stepPa: 0.005,
    ...other.gauge,
  };
  return simulate(
    { volumeM3: 0.02, pump: constantSpeedPump(5e-3, 5e-3), loads, waterInAir: 0, gauges: [gauge] },
    {
      durationS: closings[closings.length - 1] + 600,
      actions: [
        { atS: 0, do: 'open pump valve' },
        ...closings.flatMap((atS) => [
          { atS, do: 'close pump valve' as const, burst: other.burst },
          { atS: atS + 300, do: 'open pump valve' as const },
        ]),
      ],
    },
    { seed, stepS: 2, file: 'invented.csv' },
  ).log;
}

/** Three loads that make the same rise after a quarter of an hour of pumping. */
const LEAK: BuiltIn = { load: realLeak(), parameters: [4e-4] };
const METAL: BuiltIn = {
  load: outgassing(),
  parameters: typicalParameters(outgassing(), { 'at one hour': 1.13e-4, 'clock offset': 1, readsorption: 0 }),
};
const POCKET: BuiltIn = { load: trappedGas('molecular'), parameters: [1.8e-5, 5.4e-9, 101325] };
const CLOSINGS = [900, 1800, 3600, 7200, 14_400];

/** One isolation with its window, its fit, its band and the line of the first rate. */
function isolation(): ChartSpec {
  const log = record([METAL, { load: realLeak(), parameters: [5e-5] }], [1200], 31, {
    gauge: { noise: { relative: 0.005, absolutePa: 0.06, correlationS: 3 }, lagS: 4 },
    burst: 0.03,
  });
  const { fits } = analyse(log, { volume: quantity('20 L ± 2 %'), gauge: 'capacitance' });
  return isolationChart(log, fits.isolations[0], {
    title: 'An isolation: readings, fit, band, and the line of the first rate',
  });
}

/** A mean rate belongs to the middle of its isolation; here pumping begins with the record. */
const middleOf = ({ segment, rate }: RateOfRise): RateAfterPumping => ({
  pumpedS: (segment.startS + segment.endS) / 2,
  rate,
});

/** Rates of rise of repeated isolations of three invented chambers. */
function repeatedIsolations(): ChartSpec {
  const of = (name: string, load: BuiltIn, seed: number): RepeatedIsolations => {
    const { fits } = analyse(record([load], CLOSINGS, seed), { gauge: 'capacitance' });
    return { name, rates: fits.isolations.map(middleOf) };
  };
  return rateAgainstTimePumpedChart(
    [of('real leak', LEAK, 32), of('outgassing of metal', METAL, 33), of('trapped gas', POCKET, 34)],
    { title: 'Repeated isolations: what falls, and how fast' },
  );
}

/** Four rises that begin alike and end apart. */
function shapes(): ChartSpec {
  const times = evenly(0, 3600, 121).slice(1);
  const load = 4e-6;
  const rise = (title: string, { load: model, parameters }: BuiltIn, wallK = 293.15): ChartSpec => {
    const chamber = { volumeM3: 0.02, startPa: 0.01, pumpedS: 1800, wallK };
    const pa = isolatedRise([{ load: model, parameters }], chamber, times);
    const minutes = [0, ...times.map((s) => s / 60)];
    return curvesChart(
      [
        { name: 'pressure', x: minutes, y: [chamber.startPa, ...pa] },
        { name: 'at the first rate', x: [0, 60], y: [0.01, 0.01 + (load / chamber.volumeM3) * 3600] },
      ],
      {
        x: { title: 'time since closing', unit: 'min', domain: [0, 60] },
        y: { title: 'pressure', unit: 'Pa', domain: [0, 0.8] },
      },
      { title, width: 280, height: 190 },
    );
  };
  const cold = 203.15;
  return sideBySide(
    [
      rise('Real leak', { load: realLeak(), parameters: [load] }),
      rise('Outgassing of metal', { load: outgassing(), parameters: [load / 2, 1, 1, 0, 0.13] }),
      rise('Trapped gas', { load: trappedGas('molecular'), parameters: [1e-7, load / 1e5, 1e5] }),
      rise(
        'Ice at -70 degC',
        { load: evaporation('water'), parameters: [load / vapourPressure('ice', cold), 10, 1e-3, cold] },
        cold,
      ),
    ],
    'Four rises that begin alike',
  );
}

/** Conductance of a tube through the regimes, and the probability of getting through it in molecular flow. */
function conductance(): ChartSpec {
  const tube = { diameter: 0.025, length: 1 };
  const mean = byDecades(1e-3, 1e3);
  const x = mean.map((pa) => pa / 100);
  const litres = (c: (pa: number) => number): number[] => mean.map((pa) => c(pa) * 1000);
  const through = curvesChart(
    [
      { name: 'the tube (Knudsen)', x, y: litres((pa) => tubeConductance(tube, 'air', pa)) },
      { name: 'molecular alone', x, y: litres(() => molecularTubeConductance(tube, 'air')) },
      { name: 'laminar alone', x, y: litres((pa) => laminarTubeConductance(tube, 'air', pa)) },
    ],
    {
      x: { title: 'mean pressure', unit: 'mbar', scale: 'log' },
      y: { title: 'conductance', unit: 'L/s', scale: 'log', domain: [0.5, 1000] },
    },
    { title: '25 mm bore, 1 m long, air at 20 degC', width: 300, height: 240 },
  );
  const ratios = byDecades(0.1, 100);
  const opening = impingementSpeed('air') * roundArea(tube.diameter) * 1000;
  const probability = curvesChart(
    [
      { name: 'solved', x: ratios, y: ratios.map(transmissionProbability) },
      { name: 'long tube, 8R/3L', x: ratios, y: ratios.map((ratio) => 8 / (3 * ratio)) },
      { name: 'opening and long tube in series', x: ratios, y: ratios.map((ratio) => 1 / (1 + (3 * ratio) / 8)) },
    ],
    {
      x: { title: 'length over radius', unit: '', scale: 'log' },
      y: { title: 'transmission probability', unit: '', scale: 'log', domain: [0.02, 1.3] },
    },
    {
      title: 'Round tube, molecular flow',
      notes: [{ x: 0.12, y: 0.05, label: `25 mm opening, air: ${opening.toPrecision(3)} L/s` }],
      width: 300,
      height: 240,
    },
  );
  return sideBySide([through, probability], 'What a tube lets through');
}

/** True pressure over reading, by gas, of gauges that are set for air or nitrogen. */
function gasFactors(): ChartSpec {
  const spread = 0.15;
  const items = ['H2', 'He', 'H2O', 'CO2', 'Ar'].flatMap((gas) => {
    const [low, high] = thermalFactorBand(gas);
    const ion = 1 / ionSensitivity(gas);
    return [
      { name: `${gas}, heat conduction`, estimate: { value: (low + high) / 2, low, high } },
      { name: `${gas}, ionisation`, estimate: { value: ion, low: ion / (1 + spread), high: ion / (1 - spread) } },
    ];
  });
  return intervalsChart(items, '%', {
    what: 'true pressure over reading',
    limit: 1,
    limitName: 'air',
    intervals: 'usual',
    title: 'What a gauge set for air or nitrogen means in another gas',
  });
}

/** Vapour pressures, each inside the range of its law. */
function vapourPressures(): ChartSpec {
  const curve = (name: string): NamedCurve & { readonly x: number[]; readonly y: number[] } => {
    const [low, high] = substanceNamed(name).range;
    const kelvin = evenly(Math.max(173.15, low), Math.min(373.15, high), 120);
    return { name, x: kelvin.map((t) => t - 273.15), y: kelvin.map((t) => vapourPressure(name, t) / 100) };
  };
  const [ice, water] = [curve('ice'), curve('water')];
  return curvesChart(
    [
      { name: 'water and ice', x: [...ice.x, ...water.x], y: [...ice.y, ...water.y] },
      ...['acetone', 'ethanol', 'toluene', 'mercury', 'dry ice'].map(curve),
    ],
    {
      x: { title: 'temperature', unit: 'degC', domain: [-100, 100] },
      y: { title: 'vapour pressure', unit: 'mbar', scale: 'log', domain: [1e-4, 2000] },
    },
    {
      title: 'Which vapour holds a plateau',
      height: 360,
      levels: [
        { y: 23.39, label: 'water at 20 degC' },
        { y: 6.117, label: 'water at its triple point' },
      ],
    },
  );
}

/** The figures of `docs/method.md`, by file name without its ending. */
export function figures(): ReadonlyMap<string, ChartSpec> {
  return new Map([
    ['pump-down', pumpDownOfTemplate()],
    ['isolation', isolation()],
    ['shapes', shapes()],
    ['repeated-isolations', repeatedIsolations()],
    ['conductance', conductance()],
    ['gas-factors', gasFactors()],
    ['vapour-pressures', vapourPressures()],
  ]);
}
