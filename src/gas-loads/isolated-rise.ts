import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive, solveOde } from '../numerics';
import { ROOM_TEMPERATURE, STANDARD_ATMOSPHERE } from '../units';
import { type ChamberConditions, type GasLoad, type LoadGas, requireParameters, type Values } from './gas-load';

/** A load with the values of its parameters. */
export interface LoadWithValues {
  readonly load: GasLoad;
  readonly parameters: Values;
  /** State at the start; the load's own start where absent. */
  readonly state?: readonly number[];
}

/** An isolated chamber at steady temperature. */
export interface IsolatedChamber {
  /** m3. */
  readonly volumeM3: number;
  /** Pressure at closing, Pa; taken as air. */
  readonly startPa: number;
  /** K; 293.15 where absent. */
  readonly wallK?: number;
  /** Pa; 101325 where absent. */
  readonly barometerPa?: number;
  /** Time of pumping at closing, s; 0 where absent. */
  readonly pumpedS?: number;
  /** False where the pump was stopped; true where absent. */
  readonly pumpRunning?: boolean;
}

/**
 * Pressure of an isolated chamber under some loads, V dp/dt = sum of throughputs, with the states of the loads.
 * @param loads loads with their parameters
 * @param chamber volume m3, pressure at closing Pa, temperature K
 * @param times ascending times since closing, s
 * @returns total pressure at those times, Pa
 * @throws ArgumentError where volume, pressure or times cannot be used, or the loads cannot be followed to the end
 * @source definition: V dp/dt = sum of throughputs
 */
export function isolatedRise(
  loads: readonly LoadWithValues[],
  chamber: IsolatedChamber,
  times: ArrayLike<number>,
): Float64Array {
  const volume = requirePositive('volume', chamber.volumeM3);
  const wallK = requirePositive('temperature', chamber.wallK ?? ROOM_TEMPERATURE);
  const barometerPa = requirePositive('barometer', chamber.barometerPa ?? STANDARD_ATMOSPHERE);
  const pumpedS = requireNotNegative('time of pumping', chamber.pumpedS ?? 0);
  requireNotNegative('pressure at closing', chamber.startPa);
  for (let i = 0; i < times.length; i++) requireNotNegative('time', times[i]);
  for (const { load, parameters } of loads) requireParameters(load, parameters);
  const starts = loads.map(({ load, parameters, state }) => state ?? load.start(parameters));
  const offsets: number[] = [];
  let size = 3;
  for (const start of starts) {
    offsets.push(size);
    size += start.length;
  }
  const start = new Float64Array(size);
  start[0] = chamber.startPa;
  for (let i = 0; i < loads.length; i++) start.set(starts[i], offsets[i]);
  const absolute = new Float64Array(size).fill(1e-9);
  for (let i = 0; i < loads.length; i++) {
    loads[i].load.states.forEach(({ negligible }, j) => {
      absolute[offsets[i] + j] = negligible;
    });
  }
  const partialPa: Record<LoadGas, number> = { air: 0, water: 0, solvent: 0 };
  const index: Record<LoadGas, number> = { air: 0, water: 1, solvent: 2 };
  const at: { -readonly [K in keyof ChamberConditions]: ChamberConditions[K] } = {
    timeS: 0,
    pumpedS: 0,
    pa: 0,
    partialPa,
    wallK,
    wallKPerS: 0,
    barometerPa,
    volumeM3: volume,
    pumpOpen: false,
    pumpRunning: chamber.pumpRunning ?? true,
  };
  const end = times[times.length - 1];
  const solution = solveOde({
    derivative: (t, y, out) => {
      at.timeS = t;
      at.pumpedS = pumpedS + t;
      partialPa.air = y[0];
      partialPa.water = y[1];
      partialPa.solvent = y[2];
      at.pa = y[0] + y[1] + y[2];
      out.fill(0);
      for (let i = 0; i < loads.length; i++) {
        const { load, parameters } = loads[i];
        const state = y.subarray(offsets[i], offsets[i] + load.states.length);
        out[index[load.gas]] += load.throughput(at, parameters, state) / volume;
        if (load.states.length > 0) {
          load.stateRate(at, parameters, state, out.subarray(offsets[i], offsets[i] + load.states.length));
        }
      }
    },
    start,
    from: 0,
    to: end,
    method: 'stiff',
    relativeTolerance: 1e-9,
    absoluteTolerance: absolute,
    outputAt: times,
    maxSteps: 100_000,
  });
  if (solution.reason !== 'end') {
    throw new ArgumentError(
      'isolated rise',
      `stopped at ${solution.endT} s (${solution.reason})`,
      'loads that can be followed',
    );
  }
  return Float64Array.from({ length: times.length }, (_, i) => {
    const row = i * size;
    return solution.y[row] + solution.y[row + 1] + solution.y[row + 2];
  });
}
