import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { constantSpeedPump, criticalPressureRatio, pumpDown, transmissionProbability } from '../../../src/flow';
import { evaporationHeat, gasNamed, vapourPressure, viscosity } from '../../../src/gases';
import {
  AVOGADRO,
  BOLTZMANN,
  findUnit,
  GAS_CONSTANT,
  STANDARD_ATMOSPHERE,
  STANDARD_GRAVITY,
  toSI,
} from '../../../src/units';

/** Made by `physics-reference.py` with the versions that it records: numpy, scipy, pint, chemicals, CoolProp, iapws. */
type Curve = readonly (readonly [number, number])[];
interface Reference {
  readonly units: Readonly<Record<string, number>>;
  readonly temperatures: Readonly<Record<string, readonly number[]>>;
  readonly constants: Readonly<Record<string, number>>;
  readonly ice: Curve;
  readonly 'water IF97': Curve;
  readonly 'water IAPWS-95': Curve;
  readonly 'heat of water': Curve;
  readonly Antoine: Readonly<Record<string, Curve>>;
  readonly 'Perry vapour': Readonly<Record<string, Curve>>;
  readonly 'equations of state': Readonly<Record<string, Curve>>;
  readonly 'Perry viscosity': Readonly<Record<string, Curve>>;
  readonly 'reference viscosity': Readonly<Record<string, Curve>>;
  readonly 'heat capacity ratio': Readonly<Record<string, number>>;
  readonly 'critical ratio': Curve;
  readonly transmission: readonly (readonly [number, number, number])[];
  readonly 'pump-down': { readonly plan: Readonly<Record<string, number>>; readonly course: Curve };
}
const reference = JSON.parse(readFileSync(join(__dirname, 'physics-reference.json'), 'utf8')) as Reference;

/** Largest relative difference between a function of ours and a curve of the reference. */
function worst(curve: Curve, ours: (x: number) => number): number {
  expect(curve.length).toBeGreaterThan(9);
  return Math.max(...curve.map(([x, y]) => Math.abs(ours(x) / y - 1)));
}

describe('units against pint', () => {
  // pint's own mercury column at 60 degF and conventional ones carry fewer digits than ours.
  const coarse: Readonly<Record<string, number>> = { 'inHg (60 degF)': 2e-6, 'inH2O (60 degF)': 2e-6, cmH2O: 3e-5 };
  it.each(Object.entries(reference.units))('%s', (label, factor) => {
    expect(Math.abs(findUnit(label)!.scale / factor - 1)).toBeLessThan(coarse[label] ?? 1e-11);
  });

  it.each(Object.entries(reference.temperatures))('%s', (label, kelvins) => {
    [-40, 0, 20, 300].forEach((value, i) => {
      expect(toSI(value, label)).toBeCloseTo(kelvins[i], 9);
    });
  });

  it('constants against scipy', () => {
    const { k, N_A, R, atm, g } = reference.constants;
    expect([BOLTZMANN, AVOGADRO, STANDARD_ATMOSPHERE, STANDARD_GRAVITY]).toEqual([k, N_A, atm, g]);
    expect(GAS_CONSTANT / R - 1).toBeCloseTo(0, 11);
  });
});

describe('vapour pressure over whole ranges', () => {
  it('ice against iapws, 60 to 273.16 K', () => {
    expect(worst(reference.ice, (T) => vapourPressure('ice', T))).toBeLessThan(1e-9);
  });
  it('water against IAPWS-IF97 and IAPWS-95: three standards differ by up to 1e-3 near the critical point', () => {
    const below = (limit: number, curve: Curve) => curve.filter(([T]) => T < limit);
    expect(worst(below(600, reference['water IF97']), (T) => vapourPressure('water', T))).toBeLessThan(3e-4);
    expect(worst(reference['water IF97'], (T) => vapourPressure('water', T))).toBeLessThan(5e-4);
    expect(worst(reference['water IAPWS-95'], (T) => vapourPressure('water', T))).toBeLessThan(3e-4);
  });
  it('heat of evaporation of water against CoolProp, 275 to 330 K, 1 %', () => {
    expect(worst(reference['heat of water'], (T) => evaporationHeat('water', T))).toBeLessThan(0.01);
  });
  it.each(Object.entries(reference.Antoine))('%s by Antoine against chemicals', (name, curve) => {
    expect(worst(curve, (T) => vapourPressure(name, T))).toBeLessThan(1e-4);
  });
  it.each(Object.entries(reference['Perry vapour']))('%s by Perry against chemicals', (name, curve) => {
    expect(worst(curve, (T) => vapourPressure(name, T))).toBeLessThan(1e-9);
  });
  it.each(Object.entries(reference['equations of state']))('%s against the equation of state, 3 %%', (name, curve) => {
    expect(worst(curve, (T) => vapourPressure(name, T))).toBeLessThan(0.03);
  });
});

describe('viscosity over whole ranges', () => {
  it.each(Object.entries(reference['Perry viscosity']))('%s against chemicals', (name, curve) => {
    expect(worst(curve, (T) => viscosity(name, T))).toBeLessThan(1e-9);
  });
  it.each(Object.entries(reference['reference viscosity']))('%s against CoolProp', (name, curve) => {
    const wide = ['NH3', 'C3H8', 'C4H10'].includes(name);
    expect(worst(curve, (T) => viscosity(name, T))).toBeLessThan(wide ? 0.05 : 0.03);
  });
  it.each(
    Object.entries(reference['heat capacity ratio']),
  )('heat capacity ratio of %s against CoolProp, 1e-3', (name, ratio) => {
    expect(Math.abs(gasNamed(name).heatCapacityRatio / ratio - 1)).toBeLessThan(1e-3);
  });
});

describe('flow', () => {
  it('critical pressure ratio against fluids', () => {
    expect(worst(reference['critical ratio'], criticalPressureRatio)).toBeLessThan(1e-9);
  });

  it.each(
    reference.transmission,
  )('transmission probability at L/R = %f against a second solution with numpy', (ratio, w, error) => {
    const bound = ratio <= 200 ? 1e-6 + error / w : 1e-4 + error / w;
    expect(Math.abs(transmissionProbability(ratio) / w - 1)).toBeLessThan(bound);
  });

  it('a pump-down through a line, with outgassing and a leak, from atmosphere, against scipy LSODA: 1e-6', () => {
    const { plan, course } = reference['pump-down'];
    const { V, S, ultimate, leak, area, rate, start, d, L } = plan;
    const line = { pump: constantSpeedPump(S, ultimate), tube: { diameter: d, length: L } };
    const outgassing = { area, rate };
    for (const [time, p] of course) {
      const ours = pumpDown({ volume: V, line, leak, outgassing, from: start, duration: time });
      expect(Math.abs(ours.endPa / p - 1)).toBeLessThan(1e-6);
    }
  });
});
