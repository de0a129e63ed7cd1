import { dirname, join } from 'node:path';
import type { ResvgRenderOptions } from '@resvg/resvg-js';
import type { TopLevelSpec } from 'vega-lite';
import { ArgumentError } from '../../src/errors';

/** A chart as a picture. */
export interface ChartPicture {
  readonly png: Uint8Array;
  /** Size on the page, pixels; the picture has twice as many each way, for sharp print. */
  readonly width: number;
  readonly height: number;
}

const fontFamily = 'DejaVu Sans Subset';

/** Our own copy of a font, so that a picture is the same everywhere and has its words where no font is installed. */
export function drawingFont(): NonNullable<ResvgRenderOptions['font']> {
  const folder = join(dirname(require.resolve('blankoff/package.json')), 'kernel-helpers/display/fonts');
  return {
    // For signs that ours does not have.
    loadSystemFonts: true,
    fontFiles: [join(folder, 'dejavu-sans-subset.ttf')],
    defaultFontFamily: fontFamily,
    sansSerifFamily: fontFamily,
  };
}

/**
 * Draws a Vega-Lite chart without a screen. Everything happens at once, so that the picture belongs to the running cell.
 * @param spec a specification with its data inside: nothing is loaded from anywhere
 * @throws ArgumentError where it is no valid specification
 */
export function drawChart(spec: Readonly<Record<string, unknown>>): ChartPicture {
  const svg = chartSvg(spec);
  const { Resvg } = require('@resvg/resvg-js') as typeof import('@resvg/resvg-js');
  const image = new Resvg(svg, { fitTo: { mode: 'zoom', value: 2 }, font: drawingFont() }).render();
  return { png: image.asPng(), width: Math.round(image.width / 2), height: Math.round(image.height / 2) };
}

/**
 * The chart as SVG, drawn without a screen.
 * @throws ArgumentError where it is no valid specification
 */
export function chartSvg(spec: Readonly<Record<string, unknown>>): string {
  // Loaded when the first chart is drawn: they take a third of a second.
  const vega = require('vega') as typeof import('vega');
  const { compile } = require('vega-lite') as typeof import('vega-lite');
  const quiet = { level: () => quiet, error: fail, warn: () => quiet, info: () => quiet, debug: () => quiet };
  try {
    const { spec: compiled } = compile(spec as unknown as TopLevelSpec, { logger: quiet as never });
    const elsewhere = (compiled.data ?? []).find((data) => 'url' in data);
    if (elsewhere) fail('data that would have to be loaded; put it inside the chart');
    const view = new vega.View(vega.parse(compiled), {
      renderer: 'none',
      logger: quiet as never,
      loader: noLoader(vega),
    });
    view.run();
    const renderer = new (vega as unknown as StringRendering).SVGStringRenderer(noLoader(vega));
    const { _viewWidth: width, _viewHeight: height, _origin: origin } = view as unknown as ViewSize;
    const { left, right, top, bottom } = view.padding() as Padding;
    const offset: [number, number] = [left + origin[0], top + origin[1]];
    renderer.initialize(null, width + left + right, height + top + bottom, offset);
    renderer.background(view.background());
    renderer.render((view.scenegraph() as unknown as { root: unknown }).root);
    const svg = renderer.svg();
    view.finalize();
    return svg;
  } catch (error) {
    throw new ArgumentError(
      'chart',
      error instanceof Error ? error.message : String(error),
      'a valid Vega-Lite 5 chart',
    );
  }
}

/** What `view.toSVG()` itself goes by; that one answers only later, when another cell may be running. */
interface ViewSize {
  readonly _viewWidth: number;
  readonly _viewHeight: number;
  readonly _origin: readonly [number, number];
}

/** The part of Vega that its types leave out. */
interface StringRendering {
  readonly SVGStringRenderer: new (
    loader: import('vega').Loader,
  ) => {
    initialize(element: null, width: number, height: number, origin: [number, number]): void;
    background(colour: unknown): void;
    render(root: unknown): void;
    svg(): string;
  };
}

interface Padding {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function fail(...words: unknown[]): never {
  throw new Error(words.map(String).join(' '));
}

function noLoader(vega: typeof import('vega')): import('vega').Loader {
  const refuse = (uri: string): never => fail(`"${uri}", which would have to be loaded`);
  return { ...vega.loader(), load: async (uri) => refuse(uri), sanitize: async (uri) => refuse(uri) };
}
