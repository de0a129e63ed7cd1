import { describe, expect, it } from 'vitest';
import {
  constantSpeedPump,
  desorptionPressureBound,
  equivalentHole,
  gasLoadBudget,
  leakForBasePressure,
  pumpDown,
  sizePump,
  usualVesselLeakage,
  vapourTolerance,
} from '../../src/flow';

describe('gasLoadBudget', () => {
  it('sums the loads, largest first, and puts the ultimate on top', () => {
    const budget = gasLoadBudget(
      [
        ['seals', 1e-6],
        ['walls', 3e-6],
      ],
      1e-2,
      1e-5,
    );
    expect(budget.lines.map((l) => [l.name, l.share])).toEqual([
      ['walls', 0.75],
      ['seals', 0.25],
    ]);
    expect(budget.total).toBeCloseTo(4e-6, 15);
    expect(budget.pressure).toBeCloseTo(4e-4 + 1e-5, 12);
  });
  it('refuses useless input and takes an empty list', () => {
    expect(gasLoadBudget([], 1).pressure).toBe(0);
    expect(() => gasLoadBudget([['walls', -1]], 1)).toThrow(
      'load of walls: met -1, expected a finite number, zero or above',
    );
    expect(() => gasLoadBudget([], 0)).toThrow('speed: met 0, expected a finite number above zero');
  });
});

describe('sizePump', () => {
  it('a pump of the size it names reaches the pressure in time', () => {
    const size = sizePump({ volume: 0.2, to: 10, within: 600 });
    const course = pumpDown({
      volume: 0.2,
      line: { pump: constantSpeedPump(size.atChamber) },
      duration: 700,
      setPoints: [10],
    });
    expect(course.times[0].afterS!).toBeCloseTo(600, 3);
    expect(size.note).toBe('emptying the volume in time asks for more speed');
  });
  it('says when the loads ask for more, and works the line in', () => {
    const size = sizePump({
      volume: 0.2,
      to: 1e-3,
      within: 36000,
      outgassing: { area: 2, rate: 1e-5 },
      conductance: 0.005,
    });
    expect(size.toHold).toBeCloseTo(2e-3, 12);
    expect(1 / size.atPump!).toBeCloseTo(1 / 2e-3 - 1 / 0.005, 6);
    expect(size.note).toBe('holding the pressure against the gas loads asks for more speed');
  });
  it('says when the line is the trouble', () => {
    const size = sizePump({ volume: 1, to: 1, within: 60, conductance: 0.001 });
    expect(size.atPump).toBeNull();
    expect(size.note).toBe(
      'emptying the volume in time asks for more speed; no pump is enough behind this line: its conductance is too small',
    );
    expect(() => sizePump({ volume: 1, to: 1, within: 60, conductance: 0 })).toThrow(
      'conductance: met 0, expected above zero',
    );
    expect(() => sizePump({ volume: 1, to: 2e5, within: 60 })).toThrow(
      'pressure wanted: met 200000, expected at most the starting pressure, 101325 Pa',
    );
  });
});

describe('leakForBasePressure', () => {
  const line = { pump: constantSpeedPump(0.01, 0.1) };
  it('gives the leak that the pump removes, and the hole that it pictures', () => {
    const found = leakForBasePressure(1, line, 1e-3);
    expect(found.removed).toBeCloseTo(0.009, 12);
    expect(found.leak).toBeCloseTo(0.008, 12);
    expect(found.hole).toBeCloseTo(equivalentHole(0.008), 12);
    expect(found.note).toMatch(/^at most this leak/);
  });
  it('needs none where loads or pump explain the pressure', () => {
    expect(leakForBasePressure(1, line, 1).leak).toBe(0);
    expect(leakForBasePressure(1, line, 1).note).toBe('the known loads explain this pressure, no leak is needed');
    expect(leakForBasePressure(0.05, line).note).toBe(
      'the pump alone keeps this pressure: it is at or below its ultimate, no leak is needed',
    );
  });
  it('refuses useless input', () => {
    expect(() => leakForBasePressure(0, line)).toThrow('chamber pressure: met 0, expected a finite number above zero');
    expect(() => leakForBasePressure(1, line, -1)).toThrow(
      'other loads: met -1, expected a finite number, zero or above',
    );
  });
});

describe('vapourTolerance', () => {
  const pump = { speed: 0.01, ballast: 0.001 };
  it('grows with ballast, shrinks with wet ballast air, is endless above the boiling point', () => {
    const warm = 31200;
    expect(vapourTolerance(warm, { ...pump, ballast: 0 })).toBe(0);
    expect(vapourTolerance(warm, pump)).toBeCloseTo((warm * 0.1 * 101325) / (110000 - warm), 6);
    expect(vapourTolerance(warm, { ...pump, ambientVapour: 1500 })).toBeLessThan(vapourTolerance(warm, pump));
    expect(vapourTolerance(2e5, pump)).toBe(Infinity);
  });
  it('refuses useless input', () => {
    expect(() => vapourTolerance(-1, pump)).toThrow('saturation pressure: met -1, expected a finite number above zero');
    expect(() => vapourTolerance(1, { ...pump, ballast: -1 })).toThrow(
      'ballast: met -1, expected a finite number, zero or above',
    );
    expect(() => vapourTolerance(1, { ...pump, ambientVapour: 2e5 })).toThrow(
      'vapour in the ballast air: met 200000, expected 0 to below the ambient pressure, 101325 Pa',
    );
  });
});

describe('bounds', () => {
  it('refuse useless input', () => {
    expect(() => desorptionPressureBound(0, 1, 1)).toThrow('area: met 0, expected a finite number above zero');
    expect(() => usualVesselLeakage(1, 1)).toThrow('pressure: met 1, expected 13.3 to 101325 Pa');
    expect(() => usualVesselLeakage(1000, -1)).toThrow('volume: met -1, expected a finite number above zero');
  });
});
