/** What every chart here is: a Vega-Lite 5 specification (valid for 5.6.1) with a text that says the same. */
export interface ChartSpec {
  readonly $schema: 'https://vega.github.io/schema/vega-lite/v5.json';
  readonly title: { readonly text: string; readonly subtitle: readonly string[] };
  /** One sentence for screen readers. */
  readonly description: string;
  /** `text`: the chart in words and numbers, for terminals and for those who cannot see it. */
  readonly usermeta: {
    readonly text: string;
    /**
     * Where dragging over the chart sets a window of time: the input, seconds in one unit of the time axis, and the
     * seconds at its zero (0 where absent).
     */
    readonly brush?: { readonly input: string; readonly seconds: number; readonly startS?: number };
  };
  readonly [key: string]: unknown;
}

/** Options that all charts share. */
export interface ChartOptions {
  /** Unit of the pressure axis, any pressure label; the log's own unit where absent. */
  readonly unit?: string;
  /** Width of the drawing area in pixels, 640 where absent. */
  readonly width?: number;
  /** Height of the drawing area in pixels. */
  readonly height?: number;
  /** Title, where the default will not do. Shown as text, never as markup. */
  readonly title?: string;
}

export const CHART_WIDTH = 640;

/** The selection of a chart whose dragging sets a window of time. */
export const BRUSH = { name: 'brush', select: { type: 'interval', encodings: ['x'] } } as const;

/**
 * Colours that people with any colour vision can tell apart, and whose lightness differs enough to be told apart in
 * grey; dashes and shapes carry the same distinction. Source: the Okabe-Ito palette (2008), in the public domain.
 */
export const COLOURS = {
  black: '#000000',
  orange: '#e69f00',
  sky: '#56b4e9',
  green: '#009e73',
  yellow: '#f0e442',
  blue: '#0072b2',
  vermilion: '#d55e00',
  purple: '#cc79a7',
  grey: '#7f7f7f',
} as const;

/** How lines that belong to different things are told apart: by colour, and in grey by dash or by the shape of points. */
export const LINE_STYLES = [
  { colour: COLOURS.black, dash: [1, 0], shape: 'circle' },
  { colour: COLOURS.vermilion, dash: [7, 3], shape: 'triangle-up' },
  { colour: COLOURS.blue, dash: [2, 2], shape: 'square' },
  { colour: COLOURS.green, dash: [8, 2, 2, 2], shape: 'diamond' },
  { colour: COLOURS.orange, dash: [12, 4], shape: 'triangle-down' },
  { colour: COLOURS.purple, dash: [4, 2, 1, 2], shape: 'cross' },
  { colour: COLOURS.sky, dash: [1, 3], shape: 'triangle-right' },
  { colour: COLOURS.grey, dash: [10, 2, 2, 2, 2, 2], shape: 'triangle-left' },
] as const;

/**
 * Puts a chart together with what all charts have: schema, words, axis style.
 * @param words title, subtitle lines, a sentence, and the text equivalent
 * @param body the rest of the specification (width, height, layers)
 * @returns the complete specification
 */
export function chart(
  words: {
    title: string;
    subtitle: readonly string[];
    description: string;
    text: string;
    brush?: ChartSpec['usermeta']['brush'];
  },
  body: Readonly<Record<string, unknown>>,
): ChartSpec {
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v5.json',
    title: {
      text: words.title,
      subtitle: words.subtitle.flatMap((line) => wrap(line, lettersIn(body.width))),
      anchor: 'start',
      fontSize: 14,
      subtitleFontSize: 11,
    } as ChartSpec['title'],
    description: words.description,
    usermeta: { text: words.text, ...(words.brush ? { brush: words.brush } : {}) },
    background: 'white',
    config: {
      font: 'sans-serif',
      axis: { grid: true, gridColor: '#e4e4e4', labelFontSize: 11, titleFontSize: 12, titleFontWeight: 'normal' },
      view: { stroke: '#b0b0b0' },
      legend: { labelFontSize: 11, titleFontSize: 11, titleFontWeight: 'normal' },
    },
    ...body,
  };
}

/**
 * Longest subtitle line below the title of a chart: without a canvas the drawing makes room for 0.8 em a letter, so longer
 * lines would widen it beyond the axes, which take some 64 pixels beside the drawing area.
 */
function lettersIn(width: unknown): number {
  const across = typeof width === 'number' ? width : CHART_WIDTH;
  return Math.max(32, Math.floor((across + 64) / 8.8));
}

/** Breaks a line at blanks so that no part is longer than the chart is wide; a single long word stays whole. */
function wrap(line: string, letters: number): string[] {
  const lines: string[] = [];
  let rest = line;
  while (rest.length > letters) {
    const blank = rest.lastIndexOf(' ', letters);
    if (blank <= 0) break;
    lines.push(rest.slice(0, blank));
    rest = rest.slice(blank + 1);
  }
  return [...lines, rest];
}
