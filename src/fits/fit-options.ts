import type { GaugePrinciple } from '../gauges';
import type { Quantity } from '../units/quantity';
import type { Limit } from './limit';

/** A fill at a known flow, from which the volume is worked out. */
export interface KnownFill {
  /** The flow that was admitted: a standard flow (sccm), a molar flow or a throughput of gas at 20 degC. */
  readonly flow: Quantity;
  /** Stretch of the log, s from the first row; the longest fill where absent. */
  readonly fromS?: number;
  readonly toS?: number;
  /** Reference temperature of the flow meter, K; where absent the usual ones are all held possible. */
  readonly referenceK?: number;
  /** Names of the flow channels whose readings at rest show their zero. */
  readonly flowChannels?: readonly string[];
}

/** What is known besides the log. Everything may be left out. */
export interface FitOptions {
  /** The isolated volume up to the valve seat, m3. Without it there are rates and no loads. */
  readonly volume?: Quantity;
  readonly gauge?: GaugePrinciple;
  /** Relative standard uncertainty of the gauge's scale, where it is known better than by its principle. */
  readonly gaugeScale?: number;
  /** The gas in the chamber, where it is known (`air`, `nitrogen`). */
  readonly gas?: string;
  /** Name of the channel that is the temperature of the gas; only then is a rise corrected for temperature. */
  readonly temperatureChannel?: string;
  /** What to leave out after closing, s; found from the readings where absent. */
  readonly dwellS?: number;
  /** How long to judge after the dwell, s; to the end of the isolation where absent. */
  readonly windowS?: number;
  readonly limit?: Limit;
  /** Largest risk of passing what is above the limit; 0.05 where absent. */
  readonly risk?: number;
  /** Pressures to which the pump-down is timed, Pa. */
  readonly setPointsPa?: readonly number[];
  readonly fill?: KnownFill;
}
