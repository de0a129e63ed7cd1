import type { GaugePrinciple } from '../fits';
import * as elementary from '../numerics/elementary';
import { CAUSES, type Cause, type RankedCause } from './finding';
import { CAUSE_OF } from './hypotheses';
import type { RecordEvidence } from './record-evidence';
import type { Draw } from './weigh-hypotheses';

/** What decides whether the pressure itself is too high. */
export interface PressureWanted {
  /** The pressure that the system ought to reach, Pa, or null. */
  readonly targetPa: number | null;
  readonly gauge: GaugePrinciple | null;
}

/** Probability of each cause to be the main one, before calibration. */
export type CauseWeights = Record<Cause, number>;

/** An empty table of weights. */
export function noWeights(): CauseWeights {
  return Object.fromEntries(CAUSES.map((cause) => [cause, 0])) as CauseWeights;
}

/**
 * Adds up, over all draws, which cause is the main one: the largest share of the rise; where the load found does not
 * explain a pressure that is too high, what sets that pressure.
 * @param draws of the weighing
 * @param evidence the thinned record
 * @param wanted target and gauge
 * @returns probabilities that sum to 1
 */
export function mainCauseWeights(
  draws: readonly Draw[],
  evidence: RecordEvidence,
  wanted: PressureWanted,
): CauseWeights {
  const weights = noWeights();
  for (const draw of draws) {
    for (const [cause, share] of causesOfDraw(draw, evidence, wanted)) weights[cause] += draw.weight * share;
  }
  return weights;
}

/**
 * The main causes of one draw with their shares.
 * @param draw one way in which the record may have come about
 * @param evidence the thinned record
 * @param wanted target and gauge
 * @returns causes with shares that sum to 1
 */
export function causesOfDraw(draw: Draw, evidence: RecordEvidence, wanted: PressureWanted): [Cause, number][] {
  const limited = limitedByPump(draw, evidence, wanted);
  const found = causesOfRise(draw, evidence).map(([cause, share]): [Cause, number] => [cause, share * (1 - limited)]);
  if (limited > 0) {
    const zero = zeroErrorShare(evidence, wanted.gauge);
    found.push(['pump side', limited * (1 - zero)], ['measurement', limited * zero]);
  }
  return found;
}

/** How much the last isolation counts beside all of them together: a cause that has run out still made the rise. */
const LAST_PART = 0.15;

/** The cause of the rise in one draw: by all isolations together, and a little by the last. */
function causesOfRise(draw: Draw, evidence: RecordEvidence): [Cause, number][] {
  const { hypothesis } = draw;
  const quiet: Cause = evidence.negativeShare > 0.03 ? 'measurement' : 'none';
  if (hypothesis.sources.length === 0 && !hypothesis.warm) return [[quiet, 1]];
  const still = Math.min(
    smoothStep((9 - evidence.significance) / 5),
    hypothesis.warm ? stillInWarmth(draw, evidence) : 1,
  );
  if (hypothesis.drain === 'seat' && draw.shapes.drainPerS * evidence.longestS > 1) {
    return [
      ['passing valve', 1 - still],
      [quiet, still],
    ];
  }
  const { cause: last } = largest(draw, draw.riseLast, draw.warmLast);
  const { cause: all, share: ofAll } = largest(draw, draw.riseAll, draw.warmAll);
  // The nearer all isolations are to a single cause, the less the last one counts beside them.
  const lastPart = LAST_PART * Math.min(1, 2 * (1 - ofAll));
  const aged = agedWalls(evidence);
  const found: [Cause, number][] = [[quiet, still]];
  for (const [cause, part] of [
    [last, lastPart],
    [all, 1 - lastPart],
  ] as const) {
    const share = part * (1 - still);
    if (cause === 'real leak') found.push([cause, share * (1 - aged)], ['outgassing', share * aged]);
    else found.push([cause, share]);
  }
  return found;
}

/** How surely a swing that the room might have made is no more than noise. */
function stillInWarmth(draw: Draw, evidence: RecordEvidence): number {
  const { sd } = evidence.isolations[evidence.isolations.length - 1];
  const usual = sd[sd.length >> 1];
  return smoothStep((9 - draw.warmLast / Math.max(usual, 1e-300)) / 4);
}

/**
 * A single straight rise may also be walls so old or so baked that their load has become constant.
 * @param evidence the thinned record
 * @returns the part of a leak's probability that belongs to such walls, 0 to 1
 */
export function agedWalls(evidence: RecordEvidence): number {
  if (evidence.isolations.length > 1) return 0;
  const odds = (evidence.clockKnown ? 0.08 / 0.92 : 0.25 / 0.75) * evidence.wallsAgainstLeak;
  return odds / (1 + odds);
}

function largest(draw: Draw, rises: Float64Array, warm: number): { cause: Cause; share: number } {
  let cause: Cause = 'temperature';
  let most = warm;
  let whole = warm;
  draw.hypothesis.sources.forEach((source, c) => {
    whole += Math.abs(rises[c]);
    if (Math.abs(rises[c]) > most) {
      most = Math.abs(rises[c]);
      cause = CAUSE_OF[source];
    }
  });
  return { cause, share: whole > 0 ? most / whole : 0 };
}

/** How surely the pump (or the gauge's zero), not the load, sets the pressure, and that matters: 0 to 1. */
function limitedByPump(draw: Draw, evidence: RecordEvidence, wanted: PressureWanted): number {
  const steady = evidence.steadyPa;
  if (steady === null || evidence.heldByFlow) return 0;
  const made = draw.riseLast.reduce((sum, r) => sum + Math.abs(r), draw.warmLast);
  if (steady <= 0) {
    const sure = smoothStep((-steady / Math.max(evidence.steadySd, 1e-300) - 4) / 4);
    // A zero that is off makes no rise: where the rise is larger, what makes it is the cause.
    return sure * smoothStep((-steady / Math.max(made, 1e-12) - 0.3) / 0.7);
  }
  const flat = draw.hypothesis.sources.length === 0 || (!draw.hypothesis.warm && evidence.significance < 3.5);
  const load = draw.closing.reduce((sum, q) => sum + q, 0);
  const explained = flat ? 0 : load / draw.shapes.speedPerS;
  const speedKnown = evidence.pumping !== null && evidence.pumping.relative < 0.8;
  const known = speedKnown || evidence.pumped.length > 1;
  if (!flat && !known) return 0;
  const part = explained / steady;
  const unexplained = flat ? 1 : smoothStep((0.45 - part) / 0.3);
  if (wanted.targetPa !== null) {
    const above = smoothStep((steady / wanted.targetPa - 1.05) / 0.3);
    const loadAlone = smoothStep((explained / wanted.targetPa - 0.5) / 0.5);
    return unexplained * above * (1 - loadAlone);
  }
  if (flat) return steady > 20 ? 0.6 : steady > 2 ? 0.25 : 0.1;
  const small = smoothStep((0.6 - made / steady) / 0.5);
  return unexplained * (0.02 + 0.1 * small);
}

/** The zero of a diaphragm moves by a part of this size of its range after years and ventings (common practice, no source). */
const ZERO_PART = 0.03;

/** How likely it is that a pressure which no load explains is the zero of the gauge, not the pump: 0 to 1. */
function zeroErrorShare(evidence: RecordEvidence, gauge: GaugePrinciple | null): number {
  const steady = evidence.steadyPa ?? 0;
  if (steady < 0) return 1;
  if (evidence.negativeShare > 0.02) return 0.95;
  if (gauge === 'capacitance' || gauge === 'piezo') {
    return steady < ZERO_PART * evidence.highestPa && stands(evidence) ? 0.35 : 0.1;
  }
  if (gauge === 'thermal') return steady < 0.5 ? 0.3 : 0.1;
  return gauge === null ? 0.1 : 0.05;
}

/** Whether all pumped stretches end at the same pressure, as at a zero that is off; a pump that clears moves. */
function stands({ pumped, steadyPa }: RecordEvidence): boolean {
  const ends = pumped.map(({ pa }) => pa[pa.length - 1]);
  return Math.max(...ends) - Math.min(...ends) < 0.1 * (steadyPa ?? 0);
}

function smoothStep(x: number): number {
  return Math.min(1, Math.max(0, x));
}

/**
 * Calibrated and sorted probabilities: the models' word is tempered, and a remainder is kept for what they do not know.
 * @param weights as they come from the draws
 * @param temper power, 0 to 1
 * @param floor probability kept aside for the causes that could act here
 * @returns all causes, largest first, sums to 1
 */
export function rankCauses(weights: CauseWeights, temper: number, floor: number): RankedCause[] {
  const powered = CAUSES.map((cause) => elementary.power(Math.max(0, weights[cause]), temper));
  const sum = powered.reduce((s, w) => s + w, 0);
  const aside = CAUSES.map((cause) => (cause === 'permeation' || cause === 'none' ? 0.3 : 1));
  const asideSum = aside.reduce((s, w) => s + w, 0);
  return CAUSES.map((cause, i) => ({
    cause,
    probability: (1 - floor) * (powered[i] / sum) + (floor * aside[i]) / asideSum,
  })).sort((a, b) => b.probability - a.probability);
}
