import { ArgumentError } from '../errors';
import { FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { fromSI, shownUnit } from '../units';
import { legendColumns, logDomain, logPressureAxis, shortNumber, timeScale, timeWords, toldApart } from './axes';
import { brokenAtGaps, pressuresOf } from './broken-lines';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, chart, LINE_STYLES } from './chart';
import { thin } from './thin';

/** One of the records to lay over each other. */
export interface ComparedRecord {
  /** What the reader should call it, such as `before` and `after`. */
  readonly name: string;
  readonly log: GaugeLog;
  /** The pressure channel to draw. */
  readonly channel: string;
  /** Where its time zero lies, s from its first row: the start of the stretch to compare. */
  readonly fromS: number;
  /** Where it ends, s from its first row. */
  readonly toS: number;
}

/** Options of {@link comparisonChart}. */
export interface ComparisonChartOptions extends ChartOptions {
  readonly pressureAxis?: 'log' | 'linear';
}

/** More than four lines over each other cannot be read. */
const LINES = LINE_STYLES.slice(0, 4);

/**
 * Two to four records laid over each other from a common time zero, such as before and after a repair.
 * @param records what to compare, 2 to 4
 * @param options unit, size, title, pressure axis (`log` where absent)
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the number of records is not 2 to 4
 */
export function comparisonChart(records: readonly ComparedRecord[], options: ComparisonChartOptions = {}): ChartSpec {
  if (records.length < 2 || records.length > LINES.length) {
    throw new ArgumentError('comparison chart', `${records.length} records`, '2 to 4');
  }
  const channels = records.map((record) => pressureChannel(record.log, record.channel));
  const unit = options.unit ?? shownUnit(channels[0].unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const scale = timeScale(Math.max(...records.map((r) => r.toS - r.fromS)));
  const onLog = (options.pressureAxis ?? 'log') === 'log';
  const names = toldApart(records.map(({ name }) => name));

  const values = records.flatMap((record, i) => {
    const { flags } = channels[i];
    const rows = thin(
      record.log.time,
      channels[i].values,
      (row) =>
        flags[row] === FLAG.good &&
        record.log.time[row] >= record.fromS &&
        record.log.time[row] <= record.toS &&
        (!onLog || channels[i].values[row] > 0),
      width,
    );
    return brokenAtGaps(record.log, rows, (row) => ({
      time: (record.log.time[row] - record.fromS) / scale.seconds,
      pressure: fromSI(channels[i].values[row], unit),
      record: names[i],
    }));
  });
  const pressures = pressuresOf(values);
  const domain = logDomain(
    pressures.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
    pressures.reduce((a, b) => Math.max(a, b), 0),
  );
  const sentences = records.map((record, i) => {
    const of = pressuresOf(values.filter((v) => v.record === names[i]));
    const range = of.length > 0 ? `${shortNumber(of[0])} to ${shortNumber(of[of.length - 1])} ${unit}` : 'no reading';
    return `${names[i]} (${record.log.file}): ${timeWords(record.toS - record.fromS)}, ${range}`;
  });
  const colour = {
    field: 'record',
    type: 'nominal',
    title: 'record',
    legend: {
      orient: 'bottom',
      symbolType: 'stroke',
      symbolSize: 400,
      labelLimit: 600,
      columns: legendColumns(names, width),
    },
  };
  return chart(
    {
      title: options.title ?? 'Records compared',
      subtitle: sentences,
      description: `Pressure of ${records.length} records from a common time zero`,
      text: ['Records compared:', ...sentences].join('\n'),
    },
    {
      width,
      height: options.height ?? 300,
      data: { values },
      mark: { type: 'line', strokeWidth: 1.6, clip: true },
      encoding: {
        x: {
          field: 'time',
          type: 'quantitative',
          title: `time from the common start / ${scale.unit}`,
          scale: { nice: false },
        },
        y: onLog
          ? logPressureAxis(unit, domain)
          : {
              field: 'pressure',
              type: 'quantitative',
              title: `pressure / ${unit}`,
              scale: { zero: false },
            },
        color: { ...colour, scale: { domain: names, range: LINES.map((l) => l.colour) } },
        strokeDash: { ...colour, scale: { domain: names, range: LINES.map((l) => l.dash) } },
      },
    },
  );
}
