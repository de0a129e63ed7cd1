import { describe, expect, it } from 'vitest';
import {
  collisionRate,
  flowRegime,
  gasNamed,
  impingementRate,
  impingementSpeed,
  leakFactor,
  massFlow,
  meanFreePath,
  meanSpeed,
  monolayerTime,
  numberDensity,
  viscosity,
} from '../../src/gases';

const off = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe('U.S. Standard Atmosphere 1976 at sea level (seen; 2e-4)', () => {
  // 288.15 K, 101325 Pa; diameter 3.65 angstrom and M = 28.9644 g/mol from memory of the same source.
  const air = { ...gasNamed('air'), molarMass: 0.0289644 };
  it('mean free path, mean speed, collision frequency, number density', () => {
    expect(off(meanFreePath(air, 101325, 288.15, 3.65e-10), 6.6328e-8)).toBeLessThan(2e-4);
    expect(off(meanSpeed(air, 288.15), 458.94)).toBeLessThan(2e-4);
    expect(off(collisionRate(air, 101325, 288.15, 3.65e-10), 6.9193e9)).toBeLessThan(2e-4);
    expect(off(numberDensity(101325, 288.15), 2.5471e25)).toBeLessThan(2e-4);
  });
});

describe('CRC Handbook, mean free path and related properties, 25 degC and 100 kPa (seen; 0.5 %)', () => {
  it.each([
    ['He', 200, 1256, 159],
    ['Ne', 143, 559, 256],
    ['Ar', 72.2, 397, 182],
    ['H2', 126, 1769, 71],
    ['N2', 67.6, 475, 142],
    ['O2', 73.6, 444, 166],
    ['CO2', 45.1, 379, 119],
    ['Kr', 55.8, 274, 203],
    ['NH3', 49.7, 609, 82],
  ])('%s: path %f nm, speed %f m/s, %f ps between collisions', (gas, path, speed, time) => {
    expect(off(meanFreePath(gas, 1e5, 298.15, 'hard sphere') * 1e9, path)).toBeLessThan(5e-3);
    expect(off(meanSpeed(gas, 298.15), speed)).toBeLessThan(5e-3);
    expect(off(1e12 / collisionRate(gas, 1e5, 298.15), time)).toBeLessThan(7e-3);
  });

  it('air: 69.2 nm, 466.9 m/s (calc); xenon: 40.6 nm where a public copy slipped to 4.05 (calc)', () => {
    expect(meanFreePath('air', 1e5, 298.15, 'hard sphere') * 1e9).toBeCloseTo(69.2, 1);
    expect(off(meanSpeed('air', 298.15), 466.9)).toBeLessThan(2e-4);
    expect(meanFreePath('Xe', 1e5, 298.15, 'hard sphere') * 1e9).toBeCloseTo(40.6, 1);
  });

  it('path times pressure in Pa m: N2, Ar, He, H2, O2 (calc)', () => {
    const expected = { N2: 6.77e-3, Ar: 7.23e-3, He: 2.0e-2, H2: 1.26e-2, O2: 7.35e-3 };
    for (const [gas, value] of Object.entries(expected)) {
      expect(off(meanFreePath(gas, 1, 298.15, 'hard sphere'), value)).toBeLessThan(4e-3);
    }
  });

  it('a Lennard-Jones diameter in the hard-sphere formula is wrong for helium: 1.40e-2, not 2.00e-2 Pa m (calc)', () => {
    const sigma = gasNamed('He').lennardJonesDiameter!;
    expect(meanFreePath('He', 1, 298.15, sigma)).toBeCloseTo(1.42e-2, 3);
    expect(off(meanFreePath('He', 1, 298.15, sigma), 2e-2)).toBeGreaterThan(0.25);
  });
});

describe('kinetic theory at 20 degC (calc)', () => {
  it.each([
    ['N2', 470.71],
    ['air', 462.91],
    ['He', 1245.3],
    ['Ar', 394.17],
    ['H2', 1754.7],
    ['H2O', 586.96],
    ['CO2', 375.54],
  ])('mean speed of %s is %f m/s', (gas, speed) => {
    expect(off(meanSpeed(gas), speed)).toBeLessThan(5e-5);
  });

  it.each([
    ['N2', 2.9075e22],
    ['air', 2.8593e22],
    ['H2O', 3.6256e22],
    ['He', 7.6918e22],
  ])('impingement of %s at 1 Pa is %f per m2 and s', (gas, rate) => {
    expect(off(impingementRate(gas, 1), rate)).toBeLessThan(3e-5);
  });

  it.each([
    ['air', 11.57],
    ['N2', 11.77],
    ['He', 31.13],
    ['Ar', 9.85],
    ['H2', 43.87],
    ['H2O', 14.67],
    ['CO2', 9.39],
  ])('%s strikes with %f L/(s cm2)', (gas, litres) => {
    expect(impingementSpeed(gas) / 10).toBeCloseTo(litres, 2);
  });

  it('number density: 2.470739e20 at 1 Pa and 20 degC; Loschmidt 2.68678011e25 at 0 degC and 1 atm', () => {
    expect(off(numberDensity(1), 2.470739e20)).toBeLessThan(2e-7);
    expect(off(numberDensity(101325, 273.15), 2.68678011e25)).toBeLessThan(2e-9);
  });

  it('monolayer of nitrogen: 3.44 s at 1e-6 mbar, 2.58 s at 1e-6 Torr; "1 to 3 s at 1e-6 Torr" is common practice', () => {
    expect(monolayerTime('N2', 1e-4)).toBeCloseTo(3.44, 2);
    expect(monolayerTime('N2', 1e-6 * (101325 / 760))).toBeCloseTo(2.58, 2);
  });

  it('mean free path of air from its viscosity: 6.62e-3 Pa m', () => {
    expect(meanFreePath('air', 1)).toBeCloseTo(6.62e-3, 5);
  });

  it('mass flow: 1 mbar L/s of air is 1.188352 mg/s, 37.50 kg a year', () => {
    expect(off(massFlow(0.1, 'air') * 1e6, 1.188352)).toBeLessThan(2e-6);
    expect(massFlow(0.1, 'air') * 31557600).toBeCloseTo(37.5, 2);
  });

  it('mass flow: 1 g a year of M = 102.03 g/mol is 7.570e-6 mbar L/s; 5 g a year of 58.12 is 6.645e-5', () => {
    const heavy = { ...gasNamed('N2'), molarMass: 0.10203 };
    const light = { ...gasNamed('N2'), molarMass: 0.05812 };
    expect(massFlow(7.57e-7, heavy) * 31557600 * 1000).toBeCloseTo(1, 3);
    expect(massFlow(6.645e-6, light) * 31557600 * 1000).toBeCloseTo(5, 3);
  });
});

describe('single collisions (seen: Engel and Reid, Example 16.6 inputs and result)', () => {
  it('carbon dioxide at 298 K and 1 atm, cross section 0.52 nm2: 6.9e9 per s; 6.858e9 (calc)', () => {
    const gas = { ...gasNamed('CO2'), molarMass: 0.044 };
    const rate = collisionRate(gas, 101325, 298, Math.sqrt(0.52e-18 / Math.PI));
    expect(off(rate, 6.9e9)).toBeLessThan(0.01);
    expect(off(rate, 6.858e9)).toBeLessThan(5e-4);
  });
});

describe('viscosity', () => {
  /** CRC Handbook, Viscosity of gases (Huber and Harvey), at 200, 300, 400, 500, 600 K; seen, usually within 3 %. */
  it.each([
    ['air', [13.3, 18.5, 23.1, 27.1, 30.8]],
    ['Ar', [15.9, 22.7, 28.6, 33.9, 38.8]],
    ['H2', [6.8, 8.9, 10.9, 12.8, 14.5]],
    ['D2', [9.6, 12.6, 15.4, null, null]],
    ['He', [15.1, 19.9, 24.3, 28.3, 32.2]],
    ['Kr', [17.4, 25.5, 32.9, 39.6, 45.8]],
    ['N2', [12.9, 17.9, 22.2, 26.1, 29.6]],
    ['Ne', [24.1, 31.9, 38.6, 44.8, 50.6]],
    ['O2', [14.7, 20.7, 25.8, 30.5, 34.7]],
    ['Xe', [15.7, 23.2, 30.5, 37.2, 43.5]],
    ['CO', [12.9, 17.8, 22.1, 25.8, 29.1]],
    ['CO2', [10.1, 15.0, 19.7, 24.0, 28.0]],
    ['CH4', [7.7, 11.1, 14.2, 17.0, 19.4]],
    ['H2O', [null, 9.8, 13.4, 17.3, 21.4]],
    ['SF6', [null, 15.3, 19.7, 23.8, 27.6]],
    ['NH3', [null, 10.2, 14.0, 17.9, 21.7]],
    ['C2H6', [6.4, 9.4, 12.2, 14.8, null]],
  ])('of %s against the CRC table, 3.5 %', (gas, column) => {
    column.forEach((micro, i) => {
      if (micro !== null) expect(off(viscosity(gas, 200 + 100 * i) * 1e6, micro)).toBeLessThan(0.035);
    });
  });

  it.each([
    ['air', 18.22],
    ['N2', 17.49],
    ['O2', 20.34],
    ['Ar', 22.34],
    ['He', 19.64],
    ['H2', 8.8],
    ['H2O', 9.61],
    ['CO2', 14.73],
  ])('of %s at 20 degC is %f uPa s (calc from Perry, Table 2-312)', (gas, micro) => {
    expect(viscosity(gas) * 1e6).toBeCloseTo(micro, 2);
  });
});

describe('leak rates from helium to another gas at 20 degC (calc from the viscosities and masses above; 1 %)', () => {
  it.each([
    ['air', 1.078, 0.3717],
    ['N2', 1.123, 0.378],
    ['Ar', 0.879, 0.3165],
    ['H2', 2.231, 1.409],
    ['H2O', 2.044, 0.4714],
  ])('to %s: laminar %f, molecular %f', (gas, laminar, molecular) => {
    expect(off(leakFactor('He', gas, 'laminar'), laminar)).toBeLessThan(1e-2);
    expect(off(leakFactor('He', gas, 'molecular'), molecular)).toBeLessThan(1e-3);
  });
});

describe('regime limits of named authors', () => {
  it('Ryans and Roper eq. 2-34: below 0.01 viscous, above 1 molecular (seen)', () => {
    expect(flowRegime(0.009, 'Ryans and Roper')).toBe('viscous');
    expect(flowRegime(0.5, 'Ryans and Roper')).toBe('transition');
    expect(flowRegime(1.1, 'Ryans and Roper')).toBe('molecular');
  });
  it('Jousten: molecular above 0.5 (from memory: Handbook of Vacuum Technology)', () => {
    expect(flowRegime(0.6)).toBe('molecular');
    expect(flowRegime(0.6, "O'Hanlon")).toBe('transition');
    expect(flowRegime(5, 'aerodynamics')).toBe('transition');
  });
});
