import type { Gas } from '../gases';
import { findRoot, requirePositive } from '../numerics';
import { ROOM_TEMPERATURE } from '../units';
import { type PumpCurve, pumpThroughput } from './pump-curve';
import { type Tube, tubeThroughput } from './tube';

/** A pump, and the tube between it and the chamber where there is one. */
export interface PumpLine {
  readonly pump: PumpCurve;
  readonly tube?: Tube;
}

/** What arrives at the chamber. */
export interface LineState {
  /** Net throughput taken from the chamber, Pa m3/s. */
  readonly throughput: number;
  /** Effective speed at the chamber, m3/s: throughput over chamber pressure. */
  readonly effectiveSpeed: number;
  /** Pressure at the pump's inlet, Pa. */
  readonly inletPressure: number;
}

/**
 * What a pump takes from a chamber through its line, in any flow regime: the inlet pressure is found at which the tube
 * passes what the pump takes.
 * @param line pump and tube
 * @param pressure in the chamber, Pa, > 0
 * @param gas the gas or its name; air where absent
 * @param temperature K; 293.15 where absent
 * @returns throughput, effective speed and inlet pressure
 * @throws ArgumentError where an argument is useless
 * @source definition: what enters the tube leaves it through the pump
 */
export function atChamber(
  line: PumpLine,
  pressure: number,
  gas: Gas | string = 'air',
  temperature: number = ROOM_TEMPERATURE,
): LineState {
  const { pump, tube } = line;
  const p = requirePositive('chamber pressure', pressure);
  const taken = pumpThroughput(pump, p);
  if (!tube || taken <= 0) return { throughput: taken, effectiveSpeed: taken / p, inletPressure: p };
  const surplus = (inlet: number): number =>
    pumpThroughput(pump, inlet) - tubeThroughput(tube, gas, p, inlet, temperature).throughput;
  const inletPressure = findRoot(surplus, Math.min(pump.ultimate, p), p, 1e-12 * p);
  const throughput = pumpThroughput(pump, inletPressure);
  return { throughput, effectiveSpeed: throughput / p, inletPressure };
}
