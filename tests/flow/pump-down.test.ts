import { describe, expect, it } from 'vitest';
import {
  atChamber,
  balancePressure,
  constantSpeedPump,
  effectiveSpeed,
  inParallel,
  inSeries,
  outgassingLoad,
  pumpDown,
  pumpDownTime,
  pumpSpeed,
  pumpThroughput,
  speedForPumpDown,
  stepwisePumpDownTime,
  tabulatedPump,
  tubeConductance,
  tubeThroughput,
} from '../../src/flow';

const off = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe('pump curves', () => {
  const pump = tabulatedPump(
    [
      [1, 0.001],
      [100, 0.01],
      [1e4, 0.01],
    ],
    0.1,
  );
  it('run straight on double-logarithmic paper, level outside, and end at the ultimate', () => {
    expect(pumpThroughput(pump, 10)).toBeCloseTo(Math.sqrt(1e-5) * 9.9, 12);
    expect(pumpSpeed(pump, 1e5)).toBeCloseTo(0.01, 6);
    expect(pumpSpeed(pump, 0.1)).toBe(0);
    expect(pumpSpeed(pump, 0.01)).toBe(0);
    expect(pumpThroughput(pump, 0.05)).toBeCloseTo(-0.001 * 0.05, 12);
  });
  it.each([
    [() => constantSpeedPump(0), 'pumping speed: met 0, expected a finite number above zero'],
    [() => constantSpeedPump(1, -1), 'ultimate pressure: met -1, expected a finite number, zero or above'],
    [() => tabulatedPump([]), 'pump table: met "", expected at least one point'],
    [
      () =>
        tabulatedPump([
          [2, 1],
          [1, 1],
        ]),
      'pump table: met 1, expected a pressure above 2 Pa',
    ],
    [() => tabulatedPump([[1, -1]]), 'speed of the pump table: met -1, expected a finite number above zero'],
    [() => pumpSpeed(pump, -1), 'inlet pressure: met -1, expected a finite number, zero or above'],
    [() => pumpThroughput(pump, Number.NaN), 'inlet pressure: met NaN, expected a finite number, zero or above'],
  ])('refuse: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('network', () => {
  it('adds in parallel, adds inverses in series', () => {
    expect(inParallel(1, 2, 3)).toBe(6);
    expect(inSeries(2, 2)).toBe(1);
    expect(effectiveSpeed(3, Infinity)).toBe(3);
  });
  it('refuses useless input', () => {
    expect(() => inSeries()).toThrow('conductances: met "", expected at least one');
    expect(() => inParallel(1, -1)).toThrow('conductance: met -1, expected above zero');
    expect(() => effectiveSpeed(Number.NaN, 1)).toThrow('conductance: met NaN, expected above zero');
  });
});

describe('atChamber', () => {
  const tube = { diameter: 0.025, length: 1 };
  it('is the speed formula in molecular flow', () => {
    const pump = constantSpeedPump(0.01);
    const state = atChamber({ pump, tube }, 1e-4);
    expect(off(state.effectiveSpeed, effectiveSpeed(0.01, tubeConductance(tube, 'air', 0)))).toBeLessThan(1e-4);
  });
  it('loses nothing to the line at high pressure, and passes as much as the pump takes', () => {
    const state = atChamber({ pump: constantSpeedPump(0.01), tube }, 1e4);
    expect(off(state.effectiveSpeed, 0.01)).toBeLessThan(0.02);
    expect(off(tubeThroughput(tube, 'air', 1e4, state.inletPressure).throughput, state.throughput)).toBeLessThan(1e-6);
  });
  it('gives gas back below the ultimate', () => {
    expect(atChamber({ pump: constantSpeedPump(0.01, 5), tube }, 1).throughput).toBeLessThan(0);
  });
  it('refuses useless pressure', () => {
    expect(() => atChamber({ pump: constantSpeedPump(1) }, 0)).toThrow(
      'chamber pressure: met 0, expected a finite number above zero',
    );
  });
});

describe('closed forms', () => {
  it.each([
    [
      () => pumpDownTime(1, 1, 100, 1, 2),
      'pressure wanted: met 1, expected above the floor, 2 Pa: it is never reached',
    ],
    [() => pumpDownTime(1, 1, 100, 200), 'pressure wanted: met 200, expected at most the starting pressure, 100 Pa'],
    [() => pumpDownTime(-1, 1, 100, 1), 'volume: met -1, expected a finite number above zero'],
    [() => pumpDownTime(1, Number.NaN, 100, 1), 'speed: met NaN, expected a finite number above zero'],
    [
      () => pumpDownTime(1, 1, 100, Number.NaN),
      'pressure wanted: met NaN, expected above the floor, 0 Pa: it is never reached',
    ],
    [() => speedForPumpDown(1, 0, 100, 1), 'time: met 0, expected a finite number above zero'],
    [() => stepwisePumpDownTime(1, [3, 2], [1, 1]), 'pressures: met 2, expected one more than the 2 speeds'],
  ])('refuse: %s', (call, message) => {
    expect(call).toThrow(message);
  });
  it('in steps of one speed are the same as in one', () => {
    expect(stepwisePumpDownTime(2, [1e5, 1e3, 10], [0.1, 0.1])).toBeCloseTo(pumpDownTime(2, 0.1, 1e5, 10), 9);
  });
});

describe('pumpDown by integration', () => {
  it('agrees with the closed form: constant speed, leak and ultimate', () => {
    const line = { pump: constantSpeedPump(5e-3, 2) };
    const course = pumpDown({ volume: 0.1, line, leak: 0.015, duration: 400, setPoints: [1000, 10, 1] });
    // The floor is ultimate + leak / speed = 5 Pa.
    expect(off(course.times[0].afterS!, pumpDownTime(0.1, 5e-3, 101325, 1000, 5))).toBeLessThan(1e-6);
    expect(off(course.times[1].afterS!, pumpDownTime(0.1, 5e-3, 101325, 10, 5))).toBeLessThan(1e-6);
    expect(course.times[2].afterS).toBeNull();
    for (let i = 0; i < course.timeS.length; i += 20) {
      expect(off(course.pa[i], 5 + (101325 - 5) * Math.exp(-course.timeS[i] / 20))).toBeLessThan(1e-6);
    }
  });

  it('ends on the outgassing tail A q(t)/S', () => {
    const outgassing = { area: 0.5, rate: 1e-5 };
    const course = pumpDown({ volume: 0.05, line: { pump: constantSpeedPump(5e-3) }, outgassing, duration: 36000 });
    expect(off(course.endPa, outgassingLoad(outgassing, 36000) / 5e-3)).toBeLessThan(1e-3);
  });

  it('goes through a line in every regime, slower than without it, and never above the start', () => {
    const pump = constantSpeedPump(0.02, 0.1);
    const plan = { volume: 0.1, duration: 600, setPoints: [100, 1] };
    const bare = pumpDown({ ...plan, line: { pump } });
    const piped = pumpDown({ ...plan, line: { pump, tube: { diameter: 0.025, length: 1 } } });
    expect(piped.times[0].afterS!).toBeGreaterThan(bare.times[0].afterS!);
    expect(piped.times[1].afterS!).toBeGreaterThan(1.5 * bare.times[1].afterS!);
    expect(Math.max(...piped.pa)).toBeLessThanOrEqual(101325 * (1 + 1e-9));
  });

  it('counts a set point above the start as reached at once', () => {
    const course = pumpDown({
      volume: 1,
      line: { pump: constantSpeedPump(1) },
      from: 10,
      duration: 1,
      setPoints: [20],
    });
    expect(course.times).toEqual([{ toPa: 20, afterS: 0 }]);
  });

  it('holds the outgassing of the first minute', () => {
    expect(outgassingLoad({ area: 1, rate: 1e-6 }, 0)).toBeCloseTo(6e-5, 12);
    expect(outgassingLoad({ area: 1, rate: 1e-6, exponent: 0.5 }, 4 * 3600)).toBeCloseTo(5e-7, 12);
  });

  const good = { volume: 1, line: { pump: constantSpeedPump(1) }, duration: 1 };
  it.each([
    [{ volume: 0 }, 'volume: met 0, expected a finite number above zero'],
    [{ duration: -1 }, 'duration: met -1, expected a finite number above zero'],
    [{ leak: -1 }, 'leak: met -1, expected a finite number, zero or above'],
    [{ from: Number.NaN }, 'starting pressure: met NaN, expected a finite number above zero'],
    [{ setPoints: [0] }, 'set point: met 0, expected a finite number above zero'],
    [{ outgassing: { area: 1, rate: 1, exponent: 3 } }, 'exponent: met 3, expected 0 to 2'],
    [{ outgassing: { area: -1, rate: 1 } }, 'area: met -1, expected a finite number, zero or above'],
    [
      { gas: 'phlogiston', line: { pump: constantSpeedPump(1), tube: { diameter: 1, length: 1 } } },
      'gas: met "phlogiston"',
    ],
  ])('refuses %o', (change, message) => {
    expect(() => pumpDown({ ...good, ...change })).toThrow(message);
  });
});

describe('balancePressure', () => {
  it('is where pump and load balance', () => {
    const line = { pump: constantSpeedPump(0.01, 0.2), tube: { diameter: 0.025, length: 1 } };
    const p = balancePressure(line, 1e-3);
    expect(off(atChamber(line, p).throughput, 1e-3)).toBeLessThan(1e-9);
    expect(off(balancePressure({ pump: constantSpeedPump(0.01, 0.2) }, 0), 0.2)).toBeLessThan(1e-9);
  });
  it('refuses more than the pump takes', () => {
    expect(() => balancePressure({ pump: constantSpeedPump(0.01) }, 1e6)).toThrow(
      'gas load: met 1000000, expected at most what the pump takes at atmosphere',
    );
  });
});
