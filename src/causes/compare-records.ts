import { ArgumentError } from '../errors';
import { type GaugePrinciple, judgedIsolation, type PumpDown, type RateOfRise, type RecordFits } from '../fits';
import { type Estimate, normalCdf, standardUncertaintyOf } from '../numerics';
import * as elementary from '../numerics/elementary';

/** A difference between two records. */
export interface Comparison {
  readonly what: string;
  /** After less before, in the unit named. */
  readonly difference: Estimate;
  /** After over before. */
  readonly ratio: Estimate;
  readonly unit: string;
  /** Probability that it is smaller after than before. */
  readonly smaller: number;
  readonly verdict: 'smaller' | 'larger' | 'no difference shown';
  readonly text: string;
}

/** What is known of two records beside their fits. */
export interface CompareOptions {
  /** How the gauge works; taken as one that repeats badly where absent. */
  readonly gauge?: GaugePrinciple;
  /** Relative standard uncertainty with which the gauge repeats from one record to the other; by its principle where absent. */
  readonly repeats?: number;
}

/**
 * How well a gauge's scale repeats from day to day, relative (common practice, no source): a diaphragm far better than it
 * is right; heat conduction and ionisation drift with the wire's surface and with the gas.
 */
const REPEATS: Readonly<Record<GaugePrinciple, number>> = {
  capacitance: 0.004,
  piezo: 0.005,
  thermal: 0.04,
  combined: 0.05,
  'hot-cathode': 0.05,
  'cold-cathode': 0.1,
};
/** What a gauge repeats to of which nothing is known. */
const REPEATS_UNKNOWN = 0.05;
/**
 * What walls give off after like pumping differs so much from one day to the next, relative: 15 % after another vent, 13 %
 * for each kelvin of the room (12 to 15 % for water on metal), of which three quarters of one are taken (common practice, no source).
 */
const WALLS_REPEAT = 0.18;
/** A pump is warmer or colder, its valve opens more or less: its speed repeats to this, relative (common practice). */
const PUMP_REPEATS = 0.03;
/** The gas's temperature may drift so much during a rise, K per square root of half an hour, up to that. */
const DRIFT_K = 0.15;

/** A value of one record with all that makes it differ from the other's though nothing was changed. */
interface Compared {
  readonly value: number;
  /** Standard uncertainty, same unit. */
  readonly u: number;
}

function compare(what: string, unit: string, before: Compared, after: Compared): Comparison | null {
  const [u1, u2] = [before.u, after.u];
  if (!(Number.isFinite(u1) && Number.isFinite(u2)) || u1 + u2 <= 0) return null;
  const u = Math.hypot(u1, u2);
  const value = after.value - before.value;
  const smaller = normalCdf(-value / u);
  const verdict = smaller > 0.975 ? 'smaller' : smaller < 0.025 ? 'larger' : 'no difference shown';
  const ratio = after.value / before.value;
  const relative = Math.hypot(u1 / before.value, u2 / after.value);
  const spread = elementary.exp(1.96 * Math.min(20, Math.abs(relative)));
  return {
    what,
    unit,
    difference: { value, low: value - 1.96 * u, high: value + 1.96 * u },
    ratio: { value: ratio, low: ratio / spread, high: ratio * spread },
    smaller,
    verdict,
    text: `${what}: ${verdict === 'no difference shown' ? verdict : `${verdict} after, by a factor ${ratio.toPrecision(3)}`}`,
  };
}

function judged(fits: RecordFits): RateOfRise | null {
  const at = judgedIsolation(fits.isolations);
  return at < 0 ? null : fits.isolations[at];
}

/**
 * Seconds pumped before an isolation, or null where its start is not in the record: since the last pump-down that began
 * with walls that had met gas again, else since the first.
 */
function pumpedBefore(rise: RateOfRise, { pumpDowns }: RecordFits): number | null {
  const before = pumpDowns.filter((one) => one.segment.startS < rise.segment.startS);
  const vented = before.filter((one) => one.segment.startPa > 2e4);
  const start = vented[vented.length - 1] ?? before[0];
  return start === undefined ? null : rise.segment.startS - start.segment.startS;
}

/**
 * How much of a rise comes from walls, by its bend: a load that falls as one over the time pumped has fallen to
 * t1 / (t1 + T) at the end, a leak has not fallen. Root mean square over what the bend leaves open from 0 to 1.
 */
function wallsPart(rise: RateOfRise, fits: RecordFits): number {
  const age = pumpedBefore(rise, fits);
  const span = rise.windowS[1] - rise.windowS[0];
  const full = age === null ? 0 : span / (age + span);
  const bend = 1 - rise.finalRate.value / rise.initialRate.value;
  const uBend =
    Math.hypot(standardUncertaintyOf(rise.finalRate), standardUncertaintyOf(rise.initialRate)) /
    Math.max(Math.abs(rise.initialRate.value), 1e-300);
  // Walls fall as a power from 0.7 to 1.3, and a gauge bends a little by itself.
  const u = full > 0 ? Math.hypot(uBend / full, 0.15) : Infinity;
  const centre = full > 0 ? bend / full : 0.5;
  let [sum, squares] = [0, 0];
  for (let k = 0; k <= 40; k++) {
    const part = k / 40;
    const weight = Number.isFinite(u)
      ? elementary.exp(-0.5 * ((part - Math.min(2, Math.max(-1, centre))) / u) ** 2)
      : 1;
    sum += weight;
    squares += weight * part * part;
  }
  return Math.sqrt(squares / sum);
}

interface SideOfPair {
  readonly fits: RecordFits;
  readonly rise: RateOfRise | null;
  readonly walls: number;
}

function sideOf(fits: RecordFits): SideOfPair {
  const rise = judged(fits);
  return { fits, rise, walls: rise === null ? Math.sqrt(1 / 3) : wallsPart(rise, fits) };
}

/** A rate of a rise with scatter, scale, walls and temperature in its uncertainty. */
function comparedRate(side: SideOfPair, rise: RateOfRise, rate: Estimate, repeats: number): Compared {
  const span = Math.max(rise.windowS[1] - rise.windowS[0], 1e-9);
  const drift = ((Math.abs(rise.endPa.value) / 293) * DRIFT_K * Math.min(1, Math.sqrt(span / 1800))) / span;
  const walls = WALLS_REPEAT * side.walls * rate.value;
  return { value: rate.value, u: Math.hypot(standardUncertaintyOf(rate), repeats * rate.value, walls, drift) };
}

/** The pressure before closing, where both records show it, else what the last pump-downs tend to. */
function bases(before: RecordFits, after: RecordFits): readonly [Estimate, Estimate] | null {
  const read = [before, after].map(({ loadBalance }) => loadBalance?.steadyPa);
  // A base that was not reached is a bound: how far two records happened to come says nothing about the system.
  const fitted = [before, after].map(({ pumpDowns }) => {
    const last = pumpDowns[pumpDowns.length - 1];
    return last?.baseReached ? last.base : undefined;
  });
  for (const [one, other] of [read, fitted]) if (one && other) return [one, other];
  return null;
}

/** The base with what repeats badly: scale, walls and pump, and a zero that wanders by the noise of single readings. */
function comparedBase(side: SideOfPair, base: Estimate, repeats: number): Compared {
  const part = Math.hypot(repeats, PUMP_REPEATS, WALLS_REPEAT * side.walls) * base.value;
  // The noise of many gauges goes with the pressure; what is left of it at the base is at most this.
  const top = side.rise === null ? 1 : Math.max(side.rise.endPa.value, base.value, 1e-300);
  const zero = side.rise === null ? 0 : 2 * side.rise.noisePa * Math.sqrt(Math.max(base.value, 0) / top);
  return { value: base.value, u: Math.hypot(standardUncertaintyOf(base), part, zero) };
}

/** What unlike times of pumping before closing may have done to the walls' part of the rise. */
function agesApart(one: SideOfPair, other: SideOfPair): { readonly relative: number; readonly text: string } {
  const ages = [one, other].map(({ rise, fits }) => (rise === null ? null : pumpedBefore(rise, fits)));
  if (ages[0] === null || ages[1] === null || !(ages[0] > 0 && ages[1] > 0)) return { relative: 0, text: '' };
  const times = ages[1] / ages[0];
  const log = Math.abs(elementary.log(times));
  if (log < 0.2) return { relative: 0, text: '' };
  const text =
    `; it was pumped ${times.toPrecision(2)} times as long before closing, which alone makes walls give off ` +
    `about ${(1 / times).toPrecision(2)} times as much`;
  return { relative: log * Math.max(one.walls, other.walls), text };
}

type Decade = PumpDown['byDecade'][number];

/** The same stretch of pressure in both pump-downs in which the speed is surest; a speed of unlike stretches is none. */
function commonDecade(before: PumpDown, after: PumpDown): readonly [Decade, Decade] | null {
  let best: readonly [Decade, Decade] | null = null;
  let least = Infinity;
  for (const one of before.byDecade) {
    for (const other of after.byDecade) {
      const alike = (p: number, q: number): boolean => Math.abs(elementary.log(p / q)) < 0.5;
      if (!alike(one.fromPa, other.fromPa) || !alike(one.toPa, other.toPa)) continue;
      const relative = Math.hypot(
        standardUncertaintyOf(one.ratePerS) / one.ratePerS.value,
        standardUncertaintyOf(other.ratePerS) / other.ratePerS.value,
      );
      // Near the base the load bends the fall, and its part of it is not known well enough.
      const bent = Math.max(before.base.value, after.base.value) / one.toPa;
      const u = Math.hypot(relative, bent);
      if (one.ratePerS.value > 0 && other.ratePerS.value > 0 && u < least) {
        least = u;
        best = [one, other];
      }
    }
  }
  return best;
}

function comparedSpeed(decade: Decade, base: number): Compared {
  const { ratePerS } = decade;
  const bent = (0.5 * Math.max(0, base)) / decade.toPa;
  return {
    value: ratePerS.value,
    u: Math.hypot(standardUncertaintyOf(ratePerS), PUMP_REPEATS * ratePerS.value, bent * ratePerS.value),
  };
}

/**
 * Is the difference before and after a repair real? Compares the rate of rise of the judged isolations, the pumping
 * speed over volume in the same stretch of pressure, and the base pressure. The volume and the gauge's scale are the same
 * on both sides and drop out of the ratio; what does not is in the uncertainty: how the gauge and the pump repeat, what
 * walls give off on another day (18 %, as far as the bend of the rise leaves room for walls), temperature, and the
 * scatter of the readings with its autocorrelation. Outgassing falls with the time pumped on its own, so compare at like ages.
 * @param before fits of the record before
 * @param after fits of the record after
 * @param options how the gauge works
 * @returns one comparison each for what both records have
 * @throws ArgumentError where the two have nothing to compare, or `repeats` is no relative uncertainty
 */
export function compareRecords(before: RecordFits, after: RecordFits, options: CompareOptions = {}): Comparison[] {
  const repeats = options.repeats ?? (options.gauge === undefined ? REPEATS_UNKNOWN : REPEATS[options.gauge]);
  if (!(repeats >= 0 && repeats < 1)) throw new ArgumentError('repeats', repeats, 'a relative uncertainty from 0 to 1');
  const found: (Comparison | null)[] = [];
  const [one, other] = [sideOf(before), sideOf(after)];
  if (one.rise && other.rise) {
    const [r1, r2] = [one.rise, other.rise];
    const rates = (of: (rise: RateOfRise) => Estimate): [Compared, Compared] => [
      comparedRate(one, r1, of(r1), repeats),
      comparedRate(other, r2, of(r2), repeats),
    ];
    const aged = agesApart(one, other);
    for (const [what, of] of [
      ['rate of rise', (rise: RateOfRise): Estimate => rise.rate],
      ['rate of rise at the end', (rise: RateOfRise): Estimate => rise.finalRate],
    ] as const) {
      const [first, second] = rates(of);
      const widened = { ...second, u: Math.hypot(second.u, aged.relative * second.value) };
      const comparison = compare(what, 'Pa/s', first, widened);
      if (comparison !== null) found.push({ ...comparison, text: comparison.text + aged.text });
    }
  }
  const [d1, d2] = [firstPumpDown(before), firstPumpDown(after)];
  if (d1 && d2) {
    const decades = commonDecade(d1, d2);
    if (decades !== null) {
      const speeds = [comparedSpeed(decades[0], d1.base.value), comparedSpeed(decades[1], d2.base.value)] as const;
      found.push(compare('pumping speed over volume', '1/s', ...speeds));
    }
  }
  const levels = bases(before, after);
  if (levels !== null) {
    const [b1, b2] = levels;
    found.push(compare('base pressure', 'Pa', comparedBase(one, b1, repeats), comparedBase(other, b2, repeats)));
  }
  const comparisons = found.filter((comparison): comparison is Comparison => comparison !== null);
  if (comparisons.length === 0)
    throw new ArgumentError('records', 'nothing in common', 'isolations or pump-downs in both');
  return comparisons;
}

/** The pump-down that spans most decades: the recovery after an isolation says less. */
function firstPumpDown({ pumpDowns }: RecordFits): PumpDown | undefined {
  const decades = ({ segment }: PumpDown): number =>
    elementary.log(Math.max(segment.startPa, 1e-12) / Math.max(segment.endPa, 1e-12));
  return [...pumpDowns].sort((a, b) => decades(b) - decades(a))[0];
}

/** A rise measured with some sections shut off. */
export interface SectionTest {
  /** The section that was shut off in addition to those before it, or `nothing` for the whole. */
  readonly shutOff: string;
  /** Load with it shut off, Pa m3/s. The volume shrinks with each section, so loads, not rates, are compared. */
  readonly load: Estimate;
}

/** Where the load sits. */
export interface SectionFinding {
  readonly section: string;
  /** What shutting it off took away, Pa m3/s. */
  readonly load: Estimate;
  /** Probability that this section holds the largest part. */
  readonly probability: number;
}

/**
 * Which section holds the load, from tests in which sections were shut off one after another.
 * @param tests in the order made; the first with nothing shut off
 * @returns sections, the most probable first; what stays after the last is `the rest`
 * @throws ArgumentError with fewer than two tests
 */
export function findSection(tests: readonly SectionTest[]): SectionFinding[] {
  if (tests.length < 2)
    throw new ArgumentError('tests', tests.length, 'at least two: the whole, and one section shut off');
  const parts = tests.slice(1).map((test, i) => {
    const u = Math.hypot(standardUncertaintyOf(tests[i].load), standardUncertaintyOf(test.load));
    const value = tests[i].load.value - test.load.value;
    return { section: test.shutOff, load: { value, low: value - 1.96 * u, high: value + 1.96 * u }, u };
  });
  const last = tests[tests.length - 1].load;
  parts.push({ section: 'the rest', load: last, u: standardUncertaintyOf(last) });
  const probability = parts.map((one, i) => {
    let sum = 0;
    const nodes = 41;
    for (let k = 0; k < nodes; k++) {
      const z = -3 + (6 * k) / (nodes - 1);
      const x = one.load.value + z * one.u;
      let all = elementary.exp(-0.5 * z * z);
      parts.forEach((other, j) => {
        if (j !== i) all *= normalCdf((x - other.load.value) / Math.max(other.u, 1e-300));
      });
      sum += all;
    }
    return sum;
  });
  const total = probability.reduce((s, p) => s + p, 0);
  return parts
    .map(({ section, load }, i) => ({
      section,
      load,
      probability: total > 0 ? probability[i] / total : 1 / parts.length,
    }))
    .sort((a, b) => b.probability - a.probability);
}

/** A stage of the system that differs from its healthy self. */
export interface StageDifference {
  readonly stage: 'pump or line' | 'load' | 'base pressure';
  readonly comparison: Comparison;
  /** Whether it differs, at 95 %. */
  readonly differs: boolean;
}

/**
 * Which stage differs from the system's own healthy record: the pump or its line (speed over volume), the load (rate of
 * rise), or the base pressure with neither (pump limit, gauge).
 * @param record the record in question
 * @param healthy the baseline
 * @param options how the gauge works
 * @returns stages, those that differ first
 */
export function compareWithBaseline(
  record: RecordFits,
  healthy: RecordFits,
  options: CompareOptions = {},
): StageDifference[] {
  const stageOf: Readonly<Record<string, StageDifference['stage']>> = {
    'pumping speed over volume': 'pump or line',
    'rate of rise': 'load',
    'base pressure': 'base pressure',
  };
  return compareRecords(healthy, record, options)
    .filter((one) => stageOf[one.what] !== undefined)
    .map((comparison) => ({
      stage: stageOf[comparison.what],
      comparison,
      differs: comparison.verdict !== 'no difference shown',
    }))
    .sort((a, b) => Number(b.differs) - Number(a.differs));
}
