import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  collisionRate,
  convertLeakRate,
  evaporationCeiling,
  extrapolatedVapourPressure,
  flowRegime,
  GASES,
  gasNamed,
  impingementRate,
  knudsenNumber,
  leakFactor,
  massFlow,
  meanFreePath,
  meanSpeed,
  molecularMass,
  monolayerTime,
  numberDensity,
  type RegimeAuthor,
  saturationTemperature,
  substanceNamed,
  VAPOUR_SUBSTANCES,
  vapourPressure,
  vapoursFitting,
  viscosity,
} from '../../src/gases';

describe('gasNamed', () => {
  it('finds gases by formula and English name in any case', () => {
    expect(gasNamed('n2')).toBe(gasNamed('Nitrogen'));
    expect(gasNamed('water vapour').name).toBe('H2O');
    expect(gasNamed('water').name).toBe('H2O');
    expect(gasNamed(gasNamed('He')).english).toBe('helium');
  });
  it('refuses what it does not know', () => {
    expect(() => gasNamed('phlogiston')).toThrow(
      `gas: met "phlogiston", expected one of ${GASES.map((g) => g.name).join(', ')}`,
    );
  });
});

describe('every gas', () => {
  it.each(GASES.filter((gas) => gas.viscosity).map((gas) => gas.name))('%s has a rising positive viscosity', (name) => {
    const [low, high] = gasNamed(name).viscosityRange;
    let last = 0;
    for (let i = 0; i <= 40; i++) {
      const value = viscosity(name, low + ((high - low) * i) / 40);
      expect(value).toBeGreaterThan(last);
      last = value;
    }
  });
});

describe('kinetic theory refuses useless input', () => {
  it.each([
    [() => numberDensity(-1), 'pressure: met -1, expected a finite number, zero or above'],
    [() => numberDensity(1, 0), 'temperature: met 0, expected a finite number above zero'],
    [() => numberDensity(Number.NaN), 'pressure: met NaN, expected a finite number, zero or above'],
    [() => meanSpeed('N2', Number.NaN), 'temperature: met NaN, expected a finite number above zero'],
    [
      () => impingementRate('N2', Number.POSITIVE_INFINITY),
      'pressure: met Infinity, expected a finite number, zero or above',
    ],
    [() => monolayerTime('N2', 0), 'pressure: met 0, expected a finite number above zero'],
    [() => monolayerTime('N2', 1, { sticking: 2 }), 'sticking: met 2, expected above 0 and at most 1'],
    [() => monolayerTime('N2', 1, { sites: -1 }), 'sites: met -1, expected a finite number above zero'],
    [
      () => meanFreePath('H2O', 1, 293, 'hard sphere'),
      'gas: met "H2O", expected a gas with a tabulated hard-sphere diameter',
    ],
    [() => meanFreePath('N2', 1, 293, -1e-10), 'diameter: met -1e-10, expected a finite number above zero'],
    [() => viscosity('Hg'), 'gas: met "Hg", expected a gas with a viscosity law'],
    [() => viscosity('H2O', 200), 'temperature for the viscosity of H2O: met 200 K, expected 273.16 to 1073.15 K'],
    [() => viscosity('N2', Number.NaN), 'temperature: met NaN, expected a finite number'],
    [() => knudsenNumber('N2', 1, 0), 'width: met 0, expected a finite number above zero'],
    [() => flowRegime(0), 'Knudsen number: met 0, expected a finite number above zero'],
    [
      () => flowRegime(1, 'me' as RegimeAuthor),
      `author: met "me", expected one of Ryans and Roper, Jousten, O'Hanlon, Roth, aerodynamics`,
    ],
    [() => massFlow(-1, 'N2'), 'throughput: met -1, expected a finite number, zero or above'],
  ])('%s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('kinetic theory', () => {
  it('hangs together: J = n v / 4, z = v / path, mass of a molecule', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1e5, noNaN: true }),
        fc.double({ min: 280, max: 500, noNaN: true }),
        (p, T) => {
          const j = p / Math.sqrt(2 * Math.PI * molecularMass('N2') * 1.380649e-23 * T);
          expect(impingementRate('N2', p, T) / j).toBeCloseTo(1, 9);
          expect(collisionRate('N2', p, T) * meanFreePath('N2', p, T, 'hard sphere')).toBeCloseTo(
            meanSpeed('N2', T),
            6,
          );
        },
      ),
    );
  });

  it('gives the regime of air in a bore by p d: 0.66 Pa m is Kn 0.01 (calc)', () => {
    expect(knudsenNumber('air', 0.662, 1)).toBeCloseTo(0.01, 4);
    expect(knudsenNumber('air', 0.0132, 1)).toBeCloseTo(0.5, 2);
  });
});

describe('convertLeakRate', () => {
  it('scales a laminar leak with the difference of the squares, a molecular one with the difference', () => {
    const from = { gas: 'He', upstream: 10, downstream: 1 };
    expect(convertLeakRate(1e-3, from, { ...from, upstream: 20 }, 'laminar')).toBeCloseTo(4.0303e-3, 7);
    expect(convertLeakRate(1e-3, from, { ...from, upstream: 20 }, 'molecular')).toBeCloseTo(2.1111e-3, 7);
  });

  it('inverts itself', () => {
    for (const regime of ['molecular', 'laminar'] as const) {
      expect(leakFactor('He', 'air', regime) * leakFactor('air', 'He', regime)).toBeCloseTo(1, 14);
    }
  });

  it('refuses useless input', () => {
    const air = { gas: 'air' };
    expect(() => convertLeakRate(-1, air, air, 'laminar')).toThrow(
      'leak rate: met -1, expected a finite number, zero or above',
    );
    expect(() => convertLeakRate(1, { gas: 'air', upstream: 1, downstream: 2 }, air, 'laminar')).toThrow(
      'downstream pressure: met 2, expected at most the upstream pressure, 1 Pa',
    );
    expect(() => convertLeakRate(1, { gas: 'air', upstream: 1, downstream: 1 }, air, 'molecular')).toThrow(
      'pressures of the known leak: met 0, expected a pressure difference',
    );
    expect(() => convertLeakRate(1, { gas: 'air', temperature: -3 }, air, 'molecular')).toThrow(
      'temperature: met -3, expected a finite number above zero',
    );
    expect(() => convertLeakRate(1, air, air, 'choked' as 'laminar')).toThrow(
      'regime: met "choked", expected molecular or laminar',
    );
  });
});

describe('vapour pressure', () => {
  it.each(VAPOUR_SUBSTANCES.map((s) => s.name))('of %s rises with temperature and is inverted to 1e-9', (name) => {
    const [low, high] = substanceNamed(name).range;
    let last = 0;
    for (let i = 0; i <= 30; i++) {
      const T = low + ((high - low) * i) / 30;
      const p = vapourPressure(name, T);
      expect(p).toBeGreaterThan(last);
      expect(Math.abs(saturationTemperature(name, p) / T - 1)).toBeLessThan(1e-9);
      last = p;
    }
  });

  it('knows the short names', () => {
    expect(substanceNamed('THF').name).toBe('tetrahydrofuran');
    expect(substanceNamed('Hg').name).toBe('mercury');
  });

  it.each([
    [
      () => vapourPressure('water', 263.15),
      'temperature for the vapour pressure of water: met 263.15 K, expected 273.16 to 647.096 K; use ice',
    ],
    [
      () => vapourPressure('ice', 300),
      'temperature for the vapour pressure of ice: met 300 K, expected 50 to 273.16 K; use water',
    ],
    [
      () => vapourPressure('DMSO', 285),
      'temperature for the vapour pressure of dimethyl sulfoxide: met 285 K, expected 291.67 to 729 K',
    ],
    [() => vapourPressure('water', Number.NaN), 'temperature: met NaN, expected a finite number'],
    [() => vapourPressure('snake oil', 300), 'substance: met "snake oil", expected one of water, ice'],
    [() => saturationTemperature('water', 100), 'vapour pressure of water: met 100 Pa, expected 611.65'],
    [() => saturationTemperature('water', -1), 'pressure: met -1, expected a finite number above zero'],
    [() => evaporationCeiling('water', 293.15, 0), 'sticking: met 0, expected above 0 and at most 1'],
    [
      () => extrapolatedVapourPressure('ethanol', 200),
      'temperature for the vapour pressure of ethanol: met 200 K, expected 256.5 to 389.54 K',
    ],
    [() => extrapolatedVapourPressure('mercury', 1770), 'temperature for the vapour pressure of mercury: met 1770 K'],
  ])('refuses: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('vapoursFitting', () => {
  const room: [number, number] = [288.15, 298.15];
  const fitting = (pa: number, u: number, range: [number, number]): string[] =>
    vapoursFitting(pa, u, range)
      .filter((c) => c.fits)
      .map((c) => c.substance.name);

  it('takes a plateau near 23 mbar at room temperature for water', () => {
    expect(fitting(2339, 0.05, [291.15, 298.15])).toEqual(['water']);
  });

  it('takes 6 mbar for water that has cooled itself to the triple point, or ice', () => {
    expect(fitting(620, 0.05, [270, 275])).toEqual(['water', 'ice']);
  });

  it('names several where the gauge is poor, those that miss least next', () => {
    const found = vapoursFitting(5000, 0.3, room);
    expect(fitting(5000, 0.3, room).sort()).toEqual(['2-propanol', 'ethanol', 'toluene']);
    for (let i = 1; i < found.length; i++) expect(found[i].missedBy).toBeGreaterThanOrEqual(found[i - 1].missedBy);
    expect(found[0].note).toMatch(/^.+ \(liquid\) holds this pressure at -?[\d.]+ to -?[\d.]+ degC$/);
  });

  it('takes 0.17 Pa for mercury at 20 degC, and nothing else', () => {
    expect(fitting(0.171, 0.1, room)).toEqual(['mercury']);
  });

  it('finds ice on a trap at -55 degC from its 2.1 Pa', () => {
    expect(fitting(2.09, 0.05, [215, 221])).toEqual(['ice']);
  });

  it('refuses useless input', () => {
    expect(() => vapoursFitting(-1, 0.1, room)).toThrow('pressure: met -1, expected a finite number above zero');
    expect(() => vapoursFitting(1, 1.5, room)).toThrow('relative uncertainty: met 1.5, expected 0 to below 1');
    expect(() => vapoursFitting(1, 0.1, [300, 200])).toThrow(
      'temperatures: met "300 to 200", expected lowest and highest, K',
    );
  });
});
