import { ArgumentError } from '../errors';
import { judgedIsolation, type RateOfRise, type RecordFits } from '../fits';
import { type Estimate, normalCdf } from '../numerics';

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

function standard(estimate: Estimate): number {
  return (estimate.high - estimate.low) / (2 * 1.96);
}

function compare(what: string, unit: string, before: Estimate, after: Estimate): Comparison | null {
  const [u1, u2] = [standard(before), standard(after)];
  if (!(Number.isFinite(u1) && Number.isFinite(u2)) || u1 + u2 <= 0) return null;
  const u = Math.hypot(u1, u2);
  const value = after.value - before.value;
  const smaller = normalCdf(-value / u);
  const verdict = smaller > 0.975 ? 'smaller' : smaller < 0.025 ? 'larger' : 'no difference shown';
  const ratio = after.value / before.value;
  const relative = Math.hypot(u1 / before.value, u2 / after.value);
  const spread = Math.exp(1.96 * Math.min(20, Math.abs(relative)));
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
 * Is the difference before and after a repair real? Compares the rate of rise of the judged isolations, the pumping
 * speed over volume and the base pressure. The gauge's scale and the volume are the same on both sides and drop out of
 * the ratio; outgassing falls with the time pumped on its own, so compare at like ages.
 * @param before fits of the record before
 * @param after fits of the record after
 * @returns one comparison each for what both records have
 * @throws ArgumentError where the two have nothing to compare
 */
export function compareRecords(before: RecordFits, after: RecordFits): Comparison[] {
  const found: (Comparison | null)[] = [];
  const [r1, r2] = [judged(before), judged(after)];
  if (r1 && r2) found.push(compare('rate of rise', 'Pa/s', r1.rate, r2.rate));
  if (r1 && r2) found.push(compare('rate of rise at the end', 'Pa/s', r1.finalRate, r2.finalRate));
  const [d1, d2] = [before.pumpDowns[before.pumpDowns.length - 1], after.pumpDowns[after.pumpDowns.length - 1]];
  if (d1 && d2) {
    found.push(compare('pumping speed over volume', '1/s', d1.ratePerS, d2.ratePerS));
    found.push(compare('base pressure', 'Pa', d1.base, d2.base));
  }
  const comparisons = found.filter((one): one is Comparison => one !== null);
  if (comparisons.length === 0)
    throw new ArgumentError('records', 'nothing in common', 'isolations or pump-downs in both');
  return comparisons;
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
    const u = Math.hypot(standard(tests[i].load), standard(test.load));
    const value = tests[i].load.value - test.load.value;
    return { section: test.shutOff, load: { value, low: value - 1.96 * u, high: value + 1.96 * u }, u };
  });
  const last = tests[tests.length - 1].load;
  parts.push({ section: 'the rest', load: last, u: standard(last) });
  const probability = parts.map((one, i) => {
    let sum = 0;
    const nodes = 41;
    for (let k = 0; k < nodes; k++) {
      const z = -3 + (6 * k) / (nodes - 1);
      const x = one.load.value + z * one.u;
      let all = Math.exp(-0.5 * z * z);
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
 * @returns stages, those that differ first
 */
export function compareWithBaseline(record: RecordFits, healthy: RecordFits): StageDifference[] {
  const stageOf: Readonly<Record<string, StageDifference['stage']>> = {
    'pumping speed over volume': 'pump or line',
    'rate of rise': 'load',
    'base pressure': 'base pressure',
  };
  return compareRecords(healthy, record)
    .filter((one) => stageOf[one.what] !== undefined)
    .map((comparison) => ({
      stage: stageOf[comparison.what],
      comparison,
      differs: comparison.verdict !== 'no difference shown',
    }))
    .sort((a, b) => Number(b.differs) - Number(a.differs));
}
