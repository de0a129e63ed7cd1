import { describe, expect, expectTypeOf, it } from 'vitest';
import { input } from '../../kernel-helpers/inputs';
import { controlFor } from '../../kernel-helpers/inputs/control';
import type { Quantity } from '../../src/units';

const shape = (...args: Parameters<typeof controlFor>): object => controlFor(...args).shape;

describe('what an input is', () => {
  it('follows from its default and its options', () => {
    expect(shape(5)).toEqual({ kind: 'field', step: null });
    expect(shape(5, { min: 0, max: 10 })).toEqual({ kind: 'slider', min: 0, max: 10, step: 0.1, log: false });
    expect(shape(1e-3, { min: 1e-6, max: 1, log: true })).toMatchObject({ kind: 'slider', log: true });
    expect(shape('air', { choices: ['air', 'helium'] })).toEqual({ kind: 'choice', choices: ['air', 'helium'] });
    expect(shape(true)).toEqual({ kind: 'tick' });
    expect(shape('pump 2')).toEqual({ kind: 'text' });
    expect(shape('12.4 L ± 5 %')).toEqual({ kind: 'text' });
    expect(shape('12 L', { min: '5 L', max: 50 })).toMatchObject({ kind: 'slider', min: 5, max: 50 });
    expect(shape([0, 3600])).toEqual({ kind: 'window', min: 0, max: 3600, step: 20 });
  });

  it('moves in steps that lead through its first value: else it would show another', () => {
    const hour = { dimension: 'time', min: '5 min', max: '240 min' } as const;
    expect(shape('60 min', hour)).toMatchObject({ min: 5, step: 1 });
    expect(shape('65 min', hour)).toMatchObject({ min: 5, step: 2 });
    expect(shape(0.25, { min: 0, max: 100 })).toMatchObject({ step: 0.05 });
    // No tidy step leads to a third.
    expect(shape(1 / 3, { min: 0, max: 1 })).toMatchObject({ step: 0.01 });
  });

  it('is refused where default and options do not fit together', () => {
    expect(() => controlFor('x', { choices: ['a', 'b'] })).toThrow('input: met "x", expected one of its choices: a, b');
    expect(() => controlFor(11, { min: 0, max: 10 })).toThrow('input: met 11, expected 0 to 10');
    expect(() => controlFor(1, { min: 2, max: 1 })).toThrow('expected min below max');
    expect(() => controlFor(1, { min: 0, max: 2, log: true })).toThrow('expected a min above zero');
    expect(() => controlFor(1, { min: 0, max: 2, step: 0 })).toThrow('step: met 0, expected a number above zero');
    expect(() => controlFor(Number.NaN)).toThrow('expected a finite number');
    expect(() => controlFor([5, 1])).toThrow('from the lower to the higher');
    expect(() => controlFor('12 quux')).toThrow('quantity: met "12 quux"');
    expect(() => controlFor('60 L', { max: '50 L' })).toThrow('expected at most 50 L');
  });
});

describe('what an input gives', () => {
  it('is a quantity with its unit and uncertainty, never a bare number', () => {
    const control = controlFor('12.4 L ± 5 %');
    // 5 % taken as k = 2, half of it is one standard uncertainty (calc).
    expect(control.read('12.4 L ± 5 %')).toMatchObject({
      si: expect.closeTo(0.0124, 12),
      standardUncertainty: expect.closeTo(0.00031, 8),
    });
    expect(control.read('8')).toMatchObject({ si: 0.008, unit: 'L', standardUncertainty: 0 });
    expect(control.read('0.5 m3')).toMatchObject({ si: 0.5 });
    expect(() => control.read('5 mbar')).toThrow(/volume/);
    expect(control.words('8 L')).toBe('8 L');
  });

  it('on a slider keeps a relative uncertainty relative, and an absolute one absolute', () => {
    const relative = controlFor('10 L ± 4 %', { min: 1, max: 100 }).read(50) as Quantity;
    expect([relative.si, relative.standardUncertainty]).toEqual([0.05, expect.closeTo(0.001, 10)]);
    const absolute = controlFor('10 L ± 0.4 L', { min: 1, max: 100 }).read(50) as Quantity;
    expect([absolute.si, absolute.standardUncertainty]).toEqual([0.05, expect.closeTo(0.0002, 10)]);
  });

  it('may be left open: an empty field is not given', () => {
    const control = controlFor('', { dimension: 'volume', optional: true });
    expect(control.shape).toEqual({ kind: 'text' });
    expect(control.read('  ')).toBeUndefined();
    expect(control.words('')).toBe('not given');
    expect(control.read('8 L')).toMatchObject({ si: 0.008, unit: 'L' });
    expect(() => control.read('8 mbar')).toThrow(/volume/);
    expect(() => controlFor('8 L', { optional: true })).toThrow('optional input: met "no dimension"');
    expectTypeOf(input('', { dimension: 'volume', optional: true })).toEqualTypeOf<Quantity | undefined>();
  });

  it('is checked when a control is moved', () => {
    expect(() => controlFor(5, { min: 0, max: 10 }).read(12)).toThrow('expected 0 to 10');
    expect(() => controlFor('a', { choices: ['a'] }).read(3)).toThrow('choice: met 3');
    expect(controlFor('b', { choices: ['a', 'b'] }).read(0)).toBe('a');
    for (const held of ['', '1', true, false, 0.5, -1, Number.NaN]) {
      expect(() => controlFor('b', { choices: ['a', 'b'] }).read(held), String(held)).toThrow('choice: met');
    }
    expect(controlFor([0, 10]).read([2, 3])).toEqual([2, 3]);
    expect(() => controlFor([0, 10]).read([3, 2])).toThrow('from the lower to the higher');
  });
});

describe('types of inputs', () => {
  it('are those of what they give', () => {
    expectTypeOf(input(5)).toEqualTypeOf<number>();
    expectTypeOf(input(5, { min: 0, max: 9 })).toEqualTypeOf<number>();
    expectTypeOf(input(true)).toEqualTypeOf<boolean>();
    expectTypeOf(input('air', { choices: ['air', 'helium'] })).toEqualTypeOf<'air' | 'helium'>();
    expectTypeOf(input('12.4 L ± 5 %')).toEqualTypeOf<Quantity>();
    expectTypeOf(input('12.4 L', { min: '5 L', max: 50 })).toEqualTypeOf<Quantity>();
    expectTypeOf(input('pump 2')).toEqualTypeOf<string>();
    expectTypeOf(input('2nd pump', { text: true })).toEqualTypeOf<string>();
    expectTypeOf(input('8', { unit: 'L' })).toEqualTypeOf<Quantity>();
    expectTypeOf(input([0, 60])).toEqualTypeOf<readonly [number, number]>();
    expectTypeOf(input(String('8 L'))).toEqualTypeOf<Quantity | string>();
  });

  it('are true: what comes at run time is of that type', () => {
    expect([input(5), input(true), input('pump 2'), input('2nd pump', { text: true })]).toEqual([
      5,
      true,
      'pump 2',
      '2nd pump',
    ]);
    expect(input('8', { unit: 'L' })).toMatchObject({ si: 0.008 });
    expect(input('12.4 L')).toMatchObject({ dimension: 'volume' });
    expect(input([0, 60])).toEqual([0, 60]);
  });
});
