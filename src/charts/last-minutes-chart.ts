import { ArgumentError } from '../errors';
import { firstRowFrom } from '../log/first-row';
import { FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import type { SegmentedLog } from '../segments';
import { suddenChanges } from '../segments';
import { fromSI, shownUnit } from '../units';
import { logDomain, logPressureAxis, pressureWords, shortNumber, timeWords } from './axes';
import { brokenAtGaps, pressuresOf } from './broken-lines';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import type { SetPoint } from './pressure-chart';
import { thin } from './thin';

/** Options of {@link lastMinutesChart}. */
export interface LastMinutesOptions extends ChartOptions {
  /** How much of the record's end is drawn, min, above 0; 15 where absent. */
  readonly minutes?: number;
  /** Pressures to mark across the chart. */
  readonly setPoints?: readonly SetPoint[];
  /** What happened, for its marks; none where absent. */
  readonly segmented?: SegmentedLog | null;
}

/** A range wider than this is drawn on a logarithmic axis. */
const WIDE = 12;
/** Marks closer together than this part of the width would have their numbers on each other. */
const CLOSE = 0.03;
/** As many of the last marks are told. */
const MARKS = 6;

interface Mark {
  readonly time: number;
  readonly words: string;
  readonly use: 'burst' | 'step' | 'rise from rest' | 'remark';
}

const USES: readonly Mark['use'][] = ['burst', 'step', 'rise from rest', 'remark'];

/**
 * The end of a record in large type, for somebody who stands away from the screen: pressure against the minutes before
 * the last row, with set points, and marks where something came all at once or a remark was written.
 * @param log the log as far as it has come, SI
 * @param channelName the pressure channel
 * @param options minutes, unit, set points (Pa), what happened
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the channel is not in the log or is no pressure, or the minutes are not positive
 */
export function lastMinutesChart(log: GaugeLog, channelName: string, options: LastMinutesOptions = {}): ChartSpec {
  const channel = pressureChannel(log, channelName);
  const minutes = options.minutes ?? 15;
  if (!(minutes > 0 && Number.isFinite(minutes))) throw new ArgumentError('minutes', minutes, 'a positive number');
  const unit = options.unit ?? shownUnit(channel.unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const height = options.height ?? 300;
  const lastS = log.rows > 0 ? log.time[log.rows - 1] : 0;
  const shownS = Math.min(60 * minutes, Math.max(lastS, 1));
  const fromS = lastS - shownS;
  const first = firstRowFrom(log.time, fromS);
  const [time, values, flags] = [
    log.time.subarray(first),
    channel.values.subarray(first),
    channel.flags.subarray(first),
  ];
  const isShown = (row: number): boolean => flags[row] === FLAG.good && values[row] > 0;
  const rows = thin(time, values, isShown, width).map((row) => row + first);
  const readings = brokenAtGaps(log, rows, (row) => ({
    time: (log.time[row] - lastS) / 60,
    pressure: fromSI(channel.values[row], unit),
  }));
  const pressures = pressuresOf(readings);
  const least = pressures.reduce((low, pressure) => Math.min(low, pressure), Infinity);
  const most = pressures.reduce((high, pressure) => Math.max(high, pressure), -Infinity);
  const isWide = most > WIDE * least;
  const domain = isWide || readings.length === 0 ? logDomain(least, most) : linearDomain(least, most);
  const levels = (options.setPoints ?? [])
    .map(({ pa, name }) => ({ pressure: fromSI(pa, unit), label: name ?? `${shortNumber(fromSI(pa, unit))} ${unit}` }))
    .filter(({ pressure }) => pressure > domain[0] && pressure < domain[1]);
  const marks = marksOf(log, options.segmented ?? null)
    .filter(({ time }) => time >= fromS && time <= lastS)
    .slice(-MARKS);
  const drawn = marks.map((mark, i) => ({
    ...mark,
    time: (mark.time - lastS) / 60,
    label: String(i + 1),
    // Numbers of marks that stand close together go one below the other.
    level: i > 0 && mark.time - marks[i - 1].time < CLOSE * shownS ? 1 + ((i - 1) % 2) : 0,
  }));
  const lines = drawn.map(({ words, time, label }) => `${label} ${timeWords(-60 * time)} before the end: ${words}`);
  const range = readings.length > 0 ? `${shortNumber(least)} to ${shortNumber(most)} ${unit}` : 'no good reading';
  const x = {
    field: 'time',
    type: 'quantitative',
    title: 'minutes before the last row',
    scale: { domain: [-shownS / 60, 0], nice: false },
    axis: { labelFontSize: 18, titleFontSize: 16, tickCount: 6 },
  };
  const axis = { labelFontSize: 18, titleFontSize: 16, tickCount: 6 };
  const logY = logPressureAxis(unit, domain);
  const y = isWide
    ? { ...logY, axis: { ...(logY.axis as object), ...axis } }
    : { field: 'pressure', type: 'quantitative', title: `pressure / ${unit}`, scale: { domain, nice: false }, axis };
  const told = {
    field: 'use',
    type: 'nominal',
    title: null,
    legend: { orient: 'bottom', symbolType: 'stroke', symbolSize: 400, labelFontSize: 14 },
  };
  const spec = chart(
    {
      title: options.title ?? `The last ${timeWords(shownS)}`,
      subtitle: lines,
      description: `Pressure of ${channel.name} over the last ${timeWords(shownS)} with ${drawn.length} marks`,
      text: [`${channel.name}, the last ${timeWords(shownS)}: ${range}.`, ...lines].join('\n'),
    },
    {
      width,
      height,
      layer: [
        {
          data: { values: levels },
          mark: { type: 'rule', strokeDash: [4, 4], color: '#555555', strokeWidth: 1.5 },
          encoding: { y },
        },
        {
          data: { values: levels },
          mark: { type: 'text', align: 'left', baseline: 'bottom', dx: 4, dy: -2, fontSize: 16, color: '#333333' },
          encoding: { x: { value: 0 }, y, text: { field: 'label', type: 'nominal' } },
        },
        {
          data: { values: readings },
          mark: { type: 'line', strokeWidth: 2.5, color: COLOURS.black, clip: true },
          encoding: { x, y },
        },
        {
          data: { values: drawn },
          mark: { type: 'rule', strokeWidth: 2 },
          encoding: {
            x,
            color: {
              ...told,
              scale: { domain: USES, range: [COLOURS.vermilion, COLOURS.blue, COLOURS.orange, COLOURS.grey] },
            },
            strokeDash: {
              ...told,
              scale: {
                domain: USES,
                range: [
                  [1, 0],
                  [7, 3],
                  [2, 2],
                  [2, 6],
                ],
              },
            },
          },
        },
        ...[0, 1, 2].map((level) => ({
          data: { values: drawn.filter((mark) => mark.level === level) },
          mark: { type: 'text', align: 'left', baseline: 'top', dx: 4, fontSize: 18, fontWeight: 'bold' },
          encoding: { x, y: { value: 3 + 20 * level }, text: { field: 'label', type: 'nominal' } },
        })),
      ],
    },
  );
  return { ...spec, title: { ...spec.title, fontSize: 20, subtitleFontSize: 15 } as ChartSpec['title'] };
}

function linearDomain(least: number, most: number): [number, number] {
  const air = 0.08 * Math.max(most - least, 0.02 * Math.abs(most));
  return [Math.max(0, least - air), most + air];
}

/** Changes and remarks in order of time; `time` in s from the first row. */
function marksOf(log: GaugeLog, segmented: SegmentedLog | null): Mark[] {
  const unit = shownUnit(log.channels.find(({ name }) => name === segmented?.channel)?.unit || 'Pa').label;
  const changes = (segmented ? suddenChanges(segmented) : []).map(({ atS, kind, fromPa, toPa }): Mark => {
    const words = `${kind}, ${pressureWords(fromPa, unit)} to ${pressureWords(toPa, unit)}`;
    return { time: atS, words, use: kind };
  });
  const remarks = log.remarks.map(({ atS, text }): Mark => ({ time: atS, words: text, use: 'remark' }));
  return [...changes, ...remarks].sort((a, b) => a.time - b.time);
}
