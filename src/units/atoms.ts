import { GAS_CONSTANT, STANDARD_ATMOSPHERE, STANDARD_GRAVITY, ZERO_CELSIUS } from './constants';
import type { Powers } from './unit';

/** One factor of a unit label, such as `mbar` or `cm3`. */
export interface Atom {
  readonly label: string;
  readonly powers: Powers;
  readonly scale: number;
  readonly offset?: number;
  readonly assumption?: string;
  readonly choices?: readonly string[];
}

const PRESSURE: Powers = [-1, 1, -2, 0, 0, 0];
const LENGTH: Powers = [1, 0, 0, 0, 0, 0];
const VOLUME: Powers = [3, 0, 0, 0, 0, 0];
const TIME: Powers = [0, 0, 1, 0, 0, 0];
const TEMPERATURE: Powers = [0, 0, 0, 1, 0, 0];
const MASS: Powers = [0, 1, 0, 0, 0, 0];
const AMOUNT: Powers = [0, 0, 0, 0, 1, 0];
const CURRENT: Powers = [0, 0, 0, 0, 0, 1];
const VOLTAGE: Powers = [2, 1, -3, 0, 0, -1];
const SPEED: Powers = [3, 0, -1, 0, 0, 0];
const NUMBER: Powers = [0, 0, 0, 0, 0, 0];

const INCH = 0.0254;
const FOOT = 0.3048;
const POUND = 0.45359237;

/** Density of mercury by which the conventional columns are defined, kg/m3 (ISO 80000-4, NIST SP 811). */
export const MERCURY_DENSITY = 13595.1;
/** Density of water by which the conventional columns are defined, kg/m3. */
export const WATER_DENSITY = 1000;

/** Torr, Pa: 1/760 of the standard atmosphere, exact. */
export const TORR = STANDARD_ATMOSPHERE / 760;
/** Conventional millimetre of mercury, Pa: 133.322387415, exact. */
export const MM_MERCURY = (MERCURY_DENSITY * STANDARD_GRAVITY) / 1000;

/** Units that take SI prefixes: label, powers, scale, and the spellings that take a prefix letter and a prefix word. */
interface Prefixable extends Atom {
  readonly symbols: readonly string[];
  readonly words: readonly string[];
  /** Prefix letters in use; others are refused so that typing errors are not read as units. */
  readonly prefixes: string;
}

const PREFIXABLE: readonly Prefixable[] = [
  { label: 'Pa', powers: PRESSURE, scale: 1, symbols: ['Pa'], words: ['pascal'], prefixes: 'munhkMG' },
  { label: 'bar', powers: PRESSURE, scale: 1e5, symbols: ['bar'], words: ['bar'], prefixes: 'mun' },
  { label: 'Torr', powers: PRESSURE, scale: TORR, symbols: ['Torr', 'torr'], words: ['torr'], prefixes: 'mun' },
  {
    label: 'L',
    powers: VOLUME,
    scale: 1e-3,
    symbols: ['L', 'l'],
    words: ['litre', 'liter', 'ltr', 'lit'],
    prefixes: 'mun',
  },
  { label: 'm', powers: LENGTH, scale: 1, symbols: ['m'], words: ['metre', 'meter'], prefixes: 'mucnk' },
  { label: 's', powers: TIME, scale: 1, symbols: ['s'], words: ['second', 'sec'], prefixes: 'mun' },
  { label: 'g', powers: MASS, scale: 1e-3, symbols: ['g'], words: ['gram', 'gramme'], prefixes: 'munk' },
  { label: 'mol', powers: AMOUNT, scale: 1, symbols: ['mol'], words: ['mole'], prefixes: 'munpk' },
  { label: 'V', powers: VOLTAGE, scale: 1, symbols: ['V'], words: ['volt'], prefixes: 'munk' },
  { label: 'A', powers: CURRENT, scale: 1, symbols: ['A'], words: ['ampere', 'amp'], prefixes: 'munp' },
];

const PREFIX: Readonly<Record<string, readonly [number, string]>> = {
  G: [1e9, 'giga'],
  M: [1e6, 'mega'],
  k: [1e3, 'kilo'],
  h: [1e2, 'hecto'],
  c: [1e-2, 'centi'],
  m: [1e-3, 'milli'],
  u: [1e-6, 'micro'],
  n: [1e-9, 'nano'],
  p: [1e-12, 'pico'],
};

/** Units without prefixes: label, powers, scale, spellings (compared without case, blanks, hyphens). */
type Row = readonly [string, Powers, number, readonly string[]];

const PLAIN: readonly Row[] = [
  ['atm', PRESSURE, STANDARD_ATMOSPHERE, ['atm', 'atmosphere', 'atmospheres']],
  ['at', PRESSURE, 98066.5, ['at', 'ata', 'kgf/cm2', 'technicalatmosphere']],
  ['mmHg', PRESSURE, MM_MERCURY, ['mmhg', 'millimetreofmercury', 'millimeterofmercury']],
  ['cmHg', PRESSURE, MM_MERCURY * 10, ['cmhg']],
  ['megabar', PRESSURE, 1e11, ['megabar']],
  ['megatorr', PRESSURE, TORR * 1e6, ['megatorr']],
  ['mbar', PRESSURE, 100, ['mb']],
  ['in', LENGTH, INCH, ['in', 'inch', 'inches', '"']],
  ['ft', LENGTH, FOOT, ['ft', 'foot', 'feet', "'"]],
  ['Angstrom', LENGTH, 1e-10, ['angstrom', 'å']],
  ['cm3', VOLUME, 1e-6, ['cc', 'ccm']],
  ['gal', VOLUME, 231 * INCH ** 3, ['gal', 'gallon', 'gallons', 'usgal']],
  ['min', TIME, 60, ['min', 'mins', 'minute', 'minutes']],
  ['h', TIME, 3600, ['h', 'hr', 'hrs', 'hour', 'hours']],
  ['d', TIME, 86400, ['d', 'day', 'days']],
  ['week', TIME, 604800, ['week', 'weeks', 'wk']],
  ['yr', TIME, 31557600, ['yr', 'year', 'years']],
  ['K', TEMPERATURE, 1, ['kelvin', 'degk', '°k', 'kelvins']],
  ['degR', TEMPERATURE, 5 / 9, ['degr', '°r', 'rankine']],
  ['lb', MASS, POUND, ['lb', 'lbs', 'lbm', 'pound', 'pounds']],
  ['g/mol', [0, 1, 0, 0, -1, 0], 1e-3, ['amu', 'dalton']],
  ['cP', [-1, 1, -1, 0, 0, 0], 1e-3, ['cp', 'centipoise']],
  ['uP', [-1, 1, -1, 0, 0, 0], 1e-7, ['up', 'micropoise']],
  ['cfm', SPEED, FOOT ** 3 / 60, ['cfm', 'acfm']],
  ['cfh', SPEED, FOOT ** 3 / 3600, ['cfh', 'acfh']],
  ['L/min', SPEED, 1e-3 / 60, ['lpm']],
  ['L/s', SPEED, 1e-3, ['lps']],
  ['m3/h', SPEED, 1 / 3600, ['cmh', 'cbmh']],
  ['lusec', [2, 1, -3, 0, 0, 0], (TORR / 1000) * 1e-3, ['lusec']],
  ['%', NUMBER, 0.01, ['%', 'percent', 'pct']],
  ['ppm', NUMBER, 1e-6, ['ppm']],
];

/** Liquid columns: scale of the conventional one, and densities (kg/m3) at named temperatures (NIST SP 811, B.8). */
const COLUMNS: readonly {
  readonly label: string;
  readonly height: number;
  readonly conventional: number;
  readonly densities: Readonly<Record<string, number>>;
  readonly names: readonly string[];
}[] = [
  {
    label: 'inHg',
    height: INCH,
    conventional: MERCURY_DENSITY,
    densities: { '0 degC': 13595.08, '60 degF': 13556.8 },
    names: ['inhg', '"hg', 'inchhg', 'incheshg', 'inchofmercury', 'inchesofmercury', 'inofmercury', 'inchesmercury'],
  },
  {
    label: 'inH2O',
    height: INCH,
    conventional: WATER_DENSITY,
    densities: { '4 degC': 999.972, '60 degF': 999.001 },
    names: ['inh2o', '"h2o', 'inwc', '"wc', 'inwg', '"wg', 'iwc', 'inaq', 'inchh2o', 'inchesofwater', 'inchesh2o'],
  },
  {
    label: 'cmH2O',
    height: 0.01,
    conventional: WATER_DENSITY,
    densities: { '4 degC': 999.972 },
    names: ['cmh2o', 'cmwc', 'cmwg', 'cmaq'],
  },
  {
    label: 'mmH2O',
    height: 0.001,
    conventional: WATER_DENSITY,
    densities: { '4 degC': 999.972 },
    names: ['mmh2o', 'mmwc', 'mmwg', 'mmaq'],
  },
];

/** A label without case, blanks and hyphens, for comparing spellings. */
export function squash(label: string): string {
  return label.toLowerCase().replace(/[\s\-_]/g, '');
}

const bySymbol = new Map<string, Atom>();
const byWord = new Map<string, Atom>();

for (const unit of PREFIXABLE) {
  const { powers } = unit;
  for (const symbol of unit.symbols) bySymbol.set(symbol, unit);
  for (const word of unit.words) for (const plural of ['', 's']) byWord.set(word + plural, unit);
  for (const prefix of unit.prefixes) {
    const [factor, name] = PREFIX[prefix];
    const atom: Atom = { label: prefix + unit.label, powers, scale: exactly(unit.scale, factor) };
    for (const symbol of unit.symbols) bySymbol.set(prefix + symbol, atom);
    for (const word of unit.words) for (const plural of ['', 's']) byWord.set(name + word + plural, atom);
  }
}
bySymbol.set('K', { label: 'K', powers: TEMPERATURE, scale: 1 });
for (const [label, powers, scale, names] of PLAIN) {
  for (const name of names) if (!byWord.has(name)) byWord.set(name, { label, powers, scale });
}

/** Scale times power of ten without the rounding that 1e-3 x 1e5 would bring. */
function exactly(scale: number, factor: number): number {
  return factor < 1 ? scale / Math.round(1 / factor) : scale * factor;
}

const DEGREES: readonly (readonly [string, number, number, readonly string[]])[] = [
  ['degC', 1, ZERO_CELSIUS, ['degc', '°c', 'c', 'celsius', 'centigrade', 'degcelsius', 'degreec', 'degreesc']],
  ['degF', 5 / 9, ZERO_CELSIUS - 160 / 9, ['degf', '°f', 'f', 'fahrenheit', 'degfahrenheit', 'degreef', 'degreesf']],
];
for (const [label, scale, offset, names] of DEGREES) {
  for (const name of names) byWord.set(name, { label, powers: TEMPERATURE, scale, offset });
}
byWord.set('degreescelsius', byWord.get('degc')!);

/** Upper-case M stands for mega with pascal only; with these it is nearly always a milli typed wrongly. */
const MEGA_DOUBTFUL = /^M(bar|torr|v|a|l|s|g|mol)$/i;

/**
 * The meaning of one factor of a label.
 * @param token one factor without exponent, such as `mTorr`, `sec`, `cc`
 * @returns the factor with scale and exponents, or undefined where nobody writes it so
 */
export function findAtom(token: string): Atom | undefined {
  const exact = bySymbol.get(token);
  if (exact) return exact;
  const key = squash(token);
  const word = byWord.get(key);
  if (word) return word;
  const column = findColumn(key);
  if (column) return column;
  return foldCase(token);
}

/** Reads a symbol in the wrong case, asking where m and M would both make sense. */
function foldCase(token: string): Atom | undefined {
  if (token === '') return undefined;
  if (/^mpa$/i.test(token)) return { label: 'mPa', powers: PRESSURE, scale: 1e-3, choices: ['mPa', 'MPa'] };
  const allCapitals = token === token.toUpperCase();
  if (token[0] === 'M' && MEGA_DOUBTFUL.test(token)) {
    const milli = bySymbol.get(`m${canonicalCase(token.slice(1))}`);
    if (!milli) return undefined;
    if (allCapitals) return { ...milli, assumption: `${token} taken as ${milli.label} (capitals throughout)` };
    const mega = `mega${squash(token.slice(1))}`;
    return { ...milli, choices: byWord.has(mega) ? [milli.label, mega] : [milli.label] };
  }
  const plain = bySymbol.get(canonicalCase(token));
  if (plain && !/^[cfkm]$/i.test(token)) return plain;
  const prefixed = bySymbol.get(token[0].toLowerCase() + canonicalCase(token.slice(1)));
  return token.length > 1 ? prefixed : undefined;
}

const CASE_OF: Readonly<Record<string, string>> = { pa: 'Pa', torr: 'Torr', l: 'L', v: 'V', a: 'A' };

/** The symbol in its proper case where only one unit can be meant. */
function canonicalCase(symbol: string): string {
  const low = symbol.toLowerCase();
  return CASE_OF[low] ?? low;
}

/** A liquid column without a named temperature: the conventional one, and this is said. */
function findColumn(key: string): Atom | undefined {
  const column = COLUMNS.find(({ names }) => names.includes(key));
  if (!column) return undefined;
  const scale = column.height * column.conventional * STANDARD_GRAVITY;
  const assumption = `${column.label} taken as the conventional column, ${Number(scale.toPrecision(10))} Pa`;
  return { label: column.label, powers: PRESSURE, scale, assumption };
}

/**
 * A liquid column at a named temperature.
 * @param label such as `inHg`
 * @param at the temperature as `60 degF` or `4 degC`
 * @returns the column, `known` temperatures where this one has no density, or undefined where it is no column
 */
export function columnAt(label: string, at: string): Atom | readonly string[] | undefined {
  const column = COLUMNS.find(({ names }) => names.includes(squash(label)));
  if (!column) return undefined;
  const same: Readonly<Record<string, string>> = { '32 degF': '0 degC', '39.2 degF': '4 degC', '39 degF': '4 degC' };
  const density = column.densities[same[at] ?? at];
  if (density === undefined) return Object.keys(column.densities).map((known) => `${column.label} (${known})`);
  const scale = column.height * density * STANDARD_GRAVITY;
  return { label: `${column.label} (${same[at] ?? at})`, powers: PRESSURE, scale };
}

/** Volumes under standard conditions: label, volume in m3 per second, spellings, and whether the reference is settled. */
const STANDARD_FLOWS: readonly (readonly [string, number, readonly string[]])[] = [
  ['sccm', 1e-6 / 60, ['sccm', 'stdcm3/min', 'stdcc/min', 'standardcm3/min', 'standardcc/min', 'scm3/min', 'scc/min']],
  ['sccs', 1e-6, ['sccs', 'stdcm3/s', 'stdcc/s', 'stdcc/sec', 'standardcm3/s', 'standardcc/s', 'scc/s', 'stdcm3/sec']],
  [
    'slm',
    1e-3 / 60,
    ['slm', 'slpm', 'stdl/min', 'standardl/min', 'sl/min', 'standardlitre/min', 'nl/min', 'stdliter/min'],
  ],
  ['sls', 1e-3, ['sls', 'stdl/s', 'sl/s']],
  ['Nm3/h', 1 / 3600, ['nm3/h', 'nm3/hr', 'stdm3/h']],
  ['scfm', FOOT ** 3 / 60, ['scfm', 'stdft3/min']],
  ['scfh', FOOT ** 3 / 3600, ['scfh', 'stdft3/h']],
];

/**
 * A flow stated as volume under standard conditions, which is a molar flow: n = p0 V / (R T0).
 * @param label such as `sccm` or `std cm3/s`
 * @param at reference temperature as `20 degC`, or undefined where none is named
 * @param atK the same in K
 * @returns the flow in mol/s, or undefined where the label is none
 */
export function standardFlow(label: string, at: string | undefined, atK: number): Atom | undefined {
  const key = squash(label.replace(/[*^.]/g, ''));
  const flow = STANDARD_FLOWS.find(({ 2: names }) => names.includes(key));
  if (!flow) return undefined;
  const scale = (STANDARD_ATMOSPHERE * flow[1]) / (GAS_CONSTANT * atK);
  const named = at ?? '0 degC';
  const atom: Atom = { label: `${flow[0]} (${named})`, powers: [0, 0, -1, 0, 1, 0], scale };
  if (at !== undefined) return atom;
  if (flow[0].startsWith('scf')) {
    return { ...atom, choices: ['60 degF', '68 degF', '0 degC'].map((t) => `${flow[0]} (${t})`) };
  }
  return { ...atom, assumption: `${flow[0]} taken at 0 degC and 101325 Pa; name another as "${flow[0]} (20 degC)"` };
}
