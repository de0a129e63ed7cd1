import {
  answersToRemarks,
  type CauseOptions,
  type Finding,
  findCauses,
  type RemarkAnswer,
  type SecondGauge,
} from '../causes';
import { checkCauseOptions } from '../causes/cause-options';
import { ArgumentError, QuestionError } from '../errors';
import { type FitOptions, fitRecord, type RecordFits } from '../fits';
import { goodRows } from '../fits/rise-readings';
import { gasNamed } from '../gases';
import { type Channel, type GaugeLog, requireAnswers } from '../log';
import { contentMark } from '../log/content-mark';
import { rememberingAbout } from '../numerics';
import { type Correction, chooseChannel, findSegments, type SegmentedLog } from '../segments';
import type { Quantity } from '../units/quantity';

/** What is known besides the log; everything may be left out. */
export interface AnalyseOptions extends FitOptions {
  /** Name of the pressure channel to follow (or a part of it that fits one only); the best of gauges that agree where absent. */
  readonly channel?: string;
  /** The pressure that the system ought to reach. */
  readonly target?: Quantity;
  /** Another gauge on the same chamber; asked of the columns' names where absent. */
  readonly secondGauge?: SecondGauge;
  /** The gas that was sprayed, where remarks tell of a search with tracer. */
  readonly tracer?: string;
  /** Where the gauge sits when the valve is shut. */
  readonly gaugeSide?: 'chamber' | 'pump';
  /** A person's corrections of segments, each with its reason. */
  readonly corrections?: readonly Correction[];
}

/** One pressure channel followed through the record. */
export interface FollowedChannel {
  readonly channel: string;
  readonly segmented: SegmentedLog;
  readonly fits: RecordFits;
}

/** A log with everything that was found in it. */
export interface Analysis {
  readonly log: GaugeLog;
  readonly options: AnalyseOptions;
  /** What happened, by the channel followed. */
  readonly segmented: SegmentedLog;
  readonly fits: RecordFits;
  /** The causes, weighed when first asked for: it takes longer than all before it, and who reads a rate need not wait. */
  readonly finding: Finding;
  /** Whether the reading answered to what was done, by the channel followed; empty for a log without remarks. */
  readonly answers: readonly RemarkAnswer[];
  /** The other pressure channels, where none was named to follow. */
  readonly others: readonly FollowedChannel[];
}

/** More pressure channels than this are not all followed. */
const MOST_CHANNELS = 6;

/**
 * The whole way from a log to a finding: segments, fits, causes.
 * @param log a log that has been read
 * @param options what is known besides
 * @returns log, segments, fits and finding
 * @throws QuestionError where something must be answered first: a unit, a channel, a volume for a limit
 * @throws ArgumentError where an option cannot be used
 */
export function analyse(log: GaugeLog, options: AnalyseOptions = {}): Analysis {
  checkValues(options);
  requireAnswers(log, options.channel);
  requireVolumeForLimit(options);
  requireKnownNames(log, options);
  const { channel, notes } = chooseChannel(log, options.channel);
  const main = follow(log, channel.name, options, notes);
  const others =
    options.channel === undefined ? otherGauges(log, channel).map((c) => follow(log, c.name, options)) : [];
  return found(log, main, options, others);
}

/**
 * The second half of {@link analyse}: from what happened in a log to the finding. For when a volume or a limit changes
 * and the segments need not be found again.
 * @param log a log that has been read
 * @param segmented what happened in it
 * @param options what is known besides; what concerns the segments is not looked at
 * @returns the analysis, without other channels
 * @throws QuestionError where a limit needs a volume; ArgumentError where an option cannot be used
 */
export function analyseSegmented(log: GaugeLog, segmented: SegmentedLog, options: AnalyseOptions = {}): Analysis {
  checkValues(options);
  requireVolumeForLimit(options);
  return found(log, { segmented, fits: fitRecord(log, segmented, options) }, options, []);
}

function found(
  log: GaugeLog,
  { segmented, fits }: Pick<FollowedChannel, 'segmented' | 'fits'>,
  options: AnalyseOptions,
  others: readonly FollowedChannel[],
): Analysis {
  let finding: Finding | undefined;
  return {
    log,
    options,
    segmented,
    fits,
    get finding() {
      finding ??= judged(findCauses(log, segmented, fits, causeOptions(options, fits)), options, fits);
      return finding;
    },
    answers: answersOf(log, segmented, options),
    others,
  };
}

function judged(finding: Finding, options: AnalyseOptions, fits: RecordFits): Finding {
  return withNothingJudged(withRateLimit(finding, options, fits), options, fits);
}

/** More remarks than this are a column of states, not of things done. */
const MOST_REMARKS = 200;

function answersOf(log: GaugeLog, segmented: SegmentedLog, { gauge, tracer }: AnalyseOptions): RemarkAnswer[] {
  if (log.remarks.length === 0 || log.remarks.length > MOST_REMARKS) return [];
  return answersToRemarks(log, { channel: segmented.channel, segments: segmented.segments, gauge, tracer });
}

/** What could not be used later is said before any work. */
function checkValues({ volume, target, risk, gaugeScale }: AnalyseOptions): void {
  checkCauseOptions({ volume, target, risk, gaugeScale });
}

function requireVolumeForLimit(options: AnalyseOptions): void {
  if (options.limit?.kind !== 'throughput' || options.volume !== undefined || options.fill !== undefined) return;
  throw new QuestionError([
    {
      about: 'volume',
      text: `the limit "${options.limit.text}" is a throughput: what is the volume that was isolated?`,
      choices: [],
      answer: '--volume, such as --volume "12.4 L +- 5 %"',
    },
  ]);
}

/** A name that is not known would leave out what depends on it. */
function requireKnownNames(log: GaugeLog, { gas, secondGauge, temperatureChannel }: AnalyseOptions): void {
  if (gas !== undefined) gasNamed(gas);
  if (secondGauge !== undefined) chooseChannel(log, secondGauge.channel);
  if (temperatureChannel === undefined) return;
  const warm = log.channels.filter(({ quantity }) => quantity === 'temperature').map(({ name }) => name);
  if (warm.includes(temperatureChannel)) return;
  const expected = warm.length > 0 ? `one of ${warm.join(', ')}` : 'none: the log holds no temperature';
  throw new ArgumentError('temperature', temperatureChannel, expected);
}

/** The other gauges of a log where none was named: with two good readings, and no set points. */
function otherGauges(log: GaugeLog, main: Channel): Channel[] {
  const usable = log.channels.filter(
    (c) =>
      c !== main &&
      c.quantity === 'pressure' &&
      !/set.?po?int/i.test(c.name) &&
      goodRows(c, 0, log.rows - 1).length > 2,
  );
  return usable.slice(0, MOST_CHANNELS - 1);
}

/** Volume, limit and target are moved; the segments need none of them. */
const segmentsOf = rememberingAbout(findSegments, contentMark, MOST_CHANNELS);

function follow(
  log: GaugeLog,
  channel: string,
  options: AnalyseOptions,
  notes: readonly string[] = [],
): FollowedChannel {
  const { gaugeSide, gauge, corrections, setPointsPa } = options;
  const wanted = setPointsPa !== undefined && setPointsPa.length > 0 ? { setPointsPa } : {};
  const segmented = segmentsOf(log, { channel, gaugeSide, gauge, corrections, ...wanted });
  const noted = { ...segmented, notes: [...new Set([...notes, ...segmented.notes])] };
  return { channel, segmented: noted, fits: fitRecord(log, noted, options) };
}

/** What the causes need of the options; the volume may come from a fill. */
function causeOptions(options: AnalyseOptions, fits: RecordFits): CauseOptions {
  const { gauge, secondGauge, gas, target, risk, gaugeScale, limit } = options;
  const volume = options.volume ?? volumeFound(fits);
  return {
    gauge,
    secondGauge,
    gas,
    target,
    risk,
    gaugeScale,
    volume,
    limit: volume && limit ? limitQuantity(limit) : undefined,
  };
}

function volumeFound({ volume }: RecordFits): Quantity | undefined {
  if (volume === null) return undefined;
  return {
    dimension: 'volume',
    si: volume.volume.value,
    standardUncertainty: volume.standardUncertainty,
    unit: 'L',
    uncertaintyRead: 'k=1',
    assumptions: volume.assumptions,
  };
}

function limitQuantity(limit: NonNullable<AnalyseOptions['limit']>): Quantity | undefined {
  // A limit of the rate of rise is about the whole rise, not about the leak in it: it is judged by the fits.
  if (limit.kind !== 'throughput') return undefined;
  return {
    dimension: 'throughput',
    si: limit.value,
    standardUncertainty: 0,
    unit: limit.unit,
    uncertaintyRead: 'none',
    assumptions: limit.assumptions,
  };
}

/** A limit of the rate of rise decides conformity by the rise itself. */
function withRateLimit(finding: Finding, options: AnalyseOptions, fits: RecordFits): Finding {
  if (options.limit?.kind !== 'rate of rise' || fits.conformity === null) return finding;
  return { ...finding, conforms: fits.conformity.conforms, rule: fits.conformity.rule };
}

/** Where the dwell or window that was asked for leaves nothing to judge, nothing is passed or rejected. */
function withNothingJudged(finding: Finding, { dwellS, windowS }: AnalyseOptions, fits: RecordFits): Finding {
  const asked = dwellS !== undefined || windowS !== undefined;
  if (!asked || fits.isolations.length > 0 || finding.conforms === null) return finding;
  return { ...finding, conforms: 'inconclusive', rule: 'no isolation is as long as the dwell and window asked for' };
}
