/**
 * Reads one made log (a million rows, time and pressure, about 19 MB) with our reader, papaparse and danfo's readCSV, each
 * in a process of its own, and prints times, peak memory and ratios. Build first: `npm run build && node
 * tests/bench/read-log.mjs [rows]`.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const require = createRequire(import.meta.url);
const here = fileURLToPath(import.meta.url);

/** Rows of the same numbers every time: a slow rise with a little noise from a small generator. */
function makeLog(rows) {
  const lines = ['time (s),pressure (mbar)'];
  let state = 1;
  for (let i = 0; i < rows; i++) {
    state = (state * 48271) % 2147483647;
    const pressure = 1e-3 * (1 + i / rows) * (1 + (0.01 * state) / 2147483647);
    lines.push(`${(i * 0.5).toFixed(1)},${pressure.toExponential(4)}`);
  }
  return `${lines.join('\n')}\n`;
}

const readers = {
  /** All there is to it: detection, hash, flags, SI. */
  ours: (file) => {
    const { readLog } = require('../../dist/src/log/index.js');
    return () => {
      const log = readLog(readFileSync(file), { file });
      return [log.rows, log.channels[0].values[log.rows - 1] / 100];
    };
  },
  /** Only the numbers, header and types as papaparse finds them. */
  papaparse: (file) => {
    const papa = require('papaparse');
    return () => {
      const { data } = papa.parse(readFileSync(file, 'utf8'), {
        header: true,
        dynamicTyping: true,
        skipEmptyLines: true,
      });
      return [data.length, data.at(-1)['pressure (mbar)']];
    };
  },
  danfo: (file) => {
    const danfo = require('danfojs-node');
    return async () => {
      const frame = await danfo.readCSV(file);
      return [frame.shape[0], frame.values.at(-1)[1]];
    };
  },
};

async function measureOne(name, file) {
  const read = readers[name](file);
  const start = performance.now();
  const [rows, last] = await read();
  const seconds = (performance.now() - start) / 1000;
  process.stdout.write(JSON.stringify({ name, rows, last, seconds, peakMB: process.resourceUsage().maxRSS / 1024 }));
}

function main(rows) {
  const folder = mkdtempSync(join(tmpdir(), 'read-log-'));
  const file = join(folder, 'log.csv');
  writeFileSync(file, makeLog(rows));
  try {
    const results = Object.keys(readers).map((name) => {
      const runs = [1, 2, 3].map(() =>
        JSON.parse(execFileSync(process.execPath, [here, '--one', name, file], { encoding: 'utf8' })),
      );
      return runs.reduce((best, run) => (run.seconds < best.seconds ? run : best));
    });
    const [ours] = results;
    for (const { name, rows: count, last, seconds, peakMB } of results) {
      if (count !== rows || Math.abs(last - ours.last) > 1e-12)
        throw new Error(`${name} read ${count} rows, last ${last}`);
      const ratio = (seconds / ours.seconds).toFixed(1);
      console.log(`${name.padEnd(10)} ${seconds.toFixed(2)} s  peak ${peakMB.toFixed(0)} MB  ${ratio} x ours`);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
}

if (process.argv[2] === '--one') await measureOne(process.argv[3], process.argv[4]);
else main(Number(process.argv[2] ?? 1_000_000));
