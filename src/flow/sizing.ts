import { ArgumentError } from '../errors';
import type { Gas } from '../gases';
import { requireNotNegative, requirePositive } from '../numerics';
import { BOLTZMANN, ROOM_TEMPERATURE } from '../units';
import { atChamber, type PumpLine } from './line';
import { equivalentHole } from './orifice';
import { outgassingLoad, type PowerLawOutgassing, speedForPumpDown } from './pump-down';

/** One line of a budget of gas loads. */
export interface GasLoadLine {
  readonly name: string;
  /** Pa m3/s. */
  readonly load: number;
  /** Pressure that it alone would keep at this speed, Pa. */
  readonly pressure: number;
  /** Share of the sum, no unit, 0 to 1. */
  readonly share: number;
}

/** All loads of a system and the pressure they keep. */
export interface GasLoadBudget {
  readonly lines: readonly GasLoadLine[];
  /** Sum of the loads, Pa m3/s. */
  readonly total: number;
  /** Pressure that they keep together, Pa: total over speed, and the pump's ultimate on top. */
  readonly pressure: number;
}

/**
 * Gas-load budget: what each load costs in pressure at an effective speed, largest first.
 * @param loads name and load (Pa m3/s, >= 0) of each
 * @param speed effective speed at the chamber, m3/s, > 0
 * @param ultimate pressure that the pump keeps without load, Pa; 0 where absent
 * @returns the budget
 * @throws ArgumentError where a load or the speed is useless
 * @source definition
 */
export function gasLoadBudget(
  loads: readonly (readonly [name: string, load: number])[],
  speed: number,
  ultimate = 0,
): GasLoadBudget {
  requirePositive('speed', speed);
  const total = loads.reduce((sum, [name, load]) => sum + requireNotNegative(`load of ${name}`, load), 0);
  const lines = loads
    .map(([name, load]) => ({ name, load, pressure: load / speed, share: total > 0 ? load / total : 0 }))
    .sort((a, b) => b.load - a.load);
  return { lines, total, pressure: total / speed + requireNotNegative('ultimate pressure', ultimate) };
}

/** What a system has to do. */
export interface SizingTask {
  /** Volume, m3. */
  readonly volume: number;
  /** Starting pressure, Pa; 101325 where absent. */
  readonly from?: number;
  /** Pressure wanted, Pa. */
  readonly to: number;
  /** Time allowed, s. */
  readonly within: number;
  /** Constant loads, Pa m3/s; 0 where absent. */
  readonly leak?: number;
  readonly outgassing?: PowerLawOutgassing;
  /** Conductance of the line, m3/s; infinite where absent. */
  readonly conductance?: number;
}

/** What it takes. */
export interface PumpSize {
  /** Effective speed that empties the volume in time, no load counted, m3/s. */
  readonly toEmpty: number;
  /** Effective speed that holds the pressure against the loads left at that time, m3/s. */
  readonly toHold: number;
  /** The larger of the two at the chamber, m3/s. */
  readonly atChamber: number;
  /** Speed that the pump itself must have behind the line, m3/s, or null where no pump is enough for that line. */
  readonly atPump: number | null;
  /** A sentence that says which of the two rules, and what stands in the way. */
  readonly note: string;
}

/**
 * Pump sizing: the speed that empties the volume in time, the speed that holds the pressure against the loads, and what
 * the line leaves of it (1/S_pump = 1/S - 1/C).
 * @param task volume, pressures, time, loads and line
 * @returns speeds and a note
 * @throws ArgumentError where an argument is useless
 * @source Ryans and Roper 1986, eqs 2-29 and 10-4; the larger of two needs: common practice
 */
export function sizePump(task: SizingTask): PumpSize {
  const { volume, from = 101325, to, within, leak = 0, outgassing, conductance = Infinity } = task;
  const toEmpty = speedForPumpDown(volume, within, from, to);
  const load = requireNotNegative('leak', leak) + (outgassing ? outgassingLoad(outgassing, within) : 0);
  const toHold = load / to;
  const needed = Math.max(toEmpty, toHold);
  if (!(conductance > 0)) throw new ArgumentError('conductance', conductance, 'above zero');
  const atPump = needed < conductance ? 1 / (1 / needed - 1 / conductance) : null;
  const rules = toHold > toEmpty ? 'holding the pressure against the gas loads' : 'emptying the volume in time';
  const line = atPump === null ? '; no pump is enough behind this line: its conductance is too small' : '';
  return { toEmpty, toHold, atChamber: needed, atPump, note: `${rules} asks for more speed${line}` };
}

/** What a base pressure needs in the way of gas. */
export interface BasePressureLeak {
  /** Leak that would keep the pressure, Pa m3/s; 0 where the rest explains it. */
  readonly leak: number;
  /** Load that the pump removes at this pressure, Pa m3/s. */
  readonly removed: number;
  /** Bore of a clean hole to the air that would pass the leak, m, or null without a leak. */
  readonly hole: number | null;
  readonly note: string;
}

/**
 * Which leak would explain this base pressure: what the pump removes there, less what is known to come from elsewhere.
 * It is an upper bound: outgassing, vapour, permeation or a weak pump keep a pressure as well, and only an isolation tells.
 * @param pressure base pressure read, Pa, > 0
 * @param line pump and tube
 * @param otherLoads loads known from elsewhere, Pa m3/s, >= 0; 0 where absent
 * @param gas the gas or its name; air where absent
 * @param temperature K; 293.15 where absent
 * @returns the leak, the hole that it pictures, and a note
 * @throws ArgumentError where an argument is useless
 * @source definition: what is pumped at a steady pressure flows in
 */
export function leakForBasePressure(
  pressure: number,
  line: PumpLine,
  otherLoads = 0,
  gas: Gas | string = 'air',
  temperature: number = ROOM_TEMPERATURE,
): BasePressureLeak {
  const removed = atChamber(line, pressure, gas, temperature).throughput;
  const leak = Math.max(removed - requireNotNegative('other loads', otherLoads), 0);
  if (removed <= 0) {
    const note = 'the pump alone keeps this pressure: it is at or below its ultimate, no leak is needed';
    return { leak: 0, removed: 0, hole: null, note };
  }
  if (leak === 0)
    return { leak, removed, hole: null, note: 'the known loads explain this pressure, no leak is needed' };
  const note = 'at most this leak: outgassing, vapour, permeation or a weak pump would do as well; isolate to tell';
  return { leak, removed, hole: equivalentHole(leak, 'air', 101325, temperature), note };
}

/**
 * The highest pressure that one desorbing layer can keep, whatever its binding energy: p = n0 k T A/(e S t), since the
 * largest of (n0/u) exp(-t/u) over all u is n0/(e t).
 * @param area m2, > 0
 * @param speed effective speed, m3/s, > 0
 * @param time since the start of pumping, s, > 0
 * @param sites molecules per area, 1/m2; 1e19 where absent
 * @param temperature K; 293.15 where absent
 * @returns bound of the pressure, Pa
 * @throws ArgumentError where an argument is useless
 * @source Upper bound to the pressure in an elementary vacuum system, 23rd AVS Symposium 1976 (abstract)
 */
export function desorptionPressureBound(
  area: number,
  speed: number,
  time: number,
  sites = 1e19,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const gas = requirePositive('sites', sites) * requirePositive('area', area) * BOLTZMANN;
  const rate = requirePositive('speed', speed) * requirePositive('time', time);
  return (gas * requirePositive('temperature', temperature)) / (Math.E * rate);
}

/** Pieces of the rule: up to this pressure (Pa), factor (kg/s), exponents of Torr and of ft3. */
const LEAKAGE_RULE = [
  [1, 0.026, 0.64],
  [10, 0.026, 0.34],
  [100, 0.032, 0.26],
  [760, 0.106, 0],
] as const;

/**
 * Air leakage usual for tight process vessels, for estimates: W = 0.026 p^0.64 V^0.60 lb/h at 0.1 to 1 Torr, 0.026 p^0.34
 * to 10, 0.032 p^0.26 to 100, 0.106 to 760 Torr, V in ft3 (Ryans and Roper 1986; exponents as the pieces join).
 * @param pressure operating pressure, Pa, 0.1 to 760 Torr (13.3 to 101325)
 * @param volume m3, > 0
 * @returns mass flow of air, kg/s
 * @throws ArgumentError where the volume is not above zero or the pressure outside the rule
 * @source Ryans and Roper 1986
 */
export function usualVesselLeakage(pressure: number, volume: number): number {
  const torr = requirePositive('pressure', pressure) / (101325 / 760);
  if (!(torr >= 0.0999 && torr <= 760.001)) throw new ArgumentError('pressure', pressure, '13.3 to 101325 Pa');
  const cubicFeet = requirePositive('volume', volume) / 0.3048 ** 3;
  const [, factor, exponent] = LEAKAGE_RULE.find(([upTo]) => torr <= upTo) ?? LEAKAGE_RULE[3];
  return (factor * torr ** exponent * cubicFeet ** 0.6 * 0.45359237) / 3600;
}
