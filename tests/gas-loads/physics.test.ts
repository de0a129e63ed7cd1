import { describe, expect, it } from 'vitest';
import { CAUSES } from '../../src/causes/finding';
import { ArgumentError } from '../../src/errors';
import {
  evaporation,
  isolatedRise,
  type LoadCause,
  leakRollOff,
  outgassingRise,
  permeation,
  permeationOnset,
  realLeak,
  saturationCurve,
  twoVolumeTimeConstants,
} from '../../src/gas-loads';
import { vapourPressure } from '../../src/gases';
import { integrate, solveOde } from '../../src/numerics';
import { GAS_CONSTANT } from '../../src/units';

const at = { wallK: 293.15, partialPa: { air: 0, water: 0, solvent: 0 }, pumpOpen: true } as never;

/** Follows water that evaporates into perfect vacuum: mass, heat, and what went. */
function intoVacuum(parameters: readonly number[], seconds: number) {
  const load = evaporation('water');
  const start = load.start(parameters);
  const size = start.length;
  return solveOde({
    derivative: (_, y, out) => {
      load.stateRate(at, parameters, y.subarray(0, size), out.subarray(0, size));
      out[size] = load.throughput(at, parameters, y.subarray(0, size));
    },
    start: [...start, 0],
    from: 0,
    to: seconds,
    method: 'stiff',
    relativeTolerance: 1e-8,
    absoluteTolerance: [1e-12, 1e-6, 1e-9],
  });
}

describe('evaporation with its heat balance', () => {
  it('water without heat from outside cools, freezes to about six parts in seven and stays as ice', () => {
    // Half a gram through a wide path, no heat conductance: what evaporates (2.5 MJ/kg) is paid by cooling and freezing.
    const run = intoVacuum([2e-3, 0, 5e-4, 293.15], 900);
    const [mass, heat] = run.end;
    const perKg = heat / mass;
    expect(perKg).toBeLessThan(-333_500); // frozen through
    const left = mass / 5e-4;
    // Energy: 84 kJ/kg to 0 degC and 333.5 kJ/kg of freezing over 2.45 to 2.6 MJ/kg of evaporating leave 0.80 to 0.86 (calc).
    expect(left).toBeGreaterThan(0.78);
    expect(left).toBeLessThan(0.87);
  });

  it('mass is conserved: what left the surface is what went into the chamber', () => {
    const run = intoVacuum([1e-3, 0.5, 1e-4, 293.15], 20_000);
    const pv = run.end[2];
    expect(run.end[0]).toBeLessThan(2e-7);
    // The throughput counts at the temperature of the surface, between 230 and 293 K.
    const moles = (1e-4 - run.end[0]) / 0.018015;
    expect(pv / (moles * GAS_CONSTANT)).toBeGreaterThan(230);
    expect(pv / (moles * GAS_CONSTANT)).toBeLessThan(293.15);
  });

  it('a closed chamber with enough water ends at the vapour pressure of the walls (IAPWS, 2339 Pa at 20 degC)', () => {
    const pa = isolatedRise(
      [{ load: evaporation('water'), parameters: [1e-3, 1, 1e-2, 293.15] }],
      { volumeM3: 0.0124, startPa: 1 },
      [10, 5000],
    );
    expect(pa[1] - 1).toBeCloseTo(vapourPressure('water', 293.15), 0);
  });

  it('saturation goes on smoothly beyond a law and over to ice', () => {
    const acetone = saturationCurve('acetone');
    expect(acetone.pressure(247.3) / acetone.pressure(247.5)).toBeCloseTo(1, 1);
    expect(acetone.pressure(200)).toBeGreaterThan(0);
    expect(acetone.pressure(200)).toBeLessThan(acetone.pressure(247));
    const water = saturationCurve('water');
    expect(water.pressure(263.15)).toBe(vapourPressure('ice', 263.15));
    expect(water.pressure(273.161) / water.pressure(273.159)).toBeCloseTo(1, 2);
    expect(() => saturationCurve('treacle')).toThrow(ArgumentError);
  });
});

describe('permeation', () => {
  it('both series agree where they meet, and the time lag is l^2/(6 D) (Daynes)', () => {
    expect(permeationOnset(0.2 - 1e-12)).toBeCloseTo(permeationOnset(0.2), 9);
    expect(permeationOnset(0)).toBe(0);
    expect(permeationOnset(5)).toBeCloseTo(1, 12);
    // The integral of the flow tends to x - 1/6.
    expect(integrate(permeationOnset, 0, 4, 1e-9).value).toBeCloseTo(4 - 1 / 6, 6);
    // 3.5 mm and 2e-10 m2/s: 170 minutes (calc); after one lag of time 0.62 of the steady flow.
    expect(0.0035 ** 2 / 6 / 2e-10 / 60).toBeCloseTo(170, 0);
    const flow = permeation().throughput({ timeS: 10_208, wallK: 293.15 } as never, [1, 10_208, 0, 0], []);
    expect(flow).toBeCloseTo(permeationOnset(1 / 6), 12);
  });
});

describe('real leak', () => {
  it('falls off as published: at 0.1 of atmosphere 0, -10, -1 %; at 0.5 0, -50, -25 %; at 0.9 0.617, 0.10, 0.19 (calc)', () => {
    expect(leakRollOff('choked', 0.1)).toBe(1);
    expect(leakRollOff('molecular', 0.1)).toBeCloseTo(0.9, 12);
    expect(leakRollOff('laminar', 0.1)).toBeCloseTo(0.99, 12);
    expect(leakRollOff('choked', 0.5)).toBe(1);
    expect(leakRollOff('molecular', 0.5)).toBe(0.5);
    expect(leakRollOff('laminar', 0.5)).toBe(0.75);
    expect(leakRollOff('choked', 0.9)).toBeCloseTo(0.617, 3);
    expect(leakRollOff('laminar', 0.9)).toBeCloseTo(0.19, 12);
    expect(leakRollOff('choked', 1)).toBe(0);
    expect(leakRollOff('choked', 2)).toBeLessThan(0);
  });

  it('long rises: tanh in laminar, exponential in molecular flow (calc by integration)', () => {
    const chamber = { volumeM3: 0.01, startPa: 0 };
    const t = [100, 400, 1500];
    const laminar = isolatedRise([{ load: realLeak('laminar'), parameters: [2] }], chamber, t);
    const molecular = isolatedRise([{ load: realLeak('molecular'), parameters: [2] }], chamber, t);
    t.forEach((time, i) => {
      const x = (2 * time) / (0.01 * 101325);
      expect(laminar[i] / (101325 * Math.tanh(x))).toBeCloseTo(1, 6);
      expect(molecular[i] / (101325 * -Math.expm1(-x))).toBeCloseTo(1, 6);
    });
  });
});

describe('what is refused', () => {
  it('volumes and times that are none', () => {
    expect(() => isolatedRise([], { volumeM3: 0, startPa: 1 }, [1])).toThrow(ArgumentError);
    expect(() => isolatedRise([], { volumeM3: 1, startPa: Number.NaN }, [1])).toThrow(ArgumentError);
    expect(() => outgassingRise({ atOneHour: 1, exponent: 1, volumeM3: 1, pumpedS: 0 }, 1)).toThrow(ArgumentError);
    expect(() => twoVolumeTimeConstants({ volumeM3: 1, pocketM3: -1, conductanceM3PerS: 1, speedM3PerS: 1 })).toThrow(
      ArgumentError,
    );
  });

  it('names of causes are those of findings', () => {
    const mine: readonly LoadCause[] = [
      'real leak',
      'virtual leak',
      'outgassing',
      'evaporation',
      'permeation',
      'passing valve',
      'pump side',
      'temperature',
      'sink',
    ];
    for (const cause of mine) expect(CAUSES).toContain(cause);
  });
});
