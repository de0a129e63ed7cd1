import type { WallClock } from '../log/wall-clock';

/** What can happen during a stretch of a log. */
export type SegmentKind =
  | 'atmosphere'
  | 'pump-down'
  | 'steady'
  | 'isolation'
  | 'fill'
  | 'regulated'
  | 'venting'
  | 'bake-out'
  | 'unknown';

/** A stretch in which one thing happens. */
export interface Segment {
  readonly kind: SegmentKind;
  /** First row, from 0. */
  readonly from: number;
  /** Last row, inclusive. */
  readonly to: number;
  /** Seconds from the first row of the log. */
  readonly startS: number;
  readonly endS: number;
  /** Pressure at start and end, Pa: the outermost reading where the pressure moves, else a median of three. */
  readonly startPa: number;
  readonly endPa: number;
  /** Why it is called so, each in a sentence. */
  readonly grounds: readonly string[];
  /** True where the gauge seems to sit on the pump's side of a closed valve, so that this is no rate of rise. */
  readonly pumpSide: boolean;
  /** The correction of a person that made or changed this segment. */
  readonly correction?: Correction;
}

/** A person's correction, applied on top of what was found; it carries its reason. */
export interface Correction {
  readonly kind: SegmentKind | 'exclude';
  readonly fromS: number;
  readonly toS: number;
  readonly reason: string;
}

/** Something that happens at a moment. */
export interface LogEvent {
  readonly kind: 'burst' | 'step' | 'crossing' | 'purge cycle' | 'steady' | 'gap' | 'remark';
  /** Seconds from the first row of the log. */
  readonly atS: number;
  readonly text: string;
  /** Numbers that belong to it, SI, named with their unit, such as `rise_Pa` or `to_Pa`. */
  readonly numbers: Readonly<Record<string, number>>;
}

/** A log's pressure channel with what happened in it. */
export interface SegmentedLog {
  /** Name of the pressure channel that was followed. */
  readonly channel: string;
  /** The clock by which the log was written, where it tells one. */
  readonly clock?: WallClock;
  readonly segments: readonly Segment[];
  readonly events: readonly LogEvent[];
  readonly corrections: readonly Correction[];
  /** Guesses and doubts, each in a sentence. */
  readonly notes: readonly string[];
}
