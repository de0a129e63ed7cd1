import { ArgumentError, isBlankoffError } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import type { Segment, SegmentedLog } from '../segments/segment';
import { ROOM_TEMPERATURE, shownUnit, ZERO_CELSIUS } from '../units';
import { fromSI, molarFlow, toSI } from '../units/convert';
import { formatNumber } from '../units/format-quantity';
import { judge } from './conformity';
import type { FitOptions, KnownFill } from './fit-options';
import type { Limit } from './limit';
import { balanceLoad } from './load-balance';
import { fitPumpDown } from './pump-down';
import { type RateOfRiseDetail, rateOfRiseDetail } from './rate-of-rise';
import type { Conformity, LoadBalance, PumpDown, RateOfRise, RecordFits, VolumeResult } from './results';
import { channelNamed } from './rise-readings';
import { flowZero, givenVolume, type KnownFlow, volumeFromFill } from './volume';

/** Shorter pump-downs than this many readings say nothing. */
const FEWEST_ROWS = 4;

/**
 * Fits a whole record: the rate of rise of every isolation, every pump-down, the volume where a fill at a known flow is
 * named, the load balance and the conformity of the isolation that is judged.
 * @param log the log
 * @param segmented what happened in it
 * @param options what is known besides
 * @returns the fits; what could not be fitted is named in the notes, with the reason
 * @throws ArgumentError for a useless volume, limit, gas or gauge; QuantityError where one is of another kind
 */
export function fitRecord(log: GaugeLog, segmented: SegmentedLog, options: FitOptions = {}): RecordFits {
  const notes: string[] = [];
  const volume = volumeOf(log, segmented, options, notes);
  const known: FitOptions = volume === null ? options : { ...options, volume: volumeQuantity(volume, options) };
  const isolations = collect(segmented.segments.filter(isIsolation), notes, (segment) =>
    rateOfRiseDetail(log, segment, segmented.channel, known, segmented.events),
  );
  const pumpDowns = collect(segmented.segments.filter(isPumpDown), notes, (segment) =>
    fitPumpDown(log, segment, segmented.channel, known, steadyAfter(segmented.segments, segment)),
  );
  const rises = isolations.map((detail) => detail.result);
  const judged = judgedIsolation(rises);
  // A pressure that flowing gas holds is set by that gas, not by load and pump.
  const held = (rise: RateOfRise): boolean =>
    segmented.segments[segmented.segments.indexOf(rise.segment) - 1]?.kind === 'regulated';
  const free = rises.filter((rise) => !held(rise));
  const unit = shownUnit(channelNamed(log, segmented.channel).unit || 'Pa').label;
  return {
    isolations: rises,
    pumpDowns,
    loadBalance: balanceOf(log, free, pumpDowns, unit),
    conformity:
      options.limit === undefined ? null : conformityOf(log, segmented, isolations, judged, known, options.limit, unit),
    volume,
    notes,
  };
}

const isIsolation = (s: Segment): boolean => s.kind === 'isolation' && !s.pumpSide;
const isPumpDown = (s: Segment): boolean => s.kind === 'pump-down' && s.to - s.from + 1 >= FEWEST_ROWS;

/** Results of what can be fitted; the rest is named. */
function collect<T>(segments: readonly Segment[], notes: string[], measure: (segment: Segment) => T): T[] {
  const results: T[] = [];
  for (const segment of segments) {
    try {
      results.push(measure(segment));
    } catch (error) {
      if (!isBlankoffError(error, 'argument')) throw error;
      notes.push(`${segment.kind} from ${segment.startS.toFixed(0)} s was not fitted: ${error.message}`);
    }
  }
  return results;
}

function steadyAfter(segments: readonly Segment[], segment: Segment): Segment | undefined {
  const next = segments[segments.indexOf(segment) + 1];
  return next?.kind === 'steady' && next.from <= segment.to + 3 ? next : undefined;
}

/**
 * The isolation that stands for the record: the longest one; of those within a tenth of its length, the last.
 * @param isolations rates of rise of a record
 * @returns its index, or -1 where there is none
 */
export function judgedIsolation(isolations: readonly RateOfRise[]): number {
  const lengths = isolations.map((r) => r.windowS[1] - r.windowS[0]);
  const longest = lengths.reduce((a, b) => Math.max(a, b), 0);
  for (let i = lengths.length - 1; i >= 0; i--) if (lengths[i] >= 0.9 * longest) return i;
  return -1;
}

function balanceOf(
  log: GaugeLog,
  isolations: readonly RateOfRise[],
  pumpDowns: readonly PumpDown[],
  unit: string,
): LoadBalance | null {
  const judged = judgedIsolation(isolations);
  if (judged < 0) return null;
  const order = [judged, ...isolations.keys()].filter((value, i, all) => all.indexOf(value) === i);
  for (const index of order) {
    const balance = balanceLoad(log, isolations[index], pumpDowns, unit);
    if (balance !== null) return balance;
  }
  return null;
}

/** Judges the isolation that stands for the record against the limit, with the dwell and window that the limit names. */
function conformityOf(
  log: GaugeLog,
  segmented: SegmentedLog,
  isolations: readonly RateOfRiseDetail[],
  judged: number,
  options: FitOptions,
  limit: Limit,
  unit: string,
): Conformity {
  const of = limit.kind === 'throughput' ? 'gas load' : 'rate of rise';
  if (judged < 0) {
    const seen = segmented.segments.filter(({ kind }) => kind === 'isolation').length;
    const none =
      seen === 0 ? 'there is no isolation in the record to judge' : 'no isolation could be judged, see the notes';
    return undecided(of, none);
  }
  const { segment } = isolations[judged].result;
  const first = channelNamed(log, segmented.channel).values[segment.from];
  if (limit.fromBelowPa !== null && first > limit.fromBelowPa) {
    const show = (pa: number): string => `${formatNumber(fromSI(pa, unit), 3)} ${unit}`;
    return undecided(
      of,
      `the isolation starts at ${show(first)}, not below ${show(limit.fromBelowPa)} as the limit asks`,
    );
  }
  const asked = (limit.afterS ?? 0) + (limit.overS ?? 0);
  const lasted = segment.endS - segment.startS;
  if (lasted < asked * (1 - 1e-6) - step(log, segment)) {
    return undecided(of, `the isolation lasts ${lasted.toFixed(0)} s; the limit asks for ${asked.toFixed(0)} s`);
  }
  const withWindow = limit.afterS !== null || limit.overS !== null;
  const detail = withWindow ? refit(log, segmented, segment, options, limit) : isolations[judged];
  if (typeof detail === 'string') return undecided(of, detail);
  const product = limit.kind === 'throughput' ? detail.gasLoad : detail.rate;
  if (product === null) return undecided(of, 'a limit as a throughput needs the volume');
  const known = shownUnit(limit.unit);
  const show = (value: number): string => `${formatNumber(fromSI(value, known), 3)} ${limit.unit}`;
  return judge(limit.value, { value: product.value, cdf: product.cdf }, { risk: options.risk, of, show });
}

function refit(
  log: GaugeLog,
  segmented: SegmentedLog,
  segment: Segment,
  options: FitOptions,
  limit: Limit,
): RateOfRiseDetail | string {
  const window = { ...options, dwellS: limit.afterS ?? options.dwellS, windowS: limit.overS ?? options.windowS };
  try {
    return rateOfRiseDetail(log, segment, segmented.channel, window, segmented.events);
  } catch (error) {
    if (!isBlankoffError(error, 'argument')) throw error;
    return error.message;
  }
}

/** Typical step of the rows of a segment, s. */
function step(log: GaugeLog, segment: Segment): number {
  return (log.time[segment.to] - log.time[segment.from]) / Math.max(1, segment.to - segment.from);
}

function undecided(of: string, text: string): Conformity {
  return {
    conforms: 'inconclusive',
    probability: Number.NaN,
    rule: 'not judged: the conditions of the limit are not met',
    risk: 'none: nothing was passed or rejected',
    of,
    text,
  };
}

function volumeOf(log: GaugeLog, segmented: SegmentedLog, options: FitOptions, notes: string[]): VolumeResult | null {
  if (options.volume !== undefined) return givenVolume(options.volume);
  if (options.fill === undefined) return null;
  try {
    return volumeOfFill(log, segmented, options, options.fill);
  } catch (error) {
    if (!isBlankoffError(error, 'argument')) throw error;
    notes.push(`no volume from the fill: ${error.message}`);
    return null;
  }
}

/**
 * The volume from a fill at a known flow in a log: the straight rise of the stretch named (the longest fill where none
 * is), the flow with its zero from the readings before it.
 * @param log the log
 * @param segmented what happened in it
 * @param options gauge and gas
 * @param fill the flow and the stretch
 * @returns the volume, m3
 * @throws ArgumentError where there is no such stretch or it does not rise
 */
export function volumeOfFill(
  log: GaugeLog,
  segmented: SegmentedLog,
  options: FitOptions,
  fill: KnownFill,
): VolumeResult {
  const segment = fillSegment(log, segmented, fill);
  const { rate } = rateOfRiseDetail(log, segment, segmented.channel, {
    ...options,
    volume: undefined,
    temperatureChannel: undefined,
  });
  return volumeFromFill(
    { value: rate.value, standardUncertainty: rate.standardUncertainty },
    knownFlow(log, fill, segment),
  );
}

/** The flow in mol/s; whether its reference is open shows in the assumption that its unit carries. */
function knownFlow(log: GaugeLog, fill: KnownFill, segment: Segment): KnownFlow {
  const { flow } = fill;
  if (flow.dimension !== 'throughput' && flow.dimension !== 'molar flow') {
    throw new ArgumentError(
      'flow of the fill',
      flow.dimension,
      'a standard flow such as "260.1 sccm", or a throughput',
    );
  }
  const standard = flow.dimension === 'molar flow' && flow.assumptions.length > 0;
  const toReference = standard && fill.referenceK !== undefined ? ZERO_CELSIUS / fill.referenceK : 1;
  const scale = toReference * (flow.dimension === 'throughput' ? molarFlow(1, ROOM_TEMPERATURE) : 1);
  // The stretch named may begin a while after gas was let in: the last two minutes before it do not count as rest.
  const lastAtRest = Math.max(0, segment.from - 120);
  const zero = (fill.flowChannels ?? []).reduce((sum, name) => {
    const own = channelNamed(log, name).siUnit === '' ? toSI(1, flow.unit) : 1;
    return Math.hypot(sum, own * flowZero(log, [name], 0, lastAtRest));
  }, 0);
  return {
    flow: { value: flow.si * scale, standardUncertainty: flow.standardUncertainty * scale },
    referenceOpen: standard && fill.referenceK === undefined,
    zero: zero * scale,
  };
}

function fillSegment(log: GaugeLog, segmented: SegmentedLog, fill: KnownFill): Segment {
  const fills = segmented.segments.filter((s) => s.kind === 'fill');
  const longest = fills.reduce<Segment | undefined>(
    (best, s) => (best === undefined || s.endS - s.startS > best.endS - best.startS ? s : best),
    undefined,
  );
  const startS = fill.fromS ?? longest?.startS ?? 0;
  const endS = fill.toS ?? longest?.endS ?? log.time[log.rows - 1];
  let from = 0;
  while (from < log.rows - 1 && log.time[from] < startS) from++;
  let to = log.rows - 1;
  while (to > from && log.time[to] > endS) to--;
  const channel = channelNamed(log, segmented.channel);
  return {
    kind: 'fill',
    from,
    to,
    startS: log.time[from],
    endS: log.time[to],
    startPa: channel.values[from],
    endPa: channel.values[to],
    grounds: ['named by the user'],
    pumpSide: false,
  };
}

function volumeQuantity(volume: VolumeResult, options: FitOptions): NonNullable<FitOptions['volume']> {
  if (options.volume !== undefined) return options.volume;
  return {
    dimension: 'volume',
    si: volume.volume.value,
    standardUncertainty: volume.standardUncertainty,
    unit: 'L',
    uncertaintyRead: 'k=1',
    assumptions: volume.assumptions,
  };
}
