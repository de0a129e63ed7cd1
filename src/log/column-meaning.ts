import { findUnit, type Unit } from '../units';
import type { ChannelQuantity, UnitSource } from './gauge-log';

/** What a header tells about its column. */
export interface ColumnMeaning {
  readonly quantity: ChannelQuantity;
  /** The unit found; undefined where none is named. */
  readonly unit: Unit | undefined;
  readonly unitFrom: UnitSource;
  readonly setpoint: boolean;
  /** The name says that this is no pressure, whatever its numbers look like. */
  readonly otherThing: boolean;
}

/** Words by which a column is named, in the languages of the trade; most telling first. */
const NAMES: readonly (readonly [ChannelQuantity | 'time' | 'remark' | 'index' | 'barometer' | 'other', RegExp])[] = [
  ['remark', /remark|comment|\bnotes?\b|annotation|event|message|bemerkung|kommentar|remarque|observaci|\bnota\b/i],
  ['barometer', /baromet|ambient press|atmospheric press|room press|luftdruck|\bbaro\b/i],
  ['temperature', /temp(?!o\b|s\b)|^t_?\d+$|^tc_?\d+$|thermo(?!couple gauge)|pt_?100|celsius|fahrenheit|kelvin/i],
  [
    'pressure',
    /press(?!et)|druck|presi[oó]n|pression|press[aã]o|\bdruk\b|tryk|tlak|paine|ciśnien|давлен|压力|圧力|압력/i,
  ],
  [
    'position',
    /valve|valvola|válvula|\bvanne|posit|\bopen(ed)?\b|\bclosed?\b|shutter|ventil(?!ator)|klappe|\bgate\b|interlock|stellung|relay/i,
  ],
  ['flow', /flow|\bmfc|durchfl|débit|caudal|sccm|slpm|\bslm\b/i],
  ['voltage', /volt|spannung|analog|^u_?\d*$|\badc\b|\bai_?\d+\b/i],
  [
    'pressure',
    /gauge|vacuum|vakuum|\bvide\b|pirani|penning|manomet|capacitance|cathode|\bcdg|\bpg_?\d*\b|\big_?\d*\b/i,
  ],
  ['pressure', /^p(_?\d+|_?\w{1,9})?$|^vac\b|\bpir_?\d*\b|\bcc_?\d+\b|\bcm_?\d+\b|^vac[_ ]/i],
  [
    'other',
    /humid|\brh\b|power|watt|current|emission|speed|rpm|freq|\bhz\b|count|status|alarm|error|level|weight|mass\b/i,
  ],
  ['other', /voltage|resist|ohm|rotat|dose|thickness|\brate\b|feucht|strom|leistung|drehzahl|battery|signal|snr/i],
  ['index', /^(#|no\.?|nr\.?|n°|index|idx|row|record|rec|sample|samples|scan|line|count|point|id|lfd\.? ?nr\.?)$/i],
];

/**
 * What the words of a header say the column is.
 * @param header as written
 * @returns a quantity or another use; undefined where the words say nothing
 */
export function namedThing(header: string): (typeof NAMES)[number][0] | undefined {
  const name = header.replace(/[_.]/g, (mark) => (mark === '_' ? ' ' : mark)).trim();
  return NAMES.find(([, pattern]) => pattern.test(name) || pattern.test(header.trim()))?.[0];
}

const TIME_NAMES =
  /\b(time|zeit|uhrzeit|datum|date|dato|temps|heure|horodatage|tiempo|hora|fecha|tempo|ora|tijd|tid|klokk?e?\b|klockslag|aika|czas|čas|elapsed|stamp|clock|epoch|unix)/i;
const TIME_UNITS_ALONE =
  /^(t|s|sec|secs|seconds?|min|mins|minutes?|h|hr|hrs|hours?|ms|millis(econds)?|days?|sekunden|minuten|stunden|sekunder|minuter|timmar|secondes|heures)$|^(時間|时间|日時)$/i;

/**
 * Tells whether a header names a time: `Time`, `Elapsed (min)`, `t_s`, `Datum`.
 * @param header as written
 * @returns whether it does
 */
export function namesTime(header: string): boolean {
  const name = header.replace(/_/g, ' ').trim();
  const bare = name.replace(/\s*[[({/,].*$/, '').trim();
  if (bare === '' && unitInHeader(header)?.dimension === 'time') return true;
  if (bare === 'T') return unitInHeader(header)?.dimension === 'time';
  return TIME_NAMES.test(name) || /datetime|timestamp/i.test(name) || isShortTime(bare) || namesElapsed(name);
}

/** `t s`, `t min`: the letter and a unit of time. */
function namesElapsed(name: string): boolean {
  const match = /^t (\S+)$/.exec(name);
  return match !== null && findUnit(match[1], 'time') !== undefined;
}

function isShortTime(name: string): boolean {
  return TIME_UNITS_ALONE.test(name);
}

/** Labels too short to be trusted at the end of a name without brackets: `Chamber C`, `Gas in`. */
const TOO_SHORT = /^(.|in|ft|at|min|gal|rel|abs|up|cp|lb|yr|"|')$/i;

/**
 * The unit that a header carries: `Pressure (mbar)`, `p/Pa`, `PG1_Torr`, `Vacuum [inHg vac]`, `PressureTorr`, `mbar`.
 * @param header as written
 * @param wanted the kind of quantity that the name speaks of, which decides about short labels
 * @returns the unit, or undefined where it names none
 */
export function unitInHeader(header: string, wanted?: ChannelQuantity | 'time'): Unit | undefined {
  const text = aboutBarometer(header.trim().slice(0, 200));
  const dimension = wanted === 'time' || wanted === 'temperature' || wanted === 'voltage' ? wanted : undefined;
  for (const inner of bracketed(text)) {
    const unit = inLabel(inner, text, wanted);
    if (unit) return unit;
  }
  const whole = TOO_SHORT.test(text) && !dimension ? undefined : findUnit(text, dimension);
  if (whole && !/^(p|u|t)$/i.test(text)) return whole;
  for (const tail of tails(text)) {
    const unit = findUnit(tail.label);
    if (!unit) continue;
    const fits = dimension === undefined ? false : findUnit(tail.label, dimension) !== undefined;
    if (tail.marked || fits || !TOO_SHORT.test(tail.label))
      return (dimension && findUnit(tail.label, dimension)) ?? unit;
  }
  return undefined;
}

/** `kPa below atmosphere` and `mbar rel. to atm` in the words by which units name the barometer. */
function aboutBarometer(header: string): string {
  return header
    .replace(/\s*,?\s*\bbelow (?:the )?(?:atm\w*\.?|ambient|barom\w*)(?: pressure)?/i, ' vac')
    .replace(/\s*,?\s*\b(?:unter|under) (?:atmosph\w*|atm\.?)(?!\p{L})/iu, ' vac')
    .replace(/\s*,?\s*\b(?:rel\w*\.? to|above) (?:atm\w*\.?|ambient|barom\w*)(?: pressure)?/i, ' gauge');
}

function bracketed(text: string): string[] {
  const found = [...text.matchAll(/\[([^[\]]+)\]|\(([^()]*(?:\([^()]*\)[^()]*)*)\)|\{([^{}]+)\}|<([^<>]+)>/g)];
  return found.map((match) => match[1] ?? match[2] ?? match[3] ?? match[4]).reverse();
}

/** A unit in brackets, also with words about the barometer inside or behind: `(inHg, vacuum)`, `(bar) abs`. */
function inLabel(inner: string, header: string, wanted?: string): Unit | undefined {
  const dimension = wanted === 'time' || wanted === 'temperature' || wanted === 'voltage' ? wanted : undefined;
  const unit = (dimension && findUnit(inner, dimension)) ?? findUnit(inner) ?? findUnit(inner.split(/[,;:]/)[0]);
  if (!unit) return undefined;
  const behind = /[\])}]\s*,?\s*(abs(?:olute)?|gauge|gage|rel(?:ative)?|vac(?:uum)?)\.?$/i.exec(header);
  return behind ? (findUnit(`${inner} ${behind[1]}`) ?? unit) : unit;
}

interface Tail {
  readonly label: string;
  /** Set off by a slash, comma, colon or underscore, so that even a short label is meant as a unit. */
  readonly marked: boolean;
}

function tails(text: string): Tail[] {
  const found: Tail[] = [];
  const slash = /^[^/]*?\s*\/\s*(.+)$/.exec(text);
  if (slash) found.push({ label: slash[1], marked: true });
  const comma = /^.*?[,:;]\s*(.+)$/.exec(text);
  if (comma) found.push({ label: comma[1], marked: true });
  const parts = text.split(/[\s_]+/);
  for (let take = Math.min(3, parts.length - 1); take >= 1; take--) {
    const label = parts.slice(-take).join(' ');
    const marked = take === 1 && text.length > label.length && text[text.length - label.length - 1] === '_';
    found.push({ label, marked });
  }
  const dash = /^.+-\s*([A-Za-zµ%°]+)$/.exec(text);
  if (dash) found.push({ label: dash[1], marked: false });
  const glued = /[a-z0-9](mTorr|Torr|mBar|mbar|Mbar|hPa|kPa|Pa|Bar|Psi|PSI|mV|Sccm)$/.exec(text);
  if (glued) found.push({ label: glued[1] === 'Mbar' ? 'mbar' : glued[1], marked: true });
  return found;
}

const QUANTITY_OF: Partial<Record<Unit['dimension'], ChannelQuantity>> = {
  pressure: 'pressure',
  temperature: 'temperature',
  voltage: 'voltage',
  throughput: 'flow',
  'molar flow': 'flow',
};

/**
 * What a column measures and in which unit, from its header and the cell under it in a line of units.
 * @param header as written; empty where there is none
 * @param unitCell the cell in the line of units; empty where there is none
 * @returns quantity, unit, where the unit stands, and doubts
 */
export function columnMeaning(header: string, unitCell: string): ColumnMeaning {
  if (LOGARITHM.test(header)) {
    return { quantity: 'number', unit: undefined, unitFrom: 'none', setpoint: false, otherThing: true };
  }
  const named = namedThing(header);
  const setpoint = /set ?-?_?point|\bsp\b|sollwert|\bsoll\b|\btarget\b|demand|consigne/i.test(header);
  const quantity = named === undefined || isUse(named) ? undefined : named;
  const below = unitCell && findUnit(unitCell);
  const unit = withFactor(header, percentVacuum(header, below || unitInHeader(header, quantity)));
  const unitFrom: UnitSource = below ? 'units line' : unit ? 'header' : 'none';
  const byUnit = unit && QUANTITY_OF[unit.dimension];
  const otherUnit = unit !== undefined && byUnit === undefined;
  if (unit && byUnit)
    return { quantity: byUnit, unit: aboutVacuum(header, unit), unitFrom, setpoint, otherThing: false };
  if (otherUnit && quantity === 'position') return { quantity, unit, unitFrom, setpoint, otherThing: true };
  if (otherUnit) return { quantity: 'number', unit, unitFrom, setpoint, otherThing: true };
  const otherThing = (named !== undefined && named !== 'pressure' && named !== 'barometer') || setpoint;
  const seen = named === 'barometer' ? 'pressure' : (quantity ?? 'number');
  return { quantity: seen, unit: undefined, unitFrom: 'none', setpoint, otherThing };
}

/** The logarithm of a pressure is not that pressure. */
const LOGARITHM = /\b(?:log(?:10)?|lg|ln)\s?[\s(]\s*(?:\(?p\b|press|druck|vac)/i;

/** `Pressure x1E-3 (mbar)`: are the numbers to be multiplied by it, or were they? */
function withFactor(header: string, unit: Unit | undefined): Unit | undefined {
  const match = /[x×*·]\s?(?:1\s?E\s?([-+−]?\d+)|10\s?\^?\s?([-+−]?\d+))(?!\d)/i.exec(header);
  if (!match || unit?.dimension !== 'pressure' || /^1e/.test(unit.label)) return unit;
  const power = Number((match[1] ?? match[2]).replace('−', '-'));
  if (power === 0 || Math.abs(power) > 12) return unit;
  const label = `${match[0].trim()} ${unit.label}`;
  return { ...unit, label, choices: [`1e${power} ${unit.label}`, `1e${-power} ${unit.label}`] };
}

function isUse(named: string): named is 'time' | 'remark' | 'index' | 'barometer' | 'other' {
  return ['time', 'remark', 'index', 'barometer', 'other'].includes(named);
}

/** `Vacuum (%)`: per cent of the way from the atmosphere to nothing. */
function percentVacuum(header: string, unit: Unit | undefined): Unit | undefined {
  return unit?.label === '%' && /\bvac|vakuum/i.test(header) ? findUnit('% vac') : unit;
}

/** `Vacuum (inHg)` is a dial reading below atmosphere; `Vacuum (mbar)` is not, by the usage of the trade. */
function aboutVacuum(header: string, unit: Unit): Unit {
  if (unit.barometer !== 'none' || unit.label !== 'inHg' || !/\bvac/i.test(header)) return unit;
  if (/abs/i.test(header)) return unit;
  return findUnit('inHg vac') ?? unit;
}
