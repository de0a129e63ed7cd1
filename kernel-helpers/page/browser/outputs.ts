import embed, { type Result } from 'vega-embed';
import { expressionInterpreter } from 'vega-interpreter';
import { bundleOf, type ShowOptions } from '../../display/bundle';
import { VEGA_LITE_MIME } from '../../display/mime';
import { inspectText } from './inspect-text';
import { type Brush, drawnAlike, type LiveChart, liveChart, type Spec, specOf, update } from './live-chart';
import type { CellView } from './run-cells';

/** Told when somebody drags over a chart that sets an input: the input, and the window in seconds. */
export type BrushListener = (input: string, fromS: number, toS: number) => void;

/** A chart on the page. */
interface DrawnChart {
  shows: LiveChart;
  readonly element: HTMLElement;
  /** The chart in words. */
  readonly words: HTMLElement;
  result: Promise<Result>;
}

/**
 * The place of a cell's outputs on the page. What a run shows is put together out of sight and takes the place of what
 * stood there at once, so that nothing jumps; what would be the same stays as it is, a chart that only has other numbers
 * takes them, with what was brushed on it, and charts that are gone are let go.
 * @param place the element
 * @param onBrush told of windows that are dragged over charts
 */
export function cellView(place: HTMLElement, onBrush: BrushListener): CellView {
  let next: HTMLElement[] = [];
  let standing: DrawnChart[] = [];
  let drawing: DrawnChart[] = [];
  let markups: { readonly html: string; readonly element: HTMLElement }[] = [];
  const chartElement = (spec: Spec, text: string): HTMLElement => {
    const wanted = liveChart(spec);
    const left = standing.filter((chart) => !drawing.includes(chart));
    const alike = left.find((chart) => drawnAlike(chart.shows, wanted));
    if (alike) showAnew(alike, wanted, text);
    const chart = alike ?? drawChart(wanted, text, onBrush);
    drawing.push(chart);
    return chart.element;
  };
  const markupElement = (html: string): HTMLElement => {
    const left = markups.find((one) => one.html === html && !next.includes(one.element));
    if (left) return left.element;
    const element = document.createElement('div');
    element.className = 'output wide';
    // Made by the kit out of escaped texts; a script could not run here in any case.
    element.innerHTML = html;
    markups.push({ html, element });
    return element;
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
    markups = markups.filter(({ element }) => next.includes(element));
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
    show: (thing, options) => void next.push(outputElement(thing, options ?? {}, chartElement, markupElement)),
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
  markupElement: (html: string) => HTMLElement,
): HTMLElement {
  const data = bundleOf(thing, options, () => null)?.data;
  const text = String(data?.['text/plain'] ?? inspectText(thing));
  if (data && VEGA_LITE_MIME in data) return chartElement(data[VEGA_LITE_MIME] as Spec, text);
  if (typeof data?.['text/html'] === 'string') return markupElement(data['text/html']);
  const element = document.createElement('div');
  element.className = 'output';
  const words = document.createElement('pre');
  words.textContent = text;
  element.append(words);
  return element;
}

/** The same drawing with other numbers and words. */
function showAnew(chart: DrawnChart, wanted: LiveChart, text: string): void {
  const { shows } = chart;
  chart.shows = wanted;
  chart.words.textContent = text;
  chart.result = chart.result.then(async (result) => {
    await update(result.view, shows, wanted);
    return result;
  });
}

function drawChart(shows: LiveChart, text: string, onBrush: BrushListener): DrawnChart {
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
  const result = embed(drawing, specOf(shows) as never, {
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
  const brush = (shows.drawn as Spec).usermeta?.brush;
  if (brush)
    void result.then(
      ({ view }) => listen(view, brush, onBrush),
      () => {},
    );
  result.catch((error: unknown) => {
    drawing.textContent = `the chart could not be drawn: ${String(error)}`;
  });
  return { shows, element, words: plain, result };
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
