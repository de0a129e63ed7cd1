import * as elementary from '../numerics/elementary';
import {
  allHypotheses,
  type Hypothesis,
  isPossible,
  isVapour,
  type Prepared,
  prepare,
  type Shapes,
} from './hypotheses';
import { type JointLikelihood, jointLikelihood } from './joint-likelihood';
import { doubtLeaksBesideVapour } from './leak-beside-vapour';
import { cutMean, logPositivePart, positiveAmplitudes } from './positive-amplitudes';
import { type BegunSearch, beginSearch } from './posterior-search';
import type { RecordEvidence } from './record-evidence';

/** One weighted way in which a record may have come about. */
export interface Draw {
  readonly hypothesis: Hypothesis;
  /** Share of the whole posterior; all draws sum to 1. */
  readonly weight: number;
  readonly shapes: Shapes;
  /** Rise that each source made over the last isolation, Pa, in the order of the hypothesis' sources. */
  readonly riseLast: Float64Array;
  /** The same summed over all isolations, Pa. */
  readonly riseAll: Float64Array;
  /** Rise that the room's temperature made, last isolation and all, Pa (0 unless the hypothesis says so). */
  readonly warmLast: number;
  readonly warmAll: number;
  /** Loads per volume at closing and at the end of the last isolation, Pa/s. */
  readonly closing: Float64Array;
  readonly end: Float64Array;
  /** The leak's rate before the cut at zero, Pa/s: centre and standard deviation; NaN where there is none. */
  readonly leakMean: number;
  readonly leakSd: number;
  /** What the pump and the gauge add to the pumped pressure, Pa; NaN without pumped readings. */
  readonly offset: number;
}

/** All hypotheses weighed on one record. */
export interface Weighing {
  readonly draws: readonly Draw[];
  readonly likelihood: JointLikelihood;
  /** Posterior weight of each hypothesis by name. */
  readonly weightOf: ReadonlyMap<string, number>;
}

interface Weighed {
  readonly hypothesis: Hypothesis;
  readonly prepared: Prepared;
  /** Logarithm of its evidence times its prior. */
  readonly log: number;
  readonly points: readonly { readonly z: Float64Array; readonly weight: number }[];
}

/** Draws of the amplitudes for each point of the posterior. */
const AMPLITUDE_DRAWS = 6;
/** The same while the search goes on. */
const SEARCH_DRAWS = 4;
/** A hypothesis whose peak, with its prior, lies this far (in logarithm) below the best so far is not explored further. */
const GIVE_UP = 6;

/**
 * Weighs every set of sources on the whole record at once.
 * @param evidence the thinned record with at least one isolation
 * @param thermal true where the gauge reads vapour high
 * @returns weighted draws
 */
export function weighHypotheses(evidence: RecordEvidence, thermal: boolean): Weighing {
  const likelihood = jointLikelihood(evidence);
  // The most promising is finished first: what lies far below it needs no more than its short climb.
  const possible = allHypotheses().filter((hypothesis) => isPossible(hypothesis, evidence));
  const begun = possible.map((hypothesis) => begin(hypothesis, evidence, likelihood, thermal));
  let best = -Infinity;
  const finished = new Map<Hypothesis, Weighed>();
  for (const { search, logPrior, ...one } of [...begun].sort((a, b) => promise(b) - promise(a))) {
    const { logEvidence, points } = search.finish(best - GIVE_UP - logPrior);
    const log = logEvidence + logPrior;
    finished.set(one.hypothesis, { ...one, log, points });
    best = Math.max(best, log);
  }
  const weighed = begun.flatMap(({ hypothesis }) => finished.get(hypothesis) ?? []);
  const told = partTold(weighed, best, likelihood);
  const weights = weighed.map(({ log, hypothesis }) => {
    const against = told * (log - best) + (1 - told) * elementary.log(hypothesis.prior);
    return elementary.exp(Math.max(-700, against));
  });
  const sum = weights.reduce((s, w) => s + w, 0);
  const draws: Draw[] = [];
  weighed.forEach((one, i) => {
    const share = weights[i] / sum;
    if (share > 1e-6) draws.push(...drawsOf(one, share, evidence, likelihood));
  });
  const total = draws.reduce((s, one) => s + one.weight, 0);
  const weightOf = new Map(weighed.map((one, i) => [one.hypothesis.name, weights[i] / sum]));
  return {
    draws: doubtLeaksBesideVapour(
      draws.map((one) => ({ ...one, weight: one.weight / total })),
      weightOf,
      evidence.longestS,
    ),
    likelihood,
    weightOf,
  };
}

/**
 * What no set explains beyond the noise is no noise: it bends over several blocks, and these tell no more than one. Where
 * nearly all that the best set leaves over is of that kind, a difference of likelihoods counts in that proportion.
 */
function partTold(weighed: readonly Weighed[], best: number, likelihood: JointLikelihood): number {
  const first = weighed.find(({ log }) => log === best);
  if (first === undefined) return 1;
  const top = first.points.reduce((a, b) => (b.weight > a.weight ? b : a));
  const { columns, roughness, shift } = first.prepared.columns(first.prepared.shapes(top.z));
  const perRow = likelihood.evaluate(columns, roughness, shift).misfit / likelihood.rows;
  return 1 / (1 + (ALIKE - 1) * Math.max(0, 1 - USUAL_MISFIT / Math.max(perRow, USUAL_MISFIT)));
}

/** Neighbouring blocks over which an error of the model is alike. */
const ALIKE = 4;
/** Misfit per row that noise may have, whose size is not known well. */
const USUAL_MISFIT = 2;

interface Begun {
  readonly hypothesis: Hypothesis;
  readonly logPrior: number;
  readonly prepared: Prepared;
  readonly search: BegunSearch;
}

function begin(hypothesis: Hypothesis, evidence: RecordEvidence, likelihood: JointLikelihood, thermal: boolean): Begun {
  const prepared = prepare(hypothesis, evidence, likelihood, thermal);
  const logLikelihood = (z: Float64Array): number => {
    const shapes = prepared.shapes(z);
    const { columns, roughness, shift } = prepared.columns(shapes);
    const found = likelihood.evaluate(columns, roughness, shift);
    const k = columns.length;
    return (
      found.logEvidence +
      k * Math.LN2 +
      logPositivePart(found.mean, found.covariance, SEARCH_DRAWS) +
      prepared.amplitudePrior(shapes, cutMeans(found.mean, found.covariance))
    );
  };
  const search = beginSearch(logLikelihood, prepared.names.length);
  return { hypothesis, logPrior: elementary.log(hypothesis.prior), prepared, search };
}

/** How high a set has come so far. */
function promise({ search, logPrior }: Begun): number {
  return search.topLog + logPrior;
}

/** Mean of each amplitude after the cut at zero, one by one. */
function cutMeans(mean: Float64Array, covariance: Float64Array): Float64Array {
  const k = mean.length;
  return mean.map((centre, c) => cutMean(centre, Math.sqrt(covariance[c * k + c])));
}

function drawsOf(one: Weighed, share: number, evidence: RecordEvidence, likelihood: JointLikelihood): Draw[] {
  const draws: Draw[] = [];
  const { prepared, hypothesis } = one;
  const { lead } = prepared;
  const lastIsolation = evidence.isolations.length - 1;
  const leak = hypothesis.sources.indexOf('leak');
  for (const point of one.points) {
    if (point.weight * share < 1e-7 || point.weight < 1e-4) continue;
    const shapes = prepared.shapes(point.z);
    const { columns, roughness, shift } = prepared.columns(shapes);
    const found = likelihood.evaluate(columns, roughness, shift);
    const cut = positiveAmplitudes(found.mean, found.covariance, AMPLITUDE_DRAWS);
    if (cut.logProbability === -Infinity) continue;
    const parts =
      cut.draws.length > 0
        ? cut.draws
        : [{ weight: 1, amplitudes: new Float64Array(0), lastMean: Number.NaN, lastSd: Number.NaN }];
    const loads = hypothesis.sources.map((_, c) => prepared.loads(shapes, c, lastIsolation));
    for (const part of parts) {
      const rises = evidence.isolations.map((_, i) =>
        hypothesis.sources.map((source, c) => {
          const row = likelihood.firstRow[i + 1] - 1;
          const made = columns[c + lead][row] * part.amplitudes[c + lead];
          // A vapour makes what is missing to its saturation pressure at closing.
          return isVapour(source) && shift !== null ? Math.max(made - shift[row], 0.01 * made) : made;
        }),
      );
      const warm = hypothesis.warm
        ? evidence.isolations.map((_, i) => swing(evidence, likelihood, i, columns, part))
        : [];
      const perRate = leak < 0 ? Number.NaN : loads[leak].closing;
      draws.push({
        hypothesis,
        weight: share * point.weight * part.weight,
        shapes,
        riseLast: Float64Array.from(rises[lastIsolation]),
        riseAll: Float64Array.from(hypothesis.sources.map((_, c) => rises.reduce((s, r) => s + r[c], 0))),
        warmLast: hypothesis.warm ? warm[lastIsolation] : 0,
        warmAll: warm.reduce((s, w) => s + w, 0),
        closing: Float64Array.from(loads.map((load, c) => load.closing * part.amplitudes[c + lead])),
        end: Float64Array.from(loads.map((load, c) => load.end * part.amplitudes[c + lead])),
        leakMean: leak < 0 ? Number.NaN : part.lastMean * perRate,
        leakSd: leak < 0 ? Number.NaN : part.lastSd * perRate,
        offset: lead > 0 ? part.amplitudes[0] * likelihood.baseColumn[likelihood.rows - 1] : Number.NaN,
      });
    }
  }
  return draws;
}

/** Peak to peak of what the sources leave over in isolation `i`, Pa. */
function swing(
  evidence: RecordEvidence,
  likelihood: JointLikelihood,
  i: number,
  columns: readonly Float64Array[],
  part: { readonly amplitudes: Float64Array },
): number {
  let low = Infinity;
  let high = -Infinity;
  const pa = evidence.isolations[i].pa;
  for (let b = 0; b < pa.length; b++) {
    let left = pa[b];
    for (let c = 0; c < columns.length; c++) left -= columns[c][likelihood.firstRow[i] + b] * part.amplitudes[c];
    low = Math.min(low, left);
    high = Math.max(high, left);
  }
  return high - low;
}
