/**
 * Records of the simulator in `src/` for the bench of segmentation: loads, gauges, samplings and schedules drawn by a
 * seed. All numbers invented; the truth is where the valves moved.
 */
import { constantSpeedPump } from '../../src/flow';
import {
  evaporation,
  outgassing,
  passingToRunningPump,
  realLeak,
  takingSurface,
  trappedGas,
} from '../../src/gas-loads';
import { vapourPressure } from '../../src/gases';
import {
  type BuiltInLoad,
  type Schedule,
  type ScheduledAction,
  type SimulatedGauge,
  type SimulatedSystem,
  simulate,
} from '../../src/simulate';
import { type MadeRecord, randomFrom, type TrueStretch } from './made-records';

type Chance = () => number;
const between = (r: Chance, low: number, high: number): number => low + (high - low) * r();
const logBetween = (r: Chance, low: number, high: number): number => low * (high / low) ** r();
const pick = <T>(r: Chance, items: readonly T[]): T =>
  items[Math.min(items.length - 1, Math.floor(r() * items.length))];

/** What a record is about, in the order of the seeds. */
export const FAMILIES = [
  'leak',
  'virtual leak that runs dry',
  'evaporation to a plateau',
  'freeze dryer',
  'passing valve',
  'slow outgassing',
  'big leak',
  'pump limit',
  'temperature swings',
  'no isolation',
  'purges and a hold',
  'burst at closing',
] as const;

/** The family of a seed. */
export const familyOf = (seed: number): (typeof FAMILIES)[number] => FAMILIES[seed % FAMILIES.length];

interface Setting {
  readonly r: Chance;
  readonly dt: number;
  /** V/S, s */
  readonly tau: number;
  readonly basePa: number;
  readonly volumeM3: number;
  readonly speed: number;
  /** Load that makes the base, Pa m3/s. */
  readonly load: number;
}

/** A gauge that can read the base. */
function drawGauge(r: Chance, basePa: number, dt: number): SimulatedGauge {
  const correlationS = r() < 0.4 ? dt * logBetween(r, 0.5, 12) : 0;
  const lagS = r() < 0.5 ? dt * between(r, 0, 1.5) : 0;
  const common = { name: 'p', unit: 'mbar', lagS };
  if (basePa < 0.05) {
    const relative = logBetween(r, 0.003, 0.03);
    return {
      ...common,
      noise: { relative, correlationS },
      significantDigits: pick(r, [2, 3, 3]),
      ...(r() < 0.5 ? { range: { highPa: 1 } } : {}),
    };
  }
  const kind = pick(r, basePa > 20 ? ['thermal', 'wide'] : ['thermal', 'thermal', 'wide', '2 Torr', '10 Torr']);
  if (kind === 'thermal' || kind === 'wide') {
    return {
      ...common,
      noise: { relative: logBetween(r, 0.002, 0.012), absolutePa: basePa * logBetween(r, 1e-3, 0.02), correlationS },
      gasFactor: { air: 1, water: between(r, 1.4, 1.8) },
      significantDigits: pick(r, [2, 3, 3, 4]),
      ...(kind === 'thermal' ? { range: { lowPa: 0.02, highPa: 5000 } } : {}),
    };
  }
  const full = kind === '2 Torr' ? 266.6 : 1333.2;
  const absolutePa = full * logBetween(r, 1e-5, 1e-4);
  return {
    ...common,
    lagS: 0,
    noise: { relative: logBetween(r, 1e-4, 1e-3), absolutePa, correlationS },
    stepPa: absolutePa * logBetween(r, 0.2, 4),
    zeroPa: absolutePa * between(r, -2, 6),
    range: { highPa: full, clamp: true },
  };
}

const swing = (r: Chance, dt: number, most: number): SimulatedSystem['temperature'] => ({
  meanK: 294,
  swingK: between(r, 0.05, most),
  periodS: dt * logBetween(r, 120, 1500),
  phase: r(),
  driftKPerS: (between(r, -1, 1) * 0.2) / (3000 * dt),
});

const walls = (load: number, hourFactor = 1): BuiltInLoad => ({
  load: outgassing(),
  parameters: [load * hourFactor, 1, 60, 0, 0.13],
});
const leakOf = (load: number): BuiltInLoad => ({ load: realLeak(), parameters: [load] });

/** Loads, temperature and pump limit of a family, and how long its isolations are. */
function drawSystem(family: string, s: Setting, isolationS: number): Partial<SimulatedSystem> & { limitPa: number } {
  const { r, dt, load, volumeM3, speed, basePa } = s;
  const temperature = swing(r, dt, 0.3);
  switch (family) {
    case 'virtual leak that runs dry': {
      const pocket = volumeM3 * logBetween(r, 0.02, 0.5);
      const conductance = Math.min(0.1 * speed, pocket / (isolationS * between(r, 0.15, 0.6)));
      const pocketPa = (load / conductance) * logBetween(r, 1, 30);
      const trapped = { load: trappedGas('molecular'), parameters: [pocket, conductance, pocketPa] };
      return { loads: [trapped, leakOf(0.05 * load)], temperature, limitPa: 0.3 * basePa };
    }
    case 'evaporation to a plateau': {
      const meanK = between(r, 258, 300);
      const surface = volumeM3 / (isolationS * between(r, 0.03, 0.5));
      const conductance = Math.min(surface, speed * between(r, 0.02, 0.3));
      const wet = { load: evaporation('water'), parameters: [conductance, 500, 5, meanK] };
      return { loads: [wet, leakOf(0.01 * load)], temperature: { meanK }, limitPa: 0 };
    }
    case 'passing valve': {
      const passing = { load: passingToRunningPump(), parameters: [speed * logBetween(r, 1e-3, 0.1), 0.2 * basePa] };
      return { loads: [leakOf(0.7 * load), walls(0.3 * load), passing], temperature, limitPa: 0.2 * basePa };
    }
    case 'pump limit':
      return { loads: [leakOf(load * logBetween(r, 1e-4, 1e-1))], temperature, limitPa: basePa };
    case 'slow outgassing':
      return { loads: [walls(load * logBetween(r, 3e-3, 0.2))], temperature, limitPa: basePa };
    case 'temperature swings':
      return { loads: [leakOf(0.3 * load), walls(0.7 * load)], temperature: swing(r, dt, 3), limitPa: 0 };
    case 'no isolation':
      return { loads: [leakOf(load * r()), walls(load)], temperature: swing(r, dt, 2), limitPa: basePa * r() };
    default:
      return { loads: [leakOf(load * r()), walls(load * r())], temperature, limitPa: basePa * 0.3 * r() };
  }
}

function drawActions(family: string, s: Setting, isolationS: () => number): [ScheduledAction[], number, boolean] {
  const { r, dt, tau, basePa, volumeM3, speed } = s;
  const actions: ScheduledAction[] = [];
  let now = 0;
  const pumpFor = (): number => Math.max(22 * tau, dt * between(r, 60, 400));
  const high = r() < 0.6 && family !== 'big leak';
  if (high) {
    now = dt * between(r, 5, 40);
    actions.push({ atS: now, do: 'open pump valve' });
  }
  now += pumpFor() * (high ? 1.5 : 1);
  if (family === 'no isolation') return [actions, now + dt * between(r, 500, 3000), high];
  if (family === 'purges and a hold') {
    for (let i = 0; i < 2; i++) {
      const toPa = logBetween(r, 3e3, 5e4);
      const forS = dt * between(r, 15, 100);
      actions.push(
        { atS: now, do: 'close pump valve' },
        { atS: now, do: 'let gas in', flow: (toPa * volumeM3) / forS },
      );
      now += forS;
      actions.push({ atS: now, do: 'stop gas' }, { atS: now, do: 'open pump valve' });
      now += 1.4 * pumpFor();
    }
    const holdPa = basePa * logBetween(r, 6, 100);
    actions.push({ atS: now, do: 'let gas in', flow: holdPa * speed });
    now += Math.max(12 * tau, dt * between(r, 40, 300));
    actions.push({ atS: now, do: 'stop gas' });
    now += pumpFor();
  }
  const count = 1 + Math.floor(3 * r());
  for (let i = 0; i < count; i++) {
    const burst = family === 'burst at closing' ? volumeM3 * basePa * logBetween(r, 0.5, 20) : 0;
    actions.push({ atS: now, do: 'close pump valve', burst });
    now += isolationS();
    if (i === count - 1 && r() < 0.4) break;
    actions.push({ atS: now, do: 'open pump valve' });
    now += pumpFor();
  }
  if (family === 'purges and a hold' && actions[actions.length - 1].do === 'open pump valve' && r() < 0.5) {
    actions.push({ atS: now, do: 'close pump valve' });
    actions.push({ atS: now, do: 'vent', flow: (1e5 * volumeM3) / (dt * between(r, 10, 100)) });
    now += dt * 200;
  }
  return [actions, now, high];
}

/** A freeze dryer: shelf ice, a cold condenser behind a valve, a bleed that holds the pressure, or none. */
function freezeDryer(r: Chance, dt: number): [SimulatedSystem, Schedule] {
  const volumeM3 = logBetween(r, 0.02, 0.3);
  const iceK = between(r, 228, 258);
  const saturated = vapourPressure('ice', iceK);
  const holdPa = r() < 0.6 ? saturated * between(r, 0.3, 0.8) : 0;
  const conductance = (volumeM3 / dt) * logBetween(r, 0.03, 1);
  const cold = conductance * logBetween(r, 1.5, 20);
  const system: SimulatedSystem = {
    volumeM3,
    sections: [{ name: 'condenser', volumeM3: volumeM3 * between(r, 0.2, 0.6) }],
    pump: constantSpeedPump((volumeM3 / dt) * logBetween(r, 0.02, 0.5), 0.3),
    temperature: { meanK: iceK },
    loads: [
      { load: evaporation('water'), parameters: [conductance, 200, 5, iceK] },
      {
        load: takingSurface('water'),
        parameters: [cold, vapourPressure('ice', 208), 1e9],
        section: 'condenser',
      },
      leakOf(volumeM3 * logBetween(r, 1e-4, 1e-2)),
    ],
    gauges: [drawGauge(r, saturated * 0.3, dt)],
  };
  const actions: ScheduledAction[] = [];
  let now = dt * between(r, 100, 300);
  const holdIt = (atS: number): void => {
    if (holdPa > 0) actions.push({ atS, do: 'regulate', toPa: holdPa, flow: (50 * holdPa * volumeM3) / dt });
  };
  holdIt(now);
  now += dt * between(r, 60, 300);
  const count = 1 + Math.floor(3 * r());
  for (let i = 0; i < count; i++) {
    if (holdPa > 0) actions.push({ atS: now, do: 'stop gas' });
    actions.push({ atS: now, do: 'close section', section: 'condenser' }, { atS: now, do: 'close pump valve' });
    now += dt * logBetween(r, 12, 80);
    actions.push({ atS: now, do: 'open section', section: 'condenser' }, { atS: now, do: 'open pump valve' });
    now += dt * between(r, 10, 30);
    holdIt(now);
    now += dt * between(r, 60, 300);
  }
  return [system, { durationS: now, startPa: saturated, pumpOpen: true, pumpedBeforeS: 3600, actions }];
}

function ordinary(family: string, r: Chance, dt: number): [SimulatedSystem, Schedule] {
  const volumeM3 = logBetween(r, 1e-3, 0.3);
  const short = r() < 0.3;
  const rows = (): number => (short ? between(r, 11, 25) : logBetween(r, 20, 700));
  const typicalS = dt * (short ? 18 : 120);
  const basePa =
    family === 'evaporation to a plateau'
      ? 30
      : family === 'big leak'
        ? logBetween(r, 0.1, 5)
        : logBetween(r, 1e-4, 20);
  const topPa = logBetween(r, 1e3, 3e4);
  const tau = family === 'big leak' ? (basePa / topPa) * dt * logBetween(r, 60, 600) : dt * logBetween(r, 0.15, 25);
  const speed = volumeM3 / tau;
  const s: Setting = { r, dt, tau, basePa, volumeM3, speed, load: speed * basePa };
  const { limitPa, ...drawn } = drawSystem(family, s, typicalS);
  const isolationS = family === 'big leak' ? () => tau * (topPa / basePa) * between(r, 0.5, 1) : () => dt * rows();
  const [actions, durationS, high] = drawActions(family, s, isolationS);
  const system: SimulatedSystem = {
    volumeM3,
    pump: constantSpeedPump(speed, limitPa),
    loads: drawn.loads ?? [],
    temperature: drawn.temperature,
    ...(r() < 0.3 ? { gasExchangeS: dt * between(r, 0.5, 4) } : {}),
    gauges: [drawGauge(r, basePa, dt)],
  };
  if (family === 'big leak') Object.assign(system, { loads: [leakOf(speed * basePa)] });
  // Begun while it is pumped: it falls to what its loads hold it at.
  const startPa = family === 'evaporation to a plateau' ? 1500 : basePa * logBetween(r, 3, 100);
  const start = high ? {} : { startPa, pumpOpen: true, pumpedBeforeS: dt * 2000 };
  return [system, { durationS, ...start, actions }];
}

/** Standard deviation of one reading, with the last digit's part. */
function sigmaOf(gauge: SimulatedGauge, pa: number): number {
  const { relative = 0, absolutePa = 0 } = gauge.noise ?? {};
  const digits = gauge.significantDigits ?? 9;
  const last = gauge.stepPa ?? 10 ** (Math.floor(Math.log10(pa)) + 1 - digits);
  return Math.hypot(relative * pa, absolutePa, last / Math.sqrt(12));
}

/** Draws and simulates one record. */
export function makeSimulated(seed: number): MadeRecord {
  const r = randomFrom(seed * 6271 + 41);
  const family = familyOf(seed);
  const dt = logBetween(r, 0.2, 60);
  const [system, schedule] = family === 'freeze dryer' ? freezeDryer(r, dt) : ordinary(family, r, dt);
  const run = simulate(system, schedule, { seed, stepS: dt, jitterS: r() < 0.5 ? 0.01 * dt : 0, file: `${seed}.csv` });
  const [channel] = run.log.channels;
  const gauge = system.gauges[0];
  const truth = run.truth.segments.map((one, k): TrueStretch => {
    let readings = 0;
    let first = -1;
    let last = -1;
    run.log.time.forEach((t, row) => {
      if (t < one.startS || t >= one.endS || channel.flags[row] !== 0) return;
      readings++;
      if (first < 0) first = row;
      last = row;
    });
    const rise = first < 0 ? 0 : run.truth.pa[last] - run.truth.pa[first];
    return {
      kind: one.kind,
      fromS: one.startS,
      toS: one.endS,
      riseSigmas: first < 0 ? 0 : rise / sigmaOf(gauge, run.truth.pa[last]),
      readings,
      afterFill: k > 0 && run.truth.segments[k - 1].kind === 'fill',
    };
  });
  const story = `${family}: dt ${dt.toPrecision(3)} V ${system.volumeM3.toPrecision(3)} gauge ${JSON.stringify(gauge)}`;
  return { seed, log: run.log, truth, story };
}
