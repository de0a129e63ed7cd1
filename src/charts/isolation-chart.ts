import type { RateOfRise } from '../fits/results';
import { FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { clockText, wallClock } from '../log/wall-clock';
import type { Estimate } from '../numerics/estimate';
import { formatInterval, fromSI, shownUnit } from '../units';
import { pressureWords, timeScale, timeWords } from './axes';
import { BRUSH, CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import { thin } from './thin';

/** Options of {@link isolationChart}. */
export interface IsolationChartOptions extends ChartOptions {
  /** Name of an input that holds a window of time, s from the first reading, as in {@link PressureChartOptions}. */
  readonly brush?: string;
}

/**
 * One isolation on linear axes: readings, the curve fitted in the judged window with its 95 % band, the straight line
 * of the first rate (what the rise would be if it did not slow down), and what was left out after closing.
 * @param log the log, SI
 * @param rise the rate of rise of the isolation
 * @param options unit, size, title, the input that dragging over the chart sets
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the log has no such channel; QuantityError where the unit is unknown
 */
export function isolationChart(log: GaugeLog, rise: RateOfRise, options: IsolationChartOptions = {}): ChartSpec {
  const channel = pressureChannel(log, rise.channel);
  const unit = options.unit ?? shownUnit(channel.unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const height = options.height ?? 280;
  const { segment, windowS, curve } = rise;
  const scale = timeScale(segment.endS - segment.startS);
  const shown = (pa: number): number => fromSI(pa, unit);
  const since = (seconds: number): number => (seconds - segment.startS) / scale.seconds;

  const inSegment = (row: number): boolean => row >= segment.from && row <= segment.to;
  const time = log.time.subarray(segment.from, segment.to + 1);
  const values = channel.values.subarray(segment.from, segment.to + 1);
  const drawn = thin(time, values, () => true, width).map((row) => row + segment.from);
  const used = new Set(rise.rows);
  const readings = [...drawn].filter(inSegment).map((row) => ({
    time: since(log.time[row]),
    pressure: shown(channel.values[row]),
    use: channel.flags[row] !== FLAG.good ? 'flagged' : used.has(row) ? 'judged' : 'left out',
  }));
  const fitted = [...curve.timeS].map((t, i) => ({
    time: since(t),
    pressure: shown(curve.pa[i]),
    low: shown(curve.lowPa[i]),
    high: shown(curve.highPa[i]),
  }));
  const startPa = curve.pa[0];
  const straight = [windowS[0], windowS[1]].map((t) => ({
    time: since(t),
    pressure: shown(startPa + rise.initialRate.value * (t - windowS[0])),
  }));

  // Per second, as everywhere: times the volume it is the gas load.
  const rate = (estimate: Estimate): string => formatInterval(estimate, `${unit}/s`);
  const wall = wallClock(log);
  const byClock = wall ? `, ${clockText(wall, segment.startS)} by the clock${wall.utc ? ' (UTC)' : ''}` : '';
  const lines = 'solid: the curve fitted, and its 95 % band; dashed: the first rate kept up';
  const subtitle = [
    `shut off after ${timeWords(segment.startS)}${byClock}; left out after closing: ${timeWords(rise.dwellS)}`,
    `mean rate ${rate(rise.rate)} over ${timeWords(windowS[1] - windowS[0])}, ${rise.rows.length} readings`,
    `first rate ${rate(rise.initialRate)}`,
    `last rate ${rate(rise.finalRate)}`,
  ];
  const text = [
    `Isolation from ${timeWords(segment.startS)} to ${timeWords(segment.endS)}, ` +
      `${pressureWords(segment.startPa, unit)} to ${pressureWords(segment.endPa, unit)}.`,
    ...subtitle,
    ...rise.notes,
  ].join('\n');

  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time since closing / ${scale.unit}`,
    scale: { nice: false },
  };
  const y = {
    field: 'pressure',
    type: 'quantitative',
    title: `pressure / ${unit}`,
    scale: { zero: false },
  };
  return chart(
    {
      title: options.title ?? 'Pressure rise with the chamber shut off',
      subtitle: [...subtitle, lines],
      description: `Pressure rise of ${rise.channel} during an isolation with its fitted curve`,
      text,
      ...(options.brush ? { brush: { input: options.brush, seconds: scale.seconds, startS: segment.startS } } : {}),
    },
    {
      width,
      height,
      layer: [
        {
          data: { values: fitted },
          mark: { type: 'area', opacity: 0.3, color: COLOURS.sky },
          encoding: { x, y: { ...y, field: 'low' }, y2: { field: 'high' } },
        },
        {
          data: { values: readings },
          ...(options.brush ? { params: [BRUSH] } : {}),
          mark: { type: 'point', size: 16, strokeWidth: 1, clip: true },
          encoding: {
            x,
            y,
            color: {
              field: 'use',
              type: 'nominal',
              title: 'reading',
              scale: {
                domain: ['judged', 'left out', 'flagged'],
                range: [COLOURS.black, COLOURS.grey, COLOURS.vermilion],
              },
              legend: { orient: 'bottom' },
            },
            shape: {
              field: 'use',
              type: 'nominal',
              title: 'reading',
              scale: { domain: ['judged', 'left out', 'flagged'], range: ['circle', 'triangle-up', 'cross'] },
              legend: { orient: 'bottom' },
            },
          },
        },
        {
          data: { values: straight },
          mark: { type: 'line', strokeDash: [5, 4], strokeWidth: 1.2, color: COLOURS.vermilion, clip: true },
          encoding: { x, y },
        },
        {
          data: { values: fitted },
          mark: { type: 'line', strokeWidth: 2, color: COLOURS.blue },
          encoding: { x, y },
        },
      ],
    },
  );
}
