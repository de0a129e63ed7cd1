import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BlankoffError, LogError } from '../../src/errors';
import { FLAG, type GaugeLog, readLog } from '../../src/log';
import { damaged } from './mutations';

/** Files of the awkward logs that are damaged, of all kinds; chosen by their place in the folder. */
const folder = join(__dirname, 'files');
const files = readdirSync(folder).filter((name) => !name.endsWith('.expected.json') && !name.startsWith('error-'));
const LOGS = Number(process.env.DAMAGED_LOGS ?? 30);
const SEEDS = Number(process.env.DAMAGED_SEEDS ?? 12);
/** A small file takes milliseconds; this is for a machine under load. */
const LONGEST_MS = 4000;

/** What must hold of any log that was read, whatever it was read from. */
function sound(log: GaugeLog, what: string): void {
  expect(log.time.length, what).toBe(log.rows);
  for (let i = 0; i < log.rows; i++) {
    if (!(log.time[i] >= (i > 0 ? log.time[i - 1] : 0)) || !Number.isFinite(log.time[i]))
      expect.fail(`${what}: time[${i}] is ${log.time[i]} after ${log.time[i - 1]}`);
  }
  expect(new Set(log.channels.map(({ name }) => name)).size, what).toBe(log.channels.length);
  for (const { name, values, flags, quantity } of log.channels) {
    expect([values.length, flags.length], `${what} ${name}`).toEqual([log.rows, log.rows]);
    if (quantity === 'text') continue;
    const bad = values.findIndex((value, i) => flags[i] === FLAG.good && !Number.isFinite(value));
    expect(bad, `${what}: good reading of ${name} that is none`).toBe(-1);
  }
}

describe('damaged logs', () => {
  const step = files.length / LOGS;
  const chosen = Array.from({ length: LOGS }, (_, i) => files[Math.floor(i * step)]);

  const outcomes = { read: 0, refused: 0 };

  it.each(chosen)('%s is read or refused by name, in time', async (name) => {
    const whole = new Uint8Array(readFileSync(join(folder, name)));
    for (let seed = 1; seed <= SEEDS; seed++) {
      const what = `${name}, seed ${seed}`;
      const start = Date.now();
      try {
        sound(readLog(damaged(whole, seed), { file: name }), what);
        outcomes.read++;
      } catch (error) {
        if (!(error instanceof BlankoffError)) throw new Error(what, { cause: error });
        expect(error, what).toBeInstanceOf(LogError);
        outcomes.refused++;
        expect(error.message.startsWith(`${name}:`), `${what}: ${error.message}`).toBe(true);
      }
      expect(Date.now() - start, what).toBeLessThan(LONGEST_MS);
      // Lets the runner of the tests speak in between.
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
  }, 600_000);

  it('are neither all read nor all refused', () => {
    expect(outcomes.read + outcomes.refused).toBe(LOGS * SEEDS);
    expect(outcomes.read).toBeGreaterThan(0.3 * LOGS * SEEDS);
    expect(outcomes.refused).toBeGreaterThan(0.05 * LOGS * SEEDS);
  });
});
