import { findSection, type SectionFinding, type SectionTest } from '../causes';
import { ArgumentError } from '../errors';
import { fitRateOfRise, type RateOfRise } from '../fits';
import type { GaugeLog } from '../log';
import { type Estimate, randomStream } from '../numerics';
import type { SegmentedLog } from '../segments';
import { type Quantity, quantity } from '../units';

/** What was shut off in an isolation, and the volume that was left with the gauge. */
export interface SectionPlan {
  readonly shutOff: string;
  readonly volume: Quantity;
}

/** How sections were shut off: each alone and opened again, or one more each time. */
export type SectionOrder = 'in turn' | 'one after another';

/** The rise of one isolation with some sections shut off. */
export interface SectionRise extends SectionTest {
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
  return isolations.map(({ log, segmented, segment }, i) => {
    const { shutOff, volume } = plan[i];
    const rise = fitRateOfRise(log, segment, segmented.channel, { volume, gauge: 'capacitance', gaugeScale: 0 });
    return { shutOff, volume, log, rise, load: rise.gasLoad ?? rise.rate };
  });
}

/**
 * What each section brings, from rises with sections shut off.
 * @param tests the whole first, then the others
 * @param order `in turn`: each test has one section shut off, and section = whole less test; `one after another`: each
 *   shuts off one more, and section = test before less test
 * @returns sections with their loads, Pa m3/s, the most probable place first; what no test shut off is `the rest`
 * @throws ArgumentError with fewer than two tests
 */
export function sectionLoads(tests: readonly SectionTest[], order: SectionOrder): SectionFinding[] {
  if (order === 'one after another' || tests.length < 3) return findSection(tests);
  const others = tests.slice(1);
  const spread = (estimate: Estimate): number => (estimate.high - estimate.low) / (2 * 1.96);
  const loads = (of: readonly number[]): number[] => {
    const parts = of.slice(1).map((load) => of[0] - load);
    return [...parts, of[0] - parts.reduce((sum, part) => sum + part, 0)];
  };
  const values = loads(tests.map(({ load }) => load.value));
  const [u0, ...u] = tests.map(({ load }) => spread(load));
  const restU = Math.hypot((others.length - 1) * u0, ...u);
  const wins = largestOften(tests, spread, loads);
  return values
    .map((value, i) => {
      const uncertainty = i < others.length ? Math.hypot(u0, u[i]) : restU;
      const load = { value, low: value - 1.96 * uncertainty, high: value + 1.96 * uncertainty };
      return { section: i < others.length ? others[i].shutOff : 'the rest', load, probability: wins[i] };
    })
    .sort((a, b) => b.probability - a.probability || b.load.value - a.load.value);
}

/** How often each section holds the largest load, over draws within the uncertainties; whole and rest move together. */
function largestOften(
  tests: readonly SectionTest[],
  spread: (estimate: Estimate) => number,
  loads: (of: readonly number[]) => number[],
): number[] {
  const draws = 4000;
  const random = randomStream(1);
  const wins = new Array<number>(tests.length).fill(0);
  for (let k = 0; k < draws; k++) {
    const drawn = loads(tests.map(({ load }) => load.value + spread(load) * random.normal()));
    wins[drawn.indexOf(Math.max(...drawn))] += 1 / draws;
  }
  return wins;
}
