import type { PumpCurve } from '../flow';
import type { GasLoad, LoadCause, LoadGas, Values } from '../gas-loads';
import type { GaugeLog } from '../log/gauge-log';
import type { SegmentKind } from '../segments/segment';

/** A load built into the system. */
export interface BuiltInLoad {
  readonly load: GasLoad;
  /** Values of its parameters in order, SI. */
  readonly parameters: Values;
  /** What to call it in the truth; the load's own name where absent. */
  readonly name?: string;
  /** Section in which it sits; the chamber itself where absent. */
  readonly section?: string;
}

/** A part of the system that a valve can shut off from the chamber; open at the start. */
export interface Section {
  readonly name: string;
  /** m3 */
  readonly volumeM3: number;
}

/** Temperature of room, walls and gas over time: mean + drift t + swing sin(2 pi (t/period + phase)). */
export interface TemperatureCourse {
  readonly meanK: number;
  readonly driftKPerS?: number;
  readonly swingK?: number;
  readonly periodS?: number;
  /** Part of a period, 0 to 1. */
  readonly phase?: number;
  /** Steps of warming or cooling with a time constant: heating on, sun in the window. */
  readonly changes?: readonly { readonly atS: number; readonly byK: number; readonly timeConstantS: number }[];
}

/** Everything that is built. */
export interface SimulatedSystem {
  /** Chamber with everything that no valve parts from it, m3. */
  readonly volumeM3: number;
  readonly pump: PumpCurve;
  /** Conductance between chamber and pump: a molecular part, m3/s, and one in proportion to the pressure, m3/(s Pa). None where absent. */
  readonly line?: { readonly molecularM3PerS: number; readonly viscousM3PerSPa: number };
  readonly sections?: readonly Section[];
  readonly loads: readonly BuiltInLoad[];
  readonly temperature?: TemperatureCourse;
  /** 101325 Pa where absent. */
  readonly barometerPa?: number;
  /**
   * Time in which the gas at atmosphere takes the temperature of the walls, s; in proportion to the pressure below. The
   * gas then cools when it is pumped and warms when it is let in. Always at wall temperature where absent.
   */
  readonly gasExchangeS?: number;
  /** Water in the air that comes in, as a part of its pressure; 0.01 (dew point 7 degC) where absent. */
  readonly waterInAir?: number;
  readonly gauges: readonly SimulatedGauge[];
  readonly thermometers?: readonly SimulatedThermometer[];
}

/** A gauge: what it shows of the true pressure. All pressures in Pa. */
export interface SimulatedGauge {
  readonly name: string;
  /** Unit of the log, such as `mbar`. */
  readonly unit: string;
  /** Standard deviation of the noise: a part of the reading, and a pressure. */
  readonly noise?: { readonly relative?: number; readonly absolutePa?: number; readonly correlationS?: number };
  /** Reading over true partial pressure; 1 where absent (a gauge that does not care about the gas). */
  readonly gasFactor?: Readonly<Partial<Record<LoadGas, number>>>;
  readonly zeroPa?: number;
  readonly zeroDriftPaPerS?: number;
  /** First-order lag, s. */
  readonly lagS?: number;
  /** Steps: digits that are kept, or a fixed step. */
  readonly significantDigits?: number;
  readonly stepPa?: number;
  /** The reading never falls below this: a floor of the instrument. */
  readonly floorPa?: number;
  /** Beyond its range it writes a word, or the limit itself where `clamp` is true. */
  readonly range?: { readonly lowPa?: number; readonly highPa?: number; readonly clamp?: boolean };
  readonly words?: { readonly low: string; readonly high: string };
  /** One-reading excursions: when, and by which factor. */
  readonly spikes?: readonly { readonly atS: number; readonly factor: number }[];
  /** Times in which it stands still. */
  readonly stuck?: readonly { readonly fromS: number; readonly toS: number }[];
  /** Section at which it sits; the chamber where absent. */
  readonly section?: string;
}

/** A thermometer at the chamber wall. */
export interface SimulatedThermometer {
  readonly name: string;
  readonly noiseK?: number;
  readonly stepK?: number;
}

/** Something done at a moment. */
export type Action =
  | {
      /** The closing valve may set free a burst of gas, Pa m3, over about a second. */
      readonly do: 'close pump valve';
      readonly burst?: number;
    }
  | { readonly do: 'open pump valve' | 'stop pump' | 'start pump' | 'stop gas' }
  | {
      /** Lets air in until the chamber is at atmosphere; flow at the start, Pa m3/s. */
      readonly do: 'vent';
      readonly flow: number;
      readonly dry?: boolean;
    }
  | {
      /** Lets a known flow in, Pa m3/s, until `stop gas`: a fill where the pump valve is closed, a purge where it is open. */
      readonly do: 'let gas in';
      readonly flow: number;
      readonly gas?: LoadGas;
    }
  | {
      /** Holds a pressure by letting air in, up to a flow in Pa m3/s, until `stop gas`. */
      readonly do: 'regulate';
      readonly toPa: number;
      readonly flow: number;
    }
  | { readonly do: 'close section' | 'open section'; readonly section: string }
  | { readonly do: 'remark'; readonly text: string };

/** An action with its time. */
export type ScheduledAction = Action & { readonly atS: number };

/** What is done and when. The record begins with all valves of sections open. */
export interface Schedule {
  readonly durationS: number;
  /** Pressure at the start, Pa; the barometer where absent. */
  readonly startPa?: number;
  /** True where the record begins with the pump valve open. */
  readonly pumpOpen?: boolean;
  /** How long the system was pumped before the record, s; 0 where absent. */
  readonly pumpedBeforeS?: number;
  readonly actions: readonly ScheduledAction[];
}

/** How the record is taken. */
export interface SimulationOptions {
  readonly seed?: number;
  /** Time between rows, s; 1 where absent. */
  readonly stepS?: number;
  /** Rows that the logger lost. */
  readonly gaps?: readonly { readonly fromS: number; readonly toS: number }[];
  /** Standard deviation of the time stamps about their step, s. */
  readonly jitterS?: number;
  /** Name of the file that the log claims. */
  readonly file?: string;
  /** First time stamp, ISO 8601 without zone; none where absent. */
  readonly start?: string;
}

/** What truly happened between two actions. */
export interface TrueSegment {
  readonly kind: SegmentKind;
  readonly startS: number;
  readonly endS: number;
  /** True pressure at start and end, Pa. */
  readonly startPa: number;
  readonly endPa: number;
  /** Volume that was open to the gauge, m3. */
  readonly volumeM3: number;
  /** What each cause brought over the segment, Pa m3 at wall temperature (below zero: took). */
  readonly byCause: Readonly<Partial<Record<LoadCause, number>>>;
  /** Loads at the start and at the end, Pa m3/s. */
  readonly loadsAtStart: Readonly<Partial<Record<LoadCause, number>>>;
  readonly loadsAtEnd: Readonly<Partial<Record<LoadCause, number>>>;
}

/** What truly happened. One value per row of the log in every column. */
export interface Truth {
  /** s */
  readonly time: Float64Array;
  /** Total pressure in the chamber, Pa, and its parts. */
  readonly pa: Float64Array;
  readonly partialPa: Readonly<Record<LoadGas, Float64Array>>;
  readonly gasK: Float64Array;
  readonly wallK: Float64Array;
  /** Throughput of each load into the chamber, Pa m3/s, in the order of `names`; 0 while it sits in a closed section. */
  readonly names: readonly string[];
  readonly causes: readonly LoadCause[];
  readonly loads: readonly Float64Array[];
  /** What leaves through the pump valve, Pa m3/s. */
  readonly pumped: Float64Array;
  readonly segments: readonly TrueSegment[];
}

/** A record with its truth. */
export interface Simulation {
  /** As if read from a file; it has no bytes, so its hash is empty. */
  readonly log: GaugeLog;
  /** Cells of each channel as a logger writes them: numbers in the channel's unit, or words. */
  readonly cells: readonly (readonly string[])[];
  readonly truth: Truth;
}
