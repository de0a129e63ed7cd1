import * as elementary from '../numerics/elementary';
import { caution } from './cautions';
import { CAUSES, type Cause, type NextTest } from './finding';
import { CAUSE_OF, futureLoad, SATURATES, type Source } from './hypotheses';
import { agedWalls, causesOfDraw, type PressureWanted } from './main-cause';
import type { RecordEvidence } from './record-evidence';
import type { Draw } from './weigh-hypotheses';

/** A test that could be made, with what each way in which the record may have come about predicts for it. */
interface Candidate {
  readonly what: string;
  readonly forS: number;
  readonly needs: readonly string[];
  readonly settles: readonly Cause[];
  /** What it costs, as the gain that it must bring to be worth it, 0 to 1. */
  readonly cost: number;
  /** What would be seen, on a scale of its own. */
  readonly predict: (draw: Draw) => number;
  /** Standard deviation with which it would be seen, same scale. */
  readonly sd: number;
}

/**
 * The tests that would settle what is open, by the models' own predictions: for each test every draw says what would be
 * seen; the gain is how much the largest probability would grow on average once it has been seen.
 * @param draws of the weighing
 * @param evidence the thinned record
 * @param wanted target and gauge
 * @param trapIsSafe false while an air leak is not excluded
 * @param gasShown true where two gauges of unlike principle have already shown the gas
 * @returns tests with their gain, best first (gain less cost); those that gain less than 2 % are left out, unless none gains more
 */
export function nextTests(
  draws: readonly Draw[],
  evidence: RecordEvidence,
  wanted: PressureWanted,
  trapIsSafe: boolean,
  gasShown = false,
): NextTest[] {
  const few = thin(draws, 120).flatMap((draw) => withAgedWalls(draw, evidence));
  const shares = few.map((draw): Shares => {
    const causes = causesOfDraw(draw, evidence, wanted);
    return causes.map(([cause, share]) => [CAUSES.indexOf(cause), share] as const);
  });
  const all = candidates(evidence, trapIsSafe, gasShown)
    .map((candidate) => ({ candidate, gain: expectedGain(candidate, few, shares) }))
    .sort((a, b) => b.gain - b.candidate.cost - (a.gain - a.candidate.cost));
  const worth = all.filter(({ gain }) => gain >= 0.02);
  return (worth.length > 0 ? worth : all.slice(0, 1)).map(({ candidate, gain }) => ({
    what: candidate.what,
    forS: Math.round(candidate.forS),
    needs: candidate.needs,
    settles: candidate.settles,
    expectedGain: Math.min(1, gain),
  }));
}

/** A draw whose leak may be walls with a constant load, as two draws, so that tests can tell them apart. */
function withAgedWalls(draw: Draw, evidence: RecordEvidence): Draw[] {
  const aged = agedWalls(evidence);
  if (aged === 0 || !draw.hypothesis.sources.includes('leak')) return [draw];
  const sources = draw.hypothesis.sources.map((source) => (source === 'leak' ? 'outgassing' : source));
  const walls = { ...draw, weight: draw.weight * aged, hypothesis: { ...draw.hypothesis, sources } };
  return [
    { ...draw, weight: draw.weight * (1 - aged) },
    { ...walls, shapes: { ...draw.shapes, clockS: 1e12 } },
  ];
}

/** The heaviest draws, at most `count`. */
function thin(draws: readonly Draw[], count: number): Draw[] {
  return [...draws].sort((a, b) => b.weight - a.weight).slice(0, count);
}

/** The causes of a draw as places in the list of causes, with their shares. */
type Shares = readonly (readonly [place: number, share: number])[];

/** Draws that predict the same outcome, so nearly that no reading would part them. */
interface Alike {
  /** What they predict, on the scale of the test. */
  readonly outcome: number;
  readonly weight: number;
  /** Weight of each cause. */
  readonly causes: Float64Array;
}

/** Outcomes that lie nearer than this part of a standard deviation are one. */
const ALIKE = 0.25;

function alike(candidate: Candidate, draws: readonly Draw[], shares: readonly Shares[]): Alike[] {
  const groups = new Map<number, { sum: number; weight: number; causes: Float64Array }>();
  draws.forEach((draw, i) => {
    const outcome = candidate.predict(draw);
    const place = Math.round(outcome / (ALIKE * candidate.sd));
    const group = groups.get(place) ?? { sum: 0, weight: 0, causes: new Float64Array(CAUSES.length) };
    group.sum += draw.weight * outcome;
    group.weight += draw.weight;
    for (const [cause, share] of shares[i]) group.causes[cause] += draw.weight * share;
    groups.set(place, group);
  });
  return [...groups.values()].map(({ sum, weight, causes }) => ({ outcome: sum / weight, weight, causes }));
}

/** Largest part of the weights that one cause holds; `by` weighs each group besides. */
function largestPart(groups: readonly Alike[], by: (group: Alike) => number): number {
  const table = new Float64Array(CAUSES.length);
  for (const group of groups) {
    const factor = by(group);
    for (let c = 0; c < table.length; c++) table[c] += factor * group.causes[c];
  }
  const sum = table.reduce((all, weight) => all + weight, 0);
  return sum > 0 ? table.reduce((most, weight) => Math.max(most, weight), 0) / sum : 0;
}

function expectedGain(candidate: Candidate, draws: readonly Draw[], shares: readonly Shares[]): number {
  const groups = alike(candidate, draws, shares);
  const total = groups.reduce((sum, group) => sum + group.weight, 0);
  let after = 0;
  for (const truth of groups) {
    for (const shift of [-1, 0, 1]) {
      const seen = truth.outcome + shift * candidate.sd;
      const largest = largestPart(groups, ({ outcome }) => {
        const off = (seen - outcome) / candidate.sd;
        return (off * off < 60 ? elementary.exp(-0.5 * off * off) : 0) + 1e-6;
      });
      after += (truth.weight / total) * (shift === 0 ? 0.46 : 0.27) * largest;
    }
  }
  return Math.max(0, after - largestPart(groups, () => 1));
}

/** Share of the load at closing that the sources of a kind make, 0 to 1. */
function loadShare(draw: Draw, test: (source: Source) => boolean): number {
  let part = 0;
  let whole = 0;
  draw.hypothesis.sources.forEach((source, c) => {
    const load = Math.abs(draw.closing[c]);
    whole += load;
    if (test(source)) part += load;
  });
  return whole > 0 ? part / whole : 0;
}

const followsWarmth = (source: Source): boolean =>
  CAUSE_OF[source] === 'outgassing' || CAUSE_OF[source] === 'evaporation';

/** Logarithm of how the whole load would have changed after a further stretch of pumping. */
function laterLoad(draw: Draw, evidence: RecordEvidence, furtherS: number): number {
  let later = 0;
  let now = 0;
  draw.hypothesis.sources.forEach((source, c) => {
    const load = Math.abs(draw.closing[c]);
    now += load;
    later += load * futureLoad(source, draw.shapes, evidence, furtherS);
  });
  return now > 0 ? elementary.log(Math.max(later / now, 1e-3)) : 0;
}

/**
 * All tests that can be proposed for a record.
 * @param evidence the thinned record
 * @param trapIsSafe false while an air leak is not excluded
 * @param gasShown true where two gauges have already shown the gas
 * @returns tests with what must be true before each
 */
export function candidates(evidence: RecordEvidence, trapIsSafe: boolean, gasShown: boolean): Candidate[] {
  const last = evidence.isolations[evidence.isolations.length - 1];
  const lengthS = Math.max(evidence.longestS, 60);
  const ageS = Math.max(last.ageS, lengthS);
  const list: Candidate[] = [
    {
      what: `pump for another ${duration(2 * ageS)} and isolate again for ${duration(lengthS)}, from the same pressure`,
      forS: 2 * ageS + lengthS,
      needs: ['nothing is vented or baked between', caution('closed')],
      settles: ['real leak', 'outgassing', 'virtual leak', 'evaporation'],
      cost: 0.05,
      predict: (draw) => laterLoad(draw, evidence, 2 * ageS),
      sd: 0.08,
    },
    {
      what: `isolate for ${duration(6 * lengthS)}, six times as long`,
      forS: 6 * lengthS,
      needs: ['the gauge must not reach the top of its range', caution('closed')],
      settles: ['real leak', 'evaporation', 'passing valve', 'virtual leak'],
      cost: 0.04,
      predict: (draw) => elementary.log(Math.max(longRise(draw, evidence, lengthS), 1e-3)),
      sd: 0.08,
    },
    {
      what: 'open a reference leak or a known flow of about the size of the load, valve closed, and compare the rise with and without',
      forS: 2 * lengthS,
      needs: ['a reference leak with a certificate, dry gas', caution('filament'), caution('closed')],
      settles: ['passing valve', 'sink', 'measurement'],
      cost: 0.04,
      predict: (draw) => (draw.hypothesis.drain !== null || draw.hypothesis.sources.includes('sink') ? 0.5 : 1),
      sd: 0.08,
    },
    {
      what: 'blank the pump off at its inlet and read what it reaches alone, ballast shut, then open',
      forS: 900,
      needs: [
        'a gauge on the pump side of the blank',
        'pump warm',
        'exhaust open and led away: what comes out may be toxic',
      ],
      settles: ['pump side', 'measurement', 'none'],
      cost: 0.05,
      predict: (draw) => (draw.offset > 0 && evidence.steadyPa ? Math.min(1, draw.offset / evidence.steadyPa) : 0),
      sd: 0.15,
    },
    {
      what: 'let dry nitrogen in to atmosphere for ten minutes, pump down again as before and repeat the isolation',
      forS: 600 + ageS + lengthS,
      needs: ['dry gas, flow and pressure regulated, relief device in place', caution('filament'), caution('closed')],
      settles: ['outgassing', 'virtual leak', 'real leak'],
      cost: 0.08,
      predict: (draw) =>
        loadShare(draw, (source) => source === 'pocket' || source === 'viscous pocket') -
        0.6 * loadShare(draw, (source) => CAUSE_OF[source] === 'outgassing'),
      sd: 0.12,
    },
    {
      what: 'warm the walls by 10 K and isolate again',
      forS: 3600 + lengthS,
      needs: [caution('warm'), caution('closed')],
      settles: ['outgassing', 'evaporation', 'real leak'],
      cost: 0.1,
      predict: (draw) => elementary.log(1 + 2.2 * loadShare(draw, followsWarmth)),
      sd: 0.15,
    },
    {
      what: 'change the foreline pressure by two and isolate again: does the rise follow?',
      forS: 2 * lengthS,
      needs: ['a foreline valve', 'the pump must bear the pressure', caution('closed')],
      settles: ['passing valve'],
      cost: 0.06,
      predict: (draw) => (draw.hypothesis.drain === 'seat' || draw.hypothesis.sources.includes('filling line') ? 1 : 0),
      sd: 0.25,
    },
    {
      what: 'spray or bag the joints with tracer gas and watch a tracer detector, from the top down',
      forS: 1800,
      needs: [
        'a tracer detector or a gauge that answers to the tracer',
        'ventilate: tracer gas displaces air',
        caution('filament'),
      ],
      settles: ['real leak'],
      cost: 0.12,
      predict: (draw) => (loadShare(draw, (source) => source === 'leak') > 0.03 ? 1 : 0),
      sd: 0.25,
    },
    {
      what: 'shut off the feeds by a blank or a second valve and isolate again: a feed that passes looks like a leak',
      forS: lengthS,
      needs: [
        'feeds at their usual pressure before, blanked after',
        'toxic, burning or pyrophoric feeds purged by those who may',
        caution('closed'),
      ],
      settles: ['real leak', 'passing valve'],
      cost: 0.12,
      predict: (draw) => loadShare(draw, (source) => source === 'leak'),
      sd: 0.3,
    },
  ];
  if (!gasShown) list.push(secondGauge(lengthS));
  if (trapIsSafe) {
    list.push({
      what: 'cool a trap and read how far the pressure falls',
      forS: 1200,
      needs: [caution('trap'), 'evacuate before cooling, vent while it warms'],
      settles: ['outgassing', 'evaporation'],
      cost: 0.15,
      predict: (draw) => loadShare(draw, followsWarmth),
      sd: 0.12,
    });
  }
  return list;
}

function secondGauge(lengthS: number): Candidate {
  return {
    what: 'read a second gauge of another principle beside it (a thermal gauge reads water 1.4 to 2 times high)',
    forS: lengthS,
    needs: ['both gauges in their best range', 'both zeros checked'],
    settles: ['outgassing', 'evaporation', 'real leak', 'measurement'],
    cost: 0.03,
    predict: (draw) => 1 + 0.6 * loadShare(draw, followsWarmth),
    sd: 0.15,
  };
}

/** Rise over six times the length against the rise over the length, by a draw. */
function longRise(draw: Draw, evidence: RecordEvidence, lengthS: number): number {
  let short = 0;
  let long = 0;
  const steps = 12;
  draw.hypothesis.sources.forEach((source, c) => {
    for (let i = 0; i < 6 * steps; i++) {
      const at = ((i + 0.5) * lengthS) / steps;
      const saturating = SATURATES.has(source);
      const follows = saturating
        ? elementary.exp(-draw.shapes.vapourPerS * at)
        : futureLoad(source, draw.shapes, evidence, at);
      const drained = draw.hypothesis.drain !== null ? elementary.exp(-draw.shapes.drainPerS * at) : 1;
      // A line that fills gives nothing at closing, and later what it gave in the end.
      const now = source === 'filling line' ? draw.end[c] : draw.closing[c];
      const load = Math.abs(now) * follows * drained;
      long += load;
      if (i < steps) short += load;
    }
  });
  return short > 0 ? long / short : 1;
}

function duration(seconds: number): string {
  if (seconds < 120) return `${Math.round(seconds)} s`;
  if (seconds < 7200) return `${Math.round(seconds / 60)} min`;
  return `${(seconds / 3600).toFixed(1)} h`;
}
