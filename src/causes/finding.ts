import type { Estimate } from '../numerics/estimate';

/** The causes of a gas load or of a pressure that will not fall; `design` words of the trade. */
export const CAUSES = [
  'real leak',
  'virtual leak',
  'outgassing',
  'evaporation',
  'permeation',
  'passing valve',
  'pump side',
  'temperature',
  'sink',
  'measurement',
  'none',
] as const;

/** One of the causes. */
export type Cause = (typeof CAUSES)[number];

/** A cause with the probability that it is the main one. */
export interface RankedCause {
  readonly cause: Cause;
  readonly probability: number;
}

/** A cause that is there, beside others perhaps. */
export interface PresentCause {
  readonly cause: Cause;
  /** Probability that it is present at all. */
  readonly probability: number;
  /** Part of the rise over the judged isolation that belongs to it, 0 to 1. */
  readonly shareOfRise: Estimate;
  /** Part of the rise over all isolations together; a cause that has run out still made its part of it. */
  readonly shareOfAllRises: Estimate;
  /** Gas load at closing, Pa m3/s, or null without a volume. */
  readonly loadAtClosing: Estimate | null;
  /** Gas load at the end of the window, Pa m3/s, or null without a volume. */
  readonly loadAtEnd: Estimate | null;
  /** What it looks like in words, with sub-cause where one is told apart. */
  readonly note: string;
}

/** A further measurement that would settle what is open. */
export interface NextTest {
  readonly what: string;
  /** How long it takes, s. */
  readonly forS: number;
  /** What must be true before it is safe and useful. */
  readonly needs: readonly string[];
  /** The causes that it tells apart. */
  readonly settles: readonly Cause[];
  /** Expected gain in the probability of naming the right cause, 0 to 1, by the models' own predictions; null where not computed. */
  readonly expectedGain: number | null;
}

/** What may stand behind a cause, and what the record says of it. */
export interface SubCause {
  readonly cause: Cause;
  readonly name: string;
  readonly told: 'fits' | 'not separated' | 'speaks against';
  /** Why, in a sentence. */
  readonly why: string;
  /** The test that tells it apart, and what must be true before it. */
  readonly nextTest: string;
  readonly needs: readonly string[];
}

/** What a record supports. */
export interface Finding {
  /** The main cause where it reaches a probability of 0.8, else `undetermined`. */
  readonly verdict: Cause | 'undetermined';
  /** Isolations that were judged; with none, nothing is known of the load and the probabilities below are all equal. */
  readonly isolationsJudged: number;
  /** All causes with their probability, largest first; sums to one. */
  readonly mainCause: readonly RankedCause[];
  readonly present: readonly PresentCause[];
  /** What may stand behind the causes that are not improbable, where a cause has several kinds. */
  readonly subCauses: readonly SubCause[];
  /** Real leak (with permeation and a passing gas feed where these look alike), Pa m3/s; null without a volume or an isolation. */
  readonly realLeak: Estimate | null;
  /** Conformity with the limit, or null without one. */
  readonly conforms: 'yes' | 'no' | 'inconclusive' | null;
  /** The rule of conformity and its risk in a sentence, or null without a limit. */
  readonly rule: string | null;
  readonly grounds: readonly string[];
  readonly nextTest: NextTest | null;
  /** Further tests, in order of what they would gain. */
  readonly otherTests: readonly NextTest[];
  /** What to do about the verdict, in order; empty where the next test comes first. */
  readonly whatToDo: readonly string[];
  /** Cautions that belong to this finding. */
  readonly cautions: readonly string[];
}
