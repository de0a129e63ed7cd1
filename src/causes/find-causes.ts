import type { RecordFits } from '../fits/results';
import type { GaugeLog } from '../log/gauge-log';
import type { Estimate } from '../numerics';
import type { SegmentedLog } from '../segments/segment';
import { type CauseOptions, checkCauseOptions, type GaugeKind } from './cause-options';
import { judgeConformity } from './conformity';
import type { Finding } from './finding';
import { groundsOf } from './grounds';
import { leakDistribution, leakInterval } from './leak-interval';
import { mainCauseWeights, rankCauses } from './main-cause';
import { presentCauses } from './present-causes';
import { type RecordEvidence, recordEvidence } from './record-evidence';
import { weighHypotheses } from './weigh-hypotheses';
import { findingWithoutIsolation } from './without-isolation';

/** Fitted on the training half of the bench (`npm run bench:causes`), see docs/verdicts.md. */
const CALIBRATION = { temper: 0.8, floor: 0.03 };
/** A verdict needs this probability. */
const COMMIT = 0.8;

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
  const evidence = recordEvidence(log, segmented, fits);
  if (evidence.isolations.length === 0) return findingWithoutIsolation(evidence, options);
  const thermal = options.gauge === 'thermal' || options.gauge === 'combined' || options.gauge === undefined;
  const weighing = weighHypotheses(evidence, thermal && options.gas === undefined);
  const wanted = { targetPa: options.target?.si ?? null, gauge: options.gauge ?? null };
  const mainCause = rankCauses(
    mainCauseWeights(weighing.draws, evidence, wanted),
    CALIBRATION.temper,
    CALIBRATION.floor,
  );
  const verdict = mainCause[0].probability >= COMMIT ? mainCause[0].cause : 'undetermined';
  const scale = options.gaugeScale ?? gaugeScale(options.gauge, evidence);
  const { volume } = options;
  const volumeRelative = volume ? volume.standardUncertainty / volume.si : 0;
  const leak = leakDistribution(weighing.draws, volume?.si ?? 1, Math.hypot(scale, volumeRelative));
  const realLeak: Estimate | null = volume ? leakInterval(leak) : null;
  const { conforms, rule } = judgeConformity(weighing, evidence, leak, options, Math.hypot(scale, volumeRelative));
  return {
    verdict,
    mainCause,
    present: presentCauses(weighing, evidence, options),
    realLeak,
    conforms,
    rule,
    grounds: groundsOf(evidence, weighing, mainCause, options),
    nextTest: null,
    otherTests: [],
    cautions: [],
  };
}

/** Relative standard uncertainty of a gauge's scale for air, by its principle (common practice). */
function gaugeScale(gauge: GaugeKind | undefined, evidence: RecordEvidence): number {
  const p = evidence.isolations[0]?.closePa ?? 1;
  if (gauge === 'capacitance') return 0.005;
  if (gauge === 'piezo') return 0.01;
  if (gauge === 'hot-cathode') return 0.12;
  if (gauge === 'cold-cathode') return 0.25;
  if (gauge === 'thermal') return p > 1000 ? 0.25 : 0.12;
  return 0.12;
}
