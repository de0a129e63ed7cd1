import { ArgumentError } from '../errors';
import { type Gas, gasNamed, knudsenNumber, meanFreePath, meanSpeed, viscosity } from '../gases';
import { requireNotNegative, requirePositive } from '../numerics';
import { GAS_CONSTANT, ROOM_TEMPERATURE } from '../units';
import { apertureConductance, criticalPressureRatio, orificeThroughput, roundArea } from './orifice';
import { transmissionProbability } from './transmission-probability';

/** A round tube. */
export interface Tube {
  /** Bore, m. */
  readonly diameter: number;
  /** Length, m. */
  readonly length: number;
}

/**
 * Molecular conductance of a long round tube: pi v d^3 / (12 L). Too large by 40 % at L/d = 5: see
 * `molecularTubeConductance` for any length.
 * @param tube the tube
 * @param gas the gas or its name
 * @param temperature K; 293.15 where absent
 * @returns conductance, m3/s
 * @throws ArgumentError where an argument is not above zero
 * @source Levenspiel, Engineering Flow and Heat Exchange, 3rd ed. 2014, eq. 4.14
 */
export function longTubeConductance(tube: Tube, gas: Gas | string, temperature: number = ROOM_TEMPERATURE): number {
  const { diameter, length } = checked(tube);
  return (Math.PI * meanSpeed(gas, temperature) * diameter ** 3) / (12 * length);
}

/**
 * Molecular conductance of a round tube of any length: aperture times transmission probability.
 * @param tube the tube
 * @param gas the gas or its name
 * @param temperature K; 293.15 where absent
 * @returns conductance, m3/s
 * @throws ArgumentError where an argument is not above zero
 * @source Clausing, Ann. Phys. 404, 961 (1932) (from memory)
 */
export function molecularTubeConductance(
  tube: Tube,
  gas: Gas | string,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const { diameter, length } = checked(tube);
  return apertureConductance(roundArea(diameter), gas, temperature) * transmissionProbability((2 * length) / diameter);
}

/**
 * Laminar conductance of a long round tube (Poiseuille): pi d^4 p / (128 eta L), p the mean of the pressures at its ends.
 * @param tube the tube
 * @param gas the gas or its name
 * @param meanPressure mean of the pressures at the ends, Pa, >= 0
 * @param temperature K; 293.15 where absent
 * @returns conductance, m3/s
 * @throws ArgumentError where an argument is useless
 * @source Poiseuille; Levenspiel 2014, eq. 4.15
 */
export function laminarTubeConductance(
  tube: Tube,
  gas: Gas | string,
  meanPressure: number,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const { diameter, length } = checked(tube);
  const p = requireNotNegative('mean pressure', meanPressure);
  return (Math.PI * diameter ** 4 * p) / (128 * viscosity(gas, temperature) * length);
}

/**
 * Conductance of a round tube from molecular to laminar flow, by Knudsen's formula (Ann. Phys. 333, 75, 1909):
 * C = C_laminar + C_molecular (1 + 2.507 x)/(1 + 3.095 x), x = d/(2 path), with the molecular part of a tube of any
 * length. It has Knudsen's minimum, about 5 % below the molecular value. No turbulence and no choking: see
 * `tubeThroughput`.
 * @param tube the tube
 * @param gas the gas or its name
 * @param meanPressure mean of the pressures at the ends, Pa, >= 0
 * @param temperature K; 293.15 where absent
 * @returns conductance, m3/s
 * @throws ArgumentError where an argument is useless
 * @source Knudsen, Ann. Phys. 333, 75 (1909), as in Dushman and Roth (from memory)
 */
export function tubeConductance(
  tube: Tube,
  gas: Gas | string,
  meanPressure: number,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const laminar = laminarTubeConductance(tube, gas, meanPressure, temperature);
  return laminar + slipConductance(tube, gas, meanPressure, temperature);
}

/** The molecular part of Knudsen's formula: the whole at low pressure, slip along the wall at high pressure. */
function slipConductance(tube: Tube, gas: Gas | string, meanPressure: number, temperature: number): number {
  const molecular = molecularTubeConductance(tube, gas, temperature);
  if (meanPressure === 0) return molecular;
  const x = tube.diameter / (2 * meanFreePath(gas, meanPressure, temperature));
  return (molecular * (1 + 2.507 * x)) / (1 + 3.095 * x);
}

/** What flows through a tube, and how. */
export interface TubeFlow {
  /** Throughput at the temperature of the gas, Pa m3/s. */
  readonly throughput: number;
  /** What governs it: by Jousten's limits of the Knudsen number at the mean pressure, turbulence, or choking. */
  readonly regime: 'molecular' | 'transition' | 'laminar' | 'turbulent' | 'choked';
  /** Reynolds number, no unit. */
  readonly reynolds: number;
  /** Knudsen number at the mean pressure, no unit. */
  readonly knudsen: number;
}

/** Above this Reynolds number pipe flow is taken as turbulent. */
const CRITICAL_REYNOLDS = 2300;

/**
 * Throughput of a round tube in every regime. Viscous part: Poiseuille, or above a Reynolds number of 2300 the isothermal
 * flow of a gas with Blasius friction f = 0.316 Re^-1/4 (not less than at 2300, so that it never falls with the drive);
 * the losses of the opening, those of an orifice, are put in series with it as pressure differences (1/Q^2 adds up).
 * Molecular part: that of Knudsen's formula. Never more than the opening alone passes. Bends are not counted; between
 * laminar and turbulent flow, and near choking, trust it to some 20 %.
 * @param tube the tube
 * @param gas the gas or its name
 * @param upstream pressure at the high end, Pa, > 0
 * @param downstream pressure at the low end, Pa, 0 to `upstream`
 * @param temperature K; 293.15 where absent
 * @returns throughput and regime
 * @throws ArgumentError where an argument is useless or the pressures are the wrong way round
 * @source Levenspiel 2014, section 4.1; Blasius friction and Knudsen's formula from memory; how the parts are joined
 *   is our own
 */
export function tubeThroughput(
  tube: Tube,
  gas: Gas | string,
  upstream: number,
  downstream: number,
  temperature: number = ROOM_TEMPERATURE,
): TubeFlow {
  const { diameter } = checked(tube);
  const p1 = requirePositive('upstream pressure', upstream);
  const p2 = requireNotNegative('downstream pressure', downstream);
  if (p2 > p1) throw new ArgumentError('downstream pressure', p2, `at most the upstream pressure, ${p1} Pa`);
  const mean = (p1 + p2) / 2;
  const knudsen = knudsenNumber(gas, mean, diameter, temperature);
  const pipe = viscousThroughput(tube, gas, p1, p2, temperature);
  const opening = orificeThroughput({ area: roundArea(diameter), gas, upstream: p1, downstream: p2, temperature });
  const viscous = p1 > p2 ? (pipe.throughput * opening) / Math.hypot(pipe.throughput, opening) : 0;
  const slip = slipConductance(tube, gas, mean, temperature) * (p1 - p2);
  const throughput = Math.min(viscous + slip, opening);
  const choked = opening < pipe.throughput && p2 < p1 * criticalPressureRatio(gasNamed(gas).heatCapacityRatio);
  const dense = choked ? 'choked' : pipe.turbulent ? 'turbulent' : 'laminar';
  const regime = knudsen > 0.5 ? 'molecular' : knudsen > 0.01 ? 'transition' : dense;
  return { throughput, regime, knudsen, reynolds: reynoldsNumber(throughput, diameter, gas, temperature) };
}

/** Laminar or turbulent throughput of a long pipe. */
function viscousThroughput(
  tube: Tube,
  gas: Gas | string,
  p1: number,
  p2: number,
  temperature: number,
): { readonly throughput: number; readonly turbulent: boolean } {
  const laminar = laminarTubeConductance(tube, gas, (p1 + p2) / 2, temperature) * (p1 - p2);
  const reynolds = reynoldsNumber(laminar, tube.diameter, gas, temperature);
  if (reynolds <= CRITICAL_REYNOLDS) return { throughput: laminar, turbulent: false };
  const atTurn = (laminar * CRITICAL_REYNOLDS) / reynolds;
  return { throughput: Math.max(turbulentThroughput(tube, gas, p1, p2, temperature), atTurn), turbulent: true };
}

/**
 * Reynolds number of a throughput in a round tube: 4 Q M / (pi d eta R T).
 * @param throughput Pa m3/s, >= 0
 * @param diameter bore, m, > 0
 * @param gas the gas or its name
 * @param temperature K; 293.15 where absent
 * @returns Reynolds number, no unit
 * @throws ArgumentError where an argument is useless
 * @source definition
 */
export function reynoldsNumber(
  throughput: number,
  diameter: number,
  gas: Gas | string,
  temperature: number = ROOM_TEMPERATURE,
): number {
  const mass = (requireNotNegative('throughput', throughput) * gasNamed(gas).molarMass) / (GAS_CONSTANT * temperature);
  return (4 * mass) / (Math.PI * requirePositive('diameter', diameter) * viscosity(gas, temperature));
}

/** Isothermal turbulent flow of a gas: p1^2 - p2^2 = f (L/d) G^2 R T / M with Blasius f, solved for the mass flux G. */
function turbulentThroughput(tube: Tube, gas: Gas | string, p1: number, p2: number, temperature: number): number {
  const { molarMass } = gasNamed(gas);
  const specific = (GAS_CONSTANT * temperature) / molarMass;
  const eta = viscosity(gas, temperature);
  const drive = ((p1 * p1 - p2 * p2) * tube.diameter ** 1.25) / (0.316 * tube.length * eta ** 0.25 * specific);
  return drive ** (1 / 1.75) * roundArea(tube.diameter) * specific;
}

function checked(tube: Tube): Tube {
  requirePositive('diameter', tube.diameter);
  requirePositive('length', tube.length);
  return tube;
}

/**
 * Throughput of a long, narrow capillary such as a leak path: laminar part Q = pi d^4 (p1^2 - p2^2)/(256 eta L) and
 * molecular part Q = sqrt(pi R T/(18 M)) (d^3/L)(p1 - p2) (Levenspiel, Engineering Flow and Heat Exchange, 3rd ed. 2014,
 * eqs 4.14 and 4.15), apart, for the reader to see which one rules, and joined by Knudsen's formula.
 * @param tube bore and length, m; length much larger than the bore
 * @param gas the gas or its name
 * @param upstream pressure before, Pa, > 0
 * @param downstream pressure behind, Pa, 0 to `upstream`
 * @param temperature K; 293.15 where absent
 * @returns throughputs, Pa m3/s
 * @throws ArgumentError where an argument is useless or the pressures are the wrong way round
 * @source Levenspiel 2014, eqs 4.14 and 4.15
 */
export function capillaryThroughput(
  tube: Tube,
  gas: Gas | string,
  upstream: number,
  downstream: number,
  temperature: number = ROOM_TEMPERATURE,
): { readonly laminar: number; readonly molecular: number; readonly knudsen: number } {
  const p1 = requirePositive('upstream pressure', upstream);
  const p2 = requireNotNegative('downstream pressure', downstream);
  if (p2 > p1) throw new ArgumentError('downstream pressure', p2, `at most the upstream pressure, ${p1} Pa`);
  const mean = (p1 + p2) / 2;
  const laminar = laminarTubeConductance(tube, gas, mean, temperature) * (p1 - p2);
  const molecular = longTubeConductance(tube, gas, temperature) * (p1 - p2);
  const x = tube.diameter / (2 * meanFreePath(gas, mean, temperature));
  return { laminar, molecular, knudsen: laminar + (molecular * (1 + 2.507 * x)) / (1 + 3.095 * x) };
}
