import type { RemarkAnswer } from '../causes';
import { FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { fromSI, shownUnit } from '../units';
import { shortNumber, timeScale, timeWords } from './axes';
import { brokenAtGaps, pressuresOf } from './broken-lines';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import { thin } from './thin';

const ANSWERED = ['yes', 'cannot tell', 'no'] as const;

/**
 * Pressure against time with a line where a person did something, told apart by whether the reading answered: a search
 * with tracer gas, bolts tightened, feeds blanked.
 * @param log the log, SI
 * @param channelName the pressure channel
 * @param answers what was done and whether the reading answered, in order of time
 * @param options unit, size, title
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the channel is not in the log or is no pressure
 */
export function remarksChart(
  log: GaugeLog,
  channelName: string,
  answers: readonly RemarkAnswer[],
  options: ChartOptions = {},
): ChartSpec {
  const channel = pressureChannel(log, channelName);
  const unit = options.unit ?? shownUnit(channel.unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const height = options.height ?? 260;
  const duration = log.time[log.rows - 1] ?? 0;
  const scale = timeScale(duration);
  const rows = thin(log.time, channel.values, (row) => channel.flags[row] === FLAG.good, width);
  const readings = brokenAtGaps(log, rows, (row) => ({
    time: log.time[row] / scale.seconds,
    pressure: fromSI(channel.values[row], unit),
  }));
  const marks = answers.map(({ remark, answers: said, text }, i) => ({
    time: remark.atS / scale.seconds,
    label: String(i + 1),
    use: said,
    words: text,
  }));
  const pressures = pressuresOf(readings);
  const least = pressures.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const most = pressures.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const range = readings.length > 0 ? `${shortNumber(least)} to ${shortNumber(most)} ${unit}` : 'no reading';
  const lines = answers.map(
    ({ remark, answers: said }, i) => `${i + 1} ${remark.text} (${timeWords(remark.atS)}): ${said}`,
  );
  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time from the first reading / ${scale.unit}`,
    scale: { domain: [0, duration / scale.seconds], nice: false },
  };
  const answered = { field: 'use', type: 'nominal', title: 'the reading answers' };
  return chart(
    {
      title: options.title ?? 'What was done, and what the reading did',
      subtitle: lines,
      description: `Pressure of ${channel.name} against time with ${answers.length} remarks`,
      text: [`${channel.name}, ${timeWords(duration)}, ${range}. Does the reading answer?`, ...lines].join('\n'),
    },
    {
      width,
      height,
      layer: [
        {
          data: { values: readings },
          mark: { type: 'line', strokeWidth: 1.2, color: COLOURS.black, clip: true },
          encoding: {
            x,
            y: { field: 'pressure', type: 'quantitative', title: `pressure / ${unit}`, scale: { zero: false } },
          },
        },
        {
          data: { values: marks },
          mark: { type: 'rule', strokeWidth: 1.6 },
          encoding: {
            x,
            color: {
              ...answered,
              scale: { domain: ANSWERED, range: [COLOURS.vermilion, COLOURS.orange, COLOURS.grey] },
              legend: { orient: 'bottom', symbolType: 'stroke', symbolSize: 400 },
            },
            strokeDash: {
              ...answered,
              scale: {
                domain: ANSWERED,
                range: [
                  [1, 0],
                  [6, 3],
                  [2, 3],
                ],
              },
              legend: { orient: 'bottom', symbolType: 'stroke', symbolSize: 400 },
            },
            tooltip: { field: 'words', title: 'remark' },
          },
        },
        {
          data: { values: marks },
          mark: { type: 'text', align: 'left', baseline: 'top', dx: 4, fontSize: 11, fontWeight: 'bold' },
          encoding: { x, y: { value: 3 }, text: { field: 'label', type: 'nominal' } },
        },
      ],
    },
  );
}
