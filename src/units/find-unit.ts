import { type Atom, columnAt, findAtom, MM_MERCURY, squash, standardFlow, TORR } from './atoms';
import { GAS_CONSTANT, ROOM_TEMPERATURE, ZERO_CELSIUS } from './constants';
import type { Dimension } from './quantity';
import { type BarometerUse, dimensionOf, type Powers, type Unit } from './unit';

const found = new Map<string, Unit | undefined>();
/** Headers of untrusted files may be of any length; no unit is longer than this. */
const LONGEST_LABEL = 60;

/**
 * The unit that a label means, tolerant of the spellings found in headers: `[mbar]`, `(Torr)`, `micron`, `um Hg`,
 * `kPa abs`, `psig`, `"Hg`, `mbar*l/s`, `Torr-L/s`, `sccm (20 degC)`, `1e-6 mbar`. Case decides where it must
 * (`mPa`, `MPa`); labels that stay ambiguous come back with `choices`, guesses with `assumptions`.
 * @param label the label as written
 * @param dimension the kind wanted, which settles labels such as `m` or `micron`; any kind where absent. Standard flows
 *   asked for as `throughput` (and the reverse) are converted for gas at 20 degC, and this is said
 * @returns the unit, or undefined where nobody writes one so or it is of another kind
 * @source the table of units: NIST SP 811
 */
export function findUnit(label: string, dimension?: Dimension): Unit | undefined {
  const key = `${label}\n${dimension ?? ''}`;
  if (found.has(key)) return found.get(key);
  const unit = label.length > LONGEST_LABEL ? undefined : read(clean(label), dimension);
  if (found.size < 5000) found.set(key, unit);
  return unit;
}

/** Unwraps brackets and brings look-alike letters and signs to plain ones. */
function clean(label: string): string {
  const plain = label
    .normalize('NFKC')
    .replace(/[μµ]/g, 'u')
    .replace(/[″“”]|′′|''/g, '"')
    .replace(/[−–—‐‑]/g, '-')
    .replace(/[·•∙⋅×]/g, '*')
    .replace(/º/g, '°')
    .replace(/\s+/g, ' ')
    .trim();
  const inner = /^\[([^[\]]*)\]$|^\(([^()]*)\)$|^\{([^{}]*)\}$/.exec(plain);
  return inner ? (inner[1] ?? inner[2] ?? inner[3]).trim() : plain;
}

function read(label: string, dimension?: Dimension): Unit | undefined {
  if (label === '') return undefined;
  const unit =
    readAmbiguous(label, dimension) ??
    readScaled(label, dimension) ??
    readRelative(label) ??
    readWhole(label, dimension) ??
    readPressureRate(label);
  return unit && inKind(unit, dimension);
}

/** Turns a unit into the kind wanted, where that is possible. */
function inKind(unit: Unit, dimension?: Dimension): Unit | undefined {
  if (dimension === undefined || unit.dimension === dimension) return unit;
  if (unit.dimension === 'temperature' && dimension === 'temperature difference') {
    return { ...unit, dimension, offset: 0 };
  }
  const molarPerThroughput = 1 / (GAS_CONSTANT * ROOM_TEMPERATURE);
  const said = `${unit.label} converted between molar flow and throughput for gas at 20 degC`;
  const assumptions = [...unit.assumptions, said];
  if (unit.dimension === 'molar flow' && dimension === 'throughput') {
    return { ...unit, dimension, scale: unit.scale / molarPerThroughput, assumptions };
  }
  if (unit.dimension === 'throughput' && dimension === 'molar flow') {
    return { ...unit, dimension, scale: unit.scale * molarPerThroughput, assumptions };
  }
  return undefined;
}

/** Labels that mean different things to different people; the wanted kind settles some. */
function readAmbiguous(label: string, dimension?: Dimension): Unit | undefined {
  const key = squash(label);
  if (/^(micron|microns|u)$/.test(key) && label !== 'U') {
    if (dimension === 'length') return plainUnit('um', 'length', 1e-6);
    const assumption = `${label} taken as micrometre of mercury, a pressure of ${(MM_MERCURY / 1000).toPrecision(7)} Pa`;
    return { ...plainUnit('um Hg', 'pressure', MM_MERCURY / 1000), assumptions: [assumption] };
  }
  if (/^(umhg|um\*hg|microns?hg|micron?sofmercury|micronofmercury|micromhg|umofmercury)$/.test(key)) {
    return plainUnit('um Hg', 'pressure', MM_MERCURY / 1000);
  }
  if (label === 'm' && dimension === undefined) {
    return { ...plainUnit('m', 'length', 1), choices: ['metre', 'min'] };
  }
  if (key === 'm' && dimension === 'time') return { ...plainUnit('min', 'time', 60), choices: ['min', 'ms'] };
  if (label === 'mT' || label === 'T') {
    const milli = label === 'mT';
    const wanted = milli ? 'mTorr' : 'Torr';
    return { ...plainUnit(wanted, 'pressure', milli ? TORR / 1000 : TORR), choices: [wanted] };
  }
  if (key === 'psi' || key === 'psid' || key === 'lbf/in2' || key === 'lb/in2') {
    return { ...plainUnit('psia', 'pressure', PSI), choices: ['psia', 'psig'] };
  }
  if (/^(ft3|cu ?ft|cubic feet)$/i.test(label)) return plainUnit('ft3', 'volume', 0.3048 ** 3);
  return undefined;
}

const PSI = (0.45359237 * 9.80665) / 0.0254 ** 2;

function plainUnit(label: string, dimension: Dimension, scale: number): Unit {
  return { label, dimension, scale, offset: 0, barometer: 'none', assumptions: [], choices: [] };
}

/** A header that carries a power of ten: `1e-6 mbar`, `x10^-3 Torr`. */
function readScaled(label: string, dimension?: Dimension): Unit | undefined {
  const match = /^[x*]? ?(?:1e|10\^|1\.0e|10(?=-))([+-]?\d{1,2}) ?\*? ?([^\d].*)$/i.exec(label);
  if (!match) return undefined;
  const unit = read(match[2], dimension);
  if (!unit || unit.offset !== 0) return undefined;
  const exponent = Number(match[1]);
  const scale = exponent < 0 ? unit.scale / 10 ** -exponent : unit.scale * 10 ** exponent;
  return { ...unit, scale, label: `1e${exponent} ${unit.label}` };
}

/** Pressures that name the barometer: `kPa abs`, `barg`, `psig`, `inHg vac`, `% vacuum`. */
function readRelative(label: string): Unit | undefined {
  const spoken = /^(.+?)[ ,_-]*\(?(abs(?:olute)?|gauge|gage|rel(?:ative)?|vac(?:uum)?)\.?\)?$/i.exec(label);
  const glued = /^(psi|[mu]?bar|[kh]?pa|inhg|mmhg|m?torr)[ _]?\(?([agv])\)?$/i.exec(label);
  const match = glued ?? spoken;
  if (!match) return undefined;
  const how = match[2][0].toLowerCase();
  const barometer: BarometerUse = how === 'a' ? 'none' : how === 'v' ? 'below' : 'above';
  if (barometer === 'below' && /^(%|percent)$/i.test(match[1])) {
    return { ...plainUnit('% vac', 'pressure', 1013.25), barometer, assumptions: ['% vac taken of 101325 Pa'] };
  }
  const base = /^psi$/i.test(match[1]) ? plainUnit('psi', 'pressure', PSI) : read(match[1], 'pressure');
  if (!base || base.barometer !== 'none') return undefined;
  const word = barometer === 'below' ? ' vac' : barometer === 'above' ? ' gauge' : '';
  const labels: Record<string, string> = { psi: 'psia', 'psi gauge': 'psig', 'bar gauge': 'barg' };
  return { ...base, label: labels[base.label + word] ?? base.label + word, barometer };
}

/** A label with or without a named temperature, by its factors. */
function readWhole(label: string, dimension?: Dimension): Unit | undefined {
  const { body, at, atK } = splitTemperature(label);
  const flow = standardFlow(body, at, atK);
  if (flow) return unitOf(flow);
  if (at !== undefined) {
    const column = columnAt(body, at);
    if (column && 'label' in column) return unitOf(column);
    if (column) return { ...unitOf(findAtom(squash(body))!), choices: column };
    const throughput = readFactors(body, dimension);
    if (throughput?.dimension !== 'throughput') return undefined;
    return { ...throughput, assumptions: [...throughput.assumptions, `throughput stated at ${at}`] };
  }
  return readFactors(body, dimension);
}

/** The label of a unit without what it says of the barometer: `psia` for `psig`, `inHg` for `inHg vac`. */
export function absoluteLabel(label: string): string {
  return label.replace(/^(psi|bar)g$/, (_, unit) => (unit === 'psi' ? 'psia' : 'bar')).replace(/ (gauge|vac)$/, '');
}

/** A rate of a pressure whose unit has words of its own: `inHg (0 degC)/h`, `psia/s`; that of a dial is the same. */
function readPressureRate(label: string): Unit | undefined {
  const match = /^(.+?) ?\/ ?(s|sec|min|h|hr)$/.exec(label);
  const pressure = match ? read(match[1].trim(), 'pressure') : undefined;
  const time = match ? readFactors(match[2], 'time') : undefined;
  if (pressure?.dimension !== 'pressure' || time === undefined) return undefined;
  const bare = absoluteLabel(pressure.label).replace(/^psia$/, 'psi');
  return {
    ...plainUnit(`${bare}/${time.label}`, 'pressure rate', pressure.scale / time.scale),
    assumptions: pressure.assumptions,
  };
}

/** Cuts a named temperature off the end of a label: `sccm @ 20C`, `inHg (60 degF)`. */
function splitTemperature(label: string): { body: string; at: string | undefined; atK: number } {
  const match = /^(.*?)[ ,_]*(?:\(|@|at )[ @]*(-?\d+(?:\.\d+)?) ?(?:°|deg)? ?([CFK])\)?$/i.exec(label);
  if (!match) return { body: label, at: undefined, atK: ZERO_CELSIUS };
  const value = Number(match[2]);
  const scale = match[3].toUpperCase();
  const atK = scale === 'K' ? value : scale === 'C' ? value + ZERO_CELSIUS : ((value - 32) * 5) / 9 + ZERO_CELSIUS;
  const at = scale === 'K' ? `${value} K` : `${value} deg${scale}`;
  return { body: match[1].replace(/[ (]+$/, ''), at, atK };
}

function unitOf(atom: Atom): Unit {
  const { label, scale, offset = 0, assumption, choices = [] } = atom;
  const assumptions = assumption ? [assumption] : [];
  const dimension = dimensionOf(atom.powers)!;
  return { label, dimension, scale, offset, barometer: 'none', assumptions, choices };
}

/** One factor with its exponent, to be multiplied. */
interface Factor {
  readonly atom: Atom;
  readonly exponent: number;
}

/** A product of factors such as `mbar*l/s`, `Torr-L/(s cm2)`, `Pa m3 s-1`. */
function readFactors(label: string, dimension?: Dimension): Unit | undefined {
  const tidy = label
    .replace(/\bcubic (\w+)/gi, '$1^3')
    .replace(/\bcu\.? ?(ft|in|cm|m)\b/gi, '$1^3')
    .replace(/\bsq(?:uare)?\.? ?(ft|in|cm|m)\b/gi, '$1^2')
    .replace(/ ?\bper\b ?/gi, '/')
    .replace(/\*\*/g, '^')
    .replace(/\bum ?hg\b/gi, 'micron');
  const single = findAtom(label.replace(/\.$/, '')) ?? findAtom(label.replace(/\. ?/g, ' ').trim());
  if (single) return unitOf(single);
  for (const greedy of [false, true]) {
    const factors = splitFactors(tidy, greedy);
    const unit = factors && multiply(factors);
    if (unit && (dimension === undefined || inKind(unit, dimension))) return unit;
  }
  return undefined;
}

/** Splits at blanks, stars, dots, hyphens and slashes; `greedy` puts all after the first slash below the line. */
function splitFactors(label: string, greedy: boolean): Factor[] | undefined {
  const tokens = label.match(/[a-z"'°%åÅ][a-z"'°%åÅ]*(?:\d+(?=o))?(?:o(?![a-z]))?(?:\^?\(?-?\d+\)?)?|[/()]/gi);
  if (!tokens || tokens.join('').length < label.replace(/[\s*.\-_·]/g, '').length - 2) return undefined;
  const factors: Factor[] = [];
  let sign = 1;
  let depth = 0;
  for (const token of tokens) {
    if (token === '/') {
      sign = -1;
      continue;
    }
    if (token === '(' || token === ')') {
      depth += token === '(' ? 1 : -1;
      if (token === ')') sign = 1;
      continue;
    }
    const added = readFactor(token, sign);
    if (!added) return undefined;
    factors.push(...added);
    if (depth === 0 && !greedy) sign = 1;
  }
  return factors.length > 0 && factors.length < 8 ? factors : undefined;
}

/** One token: `cm3`, `s-1`, `H2O` columns, and pressures run together with litres as in `mbarl`. */
function readFactor(token: string, sign: number): Factor[] | undefined {
  const whole = findAtom(token);
  if (whole) return [{ atom: whole, exponent: sign }];
  const match = /^(.*?[^\d^(-])\^?\(?(-?\d)\)?$/.exec(token);
  const name = match ? match[1] : token;
  const exponent = match ? Number(match[2]) : 1;
  const atom = findAtom(name);
  if (atom) return exponent === 0 ? undefined : [{ atom, exponent: sign * exponent }];
  const fused = /^([mu]?(?:bar|torr)|h?pa|atm|micron|mmhg)(l|ltr|litres?|liters?|cc|m3|cm3)$/i.exec(token);
  if (!fused) return /^microns?$/i.test(token) ? [{ atom: MICRON, exponent: sign }] : undefined;
  const [first, second] = [readFactor(fused[1], sign), readFactor(fused[2], sign)];
  return first && second && [...first, ...second];
}

const MICRON: Atom = { label: 'um Hg', powers: [-1, 1, -2, 0, 0, 0], scale: MM_MERCURY / 1000 };

function multiply(factors: readonly Factor[]): Unit | undefined {
  const powers = [0, 0, 0, 0, 0, 0];
  let scale = 1;
  for (const { atom, exponent } of factors) {
    for (let i = 0; i < powers.length; i++) powers[i] += exponent * atom.powers[i];
    scale = exponent < 0 ? scale / atom.scale ** -exponent : scale * atom.scale ** exponent;
  }
  const dimension = dimensionOf(powers as unknown as Powers);
  if (dimension === undefined) return undefined;
  const choices = factors.flatMap(({ atom }) => atom.choices ?? []);
  const assumptions = factors.flatMap(({ atom }) => (atom.assumption ? [atom.assumption] : []));
  return { label: write(factors), dimension, scale, offset: 0, barometer: 'none', assumptions, choices };
}

/** The canonical label of a product: `mbar L/s`, `Torr L/(s cm2)`. */
function write(factors: readonly Factor[]): string {
  const part = (sign: number): string[] =>
    factors
      .filter(({ exponent }) => Math.sign(exponent) === sign)
      .map(({ atom, exponent }) => {
        const power = Math.abs(exponent);
        return power === 1 ? atom.label : atom.label + power;
      });
  const above = part(1).join(' ') || '1';
  const below = part(-1);
  if (below.length === 0) return above;
  return below.length === 1 ? `${above}/${below[0]}` : `${above}/(${below.join(' ')})`;
}
