import { DataFrame } from 'danfojs-node';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type DisplayMessage, displayBundle, setDisplaySink, show, VEGA_LITE_MIME } from '../../kernel-helpers/display';
import { FLAG, type GaugeLog } from '../../src/log/gauge-log';
import { quantity } from '../../src/units';

const chart = {
  $schema: 'https://vega.github.io/schema/vega-lite/v5.json',
  description: 'Pressure against time.',
  usermeta: { text: 'Pressure falls from 1e-3 to 1e-4 mbar within 2 s.' },
  background: 'white',
  config: { font: 'sans-serif' },
  data: {
    values: [
      { t: 1, p: 1e-3 },
      { t: 2, p: 1e-4 },
    ],
  },
  mark: 'line',
  encoding: {
    x: { field: 't', type: 'quantitative' },
    y: { field: 'p', type: 'quantitative', scale: { type: 'log' } },
  },
};

const attack = '<img src=x onerror="alert(1)"><script>alert(2)</script>';

const text = (thing: unknown): string => String(displayBundle(thing).data['text/plain']);
const html = (thing: unknown): string => String(displayBundle(thing).data['text/html']);

describe('a chart', () => {
  const { data, metadata } = displayBundle(chart);

  it('is sent as Vega-Lite 5, as a picture and as text, and never beside HTML, which front ends would prefer', () => {
    expect(Object.keys(data)).toEqual([VEGA_LITE_MIME, 'image/png', 'text/plain']);
    expect(data[VEGA_LITE_MIME]).toBe(chart);
  });

  it('has a picture of twice the size that it is shown in, with ink on it', () => {
    const png = Buffer.from(String(data['image/png']), 'base64');
    expect(png.subarray(1, 4).toString()).toBe('PNG');
    const size = (metadata['image/png'] as { width: number; height: number }).width;
    expect(Math.abs(png.readUInt32BE(16) - 2 * size)).toBeLessThanOrEqual(1);
    expect(png.length).toBeGreaterThan(5000);
  });

  it('has the text that says the same in words, else its description', () => {
    expect(data['text/plain']).toBe(chart.usermeta.text);
    expect(text({ ...chart, usermeta: undefined })).toBe('Pressure against time.');
  });

  it('that is broken is refused with what is wrong', () => {
    expect(() => displayBundle({ ...chart, mark: undefined, layer: 5 })).toThrow(
      /^chart: met .*valid Vega-Lite 5 chart$/,
    );
  });

  it('that would load its data from elsewhere is refused', () => {
    expect(() => displayBundle({ ...chart, data: { url: 'data.csv' } })).toThrow('put it inside the chart');
  });
});

describe('the picture of a chart', () => {
  it('is drawn at once and equals what Vega draws later', async () => {
    const { chartSvg } = await import('../../kernel-helpers/display/chart-picture');
    const vega = await import('vega');
    const { compile } = await import('vega-lite');
    const view = new vega.View(vega.parse(compile(chart as never).spec), { renderer: 'none' });
    expect(chartSvg(chart)).toBe(await view.toSVG());
  });

  it('has its words where no font is installed: the words make ink', async () => {
    const { Resvg } = await import('@resvg/resvg-js');
    const { chartSvg, drawingFont } = await import('../../kernel-helpers/display/chart-picture');
    const draw = (svg: string): Buffer =>
      new Resvg(svg, { font: { ...drawingFont(), loadSystemFonts: false } }).render().asPng();
    const svg = chartSvg(chart);
    const blank = draw(svg.replace(/<text[^>]*>[^<]*<\/text>/g, ''));
    expect(draw(svg).length).toBeGreaterThan(blank.length + 500);
  });
});

describe('a table', () => {
  it('is made of nothing but table elements, which an untrusted notebook keeps', () => {
    const frame = new DataFrame([{ name: attack, p: 1.5e-7 }]);
    const elements = new Set([...html(frame).matchAll(/<\/?([a-z]+)/g)].map(([, name]) => name));
    expect([...elements].sort()).toEqual(['table', 'tbody', 'td', 'th', 'thead', 'tr']);
    const attributes = [...html(frame).matchAll(/<[a-z]+ ([^>]*)>/g)].map(([, list]) => list);
    const atLeft = 'style="text-align:left"';
    // The attack is one long word, which may be broken.
    const breakable = 'style="text-align:left;overflow-wrap:anywhere"';
    expect(new Set(attributes)).toEqual(new Set(['scope="col"', `scope="col" ${atLeft}`, breakable]));
    expect(html(new DataFrame([{ name: 'short words' }]))).not.toContain('overflow-wrap');
  });

  it('shows whatever a log holds as text', () => {
    expect(html([{ [attack]: attack }])).not.toMatch(/<(?:img|script)/);
    expect(html([{ a: attack }])).toContain('&lt;script&gt;alert(2)&lt;/script&gt;');
    expect(html([{ a: '"&\'' }])).toContain('&quot;&amp;&#39;');
  });

  it('has a column for every field that any record has', () => {
    expect(text([{ a: 1 }, { b: 'x' }])).toBe('a  b\n1\n   x');
  });

  it('that is long keeps its ends and says what is left out', () => {
    const bundle = displayBundle(
      Array.from({ length: 100 }, (_, n) => ({ n })),
      { maxRows: 4 },
    );
    expect(bundle.data['text/plain']).toBe('n\n0\n1\n98\n99\nThe first 2 and the last 2 of 100 rows.');
  });

  it('keeps a % on the line of its number', () => {
    const { data } = displayBundle([{ load: '2 ± 1 mbar L/s (95 %)' }]);
    expect(data['text/html']).toContain('>2 ± 1 mbar L/s (95\u00a0%)<');
    expect(data['text/plain']).toContain('(95 %)');
  });

  it('takes a caption', () => {
    expect(displayBundle([{ a: 1 }], { caption: 'One & all' }).data['text/html']).toContain(
      '<caption>One &amp; all</caption>',
    );
  });
});

describe('a log', () => {
  const log = {
    file: 'run.csv',
    sha256: '0'.repeat(64),
    rows: 4,
    start: null,
    time: Float64Array.from([0, 60, 120, 7200]),
    channels: [
      {
        name: 'gauge <1>',
        column: 2,
        quantity: 'pressure',
        unit: 'mbar',
        unitFrom: 'header',
        siUnit: 'Pa',
        values: Float64Array.from([100, 50, 1e6, Number.NaN]),
        flags: Uint8Array.from([0, 0, FLAG.overRange, FLAG.missing]),
        resolution: 0,
      },
    ],
    assumptions: ['no zone: local time'],
    questions: [],
  } as unknown as GaugeLog;

  it('tells rows, duration, range of the good readings and counts of the flagged ones', () => {
    expect(text(log).split('\n')).toEqual([
      'run.csv: 4 rows over 2 h',
      'channel    quantity  unit (from)    least  most    flagged readings',
      'gauge <1>  pressure  mbar (header)  50 Pa  100 Pa  1 over range, 1 missing',
      '',
      'assumed or open  no zone: local time',
    ]);
  });

  it('shows pressures in the unit asked for', () => {
    expect(displayBundle(log, { pressure: 'mbar' }).data['text/plain']).toContain('0.5 mbar  1 mbar');
  });
});

describe('other things', () => {
  it('a quantity is shown with its uncertainty and unit', () => {
    expect(text(quantity('12.4 L ± 5 %'))).toContain('12.4 ± 0.6 L (k = 2)');
  });

  it('an estimate is shown with its interval', () => {
    expect(text({ value: -1.02, low: -1.1, high: -0.95 })).toBe('-1.02 (-1.1 to -0.95, 95 %)');
  });

  it('texts are shown as they are and the rest as Node prints it', () => {
    expect(text('two\nlines')).toBe('two\nlines');
    expect(text({ a: 1 })).toBe('{ a: 1 }');
    expect(text(undefined)).toBe('undefined');
  });
});

describe('show', () => {
  const sent: [DisplayMessage, boolean][] = [];
  beforeEach(() => {
    sent.length = 0;
    setDisplaySink((message, update) => sent.push([message, update]));
  });
  afterEach(() => {
    setDisplaySink(null);
  });

  it('sends one display a call and returns nothing that a notebook would print', () => {
    expect(show('a')).toBeUndefined();
    show('b');
    expect(sent.map(([message, update]) => [message.data['text/plain'], message.transient, update])).toEqual([
      ['a', {}, false],
      ['b', {}, false],
    ]);
  });
});
