import { FLAG } from './gauge-log';

/** What is known of a column when clamps are looked for. */
export interface ClampContext {
  /** Pa per unit of the column; 0 where the unit is open or the column is a voltage. */
  readonly scale: number;
  readonly voltage: boolean;
  /** Under a law p = 10^(a U + b), 0 V is no reading. */
  readonly logLaw: boolean;
  /** Told limits, in the unit of the column. */
  readonly clampHigh?: number;
  readonly clampLow?: number;
  /** A value that a set point of the log takes: a pressure held there is no clamp. */
  readonly setpoints: ReadonlySet<number>;
}

/** What was found, to be shown. */
export interface FoundClamp {
  readonly at: number;
  readonly count: number;
  readonly high: boolean;
}

interface Plateau {
  readonly value: number;
  readonly count: number;
  readonly longest: number;
  /** Ends of its runs where the neighbour is more than 2 % away. */
  readonly abrupt: number;
  readonly ends: number;
}

/** Full scales end in these digits, some with the margin that instruments give. */
const FULL_SCALES = [1, 1.05, 1.1, 1.2, 1.25, 1.3, 1.33, 2, 2.5, 5];

/**
 * Flags a gauge that is pinned at the end of its range: the largest (or smallest) reading repeated exactly, while
 * readings elsewhere vary. A plateau at one atmosphere counts only at a full scale of 10^n, since a coarse gauge at
 * atmosphere repeats itself too.
 * @param values raw readings, unit of the column
 * @param flags changed in place
 * @param context what is known of the column
 * @returns the clamps found, with the number of readings at each
 */
export function flagClamps(values: Float64Array, flags: Uint8Array, context: ClampContext): FoundClamp[] {
  const found: FoundClamp[] = [];
  const { clampHigh, clampLow } = context;
  const high = clampHigh ?? pinnedHigh(values, flags, context);
  if (high !== undefined) {
    const count = flagBeyond(values, flags, high, 1, FLAG.overRange);
    if (count > 0) found.push({ at: high, count, high: true });
  }
  const low = clampLow ?? pinnedLow(values, flags, context);
  if (low !== undefined) {
    const count = flagBeyond(values, flags, low, -1, FLAG.underRange);
    if (count > 0) found.push({ at: low, count, high: false });
  }
  return found;
}

function flagBeyond(values: Float64Array, flags: Uint8Array, limit: number, sign: 1 | -1, flag: number): number {
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0 || sign * (values[i] - limit) < 0) continue;
    flags[i] |= flag;
    count++;
  }
  return count;
}

function pinnedHigh(values: Float64Array, flags: Uint8Array, context: ClampContext): number | undefined {
  const top = extreme(values, flags, 1);
  if (top === undefined || top <= 0 || context.setpoints.has(top)) return undefined;
  const plateau = plateauAt(values, flags, top);
  if (context.voltage) return plateau.count >= 3 && isFullVoltage(top) ? top : undefined;
  if (plateau.longest < 4 || plateau.count < 5) return undefined;
  if (!isAlone(values, flags, plateau)) return undefined;
  const atmospheric = context.scale === 0 || (top * context.scale > 60_000 && top * context.scale < 110_000);
  const leading = leadingDigits(top);
  if (atmospheric) return leading === 1 && context.scale > 0 ? top : undefined;
  if (FULL_SCALES.some((digits) => Math.abs(digits - leading) < 1e-9)) return top;
  return plateau.longest >= 10 && plateau.ends > 0 && plateau.abrupt === plateau.ends ? top : undefined;
}

function pinnedLow(values: Float64Array, flags: Uint8Array, context: ClampContext): number | undefined {
  const bottom = extreme(values, flags, -1);
  if (bottom === undefined || context.setpoints.has(bottom)) return undefined;
  if (context.voltage && context.logLaw && bottom <= 0.005) return 0.005;
  if (bottom <= 0) return undefined;
  const plateau = plateauAt(values, flags, bottom);
  if (plateau.longest < 10 || !isAlone(values, flags, plateau)) return undefined;
  const leading = leadingDigits(bottom);
  return Math.abs(leading - Math.round(leading)) < 1e-9 && isAliveAbove(values, flags, plateau) ? bottom : undefined;
}

function extreme(values: Float64Array, flags: Uint8Array, sign: 1 | -1): number | undefined {
  let found: number | undefined;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] === 0 && (found === undefined || sign * values[i] > sign * found)) found = values[i];
  }
  return found;
}

function plateauAt(values: Float64Array, flags: Uint8Array, value: number): Plateau {
  let count = 0;
  let longest = 0;
  let run = 0;
  let abrupt = 0;
  let ends = 0;
  let last = Number.NaN;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0) continue;
    const here = values[i] === value;
    if (here) {
      count++;
      run++;
      if (run > longest) longest = run;
    } else run = 0;
    if (!Number.isNaN(last) && here !== (last === value)) {
      ends++;
      if (Math.abs(values[i] - last) > 0.02 * value) abrupt++;
    }
    last = values[i];
  }
  return { value, count, longest, abrupt, ends };
}

/** Other readings rarely repeat themselves as this one does: the longest run is far beyond what they lead to expect. */
function isAlone(values: Float64Array, flags: Uint8Array, plateau: Plateau): boolean {
  let pairs = 0;
  let same = 0;
  let last = Number.NaN;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0) continue;
    if (values[i] !== plateau.value && last !== plateau.value && !Number.isNaN(last)) {
      pairs++;
      if (values[i] === last) same++;
    }
    last = values[i];
  }
  if (pairs < 4) return false;
  const share = (same + 0.5) / (pairs + 1);
  if (share > 0.5) return false;
  return plateau.longest > 2 * (Math.log(values.length) / -Math.log(share)) + 1;
}

/** Readings within a decade above a floor are there, and change: the gauge can show less than a step of the floor. */
function isAliveAbove(values: Float64Array, flags: Uint8Array, { value }: Plateau): boolean {
  const different = new Set<number>();
  for (let i = 0; i < values.length && different.size < 6; i++) {
    if (flags[i] === 0 && values[i] > value && values[i] < 10 * value) different.add(values[i]);
  }
  return different.size >= 5;
}

/** 1 to 10, the number without its power of ten. */
function leadingDigits(value: number): number {
  return Number((value / 10 ** Math.floor(Math.log10(value) + 1e-12)).toPrecision(9));
}

/** Converters saturate at 5 V or 10 V, less a code or two. */
function isFullVoltage(value: number): boolean {
  return [5, 10].some((full) => Math.abs(value / full - 1) < 0.003) || value > 10;
}
