import embed, { type Result } from 'vega-embed';
import { expressionInterpreter } from 'vega-interpreter';
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
}

/**
 * The place of a cell's outputs on the page. What a run shows is put together out of sight and takes the place of what
 * stood there at once, so that nothing jumps; charts of the last run are let go.
 * @param place the element
 * @param onBrush told of windows that are dragged over charts
 */
export function cellView(place: HTMLElement, onBrush: BrushListener): CellView {
  let next: HTMLElement[] = [];
  let drawn: Promise<Result>[] = [];
  let drawing: Promise<Result>[] = [];
  const replace = (): void => {
    // The height is kept until the charts have been drawn, else the page would jump under the reader.
    place.style.minHeight = `${place.offsetHeight}px`;
    place.replaceChildren(...next);
    for (const old of drawn) void old.then((result) => result.finalize());
    [drawn, drawing, next] = [drawing, [], []];
    void Promise.allSettled(drawn).then(() => {
      place.style.minHeight = '';
    });
  };
  return {
    show: (thing, options) => {
      const element = document.createElement('div');
      element.className = 'output';
      const chart = fill(element, thing, options ?? {}, onBrush);
      if (chart) drawing.push(chart);
      next.push(element);
    },
    settle: replace,
    say: (words, kind) => {
      const element = document.createElement('pre');
      element.className = kind;
      element.textContent = words;
      next.push(element);
      replace();
    },
  };
}

function fill(
  element: HTMLElement,
  thing: unknown,
  options: ShowOptions,
  onBrush: BrushListener,
): Promise<Result> | null {
  const data = bundleOf(thing, options, () => null)?.data;
  const text = String(data?.['text/plain'] ?? inspectText(thing));
  if (data && VEGA_LITE_MIME in data) return fillChart(element, data[VEGA_LITE_MIME] as object, text, onBrush);
  if (typeof data?.['text/html'] === 'string') {
    element.classList.add('wide');
    // Made by the kit out of escaped texts; a script could not run here in any case.
    element.innerHTML = data['text/html'];
    return null;
  }
  const words = document.createElement('pre');
  words.textContent = text;
  element.append(words);
  return null;
}

function fillChart(element: HTMLElement, spec: object, text: string, onBrush: BrushListener): Promise<Result> {
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
  const result = embed(drawing, spec as never, {
    actions: false,
    renderer: 'canvas',
    ast: true,
    expr: expressionInterpreter as never,
    defaultStyle: false,
    tooltip: { disableDefaultStyle: true },
    mode: 'vega-lite',
  });
  const brush = (spec as { usermeta?: { brush?: Brush } }).usermeta?.brush;
  if (brush) void result.then(({ view }) => listen(view, brush, onBrush));
  return result.catch((error: unknown) => {
    drawing.textContent = `the chart could not be drawn: ${String(error)}`;
    throw error;
  });
}

function listen(view: Result['view'], brush: Brush, onBrush: BrushListener): void {
  view.addSignalListener('brush', (_, value: { readonly time?: readonly [number, number] } | null) => {
    const window = value?.time;
    if (!window) return;
    const [from, to] = [Math.min(...window), Math.max(...window)];
    if (to > from) onBrush(brush.input, from * brush.seconds, to * brush.seconds);
  });
}
