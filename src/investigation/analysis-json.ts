import type { Finding } from '../causes';
import type { Question } from '../errors';
import type { PumpDown, RateOfRise } from '../fits';
import { type Channel, countFlags, FLAG, type GaugeLog } from '../log';
import type { Estimate } from '../numerics/estimate';
import type { LogEvent, Segment } from '../segments';
import type { Analysis } from './analyse';

/** A value with its 95 % interval; an end that the data do not bound is null. */
export interface EstimateJson {
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/** An analysis as plain JSON: SI units, named in the keys; seconds from the first row. */
export interface AnalysisJson {
  readonly log: {
    readonly file: string;
    readonly sha256: string;
    readonly rows: number;
    readonly start: string | null;
    readonly duration_s: number;
    readonly time_format: string;
    readonly assumptions: readonly string[];
    readonly questions: readonly Question[];
    readonly channels: readonly {
      readonly name: string;
      readonly quantity: string;
      readonly unit: string;
      readonly unit_from: string;
      readonly min: number | null;
      readonly max: number | null;
      readonly si_unit: string;
      readonly flags: Readonly<Record<string, number>>;
    }[];
  };
  readonly segments: readonly {
    readonly kind: string;
    readonly start_s: number;
    readonly end_s: number;
    readonly grounds: readonly string[];
  }[];
  readonly events: readonly Readonly<Record<string, string | number>>[];
  readonly pump_downs: readonly {
    readonly channel: string;
    readonly start_s: number;
    readonly end_s: number;
    readonly effective_speed_m3_per_s: EstimateJson | null;
    readonly speed_per_volume_per_s: EstimateJson | null;
    readonly base_Pa: EstimateJson;
    readonly base_reached: boolean;
    readonly tail_exponent: EstimateJson | null;
  }[];
  readonly isolations: readonly {
    readonly channel: string;
    readonly start_s: number;
    readonly end_s: number;
    readonly window_s: readonly [number, number];
    readonly rate_Pa_per_s: EstimateJson;
    readonly initial_rate_Pa_per_s: EstimateJson;
    readonly final_rate_Pa_per_s: EstimateJson;
    readonly gas_load_Pa_m3_per_s: EstimateJson | null;
  }[];
  readonly remarks: readonly {
    readonly at_s: number;
    readonly text: string;
    readonly answers: string;
    readonly direction: string;
    readonly change: number | null;
    readonly by_chance: number;
    readonly after_s: number | null;
  }[];
  readonly finding: FindingJson | null;
}

/** A finding as plain JSON. */
export interface FindingJson {
  readonly verdict: string;
  /** Empty where no isolation was judged. */
  readonly main_cause: readonly { readonly cause: string; readonly probability: number }[];
  readonly present: readonly {
    readonly cause: string;
    readonly probability: number;
    readonly share_of_rise: EstimateJson;
    readonly share_of_all_rises: EstimateJson;
    readonly load_at_closing_Pa_m3_per_s: EstimateJson | null;
    readonly load_at_end_Pa_m3_per_s: EstimateJson | null;
  }[];
  readonly sub_causes: readonly {
    readonly cause: string;
    readonly name: string;
    readonly told: string;
    readonly why: string;
    readonly next_test: string;
    readonly needs: readonly string[];
  }[];
  readonly real_leak_Pa_m3_per_s: EstimateJson | null;
  readonly conforms: 'yes' | 'no' | 'inconclusive' | null;
  readonly grounds: readonly string[];
  readonly next_test: {
    readonly what: string;
    readonly for_s: number;
    readonly needs: readonly string[];
    readonly settles: readonly string[];
  } | null;
  readonly what_to_do: readonly string[];
}

/**
 * An analysis as plain JSON.
 * @param analysis what was found
 * @returns a record that `JSON.stringify` writes without loss of meaning
 */
export function analysisJson(analysis: Analysis): AnalysisJson {
  const { log, segmented, fits, finding, others } = analysis;
  const all = [fits, ...others.map((o) => o.fits)];
  return {
    log: logJson(log),
    segments: segmented.segments.map(segmentJson),
    events: segmented.events.map(eventJson),
    pump_downs: all.flatMap((f) => f.pumpDowns.map(pumpDownJson)),
    isolations: all.flatMap((f) => f.isolations.map(isolationJson)),
    remarks: analysis.answers.map(({ remark, answers, direction, change, byChance, afterS }) => ({
      at_s: remark.atS,
      text: remark.text,
      answers,
      direction,
      change: finite(change),
      by_chance: byChance,
      after_s: afterS,
    })),
    finding: findingJson(finding),
  };
}

/**
 * The JSON of a log about which something has to be answered first: what was read, the questions, and nothing found.
 * @param log the log
 * @param questions what is open; those of the log where absent
 * @returns the same shape as `analysisJson`, with a null finding
 */
export function questionsJson(log: GaugeLog, questions: readonly Question[] = log.questions): AnalysisJson {
  return {
    log: { ...logJson(log), questions },
    segments: [],
    events: [],
    pump_downs: [],
    isolations: [],
    remarks: [],
    finding: null,
  };
}

function logJson(log: GaugeLog): AnalysisJson['log'] {
  return {
    file: log.file,
    sha256: log.sha256,
    rows: log.rows,
    start: log.start,
    duration_s: log.rows > 0 ? log.time[log.rows - 1] - log.time[0] : 0,
    time_format: log.description.time.format,
    assumptions: log.assumptions,
    questions: log.questions,
    channels: log.channels.map(channelJson),
  };
}

function channelJson(channel: Channel): AnalysisJson['log']['channels'][number] {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (let row = 0; row < channel.values.length; row++) {
    const value = channel.values[row];
    if (channel.flags[row] !== FLAG.good || !Number.isFinite(value)) continue;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return {
    name: channel.name,
    quantity: channel.quantity,
    unit: channel.unit,
    unit_from: channel.unitFrom,
    min: finite(min),
    max: finite(max),
    si_unit: channel.siUnit,
    flags: countFlags(channel),
  };
}

function segmentJson(segment: Segment): AnalysisJson['segments'][number] {
  const { kind, startS, endS, grounds } = segment;
  return { kind, start_s: startS, end_s: endS, grounds };
}

function eventJson(event: LogEvent): AnalysisJson['events'][number] {
  return { kind: event.kind, at_s: event.atS, text: event.text, ...event.numbers };
}

function pumpDownJson(pumpDown: PumpDown): AnalysisJson['pump_downs'][number] {
  return {
    channel: pumpDown.channel,
    start_s: pumpDown.segment.startS,
    end_s: pumpDown.segment.endS,
    effective_speed_m3_per_s: estimateOrNull(pumpDown.effectiveSpeed),
    speed_per_volume_per_s: estimateOrNull(pumpDown.ratePerS),
    base_Pa: estimateJson(pumpDown.base),
    base_reached: pumpDown.baseReached,
    tail_exponent: estimateOrNull(pumpDown.tailExponent),
  };
}

function isolationJson(rise: RateOfRise): AnalysisJson['isolations'][number] {
  return {
    channel: rise.channel,
    start_s: rise.segment.startS,
    end_s: rise.segment.endS,
    window_s: rise.windowS,
    rate_Pa_per_s: estimateJson(rise.rate),
    initial_rate_Pa_per_s: estimateJson(rise.initialRate),
    final_rate_Pa_per_s: estimateJson(rise.finalRate),
    gas_load_Pa_m3_per_s: estimateOrNull(rise.gasLoad),
  };
}

function findingJson(finding: Finding): FindingJson {
  const { nextTest } = finding;
  return {
    verdict: finding.verdict,
    main_cause:
      finding.isolationsJudged === 0 ? [] : finding.mainCause.map(({ cause, probability }) => ({ cause, probability })),
    present: finding.present.map((p) => ({
      cause: p.cause,
      probability: p.probability,
      share_of_rise: estimateJson(p.shareOfRise),
      share_of_all_rises: estimateJson(p.shareOfAllRises),
      load_at_closing_Pa_m3_per_s: estimateOrNull(p.loadAtClosing),
      load_at_end_Pa_m3_per_s: estimateOrNull(p.loadAtEnd),
    })),
    sub_causes: finding.subCauses.map((s) => ({
      cause: s.cause,
      name: s.name,
      told: s.told,
      why: s.why,
      next_test: s.nextTest,
      needs: s.needs,
    })),
    real_leak_Pa_m3_per_s: estimateOrNull(finding.realLeak),
    conforms: finding.conforms,
    grounds: finding.grounds,
    next_test:
      nextTest === null
        ? null
        : { what: nextTest.what, for_s: nextTest.forS, needs: nextTest.needs, settles: nextTest.settles },
    what_to_do: finding.whatToDo,
  };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

const estimateJson = ({ value, low, high }: Estimate): EstimateJson => ({
  value: finite(value),
  low: finite(low),
  high: finite(high),
});

const estimateOrNull = (estimate: Estimate | null): EstimateJson | null =>
  estimate === null ? null : estimateJson(estimate);
