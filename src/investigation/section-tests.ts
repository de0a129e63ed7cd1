import { findSection, type SectionFinding, type SectionTest } from '../causes';
import { ArgumentError } from '../errors';
import { fitRateOfRise, type RateOfRise } from '../fits';
import type { GaugeLog } from '../log';
import { estimate, randomStream, standardUncertaintyOf } from '../numerics';
import type { SegmentedLog } from '../segments';
import { type Quantity, quantity } from '../units';

/** What was shut off in an isolation, and the volume that was left with the gauge. */
export interface SectionPlan {
  readonly shutOff: string;
  readonly volume: Quantity;
}

/** How sections were shut off: each alone and opened again, or one more each time. */
export type SectionOrder = 'in turn' | 'one after another';

/** The load of a test, and how it changes while it is measured: walls give off less as they are pumped. */
export interface AgeingSectionTest extends SectionTest {
  /** When it was measured, s from the first test. */
  readonly atS?: number;
  /** How much the load may have changed over the test (its change and the uncertainty of that), Pa m3/s per s. */
  readonly changePerS?: number;
}

/** The rise of one isolation with some sections shut off. */
export interface SectionRise extends AgeingSectionTest {
  readonly log: GaugeLog;
  readonly rise: RateOfRise;
  readonly volume: Quantity;
}

/**
 * Reads what was shut off in each isolation: `all open: 12 L; section A: 9.5 L; section B: 8.5 L ± 5 %`. The first is the
 * whole; the volume is what stayed with the gauge.
 * @param text parts separated by semicolons, each a name and a volume
 * @returns the parts in their order
 * @throws ArgumentError where a part has no name; QuantityError where its volume is none
 */
export function readSectionPlan(text: string): SectionPlan[] {
  const parts = text.split(';').filter((part) => part.trim() !== '');
  if (parts.length < 2) throw new ArgumentError('sections', text, 'at least two, such as "all open: 12 L; A: 9.5 L"');
  return parts.map((part) => {
    const at = part.lastIndexOf(':');
    const shutOff = part.slice(0, Math.max(0, at)).trim();
    if (shutOff === '') throw new ArgumentError('section', part.trim(), 'a name and a volume, such as "A: 9.5 L"');
    return { shutOff, volume: quantity(part.slice(at + 1).trim(), 'volume') };
  });
}

/**
 * The rises of isolations with sections shut off. Loads are as the gauge reads: its scale and its gas factor are common
 * to all of them and would only blur the comparison.
 * @param records logs with what happened in them, in the order of time
 * @param plan what was shut off in each isolation, in the same order
 * @returns one rise for each isolation, loads in Pa m3/s
 * @throws ArgumentError where there are not as many isolations as parts of the plan
 */
export function sectionRises(
  records: readonly { readonly log: GaugeLog; readonly segmented: SegmentedLog }[],
  plan: readonly SectionPlan[],
): SectionRise[] {
  const isolations = records.flatMap(({ log, segmented }) =>
    segmented.segments
      .filter((one) => one.kind === 'isolation' && !one.pumpSide)
      .map((segment) => ({ log, segmented, segment })),
  );
  if (isolations.length !== plan.length) {
    const expected = `${plan.length}, one for each of: ${plan.map(({ shutOff }) => shutOff).join(', ')}`;
    throw new ArgumentError('isolations found', isolations.length, expected);
  }
  const starts = startsOf(records.map(({ log }) => log));
  const middle = ({ windowS: [from, to] }: RateOfRise): number => (from + to) / 2;
  let firstS = 0;
  return isolations.map(({ log, segmented, segment }, i) => {
    const { shutOff, volume } = plan[i];
    const rise = fitRateOfRise(log, segment, segmented.channel, { volume, gauge: 'capacitance', gaugeScale: 0 });
    const [from, to] = rise.windowS;
    const clockS = (starts.get(log) ?? 0) + middle(rise);
    if (i === 0) firstS = clockS;
    const { initialRate, finalRate } = rise;
    const change = Math.hypot(
      finalRate.value - initialRate.value,
      standardUncertaintyOf(finalRate),
      standardUncertaintyOf(initialRate),
    );
    const changePerS = (volume.si * change) / Math.max(to - from, 1e-9);
    return { shutOff, volume, log, rise, load: rise.gasLoad ?? rise.rate, atS: clockS - firstS, changePerS };
  });
}

/** When each log began, s: by its stamps where all have them, else one right after the other. */
function startsOf(logs: readonly GaugeLog[]): Map<GaugeLog, number> {
  const stamps = logs.map(({ start }) => (start === null ? Number.NaN : Date.parse(start) / 1000));
  const known = stamps.every(Number.isFinite);
  let at = 0;
  return new Map(
    logs.map((log, i): [GaugeLog, number] => {
      const start = known ? stamps[i] : at;
      at += log.rows > 0 ? log.time[log.rows - 1] : 0;
      return [log, start];
    }),
  );
}

/**
 * What each section brings, from rises with sections shut off. Where tests say when they were made and how their load
 * changed meanwhile, twice that change over the time between the tests compared goes into the uncertainty: walls age.
 * @param tests the whole first, then the others
 * @param order `in turn`: each test has one section shut off, and section = whole less test; `one after another`: each
 *   shuts off one more, and section = test before less test
 * @returns sections with their loads, Pa m3/s, the most probable place first; what no test shut off is `the rest`
 * @throws ArgumentError with fewer than two tests
 */
export function sectionLoads(tests: readonly AgeingSectionTest[], order: SectionOrder): SectionFinding[] {
  const aged = tests.map((test, i) => widenedByAge(test, order === 'in turn' ? tests[0] : tests[i - 1]));
  if (order === 'one after another' || tests.length < 3) return findSection(aged);
  const others = aged.slice(1);
  const loads = (of: readonly number[]): number[] => {
    const parts = of.slice(1).map((load) => of[0] - load);
    return [...parts, of[0] - parts.reduce((sum, part) => sum + part, 0)];
  };
  const values = loads(aged.map(({ load }) => load.value));
  const [u0, ...u] = aged.map(({ load }) => standardUncertaintyOf(load));
  const restU = Math.hypot((others.length - 1) * u0, ...u);
  const wins = largestOften(aged, loads);
  return values
    .map((value, i) => {
      const uncertainty = i < others.length ? Math.hypot(u0, u[i]) : restU;
      const load = estimate(value, uncertainty);
      return { section: i < others.length ? others[i].shutOff : 'the rest', load, probability: wins[i] };
    })
    .sort((a, b) => b.probability - a.probability || b.load.value - a.load.value);
}

/** Walls age as one over time: earlier they did so about twice as fast as in the test itself (calc: after twice the time). */
const AGED_FASTER = 2;

/** A test whose load may have been another one when the test that it is compared with was made. */
function widenedByAge(test: AgeingSectionTest, comparedWith: AgeingSectionTest | undefined): SectionTest {
  const { shutOff, load, changePerS = 0, atS = 0 } = test;
  const change = AGED_FASTER * Math.abs(changePerS * (atS - (comparedWith?.atS ?? atS)));
  // After days the slope says nothing any more; the load itself is then the measure of what may have changed.
  const u = Math.hypot(standardUncertaintyOf(load), Math.min(change, Math.abs(load.value)));
  return { shutOff, load: estimate(load.value, u) };
}

/** How often each section holds the largest load, over draws within the uncertainties; whole and rest move together. */
function largestOften(tests: readonly SectionTest[], loads: (of: readonly number[]) => number[]): number[] {
  const draws = 4000;
  const random = randomStream(1);
  const wins = new Array<number>(tests.length).fill(0);
  for (let k = 0; k < draws; k++) {
    const drawn = loads(tests.map(({ load }) => load.value + standardUncertaintyOf(load) * random.normal()));
    wins[drawn.indexOf(Math.max(...drawn))] += 1 / draws;
  }
  return wins;
}
