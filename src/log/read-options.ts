import type { Separator } from './cells';
import type { ColumnDescription, LogDescription } from './description';
import type { ChannelQuantity } from './gauge-log';
import type { DateOrder } from './stamp-text';

/** Law of a voltage column: p = a U + b (`linear`) or p = 10^(a U + b) (`log`), U in V, p in `unit`. */
export type VoltageLaw = NonNullable<ColumnDescription['law']>;

/** What a person says about one column, by its header; anything said here is obeyed. */
export interface ColumnAnswer {
  /** Unit as one would write it: `Torr`, `inHg vac`, `psig`, `degC`. */
  readonly unit?: string;
  /** What it measures, where the header does not tell. */
  readonly quantity?: ChannelQuantity;
  /** `ignored` leaves the column out; `remark` takes its texts as remarks. */
  readonly role?: 'channel' | 'text' | 'remark' | 'ignored';
  /** Readings below atmosphere: p = barometer - reading. */
  readonly belowAtmosphere?: boolean;
  /** Makes a voltage a pressure. */
  readonly law?: VoltageLaw;
  /** Readings at or above it, in the unit of the column, are a clamp or a saturated code. */
  readonly clampHigh?: number;
  /** Readings at or below it, in the unit of the column, are a clamp or a saturated code. */
  readonly clampLow?: number;
}

/** Answers and wishes for reading a log; all may be left out. */
export interface ReadOptions {
  /** Name of the file, or of each file; only for messages and for dates in names. Default `log`. */
  readonly file?: string | readonly string[];
  /** Unit of the pressure columns that name none; for the columns in `channels` it overrides what the header says. */
  readonly unit?: string;
  /**
   * The pressure channels of interest, by header or a part of it that fits one only; questions are asked about these.
   */
  readonly channels?: readonly string[];
  /** What is known of single columns, by header (exact, or a part of it that fits one only). */
  readonly columns?: Readonly<Record<string, ColumnAnswer>>;
  /** Barometer reading at the place (not reduced to sea level), Pa, for readings relative to atmosphere. */
  readonly barometerPa?: number;
  /** Header of a column with the barometer reading. */
  readonly barometerColumn?: string;
  /** Order of the numbers in dates such as 03/04/2024. */
  readonly dateOrder?: DateOrder;
  /** Unit of a time column that names none: s, min, h, d, ms, us; `m:s` or `h:m` for times of two fields. */
  readonly timeUnit?: string;
  /** Header of the time column, where several could be. */
  readonly timeColumn?: string;
  /** Seconds from row to row, for logs without a time. */
  readonly stepS?: number;
  readonly decimalMark?: LogDescription['decimalMark'];
  readonly separator?: Separator;
  /** Sheet of a spreadsheet; default the first with readings. */
  readonly sheet?: string;
  /** Files that run at the same time continue each other all the same: their clock started again. */
  readonly join?: boolean;
  /** Told the share done, 0 to 1, now and then. */
  readonly onProgress?: (share: number) => void;
}
