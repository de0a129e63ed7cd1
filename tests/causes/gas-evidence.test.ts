import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { findCauses } from '../../src/causes';
import { fitRecord } from '../../src/fits';
import { principleOfName } from '../../src/gauges';
import { analyse } from '../../src/investigation';
import { readLog } from '../../src/log';
import { randomStream } from '../../src/numerics';
import { channel, madeLog, madeSegments, si } from './made-log';

/** One isolation of ten minutes that rises in a straight line, read by force and by heat. */
function twoGauges(ratioOfRise: number, ratioBefore = 1, seed = 1, offset = 0, names = ['capacitance', 'thermal']) {
  const random = randomStream(seed);
  const time = Float64Array.from({ length: 301 }, (_, i) => 2 * i);
  const force = Float64Array.from(time, (t) => 2 + 0.02 * t + 0.01 * random.normal());
  const heat = Float64Array.from(
    time,
    (t) => (2 * ratioBefore + 0.02 * ratioOfRise * t) * (1 + 0.005 * random.normal()) + offset,
  );
  const log = { ...madeLog(time, force), channels: [channel(names[0], force), channel(names[1], heat)] };
  const segmented = { ...madeSegments(log, [['isolation', 0, 300]]), channel: names[0] };
  return { log, segmented };
}

const find = (made: ReturnType<typeof twoGauges>, options = {}) =>
  findCauses(made.log, made.segmented, fitRecord(made.log, made.segmented), {
    volume: si('volume', 0.05),
    gauge: 'capacitance',
    ...options,
  });
const probability = (finding: ReturnType<typeof find>, cause: string): number =>
  finding.mainCause.find((one) => one.cause === cause)?.probability ?? 0;

describe('two gauges of unlike principle', () => {
  // Heat conduction, ideal factors with equal accommodation (calc): water 1 / 0.68 = 1.47, argon 1 / 1.79 = 0.56; a real
  // gauge set for air reads water 1.4 to 2 times high (common practice).
  it('tell a leak of air from walls that give off water where one straight rise cannot', () => {
    const alone = find(twoGauges(1, 1, 1, 0, ['P1', 'P2']));
    const air = find(twoGauges(1));
    const water = find(twoGauges(1.6));
    expect(probability(air, 'real leak')).toBeGreaterThan(probability(alone, 'real leak') + 0.03);
    expect(probability(water, 'real leak')).toBeLessThan(probability(alone, 'real leak') - 0.3);
    expect(probability(water, 'outgassing')).toBeGreaterThan(probability(alone, 'outgassing') + 0.3);
  });

  it('are shown in the grounds with the ratio, its interval and what it means', () => {
    const grounds = find(twoGauges(1.6)).grounds.join('\n');
    expect(grounds).toMatch(/the rises stand as 1\.6\d* to 1 \(1\.3 to 1\.9, 95 %\); most of the gas is water vapour/);
    expect(grounds).toContain('as their names say');
    const told = find(twoGauges(1.6, 1, 1, 0, ['P1', 'P2']), { secondGauge: { channel: 'P2', gauge: 'thermal' } });
    expect(told.grounds.join('\n')).toMatch(/"P2" reads by heat and "P1" by force, so/);
  });

  it('judge by the rise, so that a zero error of one of them does not matter, but is said', () => {
    const grounds = find(twoGauges(1.02, 1, 1, 9)).grounds.join('\n');
    expect(grounds).toMatch(/most of the gas is air/);
    expect(grounds).toMatch(/disagree at zero/);
  });

  it('that disagree by more than any usual gas makes are said, and widen the leak', () => {
    const good = find(twoGauges(1));
    const bad = find(twoGauges(5, 5));
    expect(bad.grounds.join('\n')).toMatch(/disagree by a factor of 5/);
    const width = (one: typeof bad): number => (one.realLeak as { high: number }).high;
    expect(width(bad)).toBeGreaterThan(1.5 * width(good));
  });

  it('need no second gauge as the next test', () => {
    const found = find(twoGauges(1.3));
    const tests = [found.nextTest, ...found.otherTests].map((one) => one?.what ?? '');
    expect(tests.join('\n')).not.toMatch(/second gauge/);
  });

  it('are recognised by names of the trade only where those are plain', () => {
    expect(principleOfName('Pirani 1 (mbar)')).toBe('thermal');
    expect(principleOfName('CDG1')).toBe('capacitance');
    expect(principleOfName('Ion gauge (Torr)')).toBe('hot-cathode');
    expect(principleOfName('cold cathode ionization gauge')).toBe('cold-cathode');
    expect(principleOfName('Inverted magnetron')).toBe('cold-cathode');
    expect(principleOfName('ion pump pressure')).toBeUndefined();
    expect(principleOfName('thermal capacitance')).toBeUndefined();
    expect(principleOfName('p_chamber')).toBeUndefined();
  });
});

describe('the freeze dryer of the demo', () => {
  // datasets/truth.json: ice brought 12.85 Pa m3 in the first isolation and nothing in the last two; the leak is 2e-4 Pa m3/s.
  const file = 'freeze-dryer.csv';
  const log = readLog(readFileSync(join(__dirname, '../../datasets', file)), { file });

  it('is evaporation by either gauge, and the leak under it is held when the ice has gone', () => {
    const byForce = analyse(log, { volume: si('volume', 0.06, 0.001) }).finding;
    expect(byForce.verdict).toBe('evaporation');
    expect(byForce.realLeak?.low).toBeLessThan(2e-4);
    expect(byForce.realLeak?.high).toBeGreaterThan(2e-4);
    const byHeat = analyse(log, { channel: 'thermal', gauge: 'thermal' }).finding;
    expect(byHeat.verdict).toBe('evaporation');
    const ratio = /stand as ([\d.]+) to 1 .*water vapour/.exec(byHeat.grounds.join('\n'))?.[1];
    expect(Math.abs(Number(ratio) - 1.6)).toBeLessThan(0.05);
  });
});
