import { describe, expect, it } from 'vitest';
import { percentText, probabilityText, shareText } from '../../src/numerics';

describe('parts of a whole', () => {
  it('have no more digits than meaning, and are all or nothing only where they are', () => {
    expect([0, 0.004, 0.006, 0.5, 0.994, 0.996, 1].map(percentText)).toEqual([
      '0 %',
      'under 1 %',
      '1 %',
      '50 %',
      '99 %',
      'over 99 %',
      '100 %',
    ]);
  });

  it('are never certain as probabilities', () => {
    expect([0, 0.87, 1].map(probabilityText)).toEqual(['under 1 %', '87 %', 'over 99 %']);
  });

  it('keep their interval between nothing and all', () => {
    expect(shareText({ value: 0.42, low: 0.3, high: 0.55 })).toBe('42 % (30 % to 55 %)');
    expect(shareText({ value: 0.97, low: 0.9, high: 1.2 })).toBe('97 % (90 % to 100 %)');
    expect(shareText({ value: 1, low: 0.998, high: 1 })).toBe('over 99 %');
    expect(shareText({ value: 0.001, low: -0.01, high: 0.004 })).toBe('under 1 %');
  });
});
