import type { Question } from '../errors';
import type { LogDescription } from './description';

/** Bits of a reading's flag; 0 is a good reading. A flagged reading stays in the log and is counted, never dropped. */
export const FLAG = {
  good: 0,
  /** The cell was empty, a dash, NaN or unreadable text. */
  missing: 1,
  /** The gauge said that the pressure is below its range (a word, `<1e-3`, a sentinel, a clamp at its floor). */
  underRange: 2,
  /** The gauge said that the pressure is above its range (a word, `>1000`, a sentinel, a clamp at full scale). */
  overRange: 4,
  /** The same value for longer than this gauge's noise allows. */
  stuck: 8,
  /** A one-reading excursion that left nothing behind. */
  spike: 16,
  /** A person excluded it, with a reason. */
  excluded: 32,
  /** The gauge was off (it writes 0 or a sentinel when off). */
  off: 64,
} as const;

/** What a channel measures. */
export type ChannelQuantity = 'pressure' | 'temperature' | 'voltage' | 'flow' | 'position' | 'number' | 'text';

/** Where a channel's unit came from, best first. */
export type UnitSource = 'user' | 'header' | 'units line' | 'cells' | 'assumed' | 'none';

/** One gauge or sensor of a log: a column of SI values with a flag for each. */
export interface Channel {
  /** The header as written in the log (untrusted text), or `column 3` where there is none; unique in the log. */
  readonly name: string;
  /** Column in the file, counted from 1. */
  readonly column: number;
  readonly quantity: ChannelQuantity;
  /** Canonical label of the unit in the log, such as `mTorr`; empty where it has none. */
  readonly unit: string;
  readonly unitFrom: UnitSource;
  /**
   * The unit of `values`: `Pa`, `K`, `V`, `Pa m3/s`, `mol/s` (flows in sccm and the like are amounts of gas per
   * time), or
   * empty: then `values` are the numbers as in the file.
   */
  readonly siUnit: string;
  /** For a `number` whose unit is open: what it seems to measure. */
  readonly seems?: ChannelQuantity;
  /** A wanted value, not a reading. */
  readonly setpoint?: boolean;
  /** SI values, NaN where missing, the bound where the cell gave one (`>1000`); length = rows. */
  readonly values: Float64Array;
  /** Bits of `FLAG`; length = rows. */
  readonly flags: Uint8Array;
  /** For text channels, the texts; absent otherwise. */
  readonly texts?: readonly string[];
  /** Smallest step between different readings near the bottom, in the SI unit (0 where not seen): quantisation. */
  readonly resolution: number;
  /** The first cell that is no number (a word, a bound, a damaged one), where there is one. */
  readonly oddCell?: OddCell;
}

/** A cell that is no number. */
export interface OddCell {
  readonly file: string;
  /** Line of the file, counted from 1. */
  readonly line: number;
  /** What stands there (untrusted text), cut. */
  readonly text: string;
}

/** Something noticed about the time column. */
export interface TimeNote {
  readonly kind: 'gap' | 'equal stamps' | 'step back' | 'clock change' | 'midnight' | 'restart';
  readonly row: number;
  readonly text: string;
}

/** A remark of a person in the log: when and what. */
export interface Remark {
  readonly atS: number;
  readonly text: string;
}

/** A log that has been read: time and channels as columns, with everything that was assumed on the way. */
export interface GaugeLog {
  /** File name as given, without folders. */
  readonly file: string;
  /** SHA-256 of the bytes, lower-case hex. */
  readonly sha256: string;
  /**
   * What the reading obeyed: dialect, columns, units, time format, each with its grounds. Editable: parse again with
   * it.
   */
  readonly description: LogDescription;
  readonly rows: number;
  /** Time stamp of the first row as ISO 8601 (without zone where the log has none), or null where it has no date. */
  readonly start: string | null;
  /** Where it has times of day without a date: the first, s since midnight. */
  readonly timeOfDayS?: number;
  /**
   * Seconds from the first row, ascending (rows were brought into order of time only where a note says so); length =
   * rows.
   */
  readonly time: Float64Array;
  readonly timeNotes: readonly TimeNote[];
  readonly channels: readonly Channel[];
  readonly remarks: readonly Remark[];
  /** Guesses that were made, each in a sentence, each can be overruled. */
  readonly assumptions: readonly string[];
  /** What has to be answered before pressures can be judged; empty when all is clear. */
  readonly questions: readonly Question[];
  /** Lines that were left out (comments, repeated headers), by reason, with their count. */
  readonly leftOut: Readonly<Record<string, number>>;
  /** What a person excluded on top of what was read, with the reason; absent where nothing. */
  readonly corrections?: readonly LogCorrection[];
}

/** A stretch that a person excludes: its readings stay and are flagged `excluded`. */
export interface LogCorrection {
  readonly kind: 'exclude';
  /** Seconds from the first row, both ends included. */
  readonly fromS: number;
  readonly toS: number;
  readonly reason: string;
  /** Only this channel; all of them where absent. */
  readonly channel?: string;
}
