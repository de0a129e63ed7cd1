import { ArgumentError } from '../errors';
import { type Channel, FLAG, type GaugeLog } from '../log';
import { median, robustStandardDeviation } from '../numerics';
import { chooseChannel } from '../segments';
import { shownUnit } from '../units';

/** Where a record ends: the level of its last tenth. */
export interface EndLevel {
  readonly channel: string;
  /** Unit of the channel in the log. */
  readonly unit: string;
  /** Median of the good readings, Pa; NaN where there is none. */
  readonly pa: number;
  /** Standard uncertainty of that level from scatter and step of the display, Pa. */
  readonly standardUncertainty: number;
  /** Whether it still moves: by more than a twentieth over the last quarter of the record, and more than its scatter. */
  readonly moves: 'falls' | 'rises' | 'no';
  /** Shares of the last tenth's readings that lie below and above the gauge's range, 0 to 1. */
  readonly underRange: number;
  readonly overRange: number;
}

/**
 * The level at which a record ends.
 * @param log a log that has been read
 * @param channelName the gauge to follow, by name; the best where absent
 * @returns the level with its uncertainty, and whether it still moves
 * @throws ArgumentError where the log has no such pressure channel; QuestionError where gauges disagree
 */
export function endLevel(log: GaugeLog, channelName?: string): EndLevel {
  const channel = pressureOf(log, channelName);
  const last = rowsBetween(log, 0.9, 1);
  const level = good(channel, last);
  const pa = level.length > 0 ? median(level) : Number.NaN;
  const scatter = level.length > 1 ? robustStandardDeviation(level) : 0;
  const before = good(channel, rowsBetween(log, 0.7, 0.8));
  const change = before.length > 0 ? pa - median(before) : 0;
  const seen = Math.abs(change) > Math.max(0.05 * Math.abs(pa), 2 * scatter);
  const share = (bit: number): number =>
    last.length === 0 ? 0 : last.filter((row) => (channel.flags[row] & bit) !== 0).length / last.length;
  return {
    channel: channel.name,
    unit: shownUnit(channel.unit || 'Pa').label,
    pa,
    standardUncertainty: Math.hypot(scatter / Math.sqrt(Math.max(1, level.length)), channel.resolution / Math.sqrt(12)),
    moves: seen ? (change < 0 ? 'falls' : 'rises') : 'no',
    underRange: share(FLAG.underRange),
    overRange: share(FLAG.overRange),
  };
}

/** A gauge that shows nothing but `over range` is worth a word here, though it cannot be followed. */
function pressureOf(log: GaugeLog, name: string | undefined): Channel {
  const pressures = log.channels.filter((channel) => channel.quantity === 'pressure');
  if (pressures.length === 0) throw new ArgumentError('log', log.file, 'a pressure channel; give its unit');
  if (pressures.length === 1 && (name === undefined || name === pressures[0].name)) return pressures[0];
  return chooseChannel(log, name).channel;
}

/** Rows between two parts of the time of a record. */
function rowsBetween(log: GaugeLog, from: number, to: number): number[] {
  const { time, rows } = log;
  const at = (part: number): number => (rows > 0 ? time[0] + part * (time[rows - 1] - time[0]) : 0);
  const found: number[] = [];
  for (let row = 0; row < rows; row++) if (time[row] >= at(from) && time[row] <= at(to)) found.push(row);
  return found;
}

function good({ values, flags }: Channel, rows: readonly number[]): number[] {
  return rows.flatMap((row) => (flags[row] === FLAG.good && Number.isFinite(values[row]) ? [values[row]] : []));
}
