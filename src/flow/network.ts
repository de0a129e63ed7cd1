import { ArgumentError } from '../errors';

/**
 * Conductance of parts one after the other: 1/C = sum of 1/C_i. End effects between parts are neglected.
 * @param conductances of the parts, m3/s (or any one unit), each > 0
 * @returns conductance of the row, in the same unit
 * @throws ArgumentError where there is none, or one is not above zero
 * @source Ryans and Roper 1986, eq. 2-29
 */
export function inSeries(...conductances: readonly number[]): number {
  check(conductances);
  return 1 / conductances.reduce((sum, c) => sum + 1 / c, 0);
}

/**
 * Conductance of parts side by side: C = sum of C_i.
 * @param conductances of the parts, m3/s (or any one unit), each > 0
 * @returns conductance of all together, in the same unit
 * @throws ArgumentError where there is none, or one is not above zero
 * @source Ryans and Roper 1986, eq. 2-31
 */
export function inParallel(...conductances: readonly number[]): number {
  check(conductances);
  return conductances.reduce((sum, c) => sum + c, 0);
}

/**
 * Pumping speed at the far end of a conductance: S C / (S + C).
 * @param speed at the pump, m3/s (or any one unit), > 0
 * @param conductance of the line, same unit, > 0; infinite for none
 * @returns effective speed at the chamber, same unit
 * @throws ArgumentError where one is not above zero
 * @source Ryans and Roper 1986, eq. 2-29
 */
export function effectiveSpeed(speed: number, conductance: number): number {
  return inSeries(speed, conductance);
}

function check(conductances: readonly number[]): void {
  if (conductances.length === 0) throw new ArgumentError('conductances', '', 'at least one');
  for (const c of conductances) if (!(c > 0)) throw new ArgumentError('conductance', c, 'above zero');
}
