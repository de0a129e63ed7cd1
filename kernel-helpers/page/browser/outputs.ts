import embed, { type Result } from 'vega-embed';
import { expressionInterpreter } from 'vega-interpreter';
import { sameContent } from '../../../src/numerics/remembering';
import { bundleOf, type ShowOptions } from '../../display/bundle';
import { VEGA_LITE_MIME } from '../../display/mime';
import { inspectText } from './inspect-text';
import type { CellView } from './run-cells';

/** Told when somebody drags over a chart that sets an input: the input, and the window in seconds. */
export type BrushListener = (input: string, fromS: number, toS: number) => void;

/** Where a chart says that dragging over it sets an input. */
interface Brush {
  readonly input: string;
  readonly seconds: number;
  readonly startS?: number;
}

/** What the page reads of a chart's specification. */
interface Spec {
  readonly title?: { readonly text: string; readonly subtitle?: readonly string[] };
  readonly usermeta?: { readonly text?: string; readonly brush?: Brush };
  readonly params?: readonly object[];
}

/** A chart on the page. */
interface DrawnChart {
  spec: Spec;
  readonly element: HTMLElement;
  /** The chart in words. */
  readonly words: HTMLElement;
  result: Promise<Result>;
}

/**
 * The place of a cell's outputs on the page. What a run shows is put together out of sight and takes the place of what
 * stood there at once, so that nothing jumps; a chart that would look the same stays as it is, with what was brushed on
 * it, and charts that are gone are let go.
 * @param place the element
 * @param onBrush told of windows that are dragged over charts
 */
export function cellView(place: HTMLElement, onBrush: BrushListener): CellView {
  let next: HTMLElement[] = [];
  let standing: DrawnChart[] = [];
  let drawing: DrawnChart[] = [];
  const chartElement = (spec: Spec, text: string): HTMLElement => {
    const left = standing.filter((chart) => !drawing.includes(chart));
    const same = left.find((chart) => sameContent(chart.spec, spec));
    const alike = same ?? left.find((chart) => sameContent(withoutWords(chart.spec), withoutWords(spec)));
    if (alike && !same) sayAnew(alike, spec, text);
    const chart = alike ?? drawChart(spec, text, onBrush);
    drawing.push(chart);
    return chart.element;
  };
  const replace = (): void => {
    // The height is kept until new charts have been drawn, else the page would jump under the reader. Asking for it lays
    // out the page, so only then.
    if (drawing.some((chart) => !standing.includes(chart))) place.style.minHeight = `${place.offsetHeight}px`;
    const kept = new Set(next.filter((element) => element.parentElement === place));
    for (const old of [...place.childNodes]) if (!kept.has(old as HTMLElement)) old.remove();
    // A chart that stays must not be taken out and put back: it would lose the focus and the hand on it.
    for (const [i, element] of next.entries()) {
      if (place.children[i] !== element) place.insertBefore(element, place.children[i] ?? null);
    }
    for (const chart of standing) if (!drawing.includes(chart)) letGo(chart);
    [standing, drawing, next] = [drawing, [], []];
    void drawn().then(() => {
      place.style.minHeight = '';
    });
  };
  const drawn = async (): Promise<void> => {
    await Promise.allSettled(standing.map((chart) => chart.result));
  };
  return {
    begin: () => {
      for (const chart of drawing) if (!standing.includes(chart)) letGo(chart);
      [drawing, next] = [[], []];
    },
    show: (thing, options) => void next.push(outputElement(thing, options ?? {}, chartElement)),
    settle: replace,
    drawn,
    say: (words, kind) => {
      const element = document.createElement('pre');
      element.className = kind;
      element.textContent = words;
      next.push(element);
      replace();
    },
  };
}

function letGo({ result }: DrawnChart): void {
  result.then(
    ({ finalize }) => finalize(),
    () => {},
  );
}

function outputElement(
  thing: unknown,
  options: ShowOptions,
  chartElement: (spec: Spec, text: string) => HTMLElement,
): HTMLElement {
  const data = bundleOf(thing, options, () => null)?.data;
  const text = String(data?.['text/plain'] ?? inspectText(thing));
  if (data && VEGA_LITE_MIME in data) return chartElement(data[VEGA_LITE_MIME] as Spec, text);
  const element = document.createElement('div');
  element.className = 'output';
  if (typeof data?.['text/html'] === 'string') {
    element.classList.add('wide');
    // Made by the kit out of escaped texts; a script could not run here in any case.
    element.innerHTML = data['text/html'];
    return element;
  }
  const words = document.createElement('pre');
  words.textContent = text;
  element.append(words);
  return element;
}

/** Names of what a chart's title is read from, so that it can say something else without being drawn anew. */
const [HEADING, BELOW] = ['blankoffHeading', 'blankoffBelow'];

function withLiveTitle(spec: Spec): object {
  if (!spec.title) return spec;
  const { text, subtitle = [] } = spec.title;
  const title = { ...spec.title, text: { expr: HEADING }, subtitle: { expr: BELOW } };
  const params = [...(spec.params ?? []), { name: HEADING, value: text }, { name: BELOW, value: subtitle }];
  return { ...spec, title, params };
}

/** All of a chart but what its title and its text equivalent say. */
function withoutWords(spec: Spec): object {
  const { title, usermeta, ...drawn } = spec;
  return { ...drawn, ...title, text: '', subtitle: '', lines: title?.subtitle?.length, brush: usermeta?.brush };
}

/** The same picture with other words. */
function sayAnew(chart: DrawnChart, spec: Spec, text: string): void {
  chart.spec = spec;
  chart.words.textContent = text;
  const { text: heading = '', subtitle = [] } = spec.title ?? {};
  chart.result = chart.result.then(async (result) => {
    await result.view.signal(HEADING, heading).signal(BELOW, subtitle).runAsync();
    return result;
  });
}

function drawChart(spec: Spec, text: string, onBrush: BrushListener): DrawnChart {
  const element = document.createElement('div');
  element.className = 'output';
  const figure = document.createElement('figure');
  const drawing = document.createElement('div');
  drawing.className = 'chart';
  const words = document.createElement('details');
  const summary = document.createElement('summary');
  summary.textContent = 'The chart in words';
  const plain = document.createElement('pre');
  plain.textContent = text;
  words.append(summary, plain);
  figure.append(drawing, words);
  element.append(figure);
  const result = embed(drawing, withLiveTitle(spec) as never, {
    actions: false,
    renderer: 'canvas',
    ast: true,
    expr: expressionInterpreter as never,
    defaultStyle: false,
    tooltip: { disableDefaultStyle: true },
    mode: 'vega-lite',
    // Errors alone: Vega warns of every layer that has no rows.
    logLevel: 1,
  });
  const brush = spec.usermeta?.brush;
  if (brush)
    void result.then(
      ({ view }) => listen(view, brush, onBrush),
      () => {},
    );
  result.catch((error: unknown) => {
    drawing.textContent = `the chart could not be drawn: ${String(error)}`;
  });
  return { spec, element, words: plain, result };
}

function listen(view: Result['view'], brush: Brush, onBrush: BrushListener): void {
  view.addSignalListener('brush', (_, value: { readonly time?: readonly [number, number] } | null) => {
    const window = value?.time;
    if (!window) return;
    const [from, to] = [Math.min(...window), Math.max(...window)];
    const start = brush.startS ?? 0;
    if (to > from) onBrush(brush.input, start + from * brush.seconds, start + to * brush.seconds);
  });
}
