import { gaugeScale, type RecordFits } from '../fits';
import { contentMark } from '../log/content-mark';
import type { GaugeLog } from '../log/gauge-log';
import { type Estimate, remembering, rememberingAbout } from '../numerics';
import type { SegmentedLog } from '../segments/segment';
import { type CauseOptions, checkCauseOptions } from './cause-options';
import { cautionsFor } from './cautions';
import { closingLoadBound, judgeConformity } from './conformity';
import type { Finding } from './finding';
import { disagreementSpread, gasEvidence, withZeroDisagreement } from './gas-evidence';
import { groundsOf } from './grounds';
import { leakDistribution, leakInterval } from './leak-interval';
import { agedWalls, mainCauseWeights, rankCauses } from './main-cause';
import { nextTests } from './next-test';
import { presentCauses } from './present-causes';
import { recogniseShelves } from './pumped-shelves';
import { recognisePlateaus } from './recognise-plateau';
import { type EvidenceFits, recordEvidence } from './record-evidence';
import { subCausesOf } from './sub-causes';
import { wallsAgainstLeak, weighByGas } from './weigh-by-gas';
import { weighHypotheses } from './weigh-hypotheses';
import { whatToDo } from './what-to-do';
import { findingWithoutIsolation } from './without-isolation';

/** Fitted on the training half of the bench (`npm run bench:causes`), see docs/verdicts.md. */
const CALIBRATION = { temper: 0.9, floor: 0.035 };
/** A single isolation shows a shape only: the models are less sure of it than they say. */
const CALIBRATION_OF_ONE = { temper: 0.85, floor: 0.06 };
/** Relative standard uncertainty of a leak from what no model has in it (training half of the bench). */
const MODEL_RELATIVE = 0.025;
/** A verdict needs this probability. */
const COMMIT = 0.8;

/*
 * What takes long does not know the volume or the limit, which are what is moved: it is remembered. Results that a move of
 * the target or the gauge and back again asks for are kept as well, hence a few of each.
 */
const evidenceOf = rememberingAbout(recordEvidence, contentMark, 2);
const weigh = remembering(weighHypotheses, 4);
const weighAlsoByGas = remembering(weighByGas, 4);
const mainWeights = remembering(mainCauseWeights, 4);
const testsFor = remembering(nextTests, 4);

/**
 * What a record supports: which causes are there and how large, the main one, the real leak with its interval,
 * conformity with a limit. All isolations and the pumping between them are judged together.
 * @param log the log that was read
 * @param segmented what happened in it
 * @param fits its rates of rise and pump-downs
 * @param options what is known besides
 * @returns the finding
 * @throws ArgumentError where an option cannot be used
 */
export function findCauses(
  log: GaugeLog,
  segmented: SegmentedLog,
  fits: RecordFits,
  options: CauseOptions = {},
): Finding {
  checkCauseOptions(options);
  const thinned = evidenceOf(log, segmented, usedOf(fits));
  const gas = gasEvidence(log, thinned, options);
  if (thinned.isolations.length === 0)
    return findingWithoutIsolation(
      thinned,
      options,
      gas,
      recogniseShelves(log, segmented, gas?.thermal === thinned.channel),
      segmented.segments,
    );
  const thermal = options.gauge === 'thermal' || options.gauge === 'combined' || options.gauge === undefined;
  const evidence = gas === null ? thinned : { ...thinned, wallsAgainstLeak: wallsAgainstLeak(gas) };
  const followsThermal = gas?.thermal === evidence.channel;
  const weighed = weigh(evidence, thermal && options.gas === undefined);
  const weighing = gas === null ? weighed : weighAlsoByGas(weighed, gas, followsThermal, agedWalls(thinned));
  const wanted = { targetPa: options.target?.si ?? null, gauge: options.gauge ?? null };
  const calibration = evidence.isolations.length > 1 ? CALIBRATION : CALIBRATION_OF_ONE;
  const mainCause = rankCauses(
    withZeroDisagreement(mainWeights(weighing.draws, evidence, wanted), evidence, gas),
    calibration.temper,
    calibration.floor,
  );
  const verdict = mainCause[0].probability >= COMMIT ? mainCause[0].cause : 'undetermined';
  const scale = Math.hypot(gaugeScale(options.gauge, 'air', options.gaugeScale).scale, disagreementSpread(gas));
  const { volume } = options;
  const volumeRelative = volume ? volume.standardUncertainty / volume.si : 0;
  const relative = Math.hypot(scale, volumeRelative, MODEL_RELATIVE);
  const leak = leakDistribution(weighing.draws, volume?.si ?? 1, relative);
  const realLeak: Estimate | null = volume
    ? leakInterval(leak, closingLoadBound(evidence) * volume.si * (1 + 2 * relative))
    : null;
  const seenByTwo = gas !== null && gas.rises.length > 0;
  const { conforms, rule } = judgeConformity(weighing, evidence, leak, options, relative, seenByTwo);
  const readsByHeat = followsThermal || options.gauge === 'thermal';
  const plateaus = recognisePlateaus(evidence, readsByHeat);
  const shelves = recogniseShelves(log, segmented, readsByHeat);
  const tests =
    verdict === 'undetermined' || conforms === 'inconclusive'
      ? testsFor(weighing.draws, evidence, wanted, leak.present < 0.01, seenByTwo)
      : [];
  return {
    verdict,
    isolationsJudged: evidence.isolations.length,
    mainCause,
    present: presentCauses(weighing, evidence, options),
    realLeak,
    subCauses: subCausesOf(mainCause, { evidence, weighing, gas, plateaus, shelves }),
    conforms,
    rule,
    grounds: groundsOf(evidence, weighing, mainCause, options, { gas, plateaus, shelves }),
    nextTest: tests[0] ?? null,
    otherTests: tests.slice(1),
    whatToDo: whatToDo(verdict, conforms),
    cautions: cautionsFor(mainCause, leak.present, verdict),
  };
}

/** Of the fits only what the evidence uses: nothing in it changes with the volume. */
function usedOf({ isolations, pumpDowns }: RecordFits): EvidenceFits {
  return {
    isolations: isolations.map(({ segment, windowS }) => ({ segment, windowS })),
    pumpDowns: pumpDowns.map(({ ratePerS, rateOver }) => ({ ratePerS, rateOver })),
  };
}
