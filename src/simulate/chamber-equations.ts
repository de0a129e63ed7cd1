import { ArgumentError } from '../errors';
import { effectiveSpeed, type PumpCurve, pumpSpeed } from '../flow';
import { type ChamberConditions, LOAD_GASES, type LoadGas } from '../gas-loads';
import { rollOff } from '../gas-loads/real-leak';
import type { SimulatedSystem } from './system';
import { temperatureAt } from './temperature-course';

/** Ratio of heat capacities, taken as that of air for the whole gas. */
const GAMMA = 1.4;
/** Exchange with the walls is never faster than this, s. */
const FASTEST_EXCHANGE_S = 0.05;
/** A regulator that corrects in this time, s. */
const REGULATOR_S = 2;
/** A burst comes out in this time, s. */
const BURST_S = 0.7;
/** Walls in balance with room air give nothing off: a clock that has run for ever. */
const FOR_EVER_S = 1e13;

const NO_STATE = new Float64Array(0);

/** Positions of valves and what flows in, between two actions. */
export interface ValveState {
  pumpOpen: boolean;
  pumpRunning: boolean;
  /** Gas let in: none, air until atmosphere, a known flow, or a regulated pressure. */
  gasIn:
    | { readonly kind: 'none' }
    | { readonly kind: 'vent'; readonly flow: number; readonly water: number }
    | { readonly kind: 'flow'; readonly flow: number; readonly gas: LoadGas }
    | { readonly kind: 'regulate'; readonly flow: number; readonly toPa: number };
  /** Amount and moment of the last burst. */
  burst: number;
  burstAtS: number;
  /** When pumping began, or null while the walls are in balance with room air. */
  pumpedSinceS: number | null;
  /** Sections that are shut off. */
  readonly closed: Set<number>;
}

/** A room: the chamber (0) or a section; four states each: amounts of three gases (p V / T, Pa m3/K) and the total p V, Pa m3. */
export const STATES_PER_ROOM = 4;

/** The equations of a system, ready to be solved between two actions. */
export interface ChamberEquations {
  readonly size: number;
  readonly absoluteTolerance: Float64Array;
  /** First state of each load. */
  readonly loadAt: readonly number[];
  /** Volume of each room by itself. */
  readonly roomVolumes: readonly number[];
  /** Room in which each load sits. */
  readonly loadRooms: readonly number[];
  /** Room of a section by its name. */
  sectionNamed(name: string): number;
  volumeOf(room: number, valves: ValveState): number;
  gasTemperature(room: number, y: ArrayLike<number>, wallK: number): number;
  conditions(room: number, t: number, y: ArrayLike<number>, valves: ValveState): ChamberConditions;
  /** Throughput of a load into its room, Pa m3/s. */
  throughput(load: number, at: ChamberConditions, y: Float64Array): number;
  /** Flow through the pump valve, Pa m3/s. */
  pumped(at: ChamberConditions): number;
  derivative(valves: ValveState): (t: number, y: Float64Array, out: Float64Array) => void;
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/**
 * The balance of amounts and heat in every room: with n_g = p_g V/T_gas, dn_g/dt = sum Q_g/T_wall - S_eff p_g/T_gas, and
 * d(p V)/dt = g (n_in T_wall - n_out T_gas) + (n T_wall - p V)/tau, tau in proportion to the pressure (first law for an open
 * volume of ideal gas with g = 1.4); the gas temperature is p V/n.
 * @param system what is built; volumes m3, pressures Pa
 * @returns the equations
 * @throws ArgumentError where a load or gauge names a section that is not there
 */
export function chamberEquations(system: SimulatedSystem): ChamberEquations {
  const sections = system.sections ?? [];
  const roomOf = (name?: string): number => {
    const index = name === undefined ? 0 : sections.findIndex((section) => section.name === name) + 1;
    if (name !== undefined && index === 0) {
      throw new ArgumentError('section', name, `one of ${sections.map((s) => s.name).join(', ') || 'none'}`);
    }
    return index;
  };
  const roomVolumes = [system.volumeM3, ...sections.map((section) => section.volumeM3)];
  const loadRooms = system.loads.map(({ section }) => roomOf(section));
  const loadAt: number[] = [];
  let size = roomVolumes.length * STATES_PER_ROOM;
  for (const { load } of system.loads) {
    loadAt.push(size);
    size += load.states.length;
  }
  const absoluteTolerance = new Float64Array(size);
  for (let room = 0; room < roomVolumes.length; room++) {
    // A ten-millionth of a pascal.
    absoluteTolerance.fill((1e-7 * roomVolumes[room]) / 300, room * STATES_PER_ROOM, room * STATES_PER_ROOM + 3);
    absoluteTolerance[room * STATES_PER_ROOM + 3] = 1e-7 * roomVolumes[room];
  }
  system.loads.forEach(({ load }, i) => {
    load.states.forEach(({ negligible }, j) => {
      absoluteTolerance[loadAt[i] + j] = negligible;
    });
  });

  const barometerPa = system.barometerPa ?? 101325;
  const exchange = system.gasExchangeS;
  const wide: PumpCurve = { ...system.pump, ultimate: 0 };
  const views = roomVolumes.map(() => {
    const partialPa: Record<LoadGas, number> = { air: 0, water: 0, solvent: 0 };
    const at: Mutable<ChamberConditions> = {
      timeS: 0,
      pumpedS: 0,
      pa: 0,
      partialPa,
      wallK: 0,
      wallKPerS: 0,
      barometerPa,
      volumeM3: 0,
      pumpOpen: false,
      pumpRunning: true,
    };
    return { at, partialPa };
  });

  const volumeOf = (room: number, valves: ValveState): number => {
    if (room > 0) return roomVolumes[room];
    let volume = roomVolumes[0];
    for (let i = 1; i < roomVolumes.length; i++) if (!valves.closed.has(i)) volume += roomVolumes[i];
    return volume;
  };
  const gasTemperature = (room: number, y: ArrayLike<number>, wallK: number): number => {
    if (exchange === undefined) return wallK;
    const base = room * STATES_PER_ROOM;
    const amount = y[base] + y[base + 1] + y[base + 2];
    // Where hardly any gas is left its temperature means nothing and would be rounding.
    if (!(amount > (1e-6 * roomVolumes[room]) / 300)) return wallK;
    return Math.min(2 * wallK, Math.max(wallK / 5, y[base + 3] / amount));
  };

  const conditions = (room: number, t: number, y: ArrayLike<number>, valves: ValveState): ChamberConditions => {
    const { at, partialPa } = views[room];
    const { wallK, wallKPerS } = temperatureAt(system.temperature, t);
    const base = room * STATES_PER_ROOM;
    const factor = gasTemperature(room, y, wallK) / volumeOf(room, valves);
    partialPa.air = y[base] * factor;
    partialPa.water = y[base + 1] * factor;
    partialPa.solvent = y[base + 2] * factor;
    at.timeS = t;
    at.pumpedS = valves.pumpedSinceS === null ? FOR_EVER_S : t - valves.pumpedSinceS;
    at.pa = partialPa.air + partialPa.water + partialPa.solvent;
    at.wallK = wallK;
    at.wallKPerS = wallKPerS;
    at.volumeM3 = volumeOf(room, valves);
    at.pumpOpen = room === 0 && valves.pumpOpen;
    at.pumpRunning = valves.pumpRunning;
    return at;
  };

  const speedAtChamber = (at: ChamberConditions): number => {
    if (!at.pumpOpen || !at.pumpRunning) return 0;
    const pa = Math.max(at.pa, 1e-9);
    const speed = pumpSpeed(wide, pa);
    const line = system.line;
    return line === undefined ? speed : effectiveSpeed(speed, line.molecularM3PerS + line.viscousM3PerSPa * pa);
  };

  const throughput = (i: number, at: ChamberConditions, y: Float64Array): number => {
    const { load, parameters } = system.loads[i];
    const count = load.states.length;
    return load.throughput(at, parameters, count === 0 ? NO_STATE : y.subarray(loadAt[i], loadAt[i] + count));
  };

  /** Adds gas let in on purpose, Pa m3/s by gas. */
  const letIn = (t: number, at: ChamberConditions, speed: number, valves: ValveState, flows: Float64Array): void => {
    const { gasIn } = valves;
    if (gasIn.kind === 'vent') {
      const q = gasIn.flow * rollOff('choked', Math.max(0, at.pa) / barometerPa);
      flows[0] += q * (1 - gasIn.water);
      flows[1] += q * gasIn.water;
    } else if (gasIn.kind === 'flow') {
      flows[LOAD_GASES.indexOf(gasIn.gas)] += gasIn.flow;
    } else if (gasIn.kind === 'regulate') {
      const wanted = speed * gasIn.toPa + (at.volumeM3 * (gasIn.toPa - at.pa)) / REGULATOR_S;
      flows[0] += Math.min(gasIn.flow, Math.max(0, wanted));
    }
    const since = t - valves.burstAtS;
    if (valves.burst !== 0 && since >= 0) flows[0] += (valves.burst / BURST_S) * Math.exp(-since / BURST_S);
  };

  const derivative = (valves: ValveState): ((t: number, y: Float64Array, out: Float64Array) => void) => {
    const flows = new Float64Array(3);
    const active = roomVolumes.map((_, room) => room).filter((room) => room === 0 || valves.closed.has(room));
    const loadsOf = active.map((room) =>
      system.loads.map((_, i) => i).filter((i) => (valves.closed.has(loadRooms[i]) ? loadRooms[i] : 0) === room),
    );
    return (t, y, out) => {
      out.fill(0);
      for (let a = 0; a < active.length; a++) {
        const room = active[a];
        const at = conditions(room, t, y, valves);
        flows.fill(0);
        for (const i of loadsOf[a]) {
          const { load, parameters } = system.loads[i];
          flows[LOAD_GASES.indexOf(load.gas)] += throughput(i, at, y);
          if (load.states.length > 0) {
            const end = loadAt[i] + load.states.length;
            load.stateRate(at, parameters, y.subarray(loadAt[i], end), out.subarray(loadAt[i], end));
          }
        }
        let speed = 0;
        if (room === 0) {
          speed = speedAtChamber(at);
          letIn(t, at, speed, valves, flows);
          flows[0] += speed * system.pump.ultimate;
        }
        balance(room, at, y, speed, flows, out);
      }
    };
  };

  const balance = (
    room: number,
    at: ChamberConditions,
    y: Float64Array,
    speed: number,
    flows: Float64Array,
    out: Float64Array,
  ): void => {
    const base = room * STATES_PER_ROOM;
    const gasK = gasTemperature(room, y, at.wallK);
    let into = 0;
    let gone = 0;
    for (let g = 0; g < 3; g++) {
      const arriving = flows[g] / at.wallK;
      const leaving = (speed * at.partialPa[LOAD_GASES[g]]) / gasK;
      out[base + g] = arriving - leaving;
      into += Math.max(0, arriving);
      gone += Math.max(0, -arriving) + Math.max(0, leaving);
    }
    if (exchange === undefined) return;
    const atWallK = (y[base] + y[base + 1] + y[base + 2]) * at.wallK;
    const tau = FASTEST_EXCHANGE_S + (exchange * Math.max(0, at.pa)) / 101325;
    out[base + 3] = GAMMA * (into * at.wallK - gone * gasK) + (atWallK - y[base + 3]) / tau;
  };

  return {
    size,
    absoluteTolerance,
    loadAt,
    roomVolumes,
    loadRooms,
    sectionNamed: roomOf,
    volumeOf,
    gasTemperature,
    conditions,
    throughput,
    pumped: (at) => speedAtChamber(at) * (at.pa - system.pump.ultimate),
    derivative,
  };
}
