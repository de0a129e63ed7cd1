import { inspect } from 'node:util';
import { currentRun } from '../kernel/current-run';
import { bundleOf, type ChartDrawer, type ShowOptions } from './bundle';
import { drawChart } from './chart-picture';
import type { MimeBundle } from './mime';
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

const drawEncoded: ChartDrawer = (spec) => {
  // JupyterLab draws the chart itself, and saves the picture that it made.
  if (currentRun()?.hasty) return null;
  const picture = drawChart(spec);
  return { ...picture, png: Buffer.from(picture.png).toString('base64') };
};
