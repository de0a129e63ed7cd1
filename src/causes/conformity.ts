import * as elementary from '../numerics/elementary';
import type { CauseOptions } from './cause-options';
import type { Finding } from './finding';
import { SATURATES } from './hypotheses';
import type { LeakDistribution } from './leak-interval';
import type { RecordEvidence } from './record-evidence';
import type { Weighing } from './weigh-hypotheses';

/** Why nothing is passed where a fill joins an isolation. */
const FILLED =
  'nothing is passed while a stretch that joins an isolation is taken for a fill: confirm or correct these segments';

/**
 * Conformity of the real leak with a limit: `yes` where the leak, with everything that looks like one, is below it at
 * the stated risk, or where the whole load is; `no` where it is above it at the same risk; else `inconclusive`.
 * @param weighing the hypotheses on this record
 * @param evidence the thinned record
 * @param leak posterior of the leak, a load where a volume is known, else a rate
 * @param options limit, risk, volume
 * @param relative relative standard uncertainty of volume and gauge scale together
 * @param byGas whether two gauges of unlike principle show which gas it is
 * @returns the decision and its rule; nulls without a limit
 */
export function judgeConformity(
  weighing: Weighing,
  evidence: RecordEvidence,
  leak: LeakDistribution,
  options: CauseOptions,
  relative: number,
  byGas = false,
): Pick<Finding, 'conforms' | 'rule'> {
  const { limit, volume } = options;
  if (limit === undefined) return { conforms: null, rule: null };
  const risk = options.risk ?? 0.05;
  const perUnit = limit.dimension === 'pressure rate' && volume ? volume.si : 1;
  if (limit.dimension === 'throughput' && volume === undefined) {
    return { conforms: 'inconclusive', rule: 'a limit as a throughput needs the volume' };
  }
  const bar = limit.si * perUnit;
  const rule =
    `yes where a leak above the limit has a probability of at most ${percentOf(risk / 2)}, or where the whole load is ` +
    `below the limit; no where it has at least ${percentOf(1 - risk)}; what looks like a leak counts as one (after JCGM 106)`;
  const above = 1 - leak.atMost(bar);
  if (evidence.filledAfterS.length > 0) return { conforms: 'inconclusive', rule: `${rule}; ${FILLED}` };
  const whole = wholeLoadBound(evidence) * (volume?.si ?? 1) * (1 + 2 * relative);
  if (whole < bar && above < 0.2 && drainedShare(weighing) < 0.02) return { conforms: 'yes', rule };
  if (leak.present === 0) return { conforms: 'inconclusive', rule };
  const atClosing = closingLoadBound(evidence) * (volume?.si ?? 1) * (1 + 2 * relative);
  const levels = levellingShare(weighing) >= 0.5 || evidence.isolations.every(reachesPlateau);
  if (atClosing >= bar && !byGas && levels) {
    return { conforms: leak.present * above >= 1 - risk ? 'no' : 'inconclusive', rule: `${rule}; ${LEVELS}` };
  }
  if (above <= risk / 2) return { conforms: 'yes', rule };
  const surelyAbove = leak.present * above;
  return { conforms: surelyAbove >= 1 - risk ? 'no' : 'inconclusive', rule };
}

/** Why nothing is passed where the rise levels off by itself. */
const LEVELS =
  'nothing is passed where a vapour, a seat or a sink ends the rise and the load at closing is above the limit: a leak beside a ' +
  'seat ends at a pressure of its own as well; two gauges of unlike principle would tell';

/** Probability that the rise ends at a pressure of its own. */
function levellingShare(weighing: Weighing): number {
  return weighing.draws.reduce((sum, { hypothesis, riseAll, weight }) => {
    const whole = riseAll.reduce((all, rise) => all + Math.abs(rise), 0);
    const levels = hypothesis.sources.some((source, c) => SATURATES.has(source) && Math.abs(riseAll[c]) >= 0.5 * whole);
    return sum + (hypothesis.drain !== null || hypothesis.sources.includes('sink') || levels ? weight : 0);
  }, 0);
}

/** Whether a rise comes to rest: its last quarter is next to nothing beside what its first readings promised. */
function reachesPlateau(one: RecordEvidence['isolations'][number]): boolean {
  const { pa, timeS, closePa, sd } = one;
  const n = pa.length;
  const from = Math.floor((3 * n) / 4);
  const last = (pa[n - 1] - pa[from]) / (timeS[n - 1] - timeS[from]);
  return pa[n - 1] - closePa > 20 * sd[n - 1] && last < 0.03 * initialRate(one);
}

/**
 * Upper bound of the load at closing, Pa/s: the slowest first rise of all isolations, from the moment of closing on.
 * @param evidence the thinned record
 * @returns the bound, >= 0; infinite without an isolation
 */
export function closingLoadBound(evidence: RecordEvidence): number {
  return evidence.isolations.reduce(
    (least, one) => Math.min(least, Math.max(rateAtClosing(one), rateSinceClosing(one), 0)),
    Infinity,
  );
}

/** Probability that gas leaves the isolated volume again, so that a small rise does not bound the load. */
function drainedShare(weighing: Weighing): number {
  return weighing.draws.reduce(
    (sum, one) => sum + (one.hypothesis.drain !== null || one.hypothesis.sources.includes('sink') ? one.weight : 0),
    0,
  );
}

/**
 * Upper bound of the whole load of the quietest part of the record, Pa/s: no leak can be larger than the smallest
 * rate of rise, unless gas leaves at the same time.
 * @param evidence the thinned record
 */
export function wholeLoadBound(evidence: RecordEvidence): number {
  let least = Infinity;
  for (const one of evidence.isolations) {
    const n = one.pa.length;
    const rise = one.pa[n - 1] - one.pa[0];
    const span = one.timeS[n - 1] - one.timeS[0];
    if (!(span > 0)) continue;
    const saturates = rise > 0 && initialRate(one) > 1.5 * (rise / span);
    // What comes to rest rose fastest before the first block: as of a large leak beside a seat.
    const atOnce = saturates || one.pa[0] - one.closePa > Math.max(rise, 10 * one.sd[0]);
    const rate = Math.max(saturates ? rateAtClosing(one) : rise / span, atOnce ? rateSinceClosing(one) : 0);
    const sd = Math.hypot(one.sd[0], one.sd[n - 1]) / span;
    least = Math.min(least, Math.max(rate, 0) + 3 * sd);
  }
  return least;
}

/** Mean rate of rise from the closing to the first block, Pa/s; 0 where that is at the closing. */
function rateSinceClosing({ pa, timeS, closePa, closeS }: RecordEvidence['isolations'][number]): number {
  return timeS[0] > closeS ? (pa[0] - closePa) / Math.max(timeS[0] - closeS, 1e-9) : 0;
}

/** A rate is followed back to the closing by at most this factor. */
const MOST_BACK = 5;

/** The rate of rise at the moment of closing where it dies away: its fall from the first to the second quarter, followed back. */
function rateAtClosing(one: RecordEvidence['isolations'][number]): number {
  const { pa, timeS, closeS } = one;
  const b = Math.max(1, Math.floor(pa.length / 4));
  const c = Math.min(pa.length - 1, 2 * b);
  const early = initialRate(one);
  const later = c > b ? (pa[c] - pa[b]) / (timeS[c] - timeS[b]) : early;
  if (!(early > later && early > 0)) return early;
  const middle = (timeS[0] + timeS[b]) / 2;
  const decline = elementary.log(early / Math.max(later, 1e-3 * early)) / ((timeS[b] + timeS[c]) / 2 - middle);
  return early * Math.min(MOST_BACK, elementary.exp(Math.min(5, decline * (middle - closeS))));
}

function initialRate(one: { timeS: Float64Array; pa: Float64Array }): number {
  const b = Math.max(1, Math.floor(one.pa.length / 4));
  return (one.pa[b] - one.pa[0]) / (one.timeS[b] - one.timeS[0]);
}

function percentOf(part: number): string {
  return `${Number((100 * part).toPrecision(3))} %`;
}
