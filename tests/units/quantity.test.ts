import { describe, expect, it } from 'vitest';
import { quantity } from '../../src/units';

/** Text, SI value, standard uncertainty in SI, reading of the uncertainty, unit. */
const TEXTS: readonly [string, number, number, string, string][] = [
  ['12.4 L ± 5 %', 0.0124, 0.0124 * 0.025, 'k=2', 'L'],
  ['12.4 L ± 5%', 0.0124, 0.0124 * 0.025, 'k=2', 'L'],
  ['12.4 L +- 5 %', 0.0124, 0.0124 * 0.025, 'k=2', 'L'],
  ['12.4 +/- 0.6 L', 0.0124, 0.0003, 'k=2', 'L'],
  ['(12.4 ± 0.6) L', 0.0124, 0.0003, 'k=2', 'L'],
  ['(12.4 ± 0.6) L (k = 1)', 0.0124, 0.0006, 'k=1', 'L'],
  ['12.4 L ± 0.6 L, k=2', 0.0124, 0.0003, 'k=2', 'L'],
  ['12.4 L ± 600 mL', 0.0124, 0.0003, 'k=2', 'L'],
  ['12.4 L ± 5 % (95 %)', 0.0124, 0.0124 * 0.025, 'k=2', 'L'],
  ['12.4 L ± 0.6 L (limits)', 0.0124, 0.0006 / Math.sqrt(3), 'limits', 'L'],
  ['12.4(6) L', 0.0124, 0.0006, 'k=1', 'L'],
  ['1.24(6)e1 L', 0.0124, 0.0006, 'k=1', 'L'],
  ['12 to 13 L', 0.0125, 0.0005 / Math.sqrt(3), 'limits', 'L'],
  ['12-13 L', 0.0125, 0.0005 / Math.sqrt(3), 'limits', 'L'],
  ['12 – 13 L', 0.0125, 0.0005 / Math.sqrt(3), 'limits', 'L'],
  ['12..13 L', 0.0125, 0.0005 / Math.sqrt(3), 'limits', 'L'],
  ['0.5 in', 0.0127, 0, 'none', 'in'],
  ['1/2 in', 0.0127, 0, 'none', 'in'],
  ['1 1/2"', 0.0381, 0, 'none', 'in'],
  ['2e-2 mbar', 2, 0, 'none', 'mbar'],
  ['2 x 10^-2 mbar', 2, 0, 'none', 'mbar'],
  ['2×10-2 mbar', 2, 0, 'none', 'mbar'],
  ['1e-4 mbar L/s', 1e-5, 0, 'none', 'mbar L/s'],
  ['1e-4mbar·l/s', 1e-5, 0, 'none', 'mbar L/s'],
  ['10 mTorr/h', 1.33322368421 / 3600, 0, 'none', 'mTorr/h'],
  ['20 degC', 293.15, 0, 'none', 'degC'],
  ['20 °C ± 0.5 K', 293.15, 0.25, 'k=2', 'degC'],
  ['68 degF ± 1.8 degF', 293.15, 0.5, 'k=2', 'degF'],
  ['-5 degC', 268.15, 0, 'none', 'degC'],
  ['−5 °C', 268.15, 0, 'none', 'degC'],
  ['1 353 mbar', 135300, 0, 'none', 'mbar'],
  ['12,4 L', 0.0124, 0, 'none', 'L'],
  ['.5 L', 0.0005, 0, 'none', 'L'],
  ['5 %', 0.05, 0, 'none', '%'],
  ['3 sccm (0 degC)', 3 * 0.74358388e-6, 0, 'none', 'sccm (0 degC)'],
];

describe('quantity', () => {
  it.each(TEXTS)('reads %s', (text, si, u, read, unit) => {
    const q = quantity(text);
    expect(Math.abs(q.si / si - 1)).toBeLessThan(1e-7);
    if (u === 0) expect(q.standardUncertainty).toBe(0);
    else expect(Math.abs(q.standardUncertainty / u - 1)).toBeLessThan(1e-9);
    expect(q.uncertaintyRead).toBe(read);
    expect(q.unit).toBe(unit);
  });

  it('says what it assumed', () => {
    expect(quantity('12,4 L').assumptions).toEqual(['comma in 12,4 read as the decimal mark']);
    expect(quantity('5 sccm').assumptions[0]).toBe(
      'sccm taken at 0 degC and 101325 Pa; name another as "sccm (20 degC)"',
    );
    expect(quantity('5 inHg').assumptions[0]).toBe('inHg taken as the conventional column, 3386.38864 Pa');
    expect(quantity('5 micron').assumptions[0]).toBe(
      'micron taken as micrometre of mercury, a pressure of 0.1333224 Pa',
    );
    expect(quantity('5 micron', 'length').si).toBeCloseTo(5e-6, 15);
    expect(quantity('20 degC ± 1 K').assumptions).toEqual([]);
  });

  it('takes the meaning of ± from the options where the text is silent', () => {
    expect(quantity('10 L ± 1 L', 'volume', { plusMinus: 'k=1' }).standardUncertainty).toBeCloseTo(1e-3, 15);
    expect(quantity('10 L ± 1 L (k=2)', 'volume', { plusMinus: 'k=1' }).standardUncertainty).toBeCloseTo(5e-4, 15);
  });

  it('takes a unit from the options for a bare number, and a plain number where one is wanted', () => {
    expect(quantity('12.4', 'volume', { unit: 'L' }).si).toBeCloseTo(0.0124, 15);
    expect(quantity('0.3 ± 0.1', 'number').standardUncertainty).toBeCloseTo(0.05, 15);
    expect(quantity('0.3 ± 10 %', 'number').standardUncertainty).toBeCloseTo(0.015, 15);
  });

  it('needs the barometer for gauge pressure and readings below atmosphere', () => {
    expect(quantity('28 inHg vac', 'pressure', { barometerPa: 101325 }).si).toBeCloseTo(6506.118, 2);
    expect(quantity('-0.5 barg', 'pressure', { barometerPa: 101325 }).si).toBeCloseTo(51325, 6);
    expect(quantity('90 % vac', 'pressure', { barometerPa: 100000 }).si).toBeCloseTo(10000, 6);
  });

  /** Text, kind wanted, the whole message. */
  const REFUSED: readonly [string, Parameters<typeof quantity>[1], string][] = [
    ['', undefined, 'quantity: met "", expected a number with a unit, such as "12.4 L ± 5 %"'],
    ['lots', undefined, 'quantity: met "lots", expected a number with a unit, such as "12.4 L ± 5 %"'],
    ['NaN mbar', undefined, 'quantity: met "NaN mbar", expected a number with a unit, such as "12.4 L ± 5 %"'],
    ['1e999 mbar', undefined, 'quantity: met "1e999", expected a finite number'],
    ['12.4', undefined, 'quantity: met "12.4", expected a unit after the number'],
    ['12.4', 'volume', 'quantity: met "12.4", expected a number with a unit of volume'],
    ['12.4 blub', undefined, 'quantity: met "12.4 blub", expected a known unit'],
    ['12.4 mbar', 'volume', 'quantity: met "12.4 mbar", expected a unit of volume, not of pressure'],
    [
      '14.7 psi',
      'pressure',
      'quantity: met "14.7 psi", expected a label that can mean one unit only; choose one of psia, psig',
    ],
    ['3 m', undefined, 'quantity: met "3 m", expected a label that can mean one unit only; choose one of metre, min'],
    ['3 m', 'time', 'quantity: met "3 m", expected a label that can mean one unit only; choose one of min, ms'],
    [
      '3 Mpa',
      'pressure',
      'quantity: met "3 Mpa", expected a label that can mean one unit only; choose one of mPa, MPa',
    ],
    [
      '3 Mbar',
      'pressure',
      'quantity: met "3 Mbar", expected a label that can mean one unit only; choose one of mbar, megabar',
    ],
    ['5 mT', 'pressure', 'quantity: met "5 mT", expected a label that can mean one unit only; choose one of mTorr'],
    [
      '5 scfm',
      'molar flow',
      'quantity: met "5 scfm", expected a label that can mean one unit only; choose one of scfm (60 degF), scfm (68 degF), scfm (0 degC)',
    ],
    [
      '5 inHg (25 degC)',
      'pressure',
      'quantity: met "5 inHg (25 degC)", expected a label that can mean one unit only; choose one of inHg (0 degC), inHg (60 degF)',
    ],
    ['1,013 mbar', 'pressure', 'quantity: met "1,013", expected a decimal point; choose one of 1.013, 1013'],
    [
      '3 mbar ± 1 (k = 3)',
      'pressure',
      'quantity: met "3 mbar ± 1 (k = 3)", expected a coverage factor of 1 or 2; choose one of k = 1, k = 2, limits',
    ],
    ['3 mbar ± -1', 'pressure', 'quantity: met "3 mbar ± -1", expected a number >= 0 after ±'],
    ['3 mbar ± 1 ± 1', 'pressure', 'quantity: met "3 mbar ± 1 ± 1", expected one ± only'],
    ['13 to 12 L', 'volume', 'quantity: met "13 to 12 L", expected a range from low to high'],
    ['-300 degC', 'temperature', 'quantity: met "-300 degC", expected a temperature above absolute zero'],
    [
      '20 degC ± 5 %',
      'temperature',
      'quantity: met "20 degC ± 5 %", expected an uncertainty in K or degrees, not in % of a temperature',
    ],
    [
      '3 psig',
      'pressure',
      'quantity: met "psig", expected the barometric pressure of the place, since this unit reads from it; choose one of psig with a barometer in Pa, psia',
    ],
  ];
  it.each(REFUSED)('refuses %s for %s', (text, dimension, message) => {
    expect(() => quantity(text, dimension)).toThrow(expect.objectContaining({ message, tag: 'quantity' }));
  });

  it('refuses a vacuum reading that the barometer does not allow', () => {
    // 29.9 inHg below atmosphere is 72 Pa at 101 325 Pa and impossible at 95 000 Pa (calc).
    expect(quantity('29.9 inHg vac', 'pressure', { barometerPa: 101325 }).si).toBeCloseTo(71.98, 1);
    expect(() => quantity('29.9 inHg vac', 'pressure', { barometerPa: 95000 })).toThrow(
      'quantity: met "29.9 inHg vac", expected a pressure above zero at this barometer',
    );
  });
});
