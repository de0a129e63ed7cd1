import { fromSI, unitNamed } from '../units';

/** The barometer anywhere people work, with the weather, Pa (900 m above the sea to a strong high). */
const LOWEST = 91_000;
const HIGHEST = 105_500;
/**
 * Units in which pressures of chambers are logged; columns of water and technical atmospheres are not (common
 * practice).
 */
const UNITS = ['Pa', 'kPa', 'mbar', 'bar', 'Torr', 'mTorr', 'atm', 'psia', 'inHg'] as const;

/** What the readings say about their unit. */
export interface AtmosphereUnit {
  readonly unit: string;
  readonly grounds: string;
}

/**
 * The unit of a column that names none, if it spends a stretch at one atmosphere and exactly one unit makes it so.
 * The stretch must be the top of the log, must be alive (a gauge clamped at full scale repeats one number) and must not
 * be a round number (that is a set point or a full scale).
 * @param values of the column in the order of time, from all over the log
 * @returns the unit with its grounds, or undefined where none or several make sense
 */
export function unitFromAtmosphere(values: readonly number[]): AtmosphereUnit | undefined {
  const finite = values.filter((value) => Number.isFinite(value));
  if (finite.length < 8) return undefined;
  const top = finite.reduce((a, b) => Math.max(a, b));
  const lowest = finite.reduce((a, b) => Math.min(a, b));
  if (!(top > 0) || lowest > top / 3) return undefined;
  const plateau = finite.filter((value) => value > top * 0.97);
  const different = new Set(plateau).size;
  if (plateau.length < 4 || different < 3) return undefined;
  const middle = [...plateau].sort((a, b) => a - b)[Math.floor(plateau.length / 2)];
  if (isRound(middle)) return undefined;
  const fitting = UNITS.filter((label) => {
    const unit = unitNamed(label, 'pressure');
    return middle >= fromSI(LOWEST, unit) && top <= fromSI(HIGHEST, unit);
  });
  if (fitting.length !== 1) return undefined;
  const [unit] = fitting;
  const near = `${plateau.length} of the readings looked at lie near ${Number(middle.toPrecision(4))}`;
  const grounds = `${near}, one atmosphere in ${unit} only`;
  return { unit, grounds };
}

/** Within 0.2 % of one digit and zeros: 1000, 100, 700. */
function isRound(value: number): boolean {
  const size = 10 ** Math.floor(Math.log10(value));
  const digit = Math.round(value / size);
  return Math.abs(value / (digit * size) - 1) < 0.002;
}
