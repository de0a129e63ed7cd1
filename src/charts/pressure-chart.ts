import { flagCounts, flagWords } from '../log/flag-words';
import { type Channel, FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import type { Segment, SegmentedLog, SegmentKind } from '../segments/segment';
import { fromSI, shownUnit } from '../units';
import { logDomain, logPressureAxis, pressureWords, shortNumber, timeScale, timeWords } from './axes';
import { brokenAtGaps, gapRows } from './broken-lines';
import { BRUSH, CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import { thin } from './thin';

/** A pressure to mark across the chart. */
export interface SetPoint {
  readonly pa: number;
  readonly name?: string;
}

/** Options of {@link pressureChart}. */
export interface PressureChartOptions extends ChartOptions {
  readonly setPoints?: readonly SetPoint[];
  /** Further pressure channels to draw, by name; the followed one is always drawn. */
  readonly alsoDraw?: readonly string[];
  /**
   * Name of an input that holds a window of time, s: on a live page the reader can then drag over the chart to set it.
   * A notebook front end has no way back from a chart, so there the input's own control serves.
   */
  readonly brush?: string;
}

const FILL: Record<SegmentKind, string> = {
  atmosphere: COLOURS.grey,
  'pump-down': COLOURS.sky,
  steady: COLOURS.green,
  isolation: COLOURS.orange,
  fill: COLOURS.purple,
  regulated: COLOURS.yellow,
  venting: COLOURS.vermilion,
  'bake-out': COLOURS.blue,
  unknown: '#ffffff',
};

/** Lines are told apart by dash as well as by colour. */
const LINES = [
  { colour: COLOURS.black, dash: [1, 0] },
  { colour: COLOURS.blue, dash: [6, 3] },
  { colour: COLOURS.vermilion, dash: [2, 2] },
  { colour: COLOURS.green, dash: [8, 2, 2, 2] },
];

/**
 * Pressure against time on a logarithmic axis, with what happened as bands, flagged readings and set points.
 * Readings at or below zero cannot stand on this axis: they are drawn at its foot and counted in the subtitle. Long
 * records are thinned without losing an extreme, and the subtitle says so. The line stops at gaps of the log.
 * @param log the log, SI
 * @param segmented what happened in it
 * @param options unit, size, set points (Pa), further channels
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where a channel is not in the log or is no pressure
 */
export function pressureChart(log: GaugeLog, segmented: SegmentedLog, options: PressureChartOptions = {}): ChartSpec {
  const names = [segmented.channel, ...(options.alsoDraw ?? []).filter((name) => name !== segmented.channel)];
  const channels = names.map((name) => pressureChannel(log, name));
  const unit = options.unit ?? shownUnit(channels[0].unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const height = options.height ?? 320;
  const duration = log.time[log.rows - 1] ?? 0;
  const scale = timeScale(duration);

  const drawn = channels.map((channel) => drawnReadings(log, channel, width));
  const shown = (pa: number): number => fromSI(pa, unit);
  const lows = drawn.map((d) => d.low).filter(Number.isFinite);
  const highs = drawn.map((d) => d.high).filter(Number.isFinite);
  const wanted = (options.setPoints ?? []).map((s) => ({
    pressure: shown(s.pa),
    label: `${s.name ? `${s.name}: ` : ''}${shortNumber(shown(s.pa))} ${unit}`,
  }));
  const domain = domainWith(
    shown(Math.min(...lows)),
    shown(Math.max(...highs)),
    wanted.map((s) => s.pressure),
  );

  const readings = drawn.flatMap((d, line) =>
    brokenAtGaps(log, d.rows, (row) => ({
      time: log.time[row] / scale.seconds,
      pressure: shown(channels[line].values[row]),
      line: lineName(line, channels[line]),
    })),
  );
  const flagged = drawn.flatMap((d, line) =>
    [...d.flaggedRows].map((row) => {
      const value = shown(channels[line].values[row]);
      return {
        time: log.time[row] / scale.seconds,
        pressure: value > 0 ? value : domain[0],
        flag: flagWords(channels[line].flags[row]).join(', ') || 'at or below zero',
      };
    }),
  );
  const bands = segmentBands(segmented.segments, duration, scale.seconds, width);
  const setPoints = wanted.filter((s) => s.pressure > domain[0] && s.pressure < domain[1]);
  const outside = wanted.filter((s) => !setPoints.includes(s));

  const counts = flagCounts(...channels);
  const drawnRows = drawn.reduce((sum, d) => sum + d.rows.length, 0);
  const gaps = gapRows(log).length;
  const belowZero = drawn.reduce((sum, d) => sum + d.belowZero, 0);
  const subtitle = [
    `${log.file}, ${log.rows.toLocaleString('en')} readings over ${timeWords(duration)}${log.start ? `, from ${log.start}` : ''}`,
    ...(drawn.some((d) => d.thinned) ? [`drawn from ${drawnRows} readings that keep every extreme`] : []),
    ...(gaps > 0 ? [`${gaps === 1 ? 'a gap' : `${gaps} gaps`} without readings: the line stops there`] : []),
    ...(outside.length > 0 ? [`off the axis: ${outside.map((s) => s.label).join(', ')}`] : []),
    ...(counts.length > 0 ? [`flagged: ${counts.join(', ')}`] : []),
    ...(belowZero > 0 ? [`${belowZero} readings at or below zero are drawn at the foot of the axis`] : []),
  ];
  const text = [
    `Pressure against time, ${names.join(' and ')}: ${subtitle.join('; ')}.`,
    ...segmented.segments.map((s, i) => `${i + 1} ${segmentSentence(s, unit)}`),
  ].join('\n');

  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time from the first reading / ${scale.unit}`,
    scale: { domain: [0, duration / scale.seconds], nice: false },
  };
  const y = logPressureAxis(unit, domain);
  const legend =
    channels.length > 1 ? { orient: 'bottom', symbolType: 'stroke', symbolSize: 400, symbolOpacity: 1 } : null;
  return chart(
    {
      title: options.title ?? 'Pressure against time',
      subtitle,
      description: `Pressure of ${names.join(' and ')} against time with ${segmented.segments.length} segments`,
      text,
      ...(options.brush ? { brush: { input: options.brush, seconds: scale.seconds } } : {}),
    },
    {
      width,
      height,
      layer: [
        {
          data: { values: bands },
          mark: { type: 'rect', fillOpacity: 0.16 },
          encoding: {
            x: { ...x, field: 'start' },
            x2: { field: 'end' },
            y: { value: 0 },
            y2: { value: height },
            color: { field: 'colour', type: 'nominal', scale: null },
            tooltip: { field: 'words', title: 'segment' },
          },
        },
        {
          data: { values: bands },
          mark: { type: 'rect', height: 4, stroke: 'white', strokeWidth: 0.5 },
          encoding: {
            x: { ...x, field: 'start' },
            x2: { field: 'end' },
            y: { value: 0 },
            y2: { value: 5 },
            color: { field: 'colour', type: 'nominal', scale: null },
          },
        },
        {
          data: { values: bands.filter((band) => band.label !== '') },
          mark: { type: 'text', baseline: 'top', fontSize: 10 },
          encoding: {
            x: { ...x, field: 'middle' },
            y: { value: 8 },
            text: { field: 'label', type: 'nominal' },
          },
        },
        ...(setPoints.length > 0
          ? [
              {
                data: { values: setPoints },
                mark: { type: 'rule', strokeDash: [2, 3], color: '#555555' },
                encoding: { y },
              },
              {
                data: { values: setPoints },
                mark: {
                  type: 'text',
                  align: 'right',
                  baseline: 'bottom',
                  dx: -3,
                  dy: -1,
                  fontSize: 10,
                  color: '#555555',
                },
                encoding: { x: { value: 'width' }, y, text: { field: 'label', type: 'nominal' } },
              },
            ]
          : []),
        {
          data: { values: readings },
          ...(options.brush ? { params: [BRUSH] } : {}),
          mark: { type: 'line', strokeWidth: 1.3, clip: true },
          encoding: {
            x,
            y,
            color: {
              field: 'line',
              type: 'nominal',
              title: 'gauge',
              scale: { domain: channels.map((c, i) => lineName(i, c)), range: LINES.map((l) => l.colour) },
              legend,
            },
            strokeDash: {
              field: 'line',
              type: 'nominal',
              title: 'gauge',
              scale: { domain: channels.map((c, i) => lineName(i, c)), range: LINES.map((l) => l.dash) },
              legend,
            },
          },
        },
        {
          data: { values: flagged },
          mark: { type: 'point', shape: 'cross', size: 34, strokeWidth: 1.4, color: COLOURS.vermilion, clip: true },
          encoding: { x, y, tooltip: { field: 'flag', title: 'flag' } },
        },
      ],
    },
  );
}

/**
 * A segment in one line: kind, when, from which pressure to which.
 * @param segment the segment
 * @param unit pressure label to show
 */
export function segmentSentence(segment: Segment, unit: string): string {
  const side = segment.pumpSide ? ' (gauge on the pump side)' : '';
  return (
    `${segment.kind}${side}: ${timeWords(segment.startS)} to ${timeWords(segment.endS)}, ` +
    `${pressureWords(segment.startPa, unit)} to ${pressureWords(segment.endPa, unit)}`
  );
}

interface Drawn {
  readonly rows: Int32Array;
  readonly flaggedRows: Int32Array;
  readonly low: number;
  readonly high: number;
  readonly belowZero: number;
  readonly thinned: boolean;
}

/** Set points that the record did not reach are drawn too, where they are no more than a decade away. */
function domainWith(low: number, high: number, setPoints: readonly number[]): [number, number] {
  const near = setPoints.filter((p) => p > low / 10 && p < high * 10);
  return logDomain(Math.min(low, ...near), Math.max(high, ...near));
}

function drawnReadings(log: GaugeLog, channel: Channel, width: number): Drawn {
  const { values, flags } = channel;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let belowZero = 0;
  let good = 0;
  for (let row = 0; row < log.rows; row += 1) {
    if (flags[row] !== FLAG.good || !Number.isFinite(values[row])) continue;
    good += 1;
    if (values[row] > 0) {
      if (values[row] < low) low = values[row];
      if (values[row] > high) high = values[row];
    } else belowZero += 1;
  }
  const rows = thin(log.time, values, (row) => flags[row] === FLAG.good && values[row] > 0, width);
  const flaggedRows = thin(
    log.time,
    values,
    (row) => flags[row] !== FLAG.good || !(values[row] > 0),
    Math.round(width / 8),
  );
  return { rows, flaggedRows, low, high, belowZero, thinned: rows.length < good - belowZero };
}

function lineName(line: number, channel: Channel): string {
  return `${line + 1} ${channel.name}`;
}

interface Band {
  readonly start: number;
  readonly end: number;
  readonly middle: number;
  readonly colour: string;
  readonly label: string;
  readonly words: string;
}

const LETTER_PX = 5.6;

function segmentBands(segments: readonly Segment[], durationS: number, second: number, width: number): Band[] {
  return segments.map((segment, i) => {
    const px = ((segment.endS - segment.startS) / Math.max(durationS, 1e-9)) * width;
    const full = `${i + 1} ${segment.kind}`;
    const label = full.length * LETTER_PX < px ? full : String(i + 1).length * LETTER_PX < px ? String(i + 1) : '';
    return {
      start: segment.startS / second,
      end: segment.endS / second,
      middle: (segment.startS + segment.endS) / 2 / second,
      colour: FILL[segment.kind],
      label,
      words: `${full}, ${timeWords(segment.endS - segment.startS)}`,
    };
  });
}
