/**
 * Draws the figures of `docs/method.md` anew. From the root of the project:
 *
 *   npx vite-node docs/figures/make-figures.ts
 *
 * Nothing in them is measured: they are computed, and the records in them are simulated from seeds.
 */

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { drawChart } from '../../kernel-helpers/display/chart-picture';
import { figures } from './figures';

for (const [name, spec] of figures()) {
  const { png, width, height } = drawChart(spec);
  writeFileSync(join(__dirname, `${name}.png`), png);
  console.log(`${name}.png, ${width} x ${height}, ${Math.round(png.length / 1024)} KiB`);
}
