import { describe, expect, it } from 'vitest';
import { findCauses } from '../../src/causes';
import { ArgumentError } from '../../src/errors';
import { fitRecord } from '../../src/fits';
import { randomStream } from '../../src/numerics';
import { madeLog, madeSegments, si } from './made-log';

/** Two isolations of `T` seconds with pumping between; `rise(age, elapsed)` in Pa, `pumped(age)` in Pa. */
function twoIsolations(
  rise: (age: number, elapsed: number) => number,
  pumped: (age: number) => number,
  noise: number,
  seed = 3,
) {
  const random = randomStream(seed);
  const [step, T] = [5, 600];
  const plan: ['pump-down' | 'isolation', number][] = [
    ['pump-down', 1800],
    ['isolation', T],
    ['pump-down', 3600],
    ['isolation', T],
    ['pump-down', 600],
  ];
  const time: number[] = [];
  const pa: number[] = [];
  const parts: ['pump-down' | 'isolation', number, number][] = [];
  let start = 0;
  for (const [kind, length] of plan) {
    const from = time.length;
    for (let t = start; t < start + length; t += step) {
      const elapsed = t - start;
      const clean =
        kind === 'isolation'
          ? pumped(start) + rise(start, elapsed)
          : pumped(t + 1) + (start === 0 ? 1e5 : 0.5) * Math.exp(-0.05 * elapsed);
      time.push(t);
      pa.push(clean + noise * random.normal());
    }
    parts.push([kind, from, time.length - 1]);
    start += length;
  }
  const log = madeLog(Float64Array.from(time), Float64Array.from(pa));
  return { log, segmented: madeSegments(log, parts) };
}

const noFits = (log: Parameters<typeof fitRecord>[0], segmented: Parameters<typeof fitRecord>[1]) =>
  fitRecord(log, segmented, { gauge: 'capacitance' });
const known = { volume: si('volume', 0.05, 0.0005), gauge: 'capacitance' } as const;

describe('findCauses', () => {
  it('names a constant load in two isolations a real leak and holds it in its interval', () => {
    const rate = 5e-3;
    const { log, segmented } = twoIsolations(
      (_, t) => rate * t,
      () => rate / 0.05,
      0.002,
    );
    const found = findCauses(log, segmented, noFits(log, segmented), known);
    expect(found.verdict).toBe('real leak');
    expect(found.realLeak!.low).toBeLessThanOrEqual(rate * 0.05);
    expect(found.realLeak!.high).toBeGreaterThanOrEqual(rate * 0.05);
    expect(found.realLeak!.high / found.realLeak!.low).toBeLessThan(1.15);
    expect(found.mainCause.reduce((sum, one) => sum + one.probability, 0)).toBeCloseTo(1, 9);
  });

  it('names a load that falls as one over the time pumped outgassing, and bounds the leak under it', () => {
    const { log, segmented } = twoIsolations(
      (age, t) => 9 * Math.log((age + t) / age),
      (age) => 9 / age / 0.05,
      0.002,
    );
    const limit = si('throughput', 1e-4);
    const found = findCauses(log, segmented, noFits(log, segmented), { ...known, limit });
    expect(found.verdict).toBe('outgassing');
    expect(found.realLeak!.low).toBe(0);
    expect(found.realLeak!.high).toBeLessThan(2e-5);
    expect(found.conforms).toBe('yes');
  });

  it('names a pocket that empties a virtual leak', () => {
    const tau = 1500;
    const rise = (age: number, t: number): number => 60 * Math.exp(-age / tau) * -Math.expm1(-t / tau);
    const pumped = (age: number): number => (60 / tau / 0.05) * Math.exp(-age / tau);
    const { log, segmented } = twoIsolations(rise, pumped, 0.002);
    expect(findCauses(log, segmented, noFits(log, segmented), known).verdict).toBe('virtual leak');
  });

  it('names the same end value at a vapour pressure each time evaporation', () => {
    const [ps, k] = [1400, 0.006];
    const pumped = (): number => (ps * k) / (k + 0.05);
    const { log, segmented } = twoIsolations((_, t) => (ps - pumped()) * -Math.expm1(-k * t), pumped, 0.5);
    const found = findCauses(log, segmented, noFits(log, segmented), known);
    expect(found.verdict).toBe('evaporation');
    expect(found.cautions.join(' ')).toMatch(/warm a closed wet vessel/);
  });

  it('names the pump where the pressure stays above the target and nothing rises', () => {
    const { log, segmented } = twoIsolations(
      () => 0,
      () => 8,
      0.01,
    );
    const target = si('pressure', 1);
    const byHeat = { ...known, gauge: 'thermal', target } as const;
    const found = findCauses(log, segmented, noFits(log, segmented), byHeat);
    expect(found.verdict).toBe('pump side');
    expect(found.grounds.join(' ')).toMatch(/no gas load above .* Pa m3\/s; .* pump, line or zero set it/);
    // The zero of a diaphragm that has shown atmosphere may well be 8 Pa off (common practice, no source).
    const byForce = findCauses(log, segmented, noFits(log, segmented), { ...known, target });
    expect(byForce.verdict).toBe('undetermined');
    expect(byForce.mainCause.slice(0, 2).map(({ cause }) => cause)).toEqual(['pump side', 'measurement']);
  });

  it('says none where the target is reached and nothing rises', () => {
    const { log, segmented } = twoIsolations(
      () => 0,
      () => 0.5,
      0.01,
    );
    const target = si('pressure', 1);
    expect(findCauses(log, segmented, noFits(log, segmented), { ...known, target }).verdict).toBe('none');
  });

  it('never passes a leak above the limit that hides under a larger load', () => {
    const leak = 1e-3;
    for (let seed = 1; seed <= 6; seed++) {
      const rise = (age: number, t: number): number => 9 * Math.log((age + t) / age) + leak * t;
      const { log, segmented } = twoIsolations(rise, (age) => (9 / age + leak) / 0.05, 0.002, seed);
      const limit = si('throughput', 0.6 * leak * 0.05);
      expect(findCauses(log, segmented, noFits(log, segmented), { ...known, limit }).conforms).not.toBe('yes');
    }
  }, 120_000);

  it('finds a leak away from zero in white noise with a scatter within 1.3 of the Cramer-Rao bound', () => {
    // calc: bound for a straight line in two isolations of n readings, slope common, starts free: noise / sqrt(2 S_tt)
    const [rate, noise, n, step] = [5e-3, 0.01, 120, 5];
    const stt = (step * step * n * (n * n - 1)) / 12;
    const bound = noise / Math.sqrt(2 * stt);
    const errors: number[] = [];
    for (let seed = 1; seed <= 16; seed++) {
      const { log, segmented } = twoIsolations(
        (_, t) => rate * t,
        () => rate / 0.05,
        noise,
        seed,
      );
      const found = findCauses(log, segmented, noFits(log, segmented), {
        ...known,
        volume: si('volume', 1),
        gas: 'air',
      });
      errors.push(found.realLeak!.value - rate);
    }
    const scatter = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    expect(scatter / bound).toBeLessThan(1.3);
  }, 120_000);

  it('commits to nothing without a usable isolation', () => {
    const { log } = twoIsolations(
      () => 0,
      () => 1,
      0.01,
    );
    const segmented = madeSegments(log, [['pump-down', 0, log.rows - 1]]);
    const found = findCauses(log, segmented, noFits(log, segmented), known);
    expect(found.verdict).toBe('undetermined');
    expect(found.realLeak).toBeNull();
  });

  it('refuses a volume that is not positive', () => {
    const { log, segmented } = twoIsolations(
      () => 0,
      () => 1,
      0.01,
    );
    expect(() => findCauses(log, segmented, noFits(log, segmented), { volume: si('volume', -1) })).toThrow(
      ArgumentError,
    );
  });
});
