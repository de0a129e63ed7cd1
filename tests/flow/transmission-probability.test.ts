import { describe, expect, it } from 'vitest';
import { bermanProbability, transmissionProbability } from '../../src/flow';

describe('transmissionProbability', () => {
  it('is 1 for no length, falls with length, and stays in step where the long-tube tail begins', () => {
    expect(transmissionProbability(0)).toBe(1);
    let last = 1;
    for (let ratio = 0.001; ratio < 1e4; ratio *= 1.7) {
      const w = transmissionProbability(ratio);
      expect(w).toBeLessThan(last);
      last = w;
    }
    expect(transmissionProbability(200.001) / transmissionProbability(199.999)).toBeCloseTo(1, 4);
  });

  it('tends to 1 - L/(2 R) for short tubes and to 8 R/(3 L) for long ones', () => {
    expect(transmissionProbability(1e-4)).toBeCloseTo(1 - 0.5e-4, 8);
    expect((transmissionProbability(1e5) * 3e5) / 8).toBeCloseTo(1, 3);
  });

  it('lies below Berman closed form, which is variational and so an upper bound', () => {
    for (const ratio of [0.5, 1, 3, 10, 30, 100, 199]) {
      expect(transmissionProbability(ratio)).toBeLessThan(bermanProbability(ratio));
    }
  });

  it('refuses useless input', () => {
    expect(() => transmissionProbability(-1)).toThrow(
      'length over radius: met -1, expected a finite number, zero or above',
    );
    expect(() => transmissionProbability(Number.NaN)).toThrow('length over radius: met NaN');
    expect(() => bermanProbability(0)).toThrow('length over radius: met 0, expected a finite number above zero');
  });
});
