import { describe, expect, it } from 'vitest';
import {
  givenVolume,
  substituteReferenceLeak,
  volumeFromExpansion,
  volumeFromFill,
  volumeFromReferenceLeak,
} from '../../src/fits';
import { quantity } from '../../src/units';

const exact = (value: number): { value: number; standardUncertainty: number } => ({ value, standardUncertainty: 0 });

describe('the volume from a fill at known flow', () => {
  // calc: 260.1 sccm at 0 degC is 1.93406e-4 mol/s; 1.0259 Torr/s; gas at 293.15 K: V = n R T / (dp/dt) = 3.4465 L.
  const rate = { value: (1.0259 * 101325) / 760, standardUncertainty: 0.2 };
  const flow = { value: quantity('260.1 sccm').si, standardUncertainty: 0 };

  it('is 3.45 L at a reference of 0 degC', () => {
    expect(volumeFromFill(rate, { flow }).volume.value * 1e3).toBeCloseTo(3.4465, 3);
  });

  it('holds the usual reference temperatures where the meter does not say, and asks', () => {
    const { volume, questions, assumptions } = volumeFromFill(rate, { flow, referenceOpen: true });
    expect(volume.low * 1e3).toBeLessThan((3.4465 * 273.15) / 293.15);
    expect(volume.high * 1e3).toBeGreaterThan(3.4465);
    expect(questions[0].about).toBe('reference temperature');
    expect(assumptions.join(' ')).toContain('reference of 0 degC');
  });

  it('grows wider with the zero of the meters', () => {
    const width = (zero: number): number => {
      const { low, high } = volumeFromFill(rate, { flow, zero }).volume;
      return high - low;
    };
    expect(width(0.02 * flow.value)).toBeGreaterThan(2 * width(0));
  });

  it('refuses a fill that does not rise', () => {
    expect(() => volumeFromFill(exact(0), { flow })).toThrow('rate of the fill: met "0 Pa/s", expected above 0 Pa/s');
  });
});

describe('the volume from an expansion', () => {
  it('follows p1 V1 + p2 V2 = p (V1 + V2) (Boyle)', () => {
    // 1 L at 1000 mbar into 9 L of vacuum gives 100 mbar.
    const result = volumeFromExpansion(exact(1e-3), exact(1e5), exact(0), exact(1e4));
    expect(result.volume.value).toBeCloseTo(9e-3, 12);
    const other = volumeFromExpansion(exact(2e-3), exact(5e4), exact(1e4), exact(2e4));
    expect((2e-3 * 5e4 + other.volume.value * 1e4) / (2e-3 + other.volume.value)).toBeCloseTo(2e4, 6);
  });

  it('has the budget that differences of its formula give', () => {
    const of = (known: number, filled: number, empty: number, after: number): number =>
      volumeFromExpansion(exact(known), exact(filled), exact(empty), exact(after)).volume.value;
    const at = [1e-3, 1e5, 100, 1e4] as const;
    const u = [1e-5, 200, 5, 20];
    const measured = at.map((value, i) => ({ value, standardUncertainty: u[i] }));
    const { budget } = volumeFromExpansion(measured[0], measured[1], measured[2], measured[3]);
    budget.forEach((line, i) => {
      const step = at[i] * 1e-6;
      const up = at.map((v, j) => (j === i ? v + step : v)) as [number, number, number, number];
      const sensitivity = Math.abs(of(...up) - of(...at)) / step;
      expect(line.contribution / (sensitivity * u[i])).toBeCloseTo(1, 3);
    });
  });

  it('refuses pressures out of order', () => {
    expect(() => volumeFromExpansion(exact(1e-3), exact(1e4), exact(0), exact(1e5))).toThrow(/after the expansion/);
  });
});

describe('a reference leak', () => {
  // 1e-4 Pa m3/s into 10 L raises the rate by 0.01 Pa/s; a load of its own of 3e-5 Pa m3/s makes 0.003 Pa/s.
  const leak = { value: 1e-4, standardUncertainty: 5e-6 };
  const withLeak = { value: 0.013, standardUncertainty: 1e-5 };
  const without = { value: 0.003, standardUncertainty: 1e-5 };

  it('gives the volume', () => {
    const result = volumeFromReferenceLeak(leak, withLeak, without);
    expect(result.volume.value).toBeCloseTo(0.01, 12);
    expect(result.standardUncertainty / 0.01).toBeCloseTo(0.05, 3);
  });

  it('gives the load without any volume, and the scale of the gauge cancels', () => {
    const result = substituteReferenceLeak(leak, withLeak, without);
    expect(result.gasLoad.value).toBeCloseTo(3e-5, 12);
    const twice = (m: typeof leak): typeof leak => ({
      value: 2 * m.value,
      standardUncertainty: 2 * m.standardUncertainty,
    });
    const misread = substituteReferenceLeak(leak, twice(withLeak), twice(without));
    expect(misread.gasLoad.value).toBeCloseTo(result.gasLoad.value, 15);
    expect(misread.standardUncertainty).toBeCloseTo(result.standardUncertainty, 15);
  });

  it('is refused where it does not raise the rate', () => {
    expect(() => substituteReferenceLeak(leak, without, withLeak)).toThrow(/rate with the reference leak/);
  });
});

describe('a volume that is given', () => {
  it('says when it was given as exact', () => {
    expect(givenVolume(quantity('12 L')).assumptions.join(' ')).toContain('taken as exact');
    const { volume } = givenVolume(quantity('12.4 L ± 5 %'));
    expect(volume.low * 1e3).toBeCloseTo(12.4 - 1.96 * 0.31, 2);
  });
});
