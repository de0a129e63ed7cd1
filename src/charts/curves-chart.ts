import { ArgumentError } from '../errors';
import { requireSameLength } from '../numerics';
import { legendColumns, shortNumber } from './axes';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart, LINE_STYLES } from './chart';
import { thin } from './thin';

/** A curve with its name, in the units of the axes. */
export interface NamedCurve {
  readonly name: string;
  /** Ascending, in the unit of the x axis. */
  readonly x: ArrayLike<number>;
  /** In the unit of the y axis. What is not finite, or not above zero on a logarithmic axis, is left out. */
  readonly y: ArrayLike<number>;
  /** Drawn as points, where there are readings and no law between them. */
  readonly points?: boolean;
}

/** An axis of {@link curvesChart}. */
export interface CurvesAxis {
  /** What it counts, such as `pressure`. */
  readonly title: string;
  /** Its unit, for the reader; empty for plain numbers. */
  readonly unit: string;
  /** `linear` where absent. */
  readonly scale?: 'log' | 'linear';
  /** Its ends, in its unit; those of the curves where absent. */
  readonly domain?: readonly [number, number];
}

/** Options of {@link curvesChart}. */
export interface CurvesChartOptions extends Omit<ChartOptions, 'unit'> {
  /** Lines below the title. */
  readonly subtitle?: readonly string[];
  /** Levels marked across, in the unit of the y axis. */
  readonly levels?: readonly { readonly y: number; readonly label: string }[];
  /** Words at places of the picture, in the units of the axes. */
  readonly notes?: readonly { readonly x: number; readonly y: number; readonly label: string }[];
}

/**
 * Curves of one quantity against another, told apart by colour and by dash (points by shape): laws, computed courses,
 * tables. Axes are linear or logarithmic, with levels and words where wanted.
 * @param curves names and columns, 1 to 8
 * @param axes what the axes count
 * @param options levels, words at places, size, title
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where there are no or more than 8 curves, columns differ in length, or a curve has no point to draw
 */
export function curvesChart(
  curves: readonly NamedCurve[],
  axes: { readonly x: CurvesAxis; readonly y: CurvesAxis },
  options: CurvesChartOptions = {},
): ChartSpec {
  if (curves.length === 0 || curves.length > LINE_STYLES.length) {
    throw new ArgumentError('curves', curves.length, `1 to ${LINE_STYLES.length}`);
  }
  const width = options.width ?? CHART_WIDTH;
  const columns =
    curves.length > 1
      ? legendColumns(
          curves.map(({ name }) => name),
          width,
        )
      : 0;
  const drawn = curves.map((curve, i) => ({
    name: curve.name,
    points: curve.points,
    rows: rowsOf(curve, axes, width),
    style: LINE_STYLES[i],
  }));
  const sentences = drawn.map(({ name, rows }) => sentence(name, rows, axes));
  const levels = options.levels ?? [];
  const notes = options.notes ?? [];
  const across = (place: 0 | 1): number[] => drawn.flatMap(({ rows }) => rows.map((row) => row[place]));
  const x = { ...axisOf(axes.x, across(0)), field: 'x' };
  const y = { ...axisOf(axes.y, across(1)), field: 'y' };
  const layer: Record<string, unknown>[] = [];
  for (const points of [false, true]) {
    const of = drawn.filter((curve) => (curve.points ?? false) === points);
    if (of.length > 0) layer.push(curvesLayer(of, points, { x, y }, columns));
  }
  if (levels.length > 0) layer.push(...levelLayers(levels, y));
  if (notes.length > 0) {
    layer.push({
      data: { values: notes.map(({ x: at, y: up, label }) => ({ x: at, y: up, label })) },
      mark: { type: 'text', align: 'left', baseline: 'middle', fontSize: 11, color: COLOURS.black },
      encoding: { x, y, text: { field: 'label', type: 'nominal' } },
    });
  }
  const title = options.title ?? `${axes.y.title} against ${axes.x.title}`;
  return chart(
    {
      title,
      subtitle: options.subtitle ?? [],
      description: `${curves.length === 1 ? 'A curve' : `${curves.length} curves`} of ${axes.y.title} against ${axes.x.title}`,
      text: [
        `${title}:`,
        ...(options.subtitle ?? []),
        ...sentences,
        ...levels.map(({ y: at, label }) => `${label}: ${withUnit(at, axes.y)}`),
        ...notes.map(({ x: at, y: up, label }) => `${label}, at ${withUnit(at, axes.x)} and ${withUnit(up, axes.y)}`),
      ].join('\n'),
    },
    {
      width,
      height: options.height ?? 300,
      layer,
      resolve: { scale: { color: 'independent', strokeDash: 'independent', shape: 'independent' } },
    },
  );
}

/** A curve ready to be drawn. */
interface DrawnCurve {
  readonly name: string;
  readonly points?: boolean;
  readonly rows: readonly Row[];
  readonly style: (typeof LINE_STYLES)[number];
}

/** All curves that are lines, or all that are points, with a legend of their own. */
function curvesLayer(
  curves: readonly DrawnCurve[],
  points: boolean,
  axes: { readonly x: unknown; readonly y: unknown },
  columns: number,
): Record<string, unknown> {
  const domain = curves.map(({ name }) => name);
  const told = { field: 'line', type: 'nominal', title: null };
  const legend = columns
    ? {
        orient: 'bottom',
        columns,
        labelLimit: 600,
        ...(points ? {} : { symbolType: 'stroke', symbolSize: 400 }),
      }
    : null;
  const second = points
    ? { shape: { ...told, scale: { domain, range: curves.map(({ style }) => style.shape) }, legend } }
    : { strokeDash: { ...told, scale: { domain, range: curves.map(({ style }) => style.dash) }, legend } };
  return {
    data: { values: curves.flatMap(({ name, rows }) => rows.map(([along, up]) => ({ x: along, y: up, line: name }))) },
    mark: points
      ? { type: 'point', filled: true, size: 55, clip: true }
      : { type: 'line', strokeWidth: 1.8, clip: true },
    encoding: {
      ...axes,
      color: { ...told, scale: { domain, range: curves.map(({ style }) => style.colour) }, legend },
      ...second,
    },
  };
}

type Row = readonly [x: number, y: number];

function rowsOf(curve: NamedCurve, axes: { readonly x: CurvesAxis; readonly y: CurvesAxis }, width: number): Row[] {
  requireSameLength(`columns of ${curve.name}`, curve.x, curve.y);
  const x = Float64Array.from(curve.x);
  const y = Float64Array.from(curve.y);
  const fits = (value: number, axis: CurvesAxis): boolean =>
    Number.isFinite(value) && (axis.scale !== 'log' || value > 0);
  const along = axes.x.scale === 'log' ? x.map((value) => Math.log(Math.max(value, Number.MIN_VALUE))) : x;
  const kept = thin(along, y, (row) => fits(x[row], axes.x) && fits(y[row], axes.y), width);
  if (kept.length === 0) throw new ArgumentError(`curve "${curve.name}"`, 'no point', 'at least one that can be drawn');
  return [...kept].map((row) => [x[row], y[row]] as const);
}

function withUnit(value: number, axis: CurvesAxis): string {
  return `${shortNumber(value)}${axis.unit ? ` ${axis.unit}` : ''}`;
}

function sentence(
  name: string,
  rows: readonly Row[],
  axes: { readonly x: CurvesAxis; readonly y: CurvesAxis },
): string {
  const [first, last] = [rows[0], rows[rows.length - 1]];
  const from = `${withUnit(first[1], axes.y)} at ${withUnit(first[0], axes.x)}`;
  return `${name}: ${from}${rows.length > 1 ? `, ${withUnit(last[1], axes.y)} at ${withUnit(last[0], axes.x)}` : ''}`;
}

/** From this many decades on only whole ones are named and ruled. */
const MANY_DECADES = 3;

function axisOf(axis: CurvesAxis, shown: readonly number[]): Record<string, unknown> {
  const log = axis.scale === 'log';
  const [low, high] = axis.domain ?? [shown.reduce((a, b) => Math.min(a, b)), shown.reduce((a, b) => Math.max(a, b))];
  const decades = log ? wholeDecades(low, high) : [];
  return {
    type: 'quantitative',
    title: axis.unit ? `${axis.title} / ${axis.unit}` : axis.title,
    scale: {
      ...(log ? { type: 'log' } : { zero: false }),
      nice: false,
      ...(axis.domain ? { domain: axis.domain } : {}),
    },
    axis: {
      labelOverlap: true,
      ...(log ? { format: '~g', tickCount: 8 } : {}),
      ...(decades.length >= MANY_DECADES ? { values: decades } : {}),
    },
  };
}

function wholeDecades(low: number, high: number): number[] {
  const first = Math.ceil(Math.log10(low) - 1e-9);
  const last = Math.floor(Math.log10(high) + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => 10 ** (first + i));
}

function levelLayers(
  levels: readonly { readonly y: number; readonly label: string }[],
  y: Record<string, unknown>,
): Record<string, unknown>[] {
  const data = { values: levels.map((level) => ({ y: level.y, label: level.label })) };
  return [
    { data, mark: { type: 'rule', strokeDash: [5, 3], color: COLOURS.grey }, encoding: { y } },
    {
      data,
      mark: { type: 'text', align: 'left', baseline: 'bottom', dx: 4, dy: -2, fontSize: 10, color: COLOURS.black },
      encoding: { x: { value: 0 }, y, text: { field: 'label', type: 'nominal' } },
    },
  ];
}
