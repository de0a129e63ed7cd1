import { ArgumentError } from '../errors';
import { requireFinite, requireOneOf } from '../numerics';

/** The gases that are told apart: what a leak brings, water, and one solvent. */
export const LOAD_GASES = ['air', 'water', 'solvent'] as const;

/** One of the gases that are told apart. */
export type LoadGas = (typeof LOAD_GASES)[number];

/** The causes to which a load can belong, as the findings name them. */
export type LoadCause =
  | 'real leak'
  | 'virtual leak'
  | 'outgassing'
  | 'evaporation'
  | 'permeation'
  | 'passing valve'
  | 'pump side'
  | 'temperature'
  | 'sink';

/** What a load sees of the chamber. */
export interface ChamberConditions {
  /** Time, s from the start of the record. */
  readonly timeS: number;
  /** Time since the chamber was last open to the air, s: the clock of outgassing. */
  readonly pumpedS: number;
  /** Total pressure, Pa. */
  readonly pa: number;
  /** Partial pressures, Pa. */
  readonly partialPa: Readonly<Record<LoadGas, number>>;
  /** Temperature of walls and gas, K. */
  readonly wallK: number;
  /** Its rate, K/s. */
  readonly wallKPerS: number;
  /** Pressure outside, Pa. */
  readonly barometerPa: number;
  /** Volume that is being watched, m3. */
  readonly volumeM3: number;
  /** True where the valve to the pump is open. */
  readonly pumpOpen: boolean;
  /** True where the pump runs. */
  readonly pumpRunning: boolean;
}

/** A parameter of a load. */
export interface LoadParameter {
  readonly name: string;
  /** SI unit. */
  readonly unit: string;
  /** Smallest value that makes sense, in the unit. */
  readonly low: number;
  /** Largest value that makes sense, in the unit. */
  readonly high: number;
  /** Typical size for a vessel of some ten litres, in the unit: a start for fits and a scale for differences. */
  readonly typical: number;
}

/** Something that a load carries along: trapped pressure, remaining mass, heat. */
export interface LoadState {
  readonly name: string;
  readonly unit: string;
  /** A change of this size does not matter, in the unit: the absolute tolerance of the solver. */
  readonly negligible: number;
}

/** Parameter values in the order of a load's parameters, and state values in the order of its states. */
export type Values = ArrayLike<number>;

/**
 * A model of gas entering (or, below zero, leaving) the chamber. A plain record; every model has a file of its own.
 */
export interface GasLoad {
  readonly name: string;
  readonly cause: LoadCause;
  readonly gas: LoadGas;
  readonly parameters: readonly LoadParameter[];
  readonly states: readonly LoadState[];
  /** State at the start of the record. */
  readonly start: (parameters: Values) => readonly number[];
  /** Throughput into the chamber at wall temperature, Pa m3/s. */
  readonly throughput: (at: ChamberConditions, parameters: Values, state: Values) => number;
  /** Writes the rate of each state, unit of the state per s. */
  readonly stateRate: (at: ChamberConditions, parameters: Values, state: Values, out: Float64Array) => void;
  /** Writes d throughput / d parameter at fixed conditions and state. */
  readonly derivatives: (at: ChamberConditions, parameters: Values, state: Values, out: Float64Array) => void;
}

/**
 * A load without a state of its own.
 * @param load everything but the state
 * @returns the load, complete
 * @source definition
 */
export function statelessLoad(load: Omit<GasLoad, 'states' | 'start' | 'stateRate'>): GasLoad {
  return { ...load, states: [], start: () => [], stateRate: () => undefined };
}

/**
 * A parameter of a load, in a short form.
 * @param name its name
 * @param unit its SI unit
 * @param typical typical size, in the unit, within low to high
 * @param low smallest value that makes sense, in the unit
 * @param high largest value that makes sense, in the unit
 * @returns the parameter
 * @source definition
 */
export function parameter(name: string, unit: string, typical: number, low: number, high: number): LoadParameter {
  return { name, unit, typical, low, high };
}

/**
 * Refuses values that a load cannot have.
 * @param load the load
 * @param parameters values in order, SI, each from the low to the high of its parameter
 * @param name what to call the load; its own name where absent
 * @throws ArgumentError where one is not finite or out of its bounds
 * @source definition
 */
export function requireParameters(load: GasLoad, parameters: Values, name: string = load.name): void {
  load.parameters.forEach(({ name: parameter, low, high }, j) => {
    const value = parameters[j];
    if (!(value >= low && value <= high))
      throw new ArgumentError(`${parameter} of ${name}`, value, `${low} to ${high}`);
  });
}

/**
 * The typical values of a load's parameters.
 * @param load the load
 * @param overrides values to take instead, by name, SI
 * @returns parameter values in order
 * @throws ArgumentError where the load has no parameter of a name, or a value is not finite
 * @source definition
 */
export function typicalParameters(load: GasLoad, overrides: Readonly<Record<string, number>> = {}): number[] {
  const names = load.parameters.map(({ name }) => name);
  for (const name of Object.keys(overrides)) {
    requireOneOf(`parameter of ${load.name}`, name, names);
    requireFinite(name, overrides[name]);
  }
  return load.parameters.map(({ name, typical }) => overrides[name] ?? typical);
}
