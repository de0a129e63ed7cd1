import { ArgumentError } from '../errors';
import { type Gas, gasNamed, impingementSpeed } from '../gases';
import { requireNotNegative, requirePositive } from '../numerics';
import { GAS_CONSTANT, ROOM_TEMPERATURE } from '../units';

/**
 * Area of a round opening: pi d^2 / 4.
 * @param diameter m, > 0
 * @returns area, m2
 * @throws ArgumentError where the diameter is not above zero
 * @source definition
 */
export function roundArea(diameter: number): number {
  return (Math.PI * requirePositive('diameter', diameter) ** 2) / 4;
}

/**
 * Molecular conductance of an opening in a thin wall: C = A v / 4. For Knudsen numbers above about 1.
 * @param area m2, > 0
 * @param gas the gas or its name
 * @param temperature K; 293.15 where absent
 * @returns conductance, m3/s
 * @throws ArgumentError where an argument is not above zero
 * @source kinetic theory (Knudsen); every textbook, such as Jousten, Handbook of Vacuum Technology (from memory)
 */
export function apertureConductance(area: number, gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  return requirePositive('area', area) * impingementSpeed(gas, temperature);
}

/**
 * Pressure ratio (downstream over upstream) below which an orifice is choked: (2/(g+1))^(g/(g-1)).
 * @param heatCapacityRatio g of the gas, no unit, above 1
 * @returns critical ratio, 0.528 for air
 * @throws ArgumentError where the ratio is not above 1
 * @source isentropic flow; Cengel and Cimbala, Fluid Mechanics, Example 12-5
 */
export function criticalPressureRatio(heatCapacityRatio: number): number {
  const g = heatCapacityRatio;
  if (!(g > 1 && g < Infinity)) throw new ArgumentError('heat capacity ratio', g, 'above 1');
  return (2 / (g + 1)) ** (g / (g - 1));
}

/** An orifice in viscous flow and what drives it. */
export interface OrificeFlow {
  /** Area of the opening, m2. */
  readonly area: number;
  readonly gas: Gas | string;
  /** Pressure before, Pa. */
  readonly upstream: number;
  /** Pressure behind, Pa, at most `upstream`; 0 where absent. */
  readonly downstream?: number;
  /** Temperature before, K; 293.15 where absent. */
  readonly temperature?: number;
  /** Jet over opening, no unit: 1 for a rounded inlet (where absent), about 0.6 to 0.85 for a sharp edge. */
  readonly dischargeCoefficient?: number;
}

/**
 * Throughput of an orifice in viscous, isentropic flow, choked or not:
 * choked Q = c A p0 sqrt(g) (2/(g+1))^((g+1)/(2(g-1))) sqrt(R T/M), which for air at 20 degC is 19.9 L/(s cm2) p0;
 * else Q = c A p0 sqrt(2 g/(g-1) (r^(2/g) - r^((g+1)/g))) sqrt(R T/M) with r = p/p0. For Knudsen numbers below 0.01.
 * @param flow the orifice and what drives it
 * @returns throughput stated at the upstream temperature, Pa m3/s
 * @throws ArgumentError where an argument is not finite, of the wrong sign, or the pressures are the wrong way round
 * @source isentropic flow; Cengel and Cimbala, Fluid Mechanics, Example 12-5
 */
export function orificeThroughput(flow: OrificeFlow): number {
  const { downstream = 0, temperature = ROOM_TEMPERATURE, dischargeCoefficient = 1 } = flow;
  const { molarMass, heatCapacityRatio: g } = gasNamed(flow.gas);
  const area = requirePositive('area', flow.area);
  const p0 = requirePositive('upstream pressure', flow.upstream);
  const p = requireNotNegative('downstream pressure', downstream);
  if (p > p0) throw new ArgumentError('downstream pressure', p, `at most the upstream pressure, ${p0} Pa`);
  if (!(dischargeCoefficient > 0 && dischargeCoefficient <= 1)) {
    throw new ArgumentError('discharge coefficient', dischargeCoefficient, 'above 0 and at most 1');
  }
  const speed = Math.sqrt((GAS_CONSTANT * requirePositive('temperature', temperature)) / molarMass);
  const choked = Math.sqrt(g) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)));
  return dischargeCoefficient * area * p0 * speed * choked * shareOfChokedFlow(g, p / p0);
}

/**
 * Isentropic flow of an orifice relative to its choked flow: 1 up to the critical ratio, above it
 * sqrt((r^(2/g) - r^((g+1)/g)) / (c^(2/g) - c^((g+1)/g))) with c the critical ratio. Source: Levenspiel, Engineering Flow
 * and Heat Exchange, 3rd ed. 2014, section 4.1.
 * @param heatCapacityRatio g of the gas, no unit, above 1
 * @param pressureRatio r, no unit, downstream over upstream pressure, 0 to 1
 * @returns relative flow, 1 choked to 0 at balance
 * @throws ArgumentError where g is not above 1 or r not from 0 to 1
 * @source isentropic flow; Levenspiel, Engineering Flow and Heat Exchange, 3rd ed. 2014, section 4.1
 */
export function shareOfChokedFlow(heatCapacityRatio: number, pressureRatio: number): number {
  const g = heatCapacityRatio;
  const critical = criticalPressureRatio(g);
  if (!(pressureRatio >= 0 && pressureRatio <= 1)) throw new ArgumentError('pressure ratio', pressureRatio, '0 to 1');
  if (pressureRatio <= critical) return 1;
  const square = (r: number): number => r ** (2 / g) - r ** ((g + 1) / g);
  return Math.sqrt(Math.max(0, square(pressureRatio)) / square(critical));
}

/**
 * Diameter of the clean round hole in a thin wall that would pass a throughput when choked. A way to picture a leak; real
 * leaks are long and crooked.
 * @param throughput Pa m3/s, > 0
 * @param gas the gas or its name; air where absent
 * @param upstream pressure before, Pa; 101325 where absent
 * @param temperature K; 293.15 where absent
 * @returns diameter, m
 * @throws ArgumentError where an argument is not above zero
 * @source definition: the inverse of `orificeThroughput`
 */
export function equivalentHole(
  throughput: number,
  gas: Gas | string = 'air',
  upstream = 101325,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const perArea = orificeThroughput({ area: 1, gas, upstream, temperature });
  return Math.sqrt((4 * requirePositive('throughput', throughput)) / (Math.PI * perArea));
}
