import { ArgumentError } from '../errors';
import { type RateAfterPumping, rateExponent } from '../fits/rate-exponent';
import { fromSI } from '../units';
import { logDomain, shortNumber, timeScale, timeWords } from './axes';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart, LINE_STYLES } from './chart';

/** The isolations of one record or of one chamber. */
export interface RepeatedIsolations {
  /** What the reader should call them. */
  readonly name: string;
  readonly rates: readonly RateAfterPumping[];
}

/** Powers of time to compare with, what they stand for, and where along the axis their words begin (or, below, end). */
const GUIDES = [
  { power: 0, label: 'as a leak: t^0', above: true, at: 0.1 },
  { power: -0.5, label: 'as thick polymer: t^-0.5', above: true, at: 0.24 },
  { power: -1, label: 'as unbaked metal: t^-1', above: false, at: 0.48 },
] as const;

/**
 * Rates of rise of repeated isolations against the time pumped until their middle, on logarithmic axes, where a power of time
 * is a straight line; with the lines of a leak, of polymer and of metal from the first point, and the power that the points
 * themselves follow.
 * @param records one to four sets of isolations, each of at least two whose rates are above zero
 * @param options unit of pressure (mbar where absent), size, title
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the number of records is not 1 to 4, or one has fewer than two rates above zero
 */
export function rateAgainstTimePumpedChart(
  records: readonly RepeatedIsolations[],
  options: ChartOptions = {},
): ChartSpec {
  if (records.length === 0 || records.length > 4) throw new ArgumentError('records', records.length, '1 to 4');
  const unit = options.unit ?? 'mbar';
  const used = records.map(({ name, rates }) => ({
    name,
    exponent: rateExponent(rates),
    rates: rates.filter(({ rate }) => rate.value > 0),
  }));
  const scale = timeScale(Math.max(...used.flatMap(({ rates }) => rates.map(({ pumpedS }) => pumpedS))));
  const shown = (perS: number): number => fromSI(perS * scale.seconds, unit);
  const points = used.flatMap(({ name, rates }) =>
    rates.map(({ pumpedS, rate }) => ({
      time: pumpedS / scale.seconds,
      middle: shown(rate.value),
      low: Number.isFinite(rate.low) ? shown(rate.low) : shown(rate.value),
      high: Number.isFinite(rate.high) ? shown(rate.high) : shown(rate.value),
      record: name,
      words: `${name}, pumped for ${timeWords(pumpedS)}: ${shortNumber(shown(rate.value))} ${unit}/${scale.unit}`,
    })),
  );
  const times = points.map(({ time }) => time);
  const [earliest, latest] = [Math.min(...times) * 0.85, Math.max(...times) * 1.15];
  const first = points.reduce((a, b) => (b.time < a.time || (b.time === a.time && b.middle > a.middle) ? b : a));
  const guides = GUIDES.map(({ power, label, above, at: part }) => {
    const at = (time: number): number => first.middle * (time / first.time) ** power;
    const place = earliest * (latest / earliest) ** part;
    return {
      above,
      words: { time: place, middle: at(place), label },
      ends: [earliest, latest].map((time) => ({ time, middle: at(time), label })),
    };
  });
  const heights = [...points.map(({ middle }) => middle), ...guides.map(({ ends }) => ends[1].middle)];
  const domain = logDomain(Math.min(...heights), Math.max(...heights));
  const drawn = points.map((point) => ({ ...point, low: Math.max(point.low, domain[0]) }));

  const sentences = used.map(({ name, exponent, rates }) => {
    const interval = Number.isFinite(exponent.low)
      ? ` (95 %: ${power(exponent.low)} to ${power(exponent.high)})`
      : ', from two isolations alone';
    return `${name}: ${rates.length} isolations, time to the power ${power(exponent.value)}${interval}`;
  });
  const names = used.map(({ name }) => name);
  const told = { field: 'record', type: 'nominal', title: null };
  const legend = names.length > 1 ? { orient: 'bottom', columns: 2, labelLimit: 300 } : null;
  const style = (kind: 'colour' | 'shape'): string[] => names.map((_, i) => LINE_STYLES[i][kind]);
  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time since pumping began / ${scale.unit}`,
    scale: { type: 'log', domain: [earliest, latest], nice: false },
    axis: { format: '~g', labelOverlap: true },
  };
  const y = {
    field: 'middle',
    type: 'quantitative',
    title: `rate of rise / (${unit}/${scale.unit})`,
    scale: { type: 'log', domain, nice: false, clamp: true },
    axis: { format: '~g', labelOverlap: true, tickCount: 8 },
  };
  return chart(
    {
      title: options.title ?? 'Rates of rise against the time pumped',
      subtitle: sentences,
      description: `Rates of rise of ${points.length} isolations against the time pumped, with lines of three powers`,
      text: [
        'Rates of rise against the time pumped:',
        ...sentences,
        ...points.map(({ words }) => words),
        'A leak keeps its rate, polymer falls as the square root of the time, unbaked metal as the time.',
      ].join('\n'),
    },
    {
      width: options.width ?? CHART_WIDTH,
      height: options.height ?? 300,
      layer: [
        {
          data: { values: guides.flatMap(({ ends }) => ends) },
          mark: { type: 'line', color: COLOURS.grey, strokeWidth: 1, strokeDash: [4, 3], clip: true },
          encoding: { x, y, detail: { field: 'label', type: 'nominal' } },
        },
        ...[true, false].map((above) =>
          guideWords(
            guides.filter((guide) => guide.above === above).map(({ words }) => words),
            above,
            { x, y },
          ),
        ),
        {
          data: { values: drawn },
          mark: { type: 'rule', strokeWidth: 1.5 },
          encoding: {
            x,
            y: { ...y, field: 'low' },
            y2: { field: 'high' },
            color: { ...told, scale: { domain: names, range: style('colour') }, legend },
          },
        },
        {
          data: { values: drawn },
          mark: { type: 'point', filled: true, size: 60 },
          encoding: {
            x,
            y,
            color: { ...told, scale: { domain: names, range: style('colour') }, legend },
            shape: { ...told, scale: { domain: names, range: style('shape') }, legend },
            tooltip: { field: 'words', title: 'isolation' },
          },
        },
      ],
    },
  );
}

/** A power with two decimals, none of them `-0.00`. */
function power(value: number): string {
  return (Math.round(value * 100) / 100 + 0).toFixed(2);
}

/** What the lines stand for, above them or below. */
function guideWords(
  values: readonly Record<string, unknown>[],
  above: boolean,
  axes: { readonly x: unknown; readonly y: unknown },
): Record<string, unknown> {
  const where = above
    ? { align: 'left', baseline: 'bottom', dx: 4, dy: -2 }
    : { align: 'right', baseline: 'top', dx: -6, dy: 2 };
  return {
    data: { values },
    mark: { type: 'text', fontSize: 10, color: COLOURS.black, ...where },
    encoding: { ...axes, text: { field: 'label', type: 'nominal' } },
  };
}
