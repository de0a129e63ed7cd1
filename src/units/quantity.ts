/** What kind of thing a unit measures. */
export type Dimension =
  | 'pressure'
  | 'pressure rate'
  | 'throughput'
  | 'molar flow'
  | 'mass flow'
  | 'volume'
  | 'pumping speed'
  | 'temperature'
  | 'temperature difference'
  | 'time'
  | 'length'
  | 'area'
  | 'specific outgassing'
  | 'voltage'
  | 'current'
  | 'mass'
  | 'amount'
  | 'pressure volume'
  | 'viscosity'
  | 'molar mass'
  | 'number';

/** How a stated uncertainty was read: as one standard uncertainty, as k = 2, or as limits (rectangular, a/sqrt 3). */
export type UncertaintyReading = 'k=1' | 'k=2' | 'limits' | 'none';

/**
 * A value with its standard uncertainty, both SI, and the unit in which a person wrote or wants to see it.
 * Built by `quantity('12.4 L ± 5 %')`; never a bare number.
 */
export interface Quantity {
  readonly dimension: Dimension;
  /** SI value (Pa, m3, s, K, m3/s, Pa m3/s, mol/s, kg/s, m, m2). */
  readonly si: number;
  /** Standard uncertainty (k = 1), SI; 0 where none was stated. */
  readonly standardUncertainty: number;
  /** The unit for showing, its canonical label, such as `mbar L/s`. */
  readonly unit: string;
  /** How the stated uncertainty was taken. */
  readonly uncertaintyRead: UncertaintyReading;
  /** Things assumed while reading, each in a sentence, for the reader to see (such as a reference temperature). */
  readonly assumptions: readonly string[];
}
