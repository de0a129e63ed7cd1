import { ArgumentError } from '../errors';
import { requireNotNegative, requirePositive } from '../numerics';

/** A compressing pump that swallows vapour. */
export interface BallastPump {
  /** Volume rate at the inlet, m3/s. */
  readonly speed: number;
  /** Ballast air let in, at ambient pressure, m3/s; 0 for none. */
  readonly ballast: number;
  /** Partial pressure of permanent gas at the inlet, Pa; 0 where absent. */
  readonly permanentGas?: number;
  /** Pressure at which the exhaust valve opens, Pa; 110 kPa where absent. */
  readonly exhaust?: number;
  /** Ambient pressure, Pa; 101325 where absent. */
  readonly ambient?: number;
  /** Partial pressure of the same vapour in the ballast air, Pa; 0 where absent. */
  readonly ambientVapour?: number;
}

/**
 * Highest partial pressure of vapour at the inlet that a pump can pass without condensing it inside: in the exhaust the
 * vapour must stay below its saturation pressure at the pump's temperature. With p_s saturation, p_D exhaust, p_g
 * permanent gas, B ballast and S speed: p_v = (p_s (p_g S + B p_amb) - p_D B p_a) / (S (p_D - p_s)). Without ballast it
 * is p_s p_g/(p_D - p_s) (Ryans and Roper 1986, eq. 11-5). Volume rates count at one temperature.
 * @param saturation vapour pressure of the substance at the temperature of the pump's inside, Pa, > 0
 * @param pump speed, ballast and pressures
 * @returns partial pressure, Pa; infinite where the vapour cannot condense at that temperature
 * @throws ArgumentError where an argument is useless
 * @source without ballast: Ryans and Roper, Process Vacuum System Design and Operation, 1986, eq. 11-5; with ballast:
 *   calc, from the balance of vapour and gas in the exhaust
 */
export function vapourTolerance(saturation: number, pump: BallastPump): number {
  const { permanentGas = 0, exhaust = 110000, ambient = 101325, ambientVapour = 0 } = pump;
  const speed = requirePositive('pumping speed', pump.speed);
  const ballast = requireNotNegative('ballast', pump.ballast);
  const saturated = requirePositive('saturation pressure', saturation);
  const gas =
    requireNotNegative('permanent gas', permanentGas) * speed + ballast * requirePositive('ambient pressure', ambient);
  requirePositive('exhaust pressure', exhaust);
  if (!(ambientVapour >= 0 && ambientVapour < ambient)) {
    throw new ArgumentError(
      'vapour in the ballast air',
      ambientVapour,
      `0 to below the ambient pressure, ${ambient} Pa`,
    );
  }
  if (saturated >= exhaust) return Infinity;
  const room = saturated * gas - exhaust * ballast * ambientVapour;
  return Math.max(room, 0) / (speed * (exhaust - saturated));
}
