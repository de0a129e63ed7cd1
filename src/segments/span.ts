import type { SegmentKind } from './segment';

/** A named run of readings (indices into the good readings). */
export interface Span {
  /** True where the gauge seems to sit on the pump side of a closed valve. */
  pumpSide?: boolean;
  kind: SegmentKind;
  from: number;
  to: number;
  grounds: string[];
}

/** Something short that was met on the way, at a reading. */
export interface Incident {
  readonly kind: 'burst' | 'step';
  readonly at: number;
  readonly fromPa: number;
  readonly toPa: number;
}

/** What naming gives: spans without gap or overlap, and incidents. */
export interface NamedRecord {
  readonly spans: Span[];
  readonly incidents: Incident[];
}

/** Fewest readings of an isolation. */
export const FEWEST_READINGS = 8;

/** Least rise of an isolation, noise standard deviations. */
export const LEAST_RISE = 8;
