import { describe, expect, it } from 'vitest';
import { fitRateOfRise } from '../../src/fits';
import { FLAG } from '../../src/log';
import { channel, evenly, madeLog, normal, seeded, stretch } from './made-logs';

const random = seeded(8);
const time = evenly(200, 1);
const noisy = (p: (t: number) => number): Float64Array => Float64Array.from(time, (t) => p(t) + 0.01 * normal(random));

describe('what is left out after closing', () => {
  it('is nothing where the rise is even', () => {
    const log = madeLog(time, [
      channel(
        'p',
        noisy((t) => 1 + 0.1 * t),
      ),
    ]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p');
    expect(rise.dwellS).toBe(0);
    expect(rise.dwellGrounds).toContain('even from its first reading');
  });

  it('is the stroke of a valve and the burst that it lets go', () => {
    const log = madeLog(time, [
      channel(
        'p',
        noisy((t) => (t < 3 ? 0.2 : 1) + (t === 4 ? 2 : 0) + 0.1 * t),
      ),
    ]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p');
    expect(rise.dwellS).toBeGreaterThanOrEqual(3);
    expect(rise.dwellS).toBeLessThanOrEqual(8);
    expect(rise.rate.low).toBeLessThan(0.1);
    expect(rise.rate.high).toBeGreaterThan(0.1);
    expect(rise.dwellGrounds).toMatch(/left out .* after closing/);
  });

  it('is what the user asks for, and the window too', () => {
    const log = madeLog(time, [
      channel(
        'p',
        noisy((t) => 1 + 0.1 * t),
      ),
    ]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p', { dwellS: 20, windowS: 100 });
    expect(rise.windowS).toEqual([20, 120]);
    expect(rise.rows.length).toBe(101);
  });

  it('does not take the bend of an outgassing rise for a stroke', () => {
    const log = madeLog(time, [
      channel(
        'p',
        noisy((t) => 1 + 5 * Math.log1p(t / 20)),
      ),
    ]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p');
    expect(rise.dwellS).toBeLessThanOrEqual(2);
    expect(rise.initialRate.high).toBeGreaterThan(0.25 * 0.9);
  });
});

describe('a burst in the middle', () => {
  it('is not taken for a rate: the longest undisturbed stretch is judged, and this is said', () => {
    const log = madeLog(time, [
      channel(
        'p',
        noisy((t) => 1 + 0.1 * t + (t >= 60 ? 5 : 0)),
      ),
    ]);
    const burst = { kind: 'burst' as const, atS: 60, text: 'a burst', numbers: {} };
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p', {}, [burst]);
    expect(rise.windowS[0]).toBeGreaterThanOrEqual(60);
    expect(rise.rate.low).toBeLessThan(0.1);
    expect(rise.rate.high).toBeGreaterThan(0.1);
    expect(rise.notes.join(' ')).toContain('undisturbed');
  });
});

describe('flagged readings', () => {
  it('are not used, and counted', () => {
    const values = noisy((t) => 1 + 0.1 * t);
    const flags = new Uint8Array(values.length);
    for (let i = 50; i < 60; i++) {
      values[i] = 1e9;
      flags[i] = FLAG.overRange;
    }
    const log = madeLog(time, [channel('p', values, { flags })]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p');
    expect(rise.rows.length).toBe(190);
    expect(rise.rate.value).toBeCloseTo(0.1, 3);
    expect(rise.notes.join(' ')).toContain('10 flagged readings');
  });

  it('leave nothing to fit where fewer than three are good', () => {
    const values = noisy((t) => 1 + 0.1 * t);
    const log = madeLog(time, [channel('p', values, { flags: new Uint8Array(values.length).fill(FLAG.overRange) })]);
    expect(() => fitRateOfRise(log, stretch(log, 'isolation'), 'p')).toThrow(
      'good readings in the isolation: met 0, expected at least 3',
    );
  });
});
