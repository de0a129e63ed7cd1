import { type FitOptions, type RateOfRise, runningIsolation } from '../fits';
import { type Channel, FLAG, flagWords, type GaugeLog, requireAnswers } from '../log';
import { median } from '../numerics';
import {
  chooseChannel,
  findSegments,
  type RecentTrend,
  recentTrend,
  type Segment,
  type SegmentedLog,
  type SetPointState,
  type SuddenChange,
  setPointsPassed,
  suddenChanges,
} from '../segments';
import { fromSI, type Quantity, quantity, shownUnit } from '../units';

/** The last row of a log, as a person would read it off the gauge. */
export interface LastReading {
  /** Pa; NaN where there is no number. */
  readonly pa: number;
  /** Why it is no good reading, such as `over range`; empty where it is good. */
  readonly flag: string;
}

/** How a run stands at the last row of its log. */
export interface RunNow {
  readonly file: string;
  readonly channel: string;
  /** Unit in which it is shown: that of the log, absolute where the log reads from the barometer. */
  readonly unit: string;
  /** Time of the last row, s from the first. */
  readonly atS: number;
  readonly reading: LastReading;
  readonly trend: RecentTrend | null;
  /** The stretch in which the record ends; null where nothing can be told yet. */
  readonly doing: Segment | null;
  readonly setPoints: readonly (SetPointState & { readonly label: string })[];
  /** The isolation that is running, as far as it has come. */
  readonly isolation: RateOfRise | null;
  /** In order of time. */
  readonly changes: readonly SuddenChange[];
  readonly segmented: SegmentedLog | null;
  /** Usual time from row to row, s. */
  readonly stepS: number;
  /** How long ago the log last grew, s; null where nobody watches it. */
  readonly sinceLastRowS: number | null;
}

/** What is asked of a run besides its log. */
export interface RunOptions extends FitOptions {
  /** The gauge to follow, where there are several. */
  readonly channel?: string;
  /** Set points; 20 Torr, 500 mTorr and 200 mTorr where absent. */
  readonly setPoints?: readonly Quantity[];
  /** How far back the trend looks, s; 60 where absent. */
  readonly trendS?: number;
}

const USUAL = ['20 Torr', '500 mTorr', '200 mTorr'];

/**
 * How a run stands at the last row of a log that is still being written: reading, trend, set points, what came all at
 * once, and the rate of rise of an isolation that is running. O(n log n).
 * @param log the log as far as it has come
 * @param options gauge, set points, how far back the trend looks, and what a fit takes (the volume, Pa m3/s then)
 * @returns the state; pressures Pa, times s from the first row
 * @throws QuestionError where the log's unit has to be told or several gauges disagree and none is named
 * @throws ArgumentError where there is no such channel, or an option cannot be used
 */
export function runNow(log: GaugeLog, options: RunOptions = {}): RunNow {
  requireAnswers(log, options.channel);
  const channel = followed(log, options.channel);
  const setPoints = options.setPoints ?? USUAL.map((text) => quantity(text, 'pressure'));
  const setPointsPa = setPoints.map(({ si }) => si);
  const segmented = segmentsOf(log, channel, setPointsPa, options.gauge);
  const doing = segmented?.segments[segmented.segments.length - 1] ?? null;
  const changes = segmented ? suddenChanges(segmented) : [];
  const begins = Math.max(doing?.startS ?? -Infinity, ...changes.map(({ atS }) => atS));
  const { rows, time } = log;
  return {
    file: log.file,
    channel: channel.name,
    unit: shownUnit(channel.unit || 'Pa').label,
    atS: rows > 0 ? time[rows - 1] : 0,
    reading: lastReading(channel),
    trend: recentTrend(log, channel.name, { overS: options.trendS, sinceS: begins }),
    doing,
    setPoints: setPointsPassed(log, channel.name, setPointsPa).map((state, i) => ({
      ...state,
      label: labelOf(setPoints[i]),
    })),
    isolation: segmented ? runningIsolation(log, segmented, options) : null,
    changes,
    segmented,
    stepS: usualStep(time),
    sinceLastRowS: null,
  };
}

const labelOf = ({ si, unit }: Quantity): string => {
  const { label } = shownUnit(unit);
  return `${Number(fromSI(si, label).toPrecision(4))} ${label}`;
};

/** A gauge that shows nothing but `over range` yet is followed too, where it is the only one. */
function followed(log: GaugeLog, name: string | undefined): Channel {
  const pressures = log.channels.filter((one) => one.quantity === 'pressure');
  if (pressures.length === 1 && (name === undefined || pressures[0].name.includes(name))) return pressures[0];
  return chooseChannel(log, name).channel;
}

function segmentsOf(
  log: GaugeLog,
  channel: Channel,
  setPointsPa: readonly number[],
  gauge: RunOptions['gauge'],
): SegmentedLog | null {
  let good = 0;
  for (const [row, flag] of channel.flags.entries()) if (flag === FLAG.good && channel.values[row] > 0) good++;
  if (good < 8) return null;
  return findSegments(log, { channel: channel.name, gauge, setPointsPa });
}

function lastReading({ values, flags }: Channel): LastReading {
  const last = values.length - 1;
  if (last < 0) return { pa: Number.NaN, flag: 'no reading' };
  return { pa: values[last], flag: flagWords(flags[last])[0] ?? '' };
}

function usualStep(time: Float64Array): number {
  const steps: number[] = [];
  for (let row = Math.max(1, time.length - 50); row < time.length; row++) steps.push(time[row] - time[row - 1]);
  return steps.length > 0 ? median(steps) : 0;
}
