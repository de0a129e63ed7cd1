import { ArgumentError } from '../errors';
import { LOAD_GASES, type LoadGas, requireParameters } from '../gas-loads';
import {
  type RandomStream,
  randomStream,
  requireFinite,
  requireNotNegative,
  requireOneOf,
  requirePositive,
  solveOde,
} from '../numerics';
import { ROOM_TEMPERATURE } from '../units';
import { type ChamberEquations, chamberEquations, STATES_PER_ROOM, type ValveState } from './chamber-equations';
import { type Column, channelOf, readGauge, readThermometer } from './gauge-reading';
import type {
  Action,
  Schedule,
  ScheduledAction,
  SimulatedSystem,
  Simulation,
  SimulationOptions,
  Truth,
} from './system';
import { temperatureAt } from './temperature-course';
import { type Stretch, trueSegments } from './true-segments';

/** The columns of the truth while they are being filled. */
interface Course {
  readonly time: Float64Array;
  readonly pa: Float64Array;
  readonly partialPa: Record<LoadGas, Float64Array>;
  readonly gasK: Float64Array;
  readonly wallK: Float64Array;
  readonly loads: readonly Float64Array[];
  readonly pumped: Float64Array;
  /** Total and partial pressures in every room, for gauges that sit in a section. */
  readonly rooms: readonly Record<LoadGas, Float64Array>[];
}

/**
 * Makes a record with known truth: follows amounts of three gases, the gas temperature and the states of all loads
 * through a schedule of valves (stiff solver, so narrow paths and fast exchange cost nothing), then reads the gauges with
 * their noise, steps, lag and limits. The same seed gives the same record; a gauge's noise does not depend on the others.
 * @param system what is built; SI throughout
 * @param schedule what is done and when, s
 * @param options seed, step and name of the record
 * @returns the log, its cells as a logger would write them, and the truth
 * @throws ArgumentError where system or schedule cannot be used, or the equations cannot be followed
 */
export function simulate(system: SimulatedSystem, schedule: Schedule, options: SimulationOptions = {}): Simulation {
  check(system, schedule, options);
  const random = randomStream(options.seed ?? 1);
  const equations = chamberEquations(system);
  const time = rowTimes(schedule, options, random.split('time stamps'));
  const course = emptyCourse(system, equations, time);
  const actions = [...schedule.actions].sort((a, b) => a.atS - b.atS);
  const stretches = follow(system, equations, schedule, actions, course);
  const columns: Column[] = [
    ...system.gauges.map((gauge) => {
      const room = gauge.section === undefined ? 0 : 1 + sectionIndex(system, gauge.section);
      return readGauge(gauge, time, course.rooms[room], system.barometerPa ?? 101325, random.split(gauge.name));
    }),
    ...(system.thermometers ?? []).map((one) => readThermometer(one, course.wallK, random.split(one.name))),
  ];
  const truth: Truth = {
    time,
    pa: course.pa,
    partialPa: course.partialPa,
    gasK: course.gasK,
    wallK: course.wallK,
    names: system.loads.map(({ load, name }) => name ?? load.name),
    causes: system.loads.map(({ load }) => load.cause),
    loads: course.loads,
    pumped: course.pumped,
    segments: trueSegments(system, stretches, course),
  };
  const remarks = actions.flatMap((action) => (action.do === 'remark' ? [{ atS: action.atS, text: action.text }] : []));
  return {
    log: {
      file: options.file ?? 'simulated.csv',
      sha256: '',
      description: describe(columns),
      rows: time.length,
      start: options.start ?? null,
      time,
      timeNotes: [],
      channels: columns.map((column, i) => channelOf(column, i + 2)),
      remarks,
      assumptions: ['simulated: the truth is known'],
      questions: [],
      leftOut: {},
    },
    cells: columns.map((column) => column.cells),
    truth,
  };
}

function describe(columns: readonly Column[]): Simulation['log']['description'] {
  return {
    encoding: 'utf-8',
    compression: 'none',
    format: 'text',
    separator: ',',
    decimalMark: '.',
    headerLine: 1,
    unitsLine: 0,
    firstDataLine: 2,
    commentMark: '#',
    time: { columns: [1], format: 'seconds' },
    columns: [
      {
        column: 1,
        name: 'time',
        role: 'time',
        quantity: 'number',
        unit: 's',
        unitFrom: 'header',
        belowAtmosphere: false,
      },
      ...columns.map(({ name, quantity, unit }, i) => ({
        column: i + 2,
        name,
        role: 'channel' as const,
        quantity,
        unit,
        unitFrom: 'header' as const,
        belowAtmosphere: false,
      })),
    ],
    grounds: {},
    assumptions: [],
    questions: [],
  };
}

function sectionIndex(system: SimulatedSystem, name: string): number {
  const index = (system.sections ?? []).findIndex((section) => section.name === name);
  if (index < 0) throw new ArgumentError('section', name, 'a section of the system');
  return index;
}

const ACTIONS: readonly Action['do'][] = [
  'close pump valve',
  'open pump valve',
  'stop pump',
  'start pump',
  'stop gas',
  'vent',
  'let gas in',
  'regulate',
  'close section',
  'open section',
  'remark',
];

/** Refuses every number that is not finite, however deep in a record or list. */
function refuseNotFinite(what: string, value: unknown): void {
  if (typeof value === 'number') requireFinite(what, value);
  else if (value !== null && typeof value === 'object') {
    for (const [key, inner] of Object.entries(value)) refuseNotFinite(`${key} of ${what}`, inner);
  }
}

function check(system: SimulatedSystem, schedule: Schedule, options: SimulationOptions): void {
  const { temperature, line, gauges, thermometers, gasExchangeS, waterInAir } = system;
  refuseNotFinite('system', { temperature, line, gauges, thermometers, gasExchangeS, waterInAir });
  refuseNotFinite('schedule', schedule);
  refuseNotFinite('options', options);
  requirePositive('mean temperature', temperature?.meanK ?? ROOM_TEMPERATURE);
  requirePositive('period of the temperature', temperature?.periodS ?? 1);
  requireNotNegative('molecular part of the line', line?.molecularM3PerS ?? 0);
  requireNotNegative('viscous part of the line', line?.viscousM3PerSPa ?? 0);
  requireNotNegative('gas exchange', gasExchangeS ?? 0);
  if (!((waterInAir ?? 0) >= 0 && (waterInAir ?? 0) <= 1))
    throw new ArgumentError('water in air', waterInAir, '0 to 1');
  requirePositive('volume', system.volumeM3);
  for (const section of system.sections ?? []) requirePositive(`volume of ${section.name}`, section.volumeM3);
  requirePositive('barometer', system.barometerPa ?? 101325);
  requirePositive('duration', schedule.durationS);
  const step = requirePositive('step', options.stepS ?? 1);
  if (schedule.durationS / step > 2e7) throw new ArgumentError('rows', schedule.durationS / step, 'at most 20 million');
  requireNotNegative('start pressure', schedule.startPa ?? 0);
  for (const { name, lagS = 0, noise = {} } of system.gauges) {
    requireNotNegative(`lag of ${name}`, lagS);
    requireNotNegative(`relative noise of ${name}`, noise.relative ?? 0);
    requireNotNegative(`noise of ${name}`, noise.absolutePa ?? 0);
    requireNotNegative(`correlation of the noise of ${name}`, noise.correlationS ?? 0);
  }
  if (system.gauges.length === 0) throw new ArgumentError('gauges', 'none', 'at least one');
  for (const { load, parameters, name } of system.loads) requireParameters(load, parameters, name);
  for (const action of schedule.actions) {
    requireOneOf('action', action.do, ACTIONS);
    if (!(action.atS >= 0 && action.atS <= schedule.durationS)) {
      throw new ArgumentError(`time of "${action.do}"`, action.atS, `0 to ${schedule.durationS} s`);
    }
    if ('flow' in action) requireNotNegative(`flow of "${action.do}"`, action.flow);
    if ('section' in action) sectionIndex(system, action.section);
  }
}

/** Times of the rows: every step, shaken, without the gaps. */
function rowTimes(schedule: Schedule, options: SimulationOptions, random: RandomStream): Float64Array {
  const step = options.stepS ?? 1;
  const jitter = Math.min(options.jitterS ?? 0, step / 8);
  const gaps = options.gaps ?? [];
  const count = Math.floor(schedule.durationS / step + 1e-9) + 1;
  const times = new Float64Array(count);
  let kept = 0;
  for (let i = 0; i < count; i++) {
    const t = i * step;
    if (gaps.some(({ fromS, toS }) => t > fromS && t < toS)) continue;
    const shake = jitter > 0 && i > 0 ? Math.max(-3, Math.min(3, random.normal())) * jitter : 0;
    times[kept++] = Math.min(schedule.durationS, t + shake);
  }
  return times.slice(0, kept);
}

function emptyCourse(system: SimulatedSystem, equations: ChamberEquations, time: Float64Array): Course {
  const column = (): Float64Array => new Float64Array(time.length);
  const gases = (): Record<LoadGas, Float64Array> => ({ air: column(), water: column(), solvent: column() });
  const rooms = equations.roomVolumes.map(gases);
  return {
    time,
    pa: column(),
    partialPa: rooms[0],
    gasK: column(),
    wallK: column(),
    loads: system.loads.map(column),
    pumped: column(),
    rooms,
  };
}

/** Solves from action to action and fills the columns. */
function follow(
  system: SimulatedSystem,
  equations: ChamberEquations,
  schedule: Schedule,
  actions: readonly ScheduledAction[],
  course: Course,
): Stretch[] {
  const valves: ValveState = {
    pumpOpen: schedule.pumpOpen ?? false,
    pumpRunning: true,
    gasIn: { kind: 'none' },
    burst: 0,
    burstAtS: 0,
    pumpedSinceS: schedule.startPa === undefined && !schedule.pumpOpen ? null : -(schedule.pumpedBeforeS ?? 0),
    closed: new Set(),
  };
  let y = startState(system, equations, schedule, valves);
  const stretches: Stretch[] = [];
  let row = 0;
  let from = 0;
  for (let i = 0; i <= actions.length; i++) {
    const to = i < actions.length ? actions[i].atS : schedule.durationS;
    const last = i === actions.length;
    let end = row;
    while (end < course.time.length && (last || course.time[end] < to)) end++;
    if (to > from || end > row) {
      stretches.push({ fromRow: row, toRow: end, startS: from, endS: to, ...snapshot(valves, equations) });
      y = solveStretch(equations, valves, y, from, to, course, row, end);
    }
    row = end;
    from = to;
    if (!last) act(actions[i], equations, valves, y, system.waterInAir ?? 0.01, from);
  }
  return stretches;
}

function snapshot(valves: ValveState, equations: ChamberEquations): Pick<Stretch, 'pumpOpen' | 'gasIn' | 'volumeM3'> {
  return {
    pumpOpen: valves.pumpOpen && valves.pumpRunning,
    gasIn: valves.gasIn.kind,
    volumeM3: equations.volumeOf(0, valves),
  };
}

function startState(
  system: SimulatedSystem,
  equations: ChamberEquations,
  schedule: Schedule,
  valves: ValveState,
): Float64Array {
  const y = new Float64Array(equations.size);
  const { wallK } = temperatureAt(system.temperature, 0);
  const pa = schedule.startPa ?? system.barometerPa ?? 101325;
  // A chamber that was open holds room air; one that was pumped holds what is easiest to pump, air.
  const water = schedule.startPa === undefined ? (system.waterInAir ?? 0.01) : 0;
  y[0] = (pa * (1 - water) * equations.volumeOf(0, valves)) / wallK;
  y[1] = (pa * water * equations.volumeOf(0, valves)) / wallK;
  y[3] = pa * equations.volumeOf(0, valves);
  system.loads.forEach(({ load, parameters }, i) => {
    y.set(load.start(parameters), equations.loadAt[i]);
  });
  return y;
}

function solveStretch(
  equations: ChamberEquations,
  valves: ValveState,
  start: Float64Array,
  from: number,
  to: number,
  course: Course,
  fromRow: number,
  toRow: number,
): Float64Array {
  const solution = solveOde({
    derivative: equations.derivative(valves),
    start,
    from,
    to,
    method: 'stiff',
    relativeTolerance: 1e-6,
    absoluteTolerance: equations.absoluteTolerance,
    outputAt: course.time.subarray(fromRow, toRow),
    firstStep: Math.min(0.01, Math.max(to - from, 1e-9)),
    maxStep: Math.max(1, (to - from) / 20),
    maxSteps: 400_000,
  });
  if (solution.reason !== 'end') {
    throw new ArgumentError(
      'simulation',
      `stopped at ${solution.endT} s (${solution.reason})`,
      'a system that can be followed',
    );
  }
  const { size } = equations;
  for (let i = 0; i < toRow - fromRow; i++) {
    writeRow(equations, valves, solution.y.subarray(i * size, (i + 1) * size), course, fromRow + i);
  }
  return solution.end;
}

function writeRow(equations: ChamberEquations, valves: ValveState, y: Float64Array, course: Course, row: number): void {
  const t = course.time[row];
  for (let room = equations.roomVolumes.length - 1; room >= 0; room--) {
    const seen = room > 0 && !valves.closed.has(room) ? 0 : room;
    const at = equations.conditions(seen, t, y, valves);
    for (const gas of LOAD_GASES) course.rooms[room][gas][row] = Math.max(0, at.partialPa[gas]);
    if (room > 0) continue;
    course.pa[row] = Math.max(0, at.pa);
    course.wallK[row] = at.wallK;
    course.gasK[row] = equations.gasTemperature(0, y, at.wallK);
    course.pumped[row] = equations.pumped(at);
    for (let i = 0; i < course.loads.length; i++) {
      const home = equations.loadRooms[i];
      course.loads[i][row] = home > 0 && valves.closed.has(home) ? 0 : equations.throughput(i, at, y);
    }
  }
}

/** Changes valves (and, for sections, the state) as an action asks. */
function act(
  action: Action,
  equations: ChamberEquations,
  valves: ValveState,
  y: Float64Array,
  waterInAir: number,
  atS: number,
): void {
  switch (action.do) {
    case 'open pump valve':
      valves.pumpOpen = true;
      if (valves.pumpedSinceS === null) valves.pumpedSinceS = atS;
      if (valves.gasIn.kind === 'vent') valves.gasIn = { kind: 'none' };
      break;
    case 'close pump valve':
      valves.pumpOpen = false;
      valves.burst = action.burst ?? 0;
      valves.burstAtS = atS;
      break;
    case 'stop pump':
      valves.pumpRunning = false;
      break;
    case 'start pump':
      valves.pumpRunning = true;
      break;
    case 'vent':
      valves.gasIn = { kind: 'vent', flow: action.flow, water: action.dry ? 0 : waterInAir };
      valves.pumpedSinceS = null;
      break;
    case 'let gas in':
      valves.gasIn = { kind: 'flow', flow: action.flow, gas: action.gas ?? 'air' };
      break;
    case 'regulate':
      valves.gasIn = { kind: 'regulate', flow: action.flow, toPa: action.toPa };
      break;
    case 'stop gas':
      valves.gasIn = { kind: 'none' };
      break;
    case 'close section':
    case 'open section':
      moveSection(action, equations, valves, y);
      break;
    case 'remark':
      break;
  }
}

/** Parts a section's gas from the chamber's, or mixes it in again. */
function moveSection(
  action: Action & { readonly section: string },
  equations: ChamberEquations,
  valves: ValveState,
  y: Float64Array,
): void {
  const room = equations.sectionNamed(action.section);
  const base = room * STATES_PER_ROOM;
  if (action.do === 'close section' && !valves.closed.has(room)) {
    const part = equations.roomVolumes[room] / equations.volumeOf(0, valves);
    for (let i = 0; i < STATES_PER_ROOM; i++) {
      y[base + i] = y[i] * part;
      y[i] *= 1 - part;
    }
    valves.closed.add(room);
  } else if (action.do === 'open section' && valves.closed.has(room)) {
    for (let i = 0; i < STATES_PER_ROOM; i++) {
      y[i] += y[base + i];
      y[base + i] = 0;
    }
    valves.closed.delete(room);
  }
}
