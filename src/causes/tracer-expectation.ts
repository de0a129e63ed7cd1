import { ArgumentError } from '../errors';
import type { GaugePrinciple } from '../fits';
import { gasNamed, viscosity } from '../gases';
import { GAUGE_PRINCIPLES, ionSensitivity, thermalFactorBand } from '../gauges';

/** How a reading changes where tracer gas takes the place of air at a leak that makes the whole pressure. */
export interface TracerExpectation {
  /** Reading with tracer over reading with air, lowest and highest that fit what is known. */
  readonly factor: readonly [number, number];
  readonly direction: 'up' | 'down' | 'either';
  readonly text: string;
}

/** Within this of one nobody sees a change. */
const SEEN = 0.05;
const ROOM_K = 293.15;

/**
 * Which way a reading goes when a leak is sprayed. The flow changes by sqrt(M_air / M) through a molecular path and by
 * eta_air / eta through a viscous one; the pump takes the tracer as fast as air, or, behind a molecular line, faster by
 * sqrt(M_air / M); and the gauge reads the tracer by its own factor.
 * @param gauge how the gauge works
 * @param tracer the gas, such as `helium`, `argon`
 * @param path how the leak flows; both are held possible where absent
 * @returns the range of the factor and its direction
 * @throws ArgumentError for an unknown gauge or gas
 * @source kinetic theory and Poiseuille for the flow; gauge factors as in `thermalFactorBand` and `ionSensitivity`
 */
export function tracerExpectation(
  gauge: GaugePrinciple,
  tracer: string,
  path?: 'molecular' | 'viscous',
): TracerExpectation {
  if (!GAUGE_PRINCIPLES.includes(gauge))
    throw new ArgumentError('gauge', gauge, `one of ${GAUGE_PRINCIPLES.join(', ')}`);
  const gas = gasNamed(tracer);
  const light = Math.sqrt(gasNamed('air').molarMass / gas.molarMass);
  const thick = viscosity('air', ROOM_K) / viscosity(gas, ROOM_K);
  const flows = path === 'molecular' ? [light] : path === 'viscous' ? [thick] : [light, thick];
  const pumps = [1, light];
  const readings = readsTracer(gauge, gas.name);
  const all = flows.flatMap((flow) => pumps.flatMap((pump) => readings.map((reading) => (flow / pump) * reading)));
  const factor: [number, number] = [Math.min(...all), Math.max(...all)];
  const direction = factor[0] > 1 + SEEN ? 'up' : factor[1] < 1 - SEEN ? 'down' : 'either';
  const range = `${factor[0].toPrecision(2)} to ${factor[1].toPrecision(2)} times`;
  const way = direction === 'either' ? 'may go up or down' : `goes ${direction}`;
  const text = `where ${gas.english} takes the place of air at a leak, a ${gauge} gauge ${way}: ${range} the leak's part`;
  return { factor, direction, text };
}

/** Reading over true pressure of the tracer, against air. */
function readsTracer(gauge: GaugePrinciple, gas: string): number[] {
  const thermal = (): number[] => thermalFactorBand(gas).map((factor) => 1 / factor);
  if (gauge === 'thermal') return thermal();
  if (gauge === 'combined') return [...thermal(), ionSensitivity(gas)];
  return gauge === 'hot-cathode' || gauge === 'cold-cathode' ? [ionSensitivity(gas)] : [1];
}
