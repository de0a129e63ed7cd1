import { FLAG } from './gauge-log';

/** Numbers that instruments write in place of a reading: nought, tiny, nines or huge, negative codes. */
type Code = 0 | 1 | 2 | 3 | 4;
const NONE = 0;
const ZERO = 1;
const TINY = 2;
const HIGH = 3;
const NEGATIVE = 4;

/** What is known of a column when its codes are judged. */
export interface CodeContext {
  /** SI units per unit of the column; 0 where the unit is open. */
  readonly scale: number;
  readonly pressure: boolean;
}

/** No vacuum gauge reads more, Pa. */
const BEYOND_ANY_GAUGE = 5e7;
/** A leap to a code is at least so many of the steps around it. */
const LEAP = 5;

/**
 * Flags numbers that are no readings: 1e-99, 9.9e9, 999.9, -999, and 0 where a gauge writes it when it is off. A number
 * is a code only where readings leap to it: zeros and negatives of a linear gauge near its zero are reached by its
 * usual
 * steps and stay. Falling readings before a low code say under range, high readings around a high one over range; else
 * the gauge was off.
 * @param values raw readings, unit of the column
 * @param flags changed in place
 * @param context what is known of the column
 */
export function flagCodes(values: Float64Array, flags: Uint8Array, context: CodeContext): void {
  const codes = new Uint8Array(values.length);
  if (!markSuspects(values, flags, codes, context)) return;
  const good = goodRows(values, flags, codes);
  const readings = surroundings(values, good);
  for (const code of [ZERO, TINY, HIGH, NEGATIVE] as const) {
    judgeCode(code, { values, flags, codes, good, context, ...readings });
  }
}

function markSuspects(values: Float64Array, flags: Uint8Array, codes: Uint8Array, context: CodeContext): boolean {
  let any = false;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0) continue;
    const code = suspect(values[i], context);
    if (code === NONE) continue;
    codes[i] = code;
    any = true;
  }
  return any;
}

function suspect(value: number, { scale, pressure }: CodeContext): Code {
  if (value > 1e-20 && value < 98) return NONE;
  if (value === 0) return pressure ? ZERO : NONE;
  if (value > 0 && value <= 1e-20) return TINY;
  if (value < 0) return value === Math.round(value) || isNines(-value) ? NEGATIVE : NONE;
  if (value >= 1e9 || (pressure && value * scale > BEYOND_ANY_GAUGE)) return HIGH;
  return isNines(value) || isFullCount(value) ? HIGH : NONE;
}

/** 99, 999.9, 9999, 9.9e9: nothing but nines, at least two of them. */
function isNines(value: number): boolean {
  if (value < 98) return false;
  const leading = value / 10 ** Math.floor(Math.log10(value));
  return leading > 9.85 && /^99+$/.test(String(value).replace(/[.]|e.*$|0+$/g, ''));
}

/** The largest count of 15, 16, 23 or 24 bits, also with a decimal mark in it: 32767, 6553.5. */
function isFullCount(value: number): boolean {
  if (value < 300) return false;
  const leading = value / 10 ** Math.floor(Math.log10(value));
  const near = FULL_LEADING.some((full) => Math.abs(leading - full) < 1e-9);
  return near && FULL_COUNTS.has(String(value).replace('.', ''));
}

const FULL_LEADING = [3.2767, 6.5535, 8.388607, 1.6777215];
const FULL_COUNTS = new Set(['32767', '65535', '8388607', '16777215']);

function goodRows(values: Float64Array, flags: Uint8Array, codes: Uint8Array): Int32Array {
  const rows = new Int32Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (flags[i] === 0 && codes[i] === NONE) rows[count++] = i;
  return rows.subarray(0, count);
}

interface Surroundings {
  /** Smallest and largest of the readings that are no codes (magnitude of the smallest above nought). */
  readonly lowest: number;
  readonly highest: number;
  /** Smallest step between neighbouring readings. */
  readonly finest: number;
}

function surroundings(values: Float64Array, good: Int32Array): Surroundings {
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let finest = Number.POSITIVE_INFINITY;
  for (let k = 0; k < good.length; k++) {
    const value = values[good[k]];
    if (value > 0 && value < lowest) lowest = value;
    if (value > highest) highest = value;
    const step = k > 0 ? Math.abs(value - values[good[k - 1]]) : 0;
    if (step > 0 && step < finest) finest = step;
  }
  return { lowest, highest, finest: Number.isFinite(finest) ? finest : 0 };
}

interface Scene extends Surroundings {
  readonly values: Float64Array;
  readonly flags: Uint8Array;
  readonly codes: Uint8Array;
  readonly good: Int32Array;
  readonly context: CodeContext;
}

/** A stretch of rows with one code, and the places in `good` of the readings before and after it. */
interface Run {
  readonly from: number;
  readonly to: number;
  readonly before: number;
  readonly after: number;
}

function* runsOf(code: Code, { codes, good }: Scene): Generator<Run> {
  let place = 0;
  for (let i = 0; i < codes.length; i++) {
    if (codes[i] !== code) continue;
    const from = i;
    while (i + 1 < codes.length && codes[i + 1] === code) i++;
    while (place < good.length && good[place] < from) place++;
    yield { from, to: i, before: place - 1, after: place < good.length ? place : -1 };
  }
}

function judgeCode(code: Code, scene: Scene): void {
  const { good, highest } = scene;
  const edges = { before: 0, after: 0, leapsBefore: 0, leapsAfter: 0 };
  for (const run of runsOf(code, scene)) {
    if (run.before >= 0) {
      edges.before++;
      if (isLeap(scene, run.from, run.before, -1)) edges.leapsBefore++;
    }
    if (run.after >= 0) {
      edges.after++;
      if (isLeap(scene, run.from, run.after, 1)) edges.leapsAfter++;
    }
  }
  const near = code === HIGH && good.length > 0 && highest > 0.6 * codeValue(code, scene);
  const always = code === TINY || (code === HIGH && certainlyHigh(scene));
  if (!always && (near || !isCode(code, edges, scene))) return;
  if (code === NEGATIVE && differentNegatives(scene) > 3) return;
  flagRuns(code, scene);
}

interface Edges {
  readonly before: number;
  readonly after: number;
  readonly leapsBefore: number;
  readonly leapsAfter: number;
}

/**
 * Readings leap to and from a code. Up from 0 a linear gauge may leap when gas is let in; down to 0 it may not, for gas
 * does not vanish: so for a gauge with a fixed grain only the leaps down count.
 */
function isCode(code: Code, { before, after, leapsBefore, leapsAfter }: Edges, scene: Scene): boolean {
  if (code === ZERO && hasFixedGrain(scene)) return before > 0 && leapsBefore >= 0.7 * before;
  return before + after > 0 && leapsBefore + leapsAfter >= 0.7 * (before + after);
}

/** Decimals of readings looked at; a gauge with more is no instrument with a fixed grain. */
const MOST_DECIMALS = 9;

/**
 * Whether large readings are as finely written as small ones (0.016, 12.345), not in so many digits (1.2E-5, 3.4E-3).
 */
function hasFixedGrain({ values, good, highest }: Scene): boolean {
  const stride = Math.max(1, Math.floor(good.length / 500));
  const picked: number[] = [];
  for (let k = 0; k < good.length; k += stride) picked.push(values[good[k]]);
  const decimals = Math.max(...picked.map(decimalsOf));
  const large = picked.filter((value) => value >= highest / 10);
  if (decimals > MOST_DECIMALS || large.length === 0) return false;
  const round = large.filter((value) => Math.round(value * 10 ** decimals) % 10 === 0);
  return round.length < 0.8 * large.length;
}

function decimalsOf(value: number): number {
  const [mantissa, exponent = '0'] = String(Number(value.toPrecision(12))).split('e');
  return Math.max(0, (mantissa.split('.')[1]?.length ?? 0) - Number(exponent));
}

/** Where one run of a code clearly says that the gauge was off, all of them do. */
function flagRuns(code: Code, scene: Scene): void {
  const runs = [...runsOf(code, scene)];
  const flags = runs.map((run) => flagOfRun(code, scene, run));
  const off = (code === ZERO || code === TINY) && flags.includes(FLAG.off);
  runs.forEach((run, k) => {
    for (let i = run.from; i <= run.to; i++) scene.flags[i] |= off ? FLAG.off : flags[k];
  });
}

/** Whether the reading at `place` is far from the code, measured by the steps beyond it. */
function isLeap({ values, good, finest }: Scene, codeRow: number, place: number, away: -1 | 1): boolean {
  const reading = values[good[place]];
  const steps: number[] = [];
  for (let k = 1; k <= 3; k++) {
    const [one, two] = [place + away * (k - 1), place + away * k];
    if (two < 0 || two >= good.length) break;
    steps.push(Math.abs(values[good[two]] - values[good[one]]));
  }
  const usual = Math.max(median(steps), finest);
  return Math.abs(reading - values[codeRow]) > LEAP * usual;
}

function median(values: readonly number[]): number {
  return values.length === 0 ? 0 : [...values].sort((a, b) => a - b)[values.length >> 1];
}

function codeValue(code: Code, { values, codes }: Scene): number {
  return values[codes.indexOf(code)];
}

/** Above anything a vacuum gauge can read, whatever stands around it. */
function certainlyHigh({ values, codes, context }: Scene): boolean {
  for (let i = 0; i < values.length; i++) {
    if (codes[i] !== HIGH) continue;
    if (!(values[i] >= 1e9 || values[i] * context.scale > BEYOND_ANY_GAUGE)) return false;
  }
  return true;
}

/** A code is one number, or a few; the noise of a gauge about its zero is many. */
function differentNegatives({ values, flags }: Scene): number {
  const different = new Set<number>();
  for (let i = 0; i < values.length && different.size <= 3; i++)
    if (flags[i] === 0 && values[i] < 0) different.add(values[i]);
  return different.size;
}

function flagOfRun(code: Code, scene: Scene, run: Run): number {
  const { values, good, context, lowest, highest } = scene;
  if (!context.pressure) return FLAG.missing;
  const around = [run.before, run.after].filter((place) => place >= 0).map((place) => values[good[place]]);
  if (code === HIGH) return around.some((value) => value >= highest / 3) ? FLAG.overRange : FLAG.off;
  if (code === NEGATIVE) return FLAG.off;
  const nearFloor = around.length > 0 && around.every((value) => value <= 1.3 * lowest);
  return nearFloor && (isApproach(scene, run.before, -1) || isApproach(scene, run.after, 1))
    ? FLAG.underRange
    : FLAG.off;
}

/** Readings come down to the place where they vanish, or go up from it where they come back. */
function isApproach({ values, good }: Scene, place: number, away: -1 | 1): boolean {
  if (place < 0) return false;
  const far = place + 5 * away;
  const from = far < 0 ? 0 : far >= good.length ? good.length - 1 : far;
  return from !== place && values[good[from]] > 1.05 * values[good[place]];
}
