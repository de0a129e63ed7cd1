import { describe, expect, it } from 'vitest';
import {
  belowAtmosphere,
  columnToSI,
  convert,
  findUnit,
  fromSI,
  molarFlow,
  throughputOf,
  toSI,
  unitNamed,
} from '../../src/units';

describe('toSI and fromSI', () => {
  it('are each other inverse', () => {
    for (const label of ['mTorr', 'degF', 'degC', 'sccm (20 degC)', 'mbar L/s', 'um Hg/h']) {
      expect(fromSI(toSI(7.5, label), label)).toBeCloseTo(7.5, 12);
    }
  });

  it('convert gauge pressure with the barometer', () => {
    expect(toSI(-14, 'psig', 101325)).toBeCloseTo(101325 - 14 * 6894.757293168361, 6);
    expect(toSI(28, 'inHg vac', 101325)).toBeCloseTo(6506.1181, 3);
    expect(toSI(28, 'inHg vac', 95000)).toBeCloseTo(181.118, 3);
    expect(fromSI(6506.1181, 'inHg vac', 101325)).toBeCloseTo(28, 6);
  });

  it('convert a column in one pass, leaving NaN', () => {
    const out = columnToSI(Float64Array.of(1, Number.NaN, 3), findUnit('mbar')!);
    expect([...out]).toEqual([100, Number.NaN, 300]);
    const gauge = columnToSI(Float64Array.of(0, 10), findUnit('kPa vac')!, 100000);
    expect([...gauge]).toEqual([100000, 90000]);
  });

  it('refuse what they cannot use', () => {
    expect(() => toSI(Number.NaN, 'mbar')).toThrow('value: met NaN, expected a finite number');
    expect(() => toSI(1, 'furlong')).toThrow('quantity: met "furlong", expected a known unit');
    expect(() => toSI(1, 'psi')).toThrow(
      'quantity: met "psi", expected a label that can mean one unit only; choose one of psia, psig',
    );
    expect(() => toSI(1, 'psig')).toThrow('expected the barometric pressure of the place');
    expect(() => toSI(1, 'psig', -3)).toThrow('barometer: met -3, expected > 0 Pa');
    expect(() => toSI(29.9, 'inHg vac', 95000)).toThrow(
      'quantity: met "29.9 inHg vac", expected at most 95000 Pa below the barometer',
    );
    expect(() => fromSI(Number.POSITIVE_INFINITY, 'mbar')).toThrow('value: met Infinity, expected a finite number');
    expect(() => convert(1, 'mbar', 'L')).toThrow('quantity: met "L", expected a unit of pressure, as mbar is');
    expect(() => unitNamed('mbar', 'volume')).toThrow(
      'quantity: met "mbar", expected a unit of volume, not of pressure',
    );
  });
});

describe('convert', () => {
  it('goes between kinds that differ by the gas temperature, and says so', () => {
    expect(convert(1, 'mbar L/s', 'sccm (0 degC)')).toBeCloseTo(0.1 / (8.31446261815324 * 293.15) / 0.743583878e-6, 5);
    expect(findUnit('sccm (0 degC)', 'throughput')!.assumptions).toEqual([
      'sccm (0 degC) converted between molar flow and throughput for gas at 20 degC',
    ]);
  });
});

describe('molarFlow', () => {
  it('and throughputOf invert each other and refuse useless input', () => {
    expect(throughputOf(molarFlow(0.3, 300), 300)).toBeCloseTo(0.3, 14);
    expect(() => molarFlow(Number.NaN, 300)).toThrow('throughput: met NaN, expected a finite number of Pa m3/s');
    expect(() => molarFlow(1, 0)).toThrow('temperature: met 0, expected > 0 K');
    expect(() => throughputOf(Number.NaN, 300)).toThrow('molar flow: met NaN, expected a finite number of mol/s');
  });
});

describe('belowAtmosphere', () => {
  it('subtracts from the barometer and refuses more than it', () => {
    expect(belowAtmosphere(94818.882, 101325)).toBeCloseTo(6506.118, 6);
    expect(() => belowAtmosphere(101253, 95000)).toThrow(
      'reading below atmosphere: met 101253, expected 0 to the barometer, 95000 Pa',
    );
    expect(() => belowAtmosphere(-1)).toThrow(
      'reading below atmosphere: met -1, expected 0 to the barometer, 101325 Pa',
    );
  });
});
