import { describe, expect, it } from 'vitest';
import { formatInterval, formatNumber, formatQuantity, quantity } from '../../src/units';

describe('formatQuantity', () => {
  it.each([
    ['3.2e-4 ± 0.4e-4 Pa m3/s', {}, '3.2e-4 ± 0.4e-4 Pa m3/s (k = 2)'],
    ['3.2e-4 ± 0.4e-4 Pa m3/s', { unit: 'mbar L/s' }, '0.0032 ± 0.0004 mbar L/s (k = 2)'],
    ['12.4 L ± 5 %', {}, '12.4 ± 0.6 L (k = 2)'],
    ['12.4 L ± 1 %', {}, '12.40 ± 0.12 L (k = 2)'],
    ['12.4(6) L', {}, '12.4 ± 1.2 L (k = 2)'],
    ['20 degC ± 0.5 K', {}, '20.0 ± 0.5 degC (k = 2)'],
    ['20 degC ± 0.5 K', { unit: 'K' }, '293.1 ± 0.5 K (k = 2)'],
    ['123456 Pa ± 99 Pa', {}, '1.235e5 ± 0.001e5 Pa (k = 2)'],
    ['0 mbar ± 3e-6 mbar', {}, '0 ± 3e-6 mbar (k = 2)'],
    ['12.4 L', {}, '12.4 L'],
    ['1/3 in', {}, '0.3333 in'],
    ['1/3 in', { digits: 2 }, '0.33 in'],
    ['1e-4 mbar L/s', {}, '1e-4 mbar L/s'],
    ['2.5e-7 mbar', { unit: 'Torr' }, '1.875e-7 Torr'],
  ])('shows %s with %o as %s', (text, options, shown) => {
    expect(formatQuantity(quantity(text), options)).toBe(shown);
  });

  it('reads back what it wrote', () => {
    const q = quantity('3.2e-4 ± 0.4e-4 Pa m3/s (k = 2)');
    expect(formatQuantity(quantity(formatQuantity(q)))).toBe('3.2e-4 ± 0.4e-4 Pa m3/s (k = 2)');
  });

  it('refuses a unit of another kind', () => {
    expect(() => formatQuantity(quantity('3 mbar'), { unit: 'L' })).toThrow(
      'quantity: met "L", expected a unit of pressure, not of volume',
    );
  });
});

describe('formatInterval', () => {
  it('shows the ends of a narrow, uneven interval apart', () => {
    expect(formatInterval({ value: 1.065, low: 1.0637, high: 1.0667 }, 'Pa')).toBe(
      '1.065 (1.0637 to 1.0667) Pa (95 %)',
    );
  });

  it.each([
    [{ value: 3.2e-5, low: 2.8e-5, high: 3.6e-5 }, '3.2e-4 ± 0.4e-4 mbar L/s (95 %)'],
    [{ value: 3.2e-5, low: 2e-5, high: 5.1e-5 }, '3.2e-4 (2e-4 to 5.1e-4) mbar L/s (95 %)'],
    [{ value: 3.2e-5, low: -Infinity, high: 5.1e-5 }, 'below 5.1e-4 mbar L/s (95 %)'],
    [{ value: 3.2e-5, low: 2e-5, high: Infinity }, 'above 2e-4 mbar L/s (95 %)'],
    [{ value: 3.2e-5, low: -Infinity, high: Infinity }, '3.2e-4 mbar L/s (no bound)'],
    [{ value: 3.2e-5, low: 3.2e-5, high: 3.2e-5 }, '3.2e-4 mbar L/s'],
  ])('shows %o as %s', (interval, shown) => {
    expect(formatInterval(interval, 'mbar L/s')).toBe(shown);
  });
});

describe('formatNumber', () => {
  it.each([
    [0, '0'],
    [0.012, '0.012'],
    [1234.5678, '1235'],
    [-0.00032, '-3.2e-4'],
    [99999.9, '1e5'],
    [Number.NaN, 'NaN'],
  ])('shows %d as %s', (value, shown) => {
    expect(formatNumber(value)).toBe(shown);
  });
});
