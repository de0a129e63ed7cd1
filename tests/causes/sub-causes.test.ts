import { describe, expect, it } from 'vitest';
import { findCauses, recogniseShelves } from '../../src/causes';
import { fitRecord } from '../../src/fits';
import { constantSpeedPump } from '../../src/flow';
import { evaporation, realLeak } from '../../src/gas-loads';
import { randomStream } from '../../src/numerics';
import { findSegments } from '../../src/segments';
import { simulate } from '../../src/simulate';
import { madeLog, madeSegments, si } from './made-log';

/** A pump-down of 20 L with some water in it. */
function wetPumpDown(waterKg: number, heatWPerK: number) {
  const { log } = simulate(
    {
      volumeM3: 0.02,
      pump: constantSpeedPump(0.003, 0.5),
      loads: [
        ...(waterKg > 0 ? [{ load: evaporation('water'), parameters: [0.005, heatWPerK, waterKg, 293.15] }] : []),
        { load: realLeak(), parameters: [1e-4] },
      ],
      gauges: [{ name: 'p', unit: 'Pa', noise: { relative: 2e-3, absolutePa: 0.05 } }],
    },
    { durationS: 4000, actions: [{ atS: 10, do: 'open pump valve' }] },
    { seed: 5, stepS: 2, file: 'wet.csv' },
  );
  const segmented = findSegments(log, { channel: 'p' });
  return { log, segmented, shelves: recogniseShelves(log, segmented, false) };
}

describe('shelves in a pump-down', () => {
  // IAPWS: triple point of water 611.657 Pa at 273.16 K; ice at -5 degC 401.74 Pa, at -10 degC 259.87 Pa (IAPWS R14-08, calc).
  it('know water that freezes by 611 Pa, and see that it ends', () => {
    const [shelf, ...more] = wetPumpDown(0.002, 3).shelves;
    expect(more).toEqual([]);
    expect(shelf.freezing).toBe(true);
    expect(shelf.ends).toBe(true);
    expect(shelf.text).toMatch(/611 Pa/);
  });

  it('name ice that sublimes, with its temperature', () => {
    const [shelf] = wetPumpDown(0.01, 1).shelves;
    const ice = shelf.vapours.find(({ substance }) => substance.name === 'ice');
    expect(shelf.freezing).toBe(false);
    expect(ice?.temperature[0]).toBeGreaterThan(263);
    expect(ice?.temperature[1]).toBeLessThan(270);
  });

  it('are not seen where nothing is wet, and are said without an isolation', () => {
    expect(wetPumpDown(0, 1).shelves).toEqual([]);
    const { log, segmented } = wetPumpDown(0.002, 3);
    const found = findCauses(log, segmented, fitRecord(log, segmented));
    expect(found.isolationsJudged).toBe(0);
    expect(found.grounds.join('\n')).toMatch(/water has cooled itself and freezes/);
  });
});

/** Two isolations in which the pressure rises by `rise`, and pumping between, at `pumped(t)` Pa. */
function record(rise: (elapsed: number) => number, pumped: (t: number) => number, noise: number) {
  const random = randomStream(4);
  const plan = [
    ['pump-down', 1800],
    ['isolation', 600],
    ['pump-down', 5400],
    ['isolation', 600],
    ['pump-down', 600],
  ] as const;
  const [time, pa]: [number[], number[]] = [[], []];
  const parts: ['pump-down' | 'isolation', number, number][] = [];
  let start = 0;
  for (const [kind, length] of plan) {
    const from = time.length;
    for (let t = start; t < start + length; t += 5) {
      const fall = (start === 0 ? 1e5 : 0.5) * Math.exp(-0.05 * (t - start));
      time.push(t);
      pa.push((kind === 'isolation' ? pumped(start) + rise(t - start) : pumped(t) + fall) + noise * random.normal());
    }
    parts.push([kind, from, time.length - 1]);
    start += length;
  }
  const log = madeLog(Float64Array.from(time), Float64Array.from(pa));
  const segmented = madeSegments(log, parts);
  const known = { volume: si('volume', 0.05, 0.0005), gauge: 'capacitance', target: si('pressure', 1) } as const;
  return findCauses(log, segmented, fitRecord(log, segmented, { gauge: 'capacitance' }), known);
}
const told = (finding: ReturnType<typeof record>, name: RegExp) =>
  finding.subCauses.find((one) => name.test(one.name))?.told;

describe('kinds of a fault on the pump side', () => {
  it('tell vapour in the oil, which clears slowly, from what holds the pressure', () => {
    const clearing = record(
      () => 0,
      (t) => 6 + 4 * Math.exp(-t / 6000),
      0.01,
    );
    expect(clearing.verdict).toBe('pump side');
    expect(told(clearing, /vapour in the oil/)).toBe('fits');
    expect(told(clearing, /ballast/)).toBe('speaks against');
  });

  it('are named as not separated where the pressure only stands, each with the test that tells it', () => {
    const standing = record(
      () => 0,
      () => 8,
      0.01,
    );
    expect(told(standing, /vapour in the oil/)).toBe('speaks against');
    for (const name of [/ballast/, /foreline/, /worn/, /choked/]) expect(told(standing, name)).toBe('not separated');
    for (const { nextTest, needs } of standing.subCauses) {
      expect(nextTest.length).toBeGreaterThan(20);
      expect(needs.length).toBeGreaterThan(0);
    }
  });
});

describe('kinds of evaporation', () => {
  it('name steam from a cooling circuit as a thing to exclude where a water load never runs dry', () => {
    const wet = record(
      (t) => (2300 - 300) * -Math.expm1(-0.006 * t),
      () => 300,
      0.5,
    );
    expect(wet.mainCause[0].cause).toBe('evaporation');
    expect(told(wet, /steam/)).toBe('not separated');
    expect(wet.grounds.join('\n')).toMatch(/steam from a cooling circuit/);
    expect(wet.grounds.join('\n')).toMatch(/water \(liquid\) holds this pressure at 18\.\d to 21\.\d degC/);
  });
});
