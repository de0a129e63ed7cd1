import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from '../numerics';

/** What a pump does at its inlet: pumping speed against pressure. */
export interface PumpCurve {
  /** What it is, for the reader. */
  readonly name: string;
  /** Pressure at which it stops pumping, Pa; 0 where it has none. */
  readonly ultimate: number;
  /** Inlet pressures of the table, Pa, ascending; a single one where the speed is constant. */
  readonly pressures: readonly number[];
  /** Volume rates at these pressures with the ultimate's effect left out, m3/s. */
  readonly speeds: readonly number[];
}

/**
 * A pump of constant volume rate with an ultimate pressure: S(p) = S0 (1 - p_ult/p). It has half its speed at twice the
 * ultimate and 90 % at ten times.
 * @param speed volume rate S0, m3/s, > 0
 * @param ultimate pressure at which it stops pumping, Pa, >= 0
 * @param name what it is; `pump` where absent
 * @returns the curve
 * @throws ArgumentError where an argument is useless
 * @source every textbook, such as O'Hanlon, A User's Guide to Vacuum Technology (from memory)
 */
export function constantSpeedPump(speed: number, ultimate = 0, name = 'pump'): PumpCurve {
  requirePositive('pumping speed', speed);
  return { name, ultimate: requireNotNegative('ultimate pressure', ultimate), pressures: [1], speeds: [speed] };
}

/**
 * A pump from a table of its speed, straight lines between the points on double-logarithmic paper, level outside them.
 * @param points inlet pressure (Pa) and speed (m3/s), pressures ascending, both > 0
 * @param ultimate pressure at which it stops pumping, Pa, >= 0; its effect is put on top of the table, so give speeds
 *   from well above it
 * @param name what it is; `pump` where absent
 * @returns the curve
 * @throws ArgumentError where the table is empty, not ascending or not above zero
 * @source definition
 */
export function tabulatedPump(points: readonly (readonly [number, number])[], ultimate = 0, name = 'pump'): PumpCurve {
  if (points.length === 0) throw new ArgumentError('pump table', '', 'at least one point');
  points.forEach(([p, s], i) => {
    requirePositive('pressure of the pump table', p);
    requirePositive('speed of the pump table', s);
    if (i > 0 && p <= points[i - 1][0])
      throw new ArgumentError('pump table', p, `a pressure above ${points[i - 1][0]} Pa`);
  });
  const pressures = points.map(([p]) => p);
  const speeds = points.map(([, s]) => s);
  return { name, ultimate: requireNotNegative('ultimate pressure', ultimate), pressures, speeds };
}

/**
 * Pumping speed at an inlet pressure.
 * @param pump the pump
 * @param pressure at its inlet, Pa, >= 0
 * @returns speed, m3/s; 0 at and below the ultimate pressure
 * @throws ArgumentError where the pressure is negative or not finite
 * @source definition
 */
export function pumpSpeed(pump: PumpCurve, pressure: number): number {
  const p = requireNotNegative('inlet pressure', pressure);
  if (p <= pump.ultimate) return 0;
  return volumeRate(pump, p) * (1 - pump.ultimate / p);
}

/**
 * Net throughput of a pump; below its ultimate pressure gas comes back out of it, so it is negative there.
 * @param pump the pump
 * @param pressure at its inlet, Pa, >= 0
 * @returns throughput, Pa m3/s
 * @throws ArgumentError where the pressure is negative or not finite
 * @source definition: speed times pressure
 */
export function pumpThroughput(pump: PumpCurve, pressure: number): number {
  const p = requireNotNegative('inlet pressure', pressure);
  return volumeRate(pump, p) * (p - pump.ultimate);
}

/** Speed of the table at a pressure. */
function volumeRate({ pressures, speeds }: PumpCurve, p: number): number {
  const last = pressures.length - 1;
  if (p <= pressures[0]) return speeds[0];
  if (p >= pressures[last]) return speeds[last];
  let i = 1;
  while (pressures[i] < p) i++;
  const part = Math.log(p / pressures[i - 1]) / Math.log(pressures[i] / pressures[i - 1]);
  return speeds[i - 1] * (speeds[i] / speeds[i - 1]) ** part;
}
