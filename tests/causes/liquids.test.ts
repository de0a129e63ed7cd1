import { describe, expect, it } from 'vitest';
import { findCauses } from '../../src/causes';
import { blockAverages } from '../../src/causes/block-averages';
import { type CooledLiquid, cooledRise, cooledTo, warmedTo } from '../../src/causes/cooled-liquid';
import { doubtLeaksBesideVapour } from '../../src/causes/leak-beside-vapour';
import type { IsolationEvidence } from '../../src/causes/record-evidence';
import { suddenStop } from '../../src/causes/sudden-stop';
import type { Draw } from '../../src/causes/weigh-hypotheses';
import { fitRecord } from '../../src/fits';
import { randomStream } from '../../src/numerics';
import { madeLog, madeSegments, si } from './made-log';

/** Saturation pressure of water, Pa: Clausius and Clapeyron with 45 kJ/mol from 2339 Pa at 293.15 K (calc). */
const saturated = (kelvin: number): number => 2339 * Math.exp((-45e3 / 8.314) * (1 / kelvin - 1 / 293.15));

describe('a liquid whose evaporation is limited by heat', () => {
  it('that does not cool is a vapour that saturates (calc)', () => {
    const out = new Float64Array(4);
    cooledRise({ vapourPerS: 0.01, warmth: 0, rewarmPerS: 1e-3 }, 0, [10, 50, 200, 900], out);
    [10, 50, 200, 900].forEach((t, i) => {
      expect(out[i]).toBeCloseTo(1 - Math.exp(-0.01 * t), 12);
    });
  });

  it('follows a balance of heat that is stepped through on its own (calc)', () => {
    // Water at 276 K in a vessel at 293 K; UA / C = 1/800 s; its vapour keeps up with it.
    const [vessel, cold, perS] = [293.15, 276, 1 / 800];
    const liquid: CooledLiquid = {
      vapourPerS: 0.5,
      warmth: Math.log(saturated(vessel) / saturated(cold)),
      rewarmPerS: perS,
    };
    const elapsed = Array.from({ length: 60 }, (_, i) => 20 * (i + 1));
    const out = new Float64Array(60);
    cooledRise(liquid, 0, elapsed, out);
    let kelvin = cold;
    elapsed.forEach((_, i) => {
      for (let s = 0; s < 200; s++) kelvin += 0.1 * perS * (vessel - kelvin);
      expect(out[i] * saturated(cold)).toBeGreaterThan(0.95 * saturated(kelvin));
      expect(out[i] * saturated(cold)).toBeLessThan(1.05 * saturated(kelvin));
    });
  });

  it('cools faster than it warms, and forgets where it began', () => {
    const liquid: CooledLiquid = { vapourPerS: 1, warmth: 1.5, rewarmPerS: 1e-3 };
    expect(warmedTo(liquid, 0, 1000)).toBeCloseTo(1.5 * (1 - Math.exp(-1)), 12);
    expect(cooledTo(liquid, 1.5, 400)).toBeCloseTo(1.5 * Math.exp(-1), 12);
    expect(cooledTo(liquid, 1.5, -5)).toBe(1.5);
    expect(warmedTo(liquid, 1.4, 1e6)).toBeCloseTo(1.5, 9);
  });

  it('is no leak: three rises that are quick and then nearly straight', () => {
    const random = randomStream(11);
    const [perS, speed, k, vessel, cold] = [1 / 900, 0.05, 0.04, 293.15, 278];
    const liquid: CooledLiquid = {
      vapourPerS: k,
      warmth: Math.log(saturated(vessel) / saturated(cold)),
      rewarmPerS: perS,
    };
    const time: number[] = [];
    const pa: number[] = [];
    const parts: ['pump-down' | 'isolation', number, number][] = [];
    let kelvin = vessel;
    let p = 1e5;
    for (const [kind, length] of [
      ['pump-down', 4000],
      ['isolation', 600],
      ['pump-down', 3000],
      ['isolation', 600],
      ['pump-down', 3000],
      ['isolation', 600],
    ] as const) {
      const from = time.length;
      for (let t = 0; t < length; t += 5) {
        time.push(time.length * 5);
        pa.push(p + 0.5 * random.normal());
        for (let s = 0; s < 50; s++) {
          const to = kind === 'isolation' ? vessel : cold;
          const rate = kind === 'isolation' ? perS : perS * (1 + liquid.warmth);
          kelvin += 0.1 * rate * (to - kelvin);
          p += 0.1 * (k * Math.max(saturated(kelvin) - p, p > 5000 ? 0 : -p) - (kind === 'isolation' ? 0 : speed * p));
        }
      }
      parts.push([kind, from, time.length - 1]);
    }
    const log = madeLog(Float64Array.from(time), Float64Array.from(pa));
    const segmented = madeSegments(log, parts);
    const known = { volume: si('volume', 0.05, 0.0005), gauge: 'capacitance' } as const;
    const found = findCauses(log, segmented, fitRecord(log, segmented, { gauge: 'capacitance' }), known);
    expect(found.verdict).toBe('evaporation');
    expect(found.realLeak!.low).toBe(0);
    expect(found.realLeak!.high).toBeGreaterThan(0);
  });
});

describe('suddenStop', () => {
  const isolation = (pa: (t: number) => number): IsolationEvidence => {
    const timeS = Float64Array.from({ length: 22 }, (_, i) => 100 + 20 * i);
    const values = timeS.map((t) => pa(t - 100));
    return {
      timeS,
      pa: values,
      sd: timeS.map(() => 0.05),
      closeS: 100,
      endS: 520,
      closePa: values[0],
      ageS: 1000,
      olderS: 1000,
      filled: false,
      stepsS: [],
      warming: null,
    };
  };

  it('finds where a straight rise ends (calc)', () => {
    const found = suddenStop([isolation((t) => 0.3 * Math.min(t, 213))]);
    expect(Math.abs(found!.atS - 313)).toBeLessThan(2 * found!.withinS);
    expect(found!.withinS).toBeLessThanOrEqual(20);
  });

  it('finds none in a straight rise, in one that saturates, and in walls', () => {
    expect(suddenStop([isolation((t) => 0.3 * t)])).toBeNull();
    expect(suddenStop([isolation((t) => 40 * (1 - Math.exp(-t / 100)))])).toBeNull();
    expect(suddenStop([isolation((t) => 20 * Math.log1p(t / 50))])).toBeNull();
    expect(suddenStop([])).toBeNull();
  });
});

describe('a display of two digits', () => {
  it('is not trusted beyond its step, which grows with the pressure', () => {
    const n = 1200;
    const time = Float64Array.from({ length: n }, (_, i) => i);
    // 0 to 240 Pa as read by 1 Pa below 100 and by 10 Pa above.
    const read = time.map((t) => (0.2 * t < 100 ? Math.round(0.2 * t) : 10 * Math.round(0.02 * t)));
    const rows = Int32Array.from(time.keys());
    const { pa, sd, timeS } = blockAverages(time, { values: read, resolution: 1, unit: 'Pa' }, rows, 22);
    pa.forEach((p, b) => {
      expect(Math.abs(p - 0.2 * timeS[b])).toBeLessThan(5 * sd[b] + 1e-9);
    });
    expect(sd[21]).toBeGreaterThan(1);
    expect(sd[3]).toBeLessThan(0.5);
  });
});

describe('doubtLeaksBesideVapour', () => {
  const draw = (leak: number | null, weight: number): Draw => {
    const sources = leak === null ? (['vapour'] as const) : (['vapour', 'leak'] as const);
    const name = leak === null ? 'vapour' : 'vapour + leak';
    const two = (a: number, b: number): Float64Array => Float64Array.from(leak === null ? [a] : [a, b]);
    return {
      hypothesis: { name, sources, drain: null, warm: false, prior: 1 },
      weight,
      shapes: {} as Draw['shapes'],
      riseLast: two(100, 10),
      riseAll: two(200, 20),
      warmLast: 0,
      warmAll: 0,
      closing: two(0.3, 0.01),
      end: two(0.1, 0.01),
      leakMean: leak ?? Number.NaN,
      leakSd: leak === null ? Number.NaN : 1e-4,
      offset: Number.NaN,
    };
  };
  const present = (draws: readonly Draw[]): number =>
    draws.reduce((sum, one) => sum + (one.leakSd > 0 ? one.weight : 0), 0);

  it('takes back what the error of the vapour would make as well, and keeps the sum', () => {
    const draws = [draw(0.01, 0.999), draw(null, 0.001)];
    const weights = new Map([
      ['vapour + leak', 0.999],
      ['vapour', 0.001],
    ]);
    const doubted = doubtLeaksBesideVapour(draws, weights, 1000);
    expect(doubted.reduce((sum, one) => sum + one.weight, 0)).toBeCloseTo(1, 12);
    expect(present(doubted)).toBeGreaterThan(0.4);
    expect(present(doubted)).toBeLessThan(0.6);
    // 20 % of the root of 0.1 times 0.1 Pa/s, and 1 % of 0.1 Pa/s (calc).
    expect(doubted.find((one) => one.leakSd > 0)!.leakSd).toBeCloseTo(0.021, 3);
  });

  it('puts the vapour alone in the place of a set that was given up', () => {
    const doubted = doubtLeaksBesideVapour([draw(0.01, 1)], new Map([['vapour + leak', 1]]), 1000);
    const alone = doubted.filter((one) => one.hypothesis.name === 'vapour');
    expect(alone).toHaveLength(1);
    expect(alone[0].riseLast).toHaveLength(1);
    expect(doubted.reduce((sum, one) => sum + one.weight, 0)).toBeCloseTo(1, 12);
  });

  it('leaves alone what is no vapour, and what speaks against the leak', () => {
    const against = [draw(0.001, 0.2), draw(null, 0.8)];
    const weights = new Map([
      ['vapour + leak', 0.2],
      ['vapour', 0.8],
    ]);
    expect(present(doubtLeaksBesideVapour(against, weights, 1000))).toBeCloseTo(0.2, 12);
    expect(doubtLeaksBesideVapour([], new Map(), 1000)).toEqual([]);
  });
});
