import { ArgumentError } from '../errors';
import type { Gas } from '../gases';
import { requireNotNegative, requirePositive, solveOde } from '../numerics';
import { ROOM_TEMPERATURE } from '../units';
import { atChamber, type PumpLine } from './line';

/**
 * Pump-down time at constant speed to a floor: t = (V/S) ln((p0 - pu)/(p1 - pu)); with a gas load Q the floor is Q/S.
 * @param volume m3, > 0
 * @param speed effective speed at the chamber, m3/s, > 0
 * @param from starting pressure, Pa
 * @param to pressure wanted, Pa, below `from` and above the floor
 * @param floor pressure that it tends to, Pa, >= 0; 0 where absent
 * @returns time, s
 * @throws ArgumentError where an argument is useless or `to` is not between floor and start
 * @source Ryans and Roper 1986, eqs 10-4 and 11-2
 */
export function pumpDownTime(volume: number, speed: number, from: number, to: number, floor = 0): number {
  requireNotNegative('floor', floor);
  requirePositive('starting pressure', from);
  if (!(to > floor))
    throw new ArgumentError('pressure wanted', to, `above the floor, ${floor} Pa: it is never reached`);
  if (!(to <= from)) throw new ArgumentError('pressure wanted', to, `at most the starting pressure, ${from} Pa`);
  return (
    (requirePositive('volume', volume) / requirePositive('speed', speed)) * Math.log((from - floor) / (to - floor))
  );
}

/**
 * Constant speed that reaches a pressure in a time, without gas load: S = (V/t) ln(p0/p1).
 * @param volume m3, > 0
 * @param time s, > 0
 * @param from starting pressure, Pa, > 0
 * @param to pressure wanted, Pa, > 0 and at most `from`
 * @returns effective speed at the chamber, m3/s
 * @throws ArgumentError where an argument is useless
 * @source Ryans and Roper 1986, eq. 10-4, solved for the speed
 */
export function speedForPumpDown(volume: number, time: number, from: number, to: number): number {
  return pumpDownTime(volume, 1, from, to) / requirePositive('time', time);
}

/**
 * Pump-down time over steps of constant speed: t = V sum of ln(p_i/p_(i+1))/S_i (Ryans and Roper 1986, eq. 10-7).
 * @param volume m3, > 0
 * @param pressures falling, Pa, > 0, one more than `speeds`
 * @param speeds effective speed in each step, m3/s, > 0
 * @returns time, s
 * @throws ArgumentError where the numbers of steps do not match, pressures do not fall or an argument is useless
 * @source Ryans and Roper 1986, eq. 10-7
 */
export function stepwisePumpDownTime(volume: number, pressures: readonly number[], speeds: readonly number[]): number {
  if (pressures.length !== speeds.length + 1) {
    throw new ArgumentError('pressures', pressures.length, `one more than the ${speeds.length} speeds`);
  }
  return speeds.reduce((sum, s, i) => sum + pumpDownTime(volume, s, pressures[i], pressures[i + 1]), 0);
}

/** A chamber, its pump and its gas loads. */
export interface PumpDownPlan {
  /** Volume, m3. */
  readonly volume: number;
  readonly line: PumpLine;
  /** Starting pressure, Pa; 101325 where absent. */
  readonly from?: number;
  /** How long to follow, s. */
  readonly duration: number;
  readonly gas?: Gas | string;
  /** K; 293.15 where absent. */
  readonly temperature?: number;
  /** Constant load: leak and permeation, Pa m3/s; 0 where absent. */
  readonly leak?: number;
  readonly outgassing?: PowerLawOutgassing;
  /** Pressures whose times are wanted, Pa. */
  readonly setPoints?: readonly number[];
}

/** Outgassing that fades with a power of the pumping time: q = q1 (t/t1)^-a. */
export interface PowerLawOutgassing {
  /** Surface, m2. */
  readonly area: number;
  /** Rate q1 after `after`, Pa m3/(s m2). */
  readonly rate: number;
  /** Time t1 at which the rate holds, s; 3600 where absent. */
  readonly after?: number;
  /** Exponent a, no unit, 0 to 2; 1 (metals) where absent, 0.5 for thick polymers. */
  readonly exponent?: number;
}

/** How a pump-down goes. */
export interface PumpDownCourse {
  readonly timeS: Float64Array;
  readonly pa: Float64Array;
  /** Seconds to each set point, null where it is not reached within the duration. */
  readonly times: readonly { readonly toPa: number; readonly afterS: number | null }[];
  /** Pressure at the end, Pa. */
  readonly endPa: number;
}

/** Rows of a computed course. */
const ROWS = 200;
/** Power laws have no beginning: in the first minute the rate is taken as that after one. */
const EARLIEST = 60;

/**
 * Load of a surface that outgasses by a power law, at a time after the start of pumping. In the first minute it is taken
 * as after one minute, since a power law has no beginning.
 * @param outgassing surface, rate and exponent
 * @param time since the start of pumping, s, >= 0
 * @returns load, Pa m3/s
 * @throws ArgumentError where an argument is useless
 * @source Dayton 1959 and Elsey 1975 (from memory)
 */
export function outgassingLoad(outgassing: PowerLawOutgassing, time: number): number {
  const { area, rate, after = 3600, exponent = 1 } = outgassing;
  requireNotNegative('time', time);
  if (!(exponent >= 0 && exponent <= 2)) throw new ArgumentError('exponent', exponent, '0 to 2');
  const aged = Math.max(time, EARLIEST) / requirePositive('time of the rate', after);
  return requireNotNegative('area', area) * requireNotNegative('outgassing rate', rate) * aged ** -exponent;
}

/**
 * The course of a pump-down by integration of V dp/dt = Q_leak + Q_outgassing(t) - Q_pump(p), isothermal, with the pump's
 * curve and the line's conductance at every pressure. Below a few seconds of V/S the gas cools, and it is not isothermal;
 * water from a humid vent is not modelled beyond the power law.
 * @param plan chamber, pump, loads, duration, set points
 * @returns the course on a logarithmic grid of times, and the times to the set points
 * @throws ArgumentError where an argument is useless or the integration fails
 * @source Ryans and Roper 1986, eqs 10-2 and 11-1, integrated
 */
export function pumpDown(plan: PumpDownPlan): PumpDownCourse {
  const { line, duration, gas = 'air', temperature = ROOM_TEMPERATURE, leak = 0, outgassing, setPoints = [] } = plan;
  const from = requirePositive('starting pressure', plan.from ?? 101325);
  const volume = requirePositive('volume', plan.volume);
  requirePositive('duration', duration);
  requireNotNegative('leak', leak);
  for (const p of setPoints) requirePositive('set point', p);
  const load = (t: number): number => leak + (outgassing ? outgassingLoad(outgassing, t) : 0);
  // ln p as the state: it keeps the pressure positive and its steps even over many decades.
  const times = courseTimes(duration);
  const solution = solveOde({
    derivative: (t, y, out) => {
      const p = Math.exp(y[0]);
      out[0] = (load(t) - atChamber(line, p, gas, temperature).throughput) / (volume * p);
    },
    start: [Math.log(from)],
    from: 0,
    to: duration,
    method: 'stiff',
    relativeTolerance: 1e-8,
    absoluteTolerance: 1e-8,
    outputAt: times,
    events: setPoints.map((toPa) => ({
      name: String(toPa),
      value: (_, y) => y[0] - Math.log(toPa),
      direction: 'down',
    })),
  });
  if (solution.reason !== 'end')
    throw new ArgumentError('pump-down', solution.reason, 'an integration that reaches its end');
  const reached = (toPa: number): number | null =>
    toPa >= from ? 0 : (solution.hits.find((hit) => hit.name === String(toPa))?.t ?? null);
  return {
    timeS: solution.t,
    pa: solution.y.map(Math.exp),
    times: setPoints.map((toPa) => ({ toPa, afterS: reached(toPa) })),
    endPa: Math.exp(solution.end[0]),
  };
}

function courseTimes(duration: number): Float64Array {
  const first = duration / 1e5;
  return Float64Array.from({ length: ROWS }, (_, i) => (i === 0 ? 0 : first * (duration / first) ** (i / (ROWS - 1))));
}

/**
 * The pressure at which pump and loads balance: the largest p with Q_pump(p) = Q.
 * @param line pump and tube
 * @param load gas load, Pa m3/s, >= 0
 * @param gas the gas or its name; air where absent
 * @param temperature K; 293.15 where absent
 * @returns pressure in the chamber, Pa
 * @throws ArgumentError where the load is useless, or more than the pump takes at atmosphere
 * @source definition: dp/dt = 0
 */
export function balancePressure(
  line: PumpLine,
  load: number,
  gas: Gas | string = 'air',
  temperature: number = ROOM_TEMPERATURE,
): number {
  requireNotNegative('gas load', load);
  const surplus = (p: number): number => atChamber(line, p, gas, temperature).throughput - load;
  let high = 101325;
  if (surplus(high) <= 0) throw new ArgumentError('gas load', load, 'at most what the pump takes at atmosphere');
  for (let step = 0; step < 200; step++) {
    const low = high / 2;
    if (surplus(low) <= 0) return bisect(surplus, low, high);
    high = low;
  }
  return 0;
}

function bisect(f: (p: number) => number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (f(middle) > 0) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
