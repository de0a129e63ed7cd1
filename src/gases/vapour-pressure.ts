import { ArgumentError, OutOfRangeError } from '../errors';
import { findRoot, requireFinite, requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { GAS_CONSTANT } from '../units';
import { VAPOUR_SUBSTANCES, type VapourLaw, type VapourSubstance } from './vapour-substances';

/** Slack at the ends of a range, K: 273.15 + 0.01 is a little less than 273.16 in binary. */
const ROUNDING = 1e-9;

const SHORT_NAMES: Readonly<Record<string, string>> = {
  h2o: 'water',
  thf: 'tetrahydrofuran',
  dmf: 'dimethylformamide',
  dmso: 'dimethyl sulfoxide',
  dcm: 'dichloromethane',
  ether: 'diethyl ether',
  hexane: 'n-hexane',
  isopropanol: '2-propanol',
  hg: 'mercury',
  'solid carbon dioxide': 'dry ice',
};

/**
 * A substance of the table by its name.
 * @param name such as `water`, `ice`, `acetone`, `THF`; a substance is returned as it is
 * @returns the substance with its law, range and source
 * @throws ArgumentError where no such substance is in the table
 * @source the table `VAPOUR_SUBSTANCES`
 */
export function substanceNamed(name: string | VapourSubstance): VapourSubstance {
  if (typeof name !== 'string') return name;
  const key = name.trim().toLowerCase();
  const substance = VAPOUR_SUBSTANCES.find((s) => s.name === (SHORT_NAMES[key] ?? key));
  if (!substance) {
    throw new ArgumentError('substance', name, `one of ${VAPOUR_SUBSTANCES.map((s) => s.name).join(', ')}`);
  }
  return substance;
}

/**
 * Saturation vapour pressure by the law of the substance's source, inside its range only. Water: IAPWS auxiliary
 * equation; ice: IAPWS 2011; solvents: Antoine (Poling) and Perry; mercury: Huber 2006; dry ice: Span and Wagner 1996.
 * @param substance the substance or its name
 * @param temperature K, within the range of the law
 * @returns vapour pressure, Pa
 * @throws OutOfRangeError outside the range of the law: an Antoine set may be wrong tenfold there; ArgumentError where
 *   the temperature is not finite or the substance unknown
 * @source that of the substance in `VAPOUR_SUBSTANCES`: IAPWS, Poling, Perry, Huber and others
 */
export function vapourPressure(substance: VapourSubstance | string, temperature: number): number {
  const known = substanceNamed(substance);
  const T = requireFinite('temperature', temperature);
  const [low, high] = known.range;
  if (T < low - ROUNDING || T > high + ROUNDING) {
    const other = known.name === 'water' && T < low ? 'use ice' : known.name === 'ice' && T > high ? 'use water' : '';
    throw new OutOfRangeError(`temperature for the vapour pressure of ${known.name}`, T, low, high, 'K', other);
  }
  return elementary.exp(logPressure(known.law, T));
}

/** A pressure outside the range of a law, with the warning that belongs to it. */
export interface ExtrapolatedPressure {
  /** Pa. */
  readonly pressure: number;
  /** True outside the range of the law. */
  readonly extrapolated: boolean;
  /** What to be careful about; empty inside the range. */
  readonly warning: string;
}

/**
 * Vapour pressure that may lie somewhat outside the range of its law, with a warning where it does.
 * @param substance the substance or its name
 * @param temperature K
 * @param beyond how far outside the range is allowed, K, >= 0; 20 where absent
 * @returns the pressure in Pa, whether it is extrapolated, and the warning
 * @throws OutOfRangeError further out than `beyond`, or where a law has no meaning (above its critical point)
 * @source as `vapourPressure`
 */
export function extrapolatedVapourPressure(
  substance: VapourSubstance | string,
  temperature: number,
  beyond = 20,
): ExtrapolatedPressure {
  const known = substanceNamed(substance);
  const T = requireFinite('temperature', temperature);
  const [low, high] = known.range;
  if (T >= low && T <= high) return { pressure: vapourPressure(known, T), extrapolated: false, warning: '' };
  const top = 'temperature' in known.law ? high : high + beyond;
  if (!(T >= low - beyond && T <= top)) {
    throw new OutOfRangeError(`temperature for the vapour pressure of ${known.name}`, T, low - beyond, top, 'K');
  }
  const out = T < low ? low - T : T - high;
  const warning = `vapour pressure of ${known.name} extrapolated ${Number(out.toPrecision(3))} K outside its law, ${low} to ${high} K`;
  return { pressure: elementary.exp(logPressure(known.law, T)), extrapolated: true, warning };
}

function logPressure(law: VapourLaw, T: number): number {
  if (law.form === 'Antoine') return Math.LN10 * (law.c[0] - law.c[1] / (T + law.c[2]));
  if (law.form === 'Perry') {
    const [c1, c2, c3, c4, c5] = law.c;
    return c1 + c2 / T + c3 * elementary.log(T) + c4 * elementary.power(T, c5);
  }
  const reduced = T / law.temperature;
  const base = law.form === 'Wagner' ? Math.max(1 - reduced, 0) : reduced;
  let sum = 0;
  for (let i = 0; i < law.a.length; i++) sum += law.a[i] * elementary.power(base, law.n[i]);
  return elementary.log(law.pressure) + sum / reduced;
}

/**
 * Temperature at which the vapour pressure has a value: the inverse of `vapourPressure`, by root finding.
 * @param substance the substance or its name
 * @param pressure Pa, > 0, within the pressures that the law reaches
 * @returns saturation temperature, K
 * @throws OutOfRangeError where the pressure is outside what the law reaches; ArgumentError where it is not above zero
 * @source as `vapourPressure`, inverted
 */
export function saturationTemperature(substance: VapourSubstance | string, pressure: number): number {
  const known = substanceNamed(substance);
  const p = requirePositive('pressure', pressure);
  const [low, high] = known.range;
  const [lowest, highest] = [vapourPressure(known, low), vapourPressure(known, high)];
  if (p < lowest || p > highest) {
    throw new OutOfRangeError(`vapour pressure of ${known.name}`, p, lowest, highest, 'Pa');
  }
  const target = elementary.log(p);
  return findRoot((T) => logPressure(known.law, T) - target, low, high, 1e-9);
}

/**
 * Heat of evaporation or sublimation by the Clausius-Clapeyron equation for an ideal vapour of negligible liquid volume:
 * L = R T^2 d(ln p)/dT. Good to about 1 % well below the boiling point (calc; water at 25 degC 44.0 kJ/mol).
 * @param substance the substance or its name
 * @param temperature K, within the range of the law
 * @returns heat, J/mol
 * @throws OutOfRangeError outside the range of the law
 * @source Clausius and Clapeyron
 */
export function evaporationHeat(substance: VapourSubstance | string, temperature: number): number {
  const known = substanceNamed(substance);
  vapourPressure(known, temperature);
  const [low, high] = known.range;
  const from = Math.max(temperature - 0.05, low);
  const to = Math.min(temperature + 0.05, high);
  const slope = (logPressure(known.law, to) - logPressure(known.law, from)) / (to - from);
  return GAS_CONSTANT * temperature * temperature * slope;
}

/**
 * The most that a surface can evaporate into vacuum (Hertz, Knudsen): sticking x p sqrt(M / (2 pi R T)).
 * @param substance the substance or its name
 * @param temperature of the surface, K, within the range of the law
 * @param sticking evaporation coefficient, above 0 and at most 1; 1 where absent
 * @returns mass per area and time, kg/(m2 s)
 * @throws OutOfRangeError outside the range of the law; ArgumentError for a useless coefficient
 * @source Hertz and Knudsen
 */
export function evaporationCeiling(substance: VapourSubstance | string, temperature: number, sticking = 1): number {
  const known = substanceNamed(substance);
  if (!(sticking > 0 && sticking <= 1)) throw new ArgumentError('sticking', sticking, 'above 0 and at most 1');
  const p = vapourPressure(known, temperature);
  return sticking * p * Math.sqrt(known.molarMass / (2 * Math.PI * GAS_CONSTANT * temperature));
}
