/**
 * Time and peak memory of the whole way on a log of 1 000 000 rows: read, segment, fit, find causes, draw.
 *
 *     npm run build && node tests/bench/million-rows.mjs [ROWS]
 *
 * The log is made here, with a seed: pump-downs, isolations with outgassing, noise in proportion, four digits.
 */
import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);
const core = require('../../dist/src/index.js');
const rows = Number(process.argv[2] ?? 1_000_000);

function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** The bytes of the log: eight cycles of pump-down, steady and isolation, one reading a second. */
function madeLog() {
  const uniform = random(20);
  const encoder = new TextEncoder();
  const whole = new Uint8Array(64 + 40 * rows);
  let length = encoder.encodeInto('time (s),pressure (mbar),wall (degC)', whole).written;
  let lines = [''];
  const cycle = Math.ceil(rows / 8);
  let p = 1013;
  for (let i = 0; i < rows; i++) {
    const phase = (i % cycle) / cycle;
    const age = 60 + (i % cycle);
    const load = 2e-3 * (3600 / age) + 2e-6;
    if (phase < 0.6) p += (2e-5 - p) * 0.02 + load * 0.02 * 0.01;
    else if (phase < 0.99) p += load * 1e-5;
    else p = Math.min(1013, p * 1.01 + 1);
    const noisy = p * (1 + 0.005 * (uniform() + uniform() + uniform() - 1.5));
    lines.push(`${i},${noisy.toPrecision(4)},${(21 + Math.sin(i / 7000)).toFixed(2)}`);
    // In pieces, so that the making of the log does not set the peak of memory.
    if (lines.length < 10_000 && i < rows - 1) continue;
    length += encoder.encodeInto(lines.join('\n'), whole.subarray(length)).written;
    lines = [''];
  }
  return whole.slice(0, length);
}

const bytes = madeLog();
globalThis.gc?.();
const before = process.memoryUsage().rss;
const took = [];
function timed(name, work) {
  const start = performance.now();
  const result = work();
  took.push([name, (performance.now() - start) / 1000]);
  return result;
}

const log = timed('read', () => core.readLog(bytes, { file: 'made.csv' }));
const channel = log.channels.find((c) => c.quantity === 'pressure').name;
const segmented = timed('segment', () => core.findSegments(log, { channel }));
const fits = timed('fit', () => core.fitRecord(log, segmented, { volume: core.quantity('50 L ± 5 %') }));
const finding = timed('find causes', () =>
  core.findCauses(log, segmented, fits, { volume: core.quantity('50 L ± 5 %') }),
);
const chart = core.pressureChart ? timed('draw', () => core.pressureChart(log, segmented)) : null;

const total = took.reduce((sum, [, s]) => sum + s, 0);
console.log(`${log.rows} rows, ${(bytes.length / 1e6).toFixed(0)} MB of text`);
for (const [name, s] of took) console.log(`${name.padEnd(12)} ${s.toFixed(2)} s`);
console.log(`${'together'.padEnd(12)} ${total.toFixed(2)} s`);
const peak = process.resourceUsage().maxRSS / 1024;
console.log(
  `peak memory  ${peak.toFixed(0)} MB (${(before / 1e6).toFixed(0)} MB of it before the first step, log text included)`,
);
console.log(`${segmented.segments.length} segments, ${fits.isolations.length} isolations, verdict ${finding.verdict}`);
if (chart !== null) console.log(`chart of ${JSON.stringify(chart).length} characters`);
