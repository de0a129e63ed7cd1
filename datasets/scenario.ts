/**
 * The demo logs: an invented school workshop with an invented coating chamber, freeze dryer and gas manifold. Every
 * record is simulated from a seed; what truly happened is written beside it to `truth.json`.
 */

import { constantSpeedPump } from '../src/flow';
import {
  evaporation,
  outgassing,
  realLeak,
  takingSurface,
  trappedGas,
} from '../src/gas-loads';
import { vapourPressure } from '../src/gases';
import { type LogDialect, type Simulation, simulate, type SimulatedSystem, writeLogText } from '../src/simulate';
import { serviceCallLogs } from './service-call';
import { watchedRun } from './watch-a-run';

/** A field of a table, as the data package tells it; a unit stands in brackets behind its name in the file. */
export interface Field {
  readonly name: string;
  readonly type: 'number' | 'string' | 'datetime';
  readonly unit: string;
  readonly description: string;
}

/** A demo log. */
export interface DemoLog {
  readonly path: string;
  readonly title: string;
  readonly description: string;
  readonly simulation: Simulation;
  readonly dialect: LogDialect;
  readonly fields: readonly Field[];
  /** Numbers that made it, SI, for the truth file. */
  readonly made: Readonly<Record<string, number>>;
}

const LITRE = 1e-3;
const MBAR_L = 0.1;
const SCHOOL = 'Invented data: simulated, no real plant. Lindgrund Technical School (invented), workshop log.';

const COATING_CHAMBER = {
  volumeM3: 12.4 * LITRE,
  pump: constantSpeedPump(2 * LITRE, 1.2),
  line: { molecularM3PerS: 0.02, viscousM3PerSPa: 1e-3 },
  gasExchangeS: 6,
  temperature: { meanK: 294.4, swingK: 0.35, periodS: 2100, driftKPerS: 2e-5 },
} satisfies Partial<SimulatedSystem>;

const THERMAL_GAUGE = {
  unit: 'mbar',
  noise: { relative: 0.004, absolutePa: 0.02, correlationS: 3 },
  gasFactor: { air: 1, water: 1.5 },
  lagS: 0.6,
  significantDigits: 4,
  range: { lowPa: 0.1, highPa: 5000 },
  words: { low: 'UNDER', high: 'OVER' },
} as const;

const timeField: Field = { name: 'time', type: 'number', unit: 's', description: 'since the first row' };

function failedPumpDown(): DemoLog {
  const leak = 0.12 * MBAR_L;
  const outgassed = 1.5e-3;
  const closings = [900, 3600, 7500];
  const simulation = simulate(
    {
      ...COATING_CHAMBER,
      loads: [
        { load: realLeak(), parameters: [leak], name: 'door seal' },
        { load: outgassing(), parameters: [outgassed, 1, 60, 5e-4, 0.13], name: 'walls and fixtures' },
      ],
      gauges: [{ ...THERMAL_GAUGE, name: 'chamber', spikes: [{ atS: 3900, factor: 6 }] }],
    },
    {
      durationS: 9000,
      actions: [
        { atS: 30, do: 'open pump valve' },
        ...closings.flatMap((atS) => [
          { atS, do: 'close pump valve' as const, burst: 0.03 },
          { atS: atS + 600, do: 'open pump valve' as const },
        ]),
      ],
    },
    { seed: 20_260_302, stepS: 2, file: 'failed-pump-down.csv' },
  );
  return {
    path: 'failed-pump-down.csv',
    title: 'A pump-down that stops too high (invented)',
    description:
      'Coating chamber, 12.4 L, pump 2 L/s, usually below 0.02 mbar within the hour. Pumped from atmosphere, it stops near ' +
      '0.08 mbar. The pump valve was closed three times for ten minutes. Thermal gauge, adjusted for air.',
    simulation,
    dialect: { comments: [SCHOOL, 'coating chamber 12.4 L, pump 2 L/s, pump valve closed at 15, 60 and 125 min'] },
    fields: [
      timeField,
      { name: 'chamber', type: 'number', unit: 'mbar', description: 'thermal gauge at the chamber; OVER beyond 50 mbar' },
    ],
    made: { 'volume, m3': 12.4 * LITRE, 'real leak, Pa m3/s': leak, 'outgassing at one hour, Pa m3/s': outgassed },
  };
}

function repairRecord(path: string, title: string, leak: number, seed: number): DemoLog {
  const outgassed = 4e-4;
  const simulation = simulate(
    {
      ...COATING_CHAMBER,
      loads: [
        { load: realLeak(), parameters: [leak], name: 'door seal' },
        { load: outgassing(), parameters: [outgassed, 1, 60, 5e-4, 0.13], name: 'walls and fixtures' },
      ],
      gauges: [
        {
          name: 'p_chamber',
          unit: 'mbar',
          noise: { relative: 5e-4, absolutePa: 0.03 },
          zeroPa: 0.08,
          stepPa: 0.05,
          range: { highPa: 1330, clamp: true },
        },
      ],
      thermometers: [{ name: 'T_wall', noiseK: 0.02, stepK: 0.05 }],
    },
    {
      durationS: 5400,
      actions: [
        { atS: 60, do: 'open pump valve' },
        { atS: 3600, do: 'close pump valve', burst: 0.01 },
        { atS: 4800, do: 'open pump valve' },
      ],
    },
    { seed, stepS: 2, file: path, start: path.startsWith('before') ? '2026-03-04T09:12:00' : '2026-03-06T09:05:00' },
  );
  return {
    path,
    title,
    description:
      'Coating chamber, 12.4 L, pumped for an hour, then isolated for twenty minutes. Diaphragm gauge to 13.3 mbar (it ' +
      'stands at its limit above), wall thermometer. European notation: semicolons and decimal commas.',
    simulation,
    dialect: {
      separator: ';',
      decimalMark: ',',
      time: 'iso',
      timeName: 'Zeit',
      comments: [SCHOOL],
    },
    fields: [
      { name: 'Zeit', type: 'datetime', unit: '', description: 'local time, ISO 8601' },
      { name: 'p_chamber', type: 'number', unit: 'mbar', description: 'diaphragm gauge; clamped at 13.3 mbar' },
      { name: 'T_wall', type: 'number', unit: 'degC', description: 'chamber wall' },
    ],
    made: { 'volume, m3': 12.4 * LITRE, 'real leak, Pa m3/s': leak, 'outgassing at one hour, Pa m3/s': outgassed },
  };
}

function freezeDryer(): DemoLog {
  const ice = 0.25;
  const simulation = simulate(
    {
      volumeM3: 60 * LITRE,
      sections: [{ name: 'condenser', volumeM3: 25 * LITRE }],
      pump: constantSpeedPump(3 * LITRE, 0.5),
      temperature: { meanK: 278.15, changes: [{ atS: 600, byK: 15, timeConstantS: 2400 }] },
      loads: [
        { load: evaporation('water'), parameters: [0.35, 1.3, ice, 243.15], name: 'ice on the shelves' },
        { load: takingSurface('water'), parameters: [1.2, vapourPressure('ice', 208.15), 1e6], section: 'condenser', name: 'condenser at -65 degC' },
        { load: realLeak(), parameters: [2e-4], name: 'door' },
        { load: outgassing(), parameters: [3e-4, 1, 60, 1e-3, 0.1], name: 'walls' },
      ],
      gauges: [
        { name: 'capacitance', unit: 'Pa', noise: { relative: 1e-3, absolutePa: 0.03 }, stepPa: 0.02, range: { highPa: 1333, clamp: true } },
        {
          name: 'thermal',
          unit: 'Pa',
          noise: { relative: 0.006, absolutePa: 0.05 },
          gasFactor: { air: 1, water: 1.6 },
          lagS: 1,
          significantDigits: 3,
          range: { highPa: 2000 },
        },
      ],
      thermometers: [{ name: 'shelf', noiseK: 0.05, stepK: 0.1 }],
    },
    {
      durationS: 6 * 3600,
      startPa: 101_325,
      actions: [
        { atS: 0, do: 'open pump valve' },
        { atS: 1200, do: 'regulate', toPa: 10, flow: 0.3 },
        ...[5400, 10_800, 19_800].flatMap((atS) => [
          { atS, do: 'stop gas' as const },
          { atS, do: 'close section' as const, section: 'condenser' },
          { atS, do: 'close pump valve' as const },
          { atS, do: 'remark' as const, text: 'chamber valve closed' },
          { atS: atS + 90, do: 'open section' as const, section: 'condenser' },
          { atS: atS + 90, do: 'open pump valve' as const },
          { atS: atS + 150, do: 'regulate' as const, toPa: 10, flow: 0.3 },
        ]),
      ],
    },
    { seed: 77, stepS: 5, file: 'freeze-dryer.csv' },
  );
  return {
    path: 'freeze-dryer.csv',
    title: 'Freeze dryer with ice (invented)',
    description:
      'A small freeze dryer, 60 L and a condenser at -65 degC, drying a quarter of a kilogram of ice at 10 Pa, held by a ' +
      'bleed of dry air. The valve to the condenser is closed three times for a minute and a half. While water vapour fills the chamber the thermal gauge, ' +
      'adjusted for air, reads 1.6 times the diaphragm gauge; dry, they agree.',
    simulation,
    dialect: { time: 'elapsed h:m:s', comments: [SCHOOL], remarks: true },
    fields: [
      { name: 'time', type: 'string', unit: '', description: 'hours:minutes:seconds since the first row' },
      { name: 'capacitance', type: 'number', unit: 'Pa', description: 'diaphragm gauge; clamped at 1333 Pa' },
      { name: 'thermal', type: 'number', unit: 'Pa', description: 'thermal gauge, adjusted for air; OVER beyond 2000 Pa' },
      { name: 'shelf', type: 'number', unit: 'degC', description: 'shelf' },
      { name: 'remark', type: 'string', unit: '', description: 'of the operator' },
    ],
    made: { 'volume, m3': 60 * LITRE, 'ice, kg': ice, 'real leak, Pa m3/s': 2e-4 },
  };
}

function virtualLeak(): DemoLog {
  const pocket = 4e-6;
  const conductance = pocket / 3000;
  const simulation = simulate(
    {
      volumeM3: 31 * LITRE,
      pump: constantSpeedPump(4 * LITRE, 0.3),
      gasExchangeS: 8,
      temperature: { meanK: 295.2, swingK: 0.2, periodS: 1700 },
      loads: [
        { load: trappedGas('molecular'), parameters: [pocket, conductance, 101_325], name: 'blind screw hole' },
        { load: outgassing(), parameters: [8e-6, 1, 60, 1e-3, 0.13], name: 'walls' },
      ],
      gauges: [
        {
          name: 'PG1',
          unit: 'Torr',
          noise: { relative: 2e-3, absolutePa: 0.004 },
          significantDigits: 4,
          range: { lowPa: 0.01, highPa: 1333 },
          words: { low: 'LO', high: 'HI' },
        },
      ],
    },
    {
      durationS: 12_600,
      actions: [
        { atS: 20, do: 'open pump valve' },
        ...[1800, 5400, 9000].flatMap((atS) => [
          { atS, do: 'close pump valve' as const },
          { atS: atS + 1500, do: 'open pump valve' as const },
        ]),
      ],
    },
    { seed: 411, stepS: 3, jitterS: 0.05, file: 'virtual-leak.csv', start: '2026-03-11T14:00:00' },
  );
  return {
    path: 'virtual-leak.csv',
    title: 'A virtual leak (invented)',
    description:
      'A chamber of 31 L with air trapped in a blind screw hole. Each of three isolations bends and rises less than the one ' +
      'before; nothing from outside comes in. Gauge in Torr with the words LO and HI beyond its range.',
    simulation,
    dialect: { time: 'iso', comments: [SCHOOL] },
    fields: [
      { name: 'time', type: 'datetime', unit: '', description: 'local time, ISO 8601' },
      { name: 'PG1', type: 'number', unit: 'Torr', description: 'gauge at the chamber; LO and HI beyond its range' },
    ],
    made: { 'volume, m3': 31 * LITRE, 'pocket, m3': pocket, 'conductance, m3/s': conductance },
  };
}

function sectionsValvedOff(): DemoLog {
  const leak = 6e-4;
  const close = (section: string, atS: number) => ({ atS, do: 'close section' as const, section });
  const open = (section: string, atS: number) => ({ atS, do: 'open section' as const, section });
  const simulation = simulate(
    {
      volumeM3: 6 * LITRE,
      sections: [
        { name: 'A', volumeM3: 2.5 * LITRE },
        { name: 'B', volumeM3: 3.5 * LITRE },
      ],
      pump: constantSpeedPump(1 * LITRE, 0.4),
      gasExchangeS: 3,
      temperature: { meanK: 293.6, driftKPerS: 4e-5 },
      loads: [
        { load: realLeak(), parameters: [leak], section: 'B', name: 'fitting in section B' },
        { load: outgassing(), parameters: [4e-5, 1, 60, 1e-3, 0.13], name: 'manifold' },
        { load: outgassing(), parameters: [2e-5, 1, 60, 1e-3, 0.13], section: 'A', name: 'walls of section A' },
        { load: outgassing(), parameters: [2e-5, 1, 60, 1e-3, 0.13], section: 'B', name: 'walls of section B' },
      ],
      gauges: [
        { name: 'manifold', unit: 'Pa', noise: { relative: 2e-3, absolutePa: 0.02 }, stepPa: 0.01, range: { highPa: 1000, clamp: true } },
      ],
    },
    {
      durationS: 7800,
      pumpOpen: true,
      startPa: 60,
      pumpedBeforeS: 3600,
      actions: [
        { atS: 1200, do: 'close pump valve' },
        { atS: 1200, do: 'remark', text: 'isolated: all open' },
        { atS: 1800, do: 'open pump valve' },
        close('A', 3000),
        { atS: 3300, do: 'close pump valve' },
        { atS: 3300, do: 'remark', text: 'isolated: section A shut off' },
        { atS: 3900, do: 'open pump valve' },
        open('A', 3960),
        close('B', 5100),
        { atS: 5400, do: 'close pump valve' },
        { atS: 5400, do: 'remark', text: 'isolated: section B shut off' },
        { atS: 6000, do: 'open pump valve' },
        open('B', 6060),
      ],
    },
    { seed: 5150, stepS: 2, file: 'sections-valved-off.csv' },
  );
  return {
    path: 'sections-valved-off.csv',
    title: 'A manifold with its sections valved off in turn (invented)',
    description:
      'A gas manifold of 6 L with two sections, A of 2.5 L and B of 3.5 L. Isolated three times for ten minutes: with all ' +
      'open, with A shut off, with B shut off. What rises is in the section whose closing stops it.',
    simulation,
    dialect: { remarks: true, comments: [SCHOOL, 'manifold 6 L, section A 2.5 L, section B 3.5 L'] },
    fields: [
      timeField,
      { name: 'manifold', type: 'number', unit: 'Pa', description: 'diaphragm gauge at the manifold' },
      { name: 'remark', type: 'string', unit: '', description: 'of the operator' },
    ],
    made: { 'manifold, m3': 6 * LITRE, 'section A, m3': 2.5 * LITRE, 'section B, m3': 3.5 * LITRE, 'leak in B, Pa m3/s': leak },
  };
}

/** All demo logs, simulated anew. */
export function demoLogs(): DemoLog[] {
  return [
    failedPumpDown(),
    repairRecord('before-repair.csv', 'Isolation before a repair (invented)', 3.5e-3, 31),
    repairRecord('after-repair.csv', 'Isolation after the repair (invented)', 6e-5, 32),
    freezeDryer(),
    virtualLeak(),
    sectionsValvedOff(),
    ...serviceCallLogs(),
    watchedRun(SCHOOL),
  ];
}

/** The text of a demo log. */
export function textOf(demo: DemoLog): string {
  return writeLogText(demo.simulation, demo.dialect);
}

/** What truly happened, per log: numbers that made it and the segments with what each cause brought. */
export function truthOf(demos: readonly DemoLog[]): Record<string, unknown> {
  const round = (value: number): number => Number(value.toPrecision(5));
  const rounded = (record: Readonly<Partial<Record<string, number>>>): Record<string, number> =>
    Object.fromEntries(Object.entries(record).map(([key, value]) => [key, round(value ?? 0)]));
  return Object.fromEntries(
    demos.map((demo) => [
      demo.path,
      {
        made: demo.made,
        segments: demo.simulation.truth.segments.map((segment) => ({
          kind: segment.kind,
          startS: segment.startS,
          endS: segment.endS,
          startPa: round(segment.startPa),
          endPa: round(segment.endPa),
          volumeM3: round(segment.volumeM3),
          'brought, Pa m3': rounded(segment.byCause),
          'loads at the start, Pa m3/s': rounded(segment.loadsAtStart),
          'loads at the end, Pa m3/s': rounded(segment.loadsAtEnd),
        })),
      },
    ]),
  );
}
