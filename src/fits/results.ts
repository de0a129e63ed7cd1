import type { Question } from '../errors';
import type { Estimate } from '../numerics/estimate';
import type { Segment } from '../segments/segment';

/** One line of an uncertainty budget after the GUM. */
export interface BudgetLine {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly standardUncertainty: number;
  /** Sensitivity times standard uncertainty, in the unit of the result. */
  readonly contribution: number;
  /** Share of the result's variance, 0 to 1. */
  readonly share: number;
  readonly from: string;
}

/** A curve to draw, SI. */
export interface Curve {
  readonly timeS: Float64Array;
  readonly pa: Float64Array;
  readonly lowPa: Float64Array;
  readonly highPa: Float64Array;
}

/** The rate of rise of one isolation. Rates in Pa/s, loads in Pa m3/s, times in s from the first row of the log. */
export interface RateOfRise {
  readonly segment: Segment;
  readonly channel: string;
  /** What was left out after closing, s, and why. */
  readonly dwellS: number;
  readonly dwellGrounds: string;
  /** What was judged. */
  readonly windowS: readonly [number, number];
  /** Rows used (flagged ones are left out). */
  readonly rows: Int32Array;
  readonly rate: Estimate;
  readonly initialRate: Estimate;
  readonly finalRate: Estimate;
  /** Standard uncertainty of the mean rate from the readings alone, Pa/s. */
  readonly rateStandardUncertainty: number;
  /** V dp/dt of the mean rate, or null without a volume. */
  readonly gasLoad: Estimate | null;
  readonly initialGasLoad: Estimate | null;
  readonly finalGasLoad: Estimate | null;
  /** Budget of the gas load, or of the rate without a volume. */
  readonly budget: readonly BudgetLine[];
  /** Standard deviation of the residuals, Pa; first-order autocorrelation; points that count. */
  readonly noisePa: number;
  readonly autocorrelation: number;
  readonly effectivePoints: number;
  /** Smooth description of the rise (its band is the 95 % interval of the curve). */
  readonly curve: Curve;
  /** Residuals of the used rows, Pa. */
  readonly residualsPa: Float64Array;
  readonly temperatureCorrected: boolean;
  /** The smooth shape that the readings favour, and how much (0 to 1); rates are averaged over all shapes that fit. */
  readonly shape: { readonly name: string; readonly weight: number };
  /** Step of the readings in the window (quantisation), Pa; 0 where not seen. */
  readonly resolutionPa: number;
  /** Level of the curve at the ends of the window, Pa. */
  readonly startPa: Estimate;
  readonly endPa: Estimate;
  readonly notes: readonly string[];
}

/** A stage of a pump-down. */
export interface PumpDownStage {
  /** `volume gas`: falls exponentially; `tail`: falls as a power of time; `floor`: hardly falls. */
  readonly kind: 'volume gas' | 'tail' | 'floor';
  readonly startS: number;
  readonly endS: number;
  readonly fromPa: number;
  readonly toPa: number;
  readonly text: string;
}

/** A stretch of a pump-down. */
export interface PressureStretch {
  readonly fromPa: number;
  readonly toPa: number;
  readonly startS: number;
  readonly endS: number;
}

/** What a pump-down says. */
export interface PumpDown {
  readonly segment: Segment;
  readonly channel: string;
  /** Speed over volume, 1/s, over the best decade(s); null where the pressure nowhere falls as gas of the volume would. */
  readonly ratePerS: Estimate | null;
  /** Where that speed was read, or null without one. */
  readonly rateOver: PressureStretch | null;
  /** Speed over volume by decade, 1/s. */
  readonly byDecade: readonly {
    readonly fromPa: number;
    readonly toPa: number;
    readonly ratePerS: Estimate;
    readonly speed: Estimate | null;
  }[];
  /** Effective pumping speed at the chamber, m3/s, or null without a volume or a speed. */
  readonly effectiveSpeed: Estimate | null;
  /** Base pressure that it tends to, Pa; where it is not reached, from 0 to the last reading. */
  readonly base: Estimate;
  /** Whether the record reaches the base, or only bounds it from above because the pressure still falls. */
  readonly baseReached: boolean;
  /** Exponent n of a tail p - base ~ t^-n, or null where there is no tail. */
  readonly tailExponent: Estimate | null;
  /** Seconds from the start of the pump-down to set points, null where not reached. */
  readonly times: readonly { readonly toPa: number; readonly afterS: number | null }[];
  readonly stages: readonly PumpDownStage[];
  readonly curve: Curve | null;
  readonly notes: readonly string[];
}

/** Conformity with a limit, after JCGM 106. */
export interface Conformity {
  readonly conforms: 'yes' | 'no' | 'inconclusive';
  /** Probability that the true value is within the limit. */
  readonly probability: number;
  readonly rule: string;
  readonly risk: string;
  /** What was judged: `gas load`, `rate of rise`, or what the caller names. */
  readonly of: string;
  /** Why, with the figures, in a sentence. */
  readonly text: string;
}

/** Does the load found in isolation, over the pumping speed, explain the steady pressure? */
export interface LoadBalance {
  /** Speed over volume near the steady pressure, 1/s, and where it was measured. */
  readonly ratePerS: Estimate;
  readonly from: string;
  readonly steadyPa: Estimate;
  /** Load over effective speed, Pa (equals rate of rise over speed per volume: needs no volume). */
  readonly explainedPa: Estimate;
  readonly explains: 'yes' | 'no' | 'open';
  readonly text: string;
}

/** The volume of a system, m3, and how it was found. */
export interface VolumeResult {
  readonly volume: Estimate;
  readonly standardUncertainty: number;
  readonly method: 'fill at known flow' | 'expansion' | 'reference leak' | 'given';
  readonly budget: readonly BudgetLine[];
  readonly assumptions: readonly string[];
  /** What has to be answered for a narrower interval, such as the reference temperature of a flow. */
  readonly questions: readonly Question[];
}

/** A gas load found by comparison with a reference leak, without any volume. */
export interface SubstitutionResult {
  /** Pa m3/s. */
  readonly gasLoad: Estimate;
  readonly standardUncertainty: number;
  readonly budget: readonly BudgetLine[];
  readonly assumptions: readonly string[];
}

/** All fits of one record. */
export interface RecordFits {
  readonly isolations: readonly RateOfRise[];
  readonly pumpDowns: readonly PumpDown[];
  readonly loadBalance: LoadBalance | null;
  readonly conformity: Conformity | null;
  /** The volume that loads were worked out with, given or from a fill; null where none is known. */
  readonly volume: VolumeResult | null;
  readonly notes: readonly string[];
}
