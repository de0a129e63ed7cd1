import { probabilityText } from '../numerics';
import { formatNumber } from '../units';
import type { CauseOptions } from './cause-options';
import { wholeLoadBound } from './conformity';
import type { RankedCause } from './finding';
import { type GasEvidence, gasSentences } from './gas-evidence';
import type { PumpedShelf } from './pumped-shelves';
import type { Plateau } from './recognise-plateau';
import type { RecordEvidence } from './record-evidence';
import type { Weighing } from './weigh-hypotheses';

/** What else the record shows, besides the models. */
export interface Shown {
  readonly gas: GasEvidence | null;
  readonly plateaus: readonly Plateau[];
  readonly shelves: readonly PumpedShelf[];
}

/**
 * Why the finding is what it is, in sentences.
 * @param evidence the thinned record
 * @param weighing the hypotheses on it
 * @param mainCause the ranked causes
 * @param options what is known besides
 * @param shown gas and plateaus
 */
export function groundsOf(
  evidence: RecordEvidence,
  weighing: Weighing,
  mainCause: readonly RankedCause[],
  options: CauseOptions,
  shown: Shown,
): string[] {
  const sentences: string[] = [];
  const n = evidence.isolations.length;
  sentences.push(
    `${n} isolation${n === 1 ? '' : 's'} and ${evidence.pumped.length} pumped stretch${evidence.pumped.length === 1 ? '' : 'es'} were judged together`,
  );
  const [first, second] = mainCause;
  sentences.push(
    `${first.cause} is the main cause${n > 1 ? ' of the rises of all isolations together' : ''} with a probability of ${probabilityText(first.probability)}, next ${second.cause} with ${probabilityText(second.probability)}`,
  );
  const best = [...weighing.weightOf].sort((a, b) => b[1] - a[1]).slice(0, 3);
  sentences.push(
    `the sets that fit best: ${best.map(([name, weight]) => `${name} (${probabilityText(weight)})`).join(', ')}`,
  );
  if (evidence.significance < NO_RISE) sentences.push(noRise(evidence, options));
  if (shown.gas !== null) sentences.push(...gasSentences(shown.gas));
  sentences.push(...shown.plateaus.map((one) => one.text), ...shown.shelves.map((one) => one.text));
  const leak = mainCause.find((one) => one.cause === 'real leak')?.probability ?? 0;
  if (leak > 0.03) {
    sentences.push(
      'a real leak, permeation and a gas feed that passes look alike in one record: real leak stands for all three, and a feed that passes is not excluded',
    );
  }
  const evaporates = mainCause.find((one) => one.cause === 'evaporation')?.probability ?? 0;
  if (evaporates > 0.2 && neverDry(weighing) > 0.2) {
    sentences.push(
      'a water load that never runs dry may be steam from a cooling circuit that leaks: exclude it by shutting the cooling water off and repeating, before anything is dried',
    );
  }
  for (const atS of evidence.filledAfterS) {
    sentences.push(
      `right after the isolation at ${Math.round(atS)} s the pressure rises faster, which was taken for a fill; if no gas was let in, that is the isolation: correct the segments`,
    );
  }
  if (!evidence.clockKnown)
    sentences.push('the start of pumping is not in the record, so the age of the walls is open');
  if (options.volume === undefined) sentences.push('no volume was given, so there are rates but no loads');
  sentences.push(...evidence.unusable);
  return sentences;
}

/** Isolations that all together move by less than this many standard deviations do not rise. */
const NO_RISE = 4;

/** Where nothing rises: the load that could hide, and whether it would explain the pressure while pumped. */
function noRise(evidence: RecordEvidence, { volume }: CauseOptions): string {
  const perS = wholeLoadBound(evidence);
  const bound = volume ? `${formatNumber(perS * volume.si, 2)} Pa m3/s` : `${formatNumber(perS, 2)} Pa/s`;
  const said = `no isolation rises beyond noise and the room's temperature: no gas load above ${bound}`;
  const { steadyPa, pumping } = evidence;
  if (steadyPa === null || pumping === null || !(steadyPa > 0)) return said;
  const tooLittle = perS / pumping.perS < 0.5 * steadyPa;
  const left = `such a load would make less than half of the ${formatNumber(steadyPa, 2)} Pa while pumped: pump, line or zero set it`;
  return tooLittle ? `${said}; ${left}` : said;
}

/** Probability of a liquid that the record does not see run dry. */
function neverDry(weighing: Weighing): number {
  return weighing.draws.reduce((sum, { hypothesis: { sources }, weight }) => {
    return sum + (sources.includes('vapour') || sources.includes('cooled vapour') ? weight : 0);
  }, 0);
}
