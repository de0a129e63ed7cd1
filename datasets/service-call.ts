/**
 * The demo logs of a service call: an invented vacuum oven that stops too high, gone through from the gauge to the
 * tracer. Two things are wrong with it: water in the pump's oil, which the ballast clears, and a leak in the pipe.
 */

import { constantSpeedPump } from '../src/flow';
import { outgassing, realLeak } from '../src/gas-loads';
import { type Schedule, type SimulatedGauge, type SimulatedSystem, type Simulation, simulate } from '../src/simulate';
import type { DemoLog, Field } from './scenario';

const LITRE = 1e-3;
const SCHOOL = 'Invented data: simulated, no real plant. Lindgrund Technical School (invented), vacuum oven.';
/** 4 m3/h. */
const SPEED = 1.1 * LITRE;
const HOSE = 0.8 * LITRE;
const PIPE = 1.4 * LITRE;
const OVEN = 20 * LITRE;
const PIPE_LEAK = 2e-3;
const BAROMETER = 100_200;

const GAUGE = {
  name: 'P1',
  unit: 'mbar',
  noise: { relative: 0.002, absolutePa: 0.02 },
  gasFactor: { air: 1, water: 1.5 },
  zeroPa: 0.4,
  lagS: 0.5,
  significantDigits: 4,
} satisfies SimulatedGauge;

const ROOM = { meanK: 294.2, swingK: 0.1, periodS: 2400 };

const timeField: Field = { name: 'time', type: 'number', unit: 's', description: 'since the first row' };
const pressureField: Field = {
  name: 'P1',
  type: 'number',
  unit: 'mbar',
  description: 'combined gauge, diaphragm near atmosphere and heat conduction below, adjusted for air',
};
const remarkField: Field = { name: 'remark', type: 'string', unit: '', description: 'of the technician' };

interface Part {
  readonly path: string;
  readonly title: string;
  readonly description: string;
  readonly system: Omit<SimulatedSystem, 'gauges' | 'temperature' | 'barometerPa'>;
  readonly schedule: Schedule;
  readonly seed: number;
  readonly stepS: number;
  readonly made: Readonly<Record<string, number>>;
  readonly comments?: readonly string[];
}

function demoOf({ path, title, description, system, schedule, seed, stepS, made, comments = [] }: Part): DemoLog {
  const simulation: Simulation = simulate(
    { ...system, gauges: [GAUGE], temperature: ROOM, barometerPa: BAROMETER },
    schedule,
    { seed, stepS, file: path },
  );
  const remarks = schedule.actions.some((action) => action.do === 'remark');
  return {
    path,
    title: `${title} (invented)`,
    description,
    simulation,
    dialect: { remarks, comments: [SCHOOL, ...comments] },
    fields: [timeField, pressureField, ...(remarks ? [remarkField] : [])],
    made,
  };
}

/** The pump blanked off at its inlet, with the gauge on a short stub. */
function blankedOff(
  path: string,
  title: string,
  description: string,
  seed: number,
  pumpAlone: { readonly ultimatePa: number; readonly vapour: number; readonly exponent: number; readonly hours: number },
): DemoLog {
  const { ultimatePa, vapour, exponent, hours } = pumpAlone;
  return demoOf({
    path,
    title,
    description,
    system: {
      volumeM3: 0.3 * LITRE,
      pump: constantSpeedPump(SPEED, ultimatePa),
      loads: [{ load: outgassing(), parameters: [vapour, exponent, 60, 1e-5, 0.1], name: 'water in the oil' }],
    },
    schedule: { durationS: 1800, startPa: 2000, pumpOpen: true, pumpedBeforeS: hours * 3600, actions: [] },
    seed,
    stepS: 5,
    made: { 'ultimate of the pump, Pa': ultimatePa, 'vapour at one hour, Pa m3/s': vapour },
  });
}

function gaugeLogs(): DemoLog[] {
  const walls = { load: outgassing(), parameters: [1e-7, 1, 60, 1e-3, 0.13], name: 'walls' };
  return [
    demoOf({
      path: 'service-atmosphere.csv',
      title: 'Service call 1: the gauge at atmosphere',
      description: 'The vented oven, ten minutes, while the barometer in the room shows 1002 hPa.',
      system: { volumeM3: OVEN, pump: constantSpeedPump(SPEED, 2), loads: [walls] },
      schedule: { durationS: 600, actions: [] },
      seed: 701,
      stepS: 5,
      made: { 'barometer, Pa': BAROMETER },
    }),
    demoOf({
      path: 'service-zero.csv',
      title: 'Service call 2: the gauge at zero',
      description: 'The gauge alone on a high-vacuum stand, far below what it can show: what it reads there is its zero error.',
      system: { volumeM3: 0.5 * LITRE, pump: constantSpeedPump(10 * LITRE, 1e-3), loads: [walls] },
      schedule: { durationS: 600, startPa: 0.01, pumpOpen: true, pumpedBeforeS: 36_000, actions: [] },
      seed: 702,
      stepS: 5,
      made: { 'zero error, Pa': GAUGE.zeroPa },
    }),
  ];
}

function pumpLogs(): DemoLog[] {
  return [
    blankedOff(
      'service-pump-shut.csv',
      'Service call 3: the pump blanked off, ballast shut',
      'The pump alone, blanked off at its inlet. New it reached 0.02 mbar; now it stops ten times above.',
      703,
      { ultimatePa: 2, vapour: 0.02, exponent: 0.15, hours: 1 },
    ),
    blankedOff(
      'service-pump-ballast.csv',
      'Service call 4: the pump blanked off, ballast open',
      'The same pump with its gas ballast open, at the end of half an hour: the ballast itself keeps the pressure up.',
      704,
      { ultimatePa: 45, vapour: 0.02, exponent: 1, hours: 1 },
    ),
    blankedOff(
      'service-pump-shut-again.csv',
      'Service call 5: the pump blanked off, ballast shut again',
      'The same pump after two hours with open ballast: the water has left the oil.',
      705,
      { ultimatePa: 2, vapour: 4e-4, exponent: 0.3, hours: 1 },
    ),
  ];
}

function lineLog(): DemoLog {
  const isolate = (atS: number, remark: string) => [
    { atS, do: 'close pump valve' as const },
    { atS, do: 'remark' as const, text: remark },
    { atS: atS + 300, do: 'open pump valve' as const },
  ];
  return demoOf({
    path: 'service-line.csv',
    title: 'Service call 6: the line, section by section',
    description:
      'Gauge at the pump valve. Isolated three times for five minutes: all open (22.2 L), then with the oven shut off ' +
      '(2.2 L), then with the pipe shut off as well (the hose alone, 0.8 L). The leak is in the pipe.',
    system: {
      volumeM3: HOSE,
      sections: [
        { name: 'pipe', volumeM3: PIPE },
        { name: 'oven', volumeM3: OVEN },
      ],
      pump: constantSpeedPump(SPEED, 2),
      gasExchangeS: 3,
      loads: [
        { load: realLeak(), parameters: [PIPE_LEAK], section: 'pipe', name: 'flange in the pipe' },
        { load: outgassing(), parameters: [6e-5, 1, 60, 1e-4, 0.13], name: 'hose' },
        { load: outgassing(), parameters: [4e-5, 1, 60, 1e-4, 0.13], section: 'pipe', name: 'walls of the pipe' },
        { load: outgassing(), parameters: [4e-4, 1, 60, 1e-4, 0.13], section: 'oven', name: 'walls of the oven' },
      ],
    },
    schedule: {
      durationS: 4800,
      startPa: 200,
      pumpOpen: true,
      pumpedBeforeS: 3600,
      actions: [
        ...isolate(900, 'isolated: all open'),
        { atS: 2100, do: 'close section', section: 'oven' },
        ...isolate(2400, 'isolated: oven shut off'),
        { atS: 3300, do: 'close section', section: 'pipe' },
        ...isolate(3600, 'isolated: pipe shut off as well'),
      ],
    },
    seed: 706,
    stepS: 2,
    made: { 'hose, m3': HOSE, 'pipe, m3': PIPE, 'oven, m3': OVEN, 'leak in the pipe, Pa m3/s': PIPE_LEAK },
    comments: ['hose 0.8 L, pipe 1.4 L, oven 20 L'],
  });
}

function chamberLog(): DemoLog {
  return demoOf({
    path: 'service-chamber.csv',
    title: 'Service call 7: the chamber alone',
    description:
      'Gauge at the oven, 20 L. Pumped from atmosphere, then shut off by its own valve three times for ten minutes. Nothing ' +
      'leaks into the oven; its walls give off water.',
    system: {
      volumeM3: OVEN,
      pump: constantSpeedPump(SPEED, 4),
      gasExchangeS: 6,
      loads: [{ load: outgassing(), parameters: [1.2e-3, 1, 60, 2e-4, 0.13], name: 'walls of the oven' }],
    },
    schedule: {
      durationS: 13_200,
      actions: [
        { atS: 60, do: 'open pump valve' },
        ...[1800, 5400, 12_000].flatMap((atS) => [
          { atS, do: 'close pump valve' as const },
          { atS: atS + 600, do: 'open pump valve' as const },
        ]),
      ],
    },
    seed: 707,
    stepS: 4,
    made: { 'volume, m3': OVEN, 'real leak, Pa m3/s': 0, 'outgassing at one hour, Pa m3/s': 1.2e-3 },
  });
}

function tracerLog(): DemoLog {
  const extra = 4e-4;
  return demoOf({
    path: 'service-tracer.csv',
    title: 'Service call 8: tracer gas along the line',
    description:
      'Everything pumped, gauge at the pump valve, while tracer gas is held to one joint after the other, from the top down. ' +
      'The reading answers at the flange before the trap (the tracer is simulated as more flow through the leak).',
    system: {
      volumeM3: HOSE + PIPE + OVEN,
      pump: constantSpeedPump(SPEED, 2),
      loads: [
        { load: realLeak(), parameters: [PIPE_LEAK], name: 'flange before the trap' },
        { load: outgassing(), parameters: [4e-4, 1, 60, 1e-4, 0.13], name: 'walls' },
      ],
    },
    schedule: {
      durationS: 2700,
      startPa: 4.6,
      pumpOpen: true,
      pumpedBeforeS: 14_400,
      actions: [
        { atS: 900, do: 'remark', text: 'tracer at the oven door' },
        { atS: 1320, do: 'remark', text: 'tracer at the oven valve' },
        { atS: 1740, do: 'remark', text: 'tracer at the flange before the trap' },
        { atS: 1744, do: 'let gas in', flow: extra },
        { atS: 1804, do: 'stop gas' },
        { atS: 2220, do: 'remark', text: 'tracer at the hose clamp' },
      ],
    },
    seed: 708,
    stepS: 2,
    made: { 'leak, Pa m3/s': PIPE_LEAK, 'more flow with tracer, Pa m3/s': extra },
  });
}

/** The logs of the service call, in its order. */
export function serviceCallLogs(): DemoLog[] {
  return [...gaugeLogs(), ...pumpLogs(), lineLog(), chamberLog(), tracerLog()];
}
