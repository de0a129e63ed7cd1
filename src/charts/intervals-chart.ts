import { ArgumentError } from '../errors';
import type { Estimate } from '../numerics';
import { fromSI, shownUnit } from '../units';
import { shortNumber, toldApart } from './axes';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';

/** A value with its name, such as a load before and after. */
export interface NamedEstimate {
  readonly name: string;
  /** SI, with its 95 % interval; ends without bound are drawn to the edge. */
  readonly estimate: Estimate;
}

/** Options of {@link intervalsChart}. */
export interface IntervalsChartOptions extends Omit<ChartOptions, 'unit'> {
  /** What is drawn, such as `gas load`. */
  readonly what?: string;
  /** What the intervals are; `95 %` where absent. */
  readonly intervals?: string;
  /** A value to mark across, SI. */
  readonly limit?: number;
  /** What that value is; `limit` where absent. */
  readonly limitName?: string;
}

/** From this ratio of the largest to the smallest value on, the axis is logarithmic. */
const LOG_FROM = 20;
const ROW_PX = 30;

/**
 * Values with their 95 % intervals, one a row, with a limit where there is one: loads before and after, of sections, of
 * isolations one after another. The axis is logarithmic where the values lie far apart and none reaches zero.
 * @param items names and values, SI, 1 to 40
 * @param unit the label of the unit to show them in
 * @param options what it is, limit, title, width
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError without items or with more than 40
 */
export function intervalsChart(
  items: readonly NamedEstimate[],
  unit: string,
  options: IntervalsChartOptions = {},
): ChartSpec {
  if (items.length === 0 || items.length > 40) throw new ArgumentError('intervals', items.length, '1 to 40');
  const { what = 'value', intervals = '95 %' } = options;
  const known = shownUnit(unit);
  const shown = (si: number): number => (Number.isFinite(si) ? fromSI(si, known) : si);
  const limit = options.limit === undefined ? null : shown(options.limit);
  const labels = toldApart(items.map(({ name }) => name));
  const rows = items.map(({ estimate }, i) => ({
    label: labels[i],
    middle: shown(estimate.value),
    low: shown(estimate.low),
    high: shown(estimate.high),
  }));
  const ends = rows.flatMap(({ middle, low, high }) => [middle, low, high]).filter(Number.isFinite);
  const all = limit === null ? ends : [...ends, limit];
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const onLog = least > 0 && most / least > LOG_FROM;
  const air = onLog ? (most / least) ** 0.05 : 0.05 * (most - least || Math.abs(most) || 1);
  const domain = onLog ? [least / air, most * air] : [Math.min(0, least - (least < 0 ? air : 0)), most + air];
  const drawn = rows.map((row) => ({
    ...row,
    low: Math.max(row.low, domain[0]),
    high: Math.min(row.high, domain[1]),
    words: `${row.label}: ${shortNumber(row.middle)} ${unit} (${intervals}: ${shortNumber(row.low)} to ${shortNumber(row.high)})`,
  }));
  const limitWords = limit === null ? [] : [`${options.limitName ?? 'limit'}: ${shortNumber(limit)} ${unit}, dashed`];
  const x = {
    type: 'quantitative',
    title: `${what} / ${unit}`,
    scale: onLog ? { type: 'log', domain, nice: false } : { domain, nice: false },
    axis: { format: onLog ? '~g' : '.3~g', tickCount: 6, labelOverlap: true },
  };
  const y = { field: 'label', type: 'nominal', title: null, sort: null, axis: { labelLimit: 220, grid: false } };
  return chart(
    {
      title: options.title ?? `${what[0]?.toUpperCase() ?? ''}${what.slice(1)} with ${intervals} intervals`,
      subtitle: limitWords,
      description: `${items.length} values of ${what} with their ${intervals} intervals`,
      text: [`${what} with ${intervals} intervals:`, ...drawn.map(({ words }) => words), ...limitWords].join('\n'),
    },
    {
      width: options.width ?? CHART_WIDTH,
      height: options.height ?? ROW_PX * items.length,
      layer: [
        {
          data: { values: drawn },
          mark: { type: 'rule', strokeWidth: 3, color: COLOURS.blue },
          encoding: { y, x: { ...x, field: 'low' }, x2: { field: 'high' }, tooltip: { field: 'words', title: what } },
        },
        {
          data: { values: drawn },
          mark: { type: 'point', filled: true, size: 70, color: COLOURS.black },
          encoding: { y, x: { ...x, field: 'middle' }, tooltip: { field: 'words', title: what } },
        },
        ...(limit === null
          ? []
          : [
              {
                data: { values: [{ middle: limit }] },
                mark: { type: 'rule', strokeDash: [5, 3], strokeWidth: 1.6, color: COLOURS.vermilion },
                encoding: { x: { ...x, field: 'middle' } },
              },
            ]),
      ],
    },
  );
}
