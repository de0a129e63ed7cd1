import type * as coreSide from '../../../src/index';
import { type ChartSpec, type GaugeLog, LogError, type ReadOptions, readLog } from '../../../src/index';
import { remembering } from '../../../src/numerics/remembering';
import type { Input } from '../../inputs/options';
import type { NotebookDoor } from '../../notebook-door';
import type { PackedFile } from '../page-content';
import { breath } from './breath';
import type { Controls } from './controls';
import { bytesOfPacked } from './packed-files';
import type { CellView } from './run-cells';

/** What the browser side of the kit is made of. */
export interface KitParts {
  readonly core: typeof coreSide;
  readonly files: readonly PackedFile[];
  readonly controls: Controls;
  /** Width for charts that name none, px. */
  readonly width: () => number;
}

/** What a cell gets: the door of a notebook, with inputs that are told the name of their const by the translation. */
export type PageKit = Omit<NotebookDoor, 'input'> & { readonly input: { readonly named: (name: string) => Input } };

/**
 * The browser side of `blankoff/notebook`: the core as it is, and what a page offers besides.
 * @param parts core, packed files, controls, width of charts
 * @returns gives a running cell its kit
 */
export function kitFor(parts: KitParts): (view: CellView, cell: number) => PageKit & typeof coreSide {
  const charts = chartsOf(parts);
  const logs = new Map<string, Promise<GaugeLog>>();
  const readLogFile = (path: string | readonly string[], options: ReadOptions = {}): Promise<GaugeLog> => {
    const key = JSON.stringify([path, options]);
    const log = logs.get(key) ?? Promise.resolve().then(() => readPacked(parts.files, path, options));
    logs.set(key, log);
    return log;
  };
  return (view, cell) => ({
    ...parts.core,
    ...charts,
    show: (thing, options) => view.show(thing, { withinPx: parts.width(), ...options }),
    input: { named: (name) => parts.controls.input(name, cell) as Input },
    readLogFile,
    // A page holds the log as it was when the page was made.
    follow: (path, { everyMs: _, ...options } = {}) => readLogFile(path, options),
    sinceLastRow: async () => null,
    // What a cell shows is seen when it is done.
    progress: breath,
    reactive: () => true,
  });
}

function readPacked(files: readonly PackedFile[], path: string | readonly string[], options: ReadOptions): GaugeLog {
  const wanted = (typeof path === 'string' ? [path] : path).map((asked) => {
    const file = files.find((packed) => packed.asked === asked);
    if (!file) {
      const expected = `one of the packed logs: ${files.map((packed) => packed.asked).join(', ') || 'there are none'}`;
      throw new LogError({ file: asked, met: 'a log that is not in this page', expected });
    }
    return file;
  });
  return readLog(wanted.map(bytesOfPacked), { ...options, file: options.file ?? wanted.map((file) => file.name) });
}

/** Charts of one kind that a page shows, about. */
const MOST_CHARTS = 4;

/** The charts with a width that fits the page, where the cell names none or a larger one. */
function chartsOf({ core, width }: KitParts): Record<string, unknown> {
  type Chart = (...given: unknown[]) => unknown;
  const names = [
    'pressureChart',
    'isolationChart',
    'residualsChart',
    'pumpDownChart',
    'comparisonChart',
    'intervalsChart',
    'curvesChart',
    'rateAgainstTimePumpedChart',
    'remarksChart',
    'lastMinutesChart',
  ] as const;
  const fitted = (name: (typeof names)[number]): Chart => {
    const draw = core[name] as Chart;
    // The options come last and have a default, so they are not counted.
    const place = draw.length;
    // A move of an input asks for most charts again with the same numbers.
    const drawOnce = remembering((...given: readonly unknown[]) => draw(...given) as object, MOST_CHARTS);
    return (...given) => {
      const asked = (given[place] as { readonly width?: number } | undefined) ?? {};
      const isTooWide = asked.width === undefined || asked.width > width() - BESIDE_AXES;
      const chart = drawOnce(...given.slice(0, place), isTooWide ? { ...asked, width: width() } : asked);
      return isTooWide ? inPlace(chart, width()) : { ...chart };
    };
  };
  const sideBySide: typeof core.sideBySide = (charts, title, columns) =>
    core.sideBySide(charts.map(freely), title, width() < NARROW ? 1 : columns);
  return { ...Object.fromEntries(names.map((name) => [name, fitted(name)])), sideBySide };
}

/** What is written beside the axes takes so much, px, as a rule. */
const BESIDE_AXES = 80;

/** A page narrower than this, px, has no room for legends and charts beside each other. */
const NARROW = 480;

/** What is written beside the axes is of any width: the chart shall fit into its place with it. */
function inPlace(chart: object, width: number): object {
  const fitting = { ...chart, autosize: { type: 'fit-x', contains: 'padding' } };
  if (width >= NARROW) return fitting;
  const { config } = chart as { readonly config?: { readonly legend?: object } };
  return { ...fitting, config: { ...config, legend: { ...config?.legend, columns: 2 } } };
}

/** A chart that stands beside others has no place of its own to fit into. */
function freely(chart: ChartSpec): ChartSpec {
  const { autosize: _, ...free } = chart as ChartSpec & { readonly autosize?: unknown };
  return free;
}
