import { inspect } from 'node:util';
import { currentRun } from '../kernel/current-run';
import { bundleOf, type ChartDrawer, type ShowOptions } from './bundle';
import { drawChart } from './chart-picture';
import { type MimeBundle, VEGA_LITE_MIME } from './mime';
import { sendDisplay } from './send';

/**
 * The forms in which a thing is shown in a notebook; for what is not ours, as Node would print it.
 * @throws ArgumentError where a chart is no valid specification
 */
export function displayBundle(thing: unknown, options: ShowOptions = {}): MimeBundle {
  const bundle = bundleOf(thing, options, drawEncoded);
  return bundle ?? { data: { 'text/plain': inspect(thing, { depth: 4, maxArrayLength: 20 }) }, metadata: {} };
}

/**
 * Shows a log, what happened in it, a fit, a finding, a quantity, a table (danfo frame, records) or a chart under the cell.
 * @param thing what to show
 * @param options units, a caption for a table, most rows
 * @throws ArgumentError where a chart is no valid specification
 */
export function show(thing: unknown, options: ShowOptions = {}): void {
  sendDisplay(displayBundle(thing, options));
}

/** One clear pixel: stands for the picture of a chart until there is time to draw it. */
const pendingPicture =
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==';

/**
 * Draws the picture of a chart that was shown without one while a control was moved.
 * @param content what was shown
 * @returns the same with its picture, or null where it has one, or is no chart
 */
export function withPicture(content: Readonly<Record<string, unknown>>): Record<string, unknown> | null {
  const { data } = content as { data?: Record<string, unknown> };
  if (data?.['image/png'] !== pendingPicture) return null;
  return { ...content, ...bundleOf(data[VEGA_LITE_MIME], {}, drawNow) };
}

const drawEncoded: ChartDrawer = (spec) =>
  // Without a picture JupyterLab would make one, and draw the chart twice.
  currentRun()?.hasty ? { png: pendingPicture, width: 1, height: 1 } : drawNow(spec);

const drawNow: ChartDrawer = (spec) => {
  const picture = drawChart(spec);
  return { ...picture, png: Buffer.from(picture.png).toString('base64') };
};
