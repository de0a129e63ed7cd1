import { formatQuantity } from '../../src/units';
import * as kind from './kinds';
import { largeHtml, largeText } from './large-figures';
import { type MimeBundle, REPORT_MIME, VEGA_LITE_MIME } from './mime';
import { type ShownTable, tableHtml, tableText } from './table';
import { tablesOfReport } from './tables-of-report';
import * as results from './tables-of-results';
import { SHOWN_ROWS, tableOfFrame, tableOfRecords } from './tables-of-rows';

/** How a thing is shown. */
export interface ShowOptions {
  /** A heading for a table. */
  readonly caption?: string;
  /** Unit in which pressures of results are shown, `Pa` where absent. */
  readonly pressure?: string;
  /** Unit in which gas loads are shown, `Pa m3/s` where absent. */
  readonly load?: string;
  /** Most rows of a table: more are left out of the middle, and it is said. */
  readonly maxRows?: number;
  /** Height of the largest figure of a run that is watched, px; 140 where absent. */
  readonly figurePx?: number;
  /** Width that this figure must not exceed, px; any where absent. */
  readonly withinPx?: number;
}

/** Draws a chart as a PNG, base64; given from outside, since a page draws differently. */
export type ChartDrawer = (
  spec: Readonly<Record<string, unknown>>,
) => { readonly png: string; readonly width: number; readonly height: number } | null;

function chartText(spec: Readonly<Record<string, unknown>>): string {
  const own = kind.hasFields(spec.usermeta) ? spec.usermeta.text : undefined;
  const title = kind.hasFields(spec.title) ? spec.title.text : spec.title;
  const text = [own, spec.description, title].find((words) => typeof words === 'string' && words.trim() !== '');
  return typeof text === 'string' ? text : 'A chart without a description.';
}

function chartBundle(spec: Readonly<Record<string, unknown>>, draw: ChartDrawer): MimeBundle {
  const picture = draw(spec);
  const png = picture && { 'image/png': picture.png };
  const size = picture && { 'image/png': { width: picture.width, height: picture.height } };
  return {
    // Never text/html beside a chart: front ends would show that instead of the chart.
    data: { [VEGA_LITE_MIME]: spec, ...png, 'text/plain': chartText(spec) },
    metadata: { [VEGA_LITE_MIME]: { embed_options: { actions: { export: true, editor: false } } }, ...size },
  };
}

function tablesBundle(tables: readonly ShownTable[], caption?: string): MimeBundle {
  const [first, ...rest] = tables;
  const captioned = caption !== undefined && first ? [{ ...first, caption }, ...rest] : tables;
  return {
    data: {
      'text/html': captioned.map(tableHtml).join('\n'),
      'text/plain': captioned.map(tableText).join('\n\n'),
    },
    metadata: {},
  };
}

function tablesOf(thing: unknown, options: ShowOptions): ShownTable[] | null {
  const most = Math.max(2, options.maxRows ?? SHOWN_ROWS);
  if (kind.isAnalysis(thing)) {
    const { segmented, fits, finding } = thing;
    return [segmented, fits, finding].flatMap((part) => tablesOf(part, options) ?? []);
  }
  if (kind.isLog(thing)) return results.tablesOfLog(thing, options);
  if (kind.isSegmentedLog(thing)) return results.tablesOfSegments(thing, options);
  if (kind.isFinding(thing)) return results.tablesOfFinding(thing, options);
  if (kind.isFits(thing)) return results.tablesOfFits(thing, options);
  if (kind.isRateOfRise(thing)) return results.tablesOfRate(thing, options);
  if (kind.isPumpDown(thing)) return results.tablesOfPumpDown(thing, options);
  if (kind.isReport(thing)) return tablesOfReport(thing);
  if (kind.isFrame(thing)) return [tableOfFrame(thing, most)];
  if (kind.isRecords(thing)) return [tableOfRecords(thing, most)];
  return null;
}

function lineOf(thing: unknown): string | null {
  if (kind.isQuantity(thing)) return [formatQuantity(thing), ...thing.assumptions].join('\n');
  if (kind.isEstimate(thing)) return results.intervalText(thing);
  if (typeof thing === 'string') return thing;
  return null;
}

/**
 * The forms of a result for a front end: of a chart its specification, a picture and its text; of a log, segments, fits,
 * a finding, a danfo frame or records their tables and the same as text; of a quantity or a text, its text.
 * @param draw draws a chart's picture
 * @returns null where we have no form of our own for it
 */
export function bundleOf(thing: unknown, options: ShowOptions, draw: ChartDrawer): MimeBundle | null {
  if (kind.isChart(thing)) return chartBundle(thing, draw);
  if (kind.isRunNow(thing)) {
    const html = largeHtml(thing, options.figurePx, options.withinPx);
    return { data: { 'text/html': html, 'text/plain': largeText(thing) }, metadata: {} };
  }
  const tables = tablesOf(thing, options);
  if (tables) {
    const { data, metadata } = tablesBundle(tables, options.caption);
    return { data: kind.isReport(thing) ? { ...data, [REPORT_MIME]: thing } : data, metadata };
  }
  const line = lineOf(thing);
  if (line === null) return null;
  const text = options.caption === undefined ? line : `${options.caption}: ${line}`;
  return { data: { 'text/plain': text }, metadata: {} };
}
