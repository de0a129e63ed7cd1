import { describe, expect, it } from 'vitest';
import { balanceLoad, fitPumpDown, fitRateOfRise, fitTail } from '../../src/fits';
import { quantity } from '../../src/units';
import { autoregressive, channel, evenly, madeLog, normal, seeded, stretch } from './made-logs';

const mbar = 100;

describe('a pump-down to a base', () => {
  // calc: 100 L, 5 L/s, 1013 to 0.1 mbar takes 184.47 s without a load and 198.33 s with a base of 0.05 mbar.
  const random = seeded(21);
  const time = evenly(601, 0.5);
  const fall = (base: number): Float64Array =>
    Float64Array.from(time, (t) => {
      const p = base + (1013 - base) * Math.exp(-0.05 * t);
      return p * mbar * (1 + 0.002 * normal(random));
    });
  const options = { volume: quantity('100 L ± 4 %'), gauge: 'capacitance' as const, setPointsPa: [0.1 * mbar] };
  const fitted = (base: number) => {
    const log = madeLog(time, [channel('p', fall(base))]);
    return fitPumpDown(log, stretch(log, 'pump-down'), 'p', options);
  };

  it('takes 198 s with a base of 0.05 mbar and 184 s without', () => {
    expect(fitted(0.05).times[0].afterS!).toBeGreaterThan(197);
    expect(fitted(0.05).times[0].afterS!).toBeLessThan(199.5);
    expect(Math.abs(fitted(0).times[0].afterS! - 184.47)).toBeLessThan(0.5);
  });

  it('has speed and base inside their intervals', () => {
    const { effectiveSpeed, base, byDecade } = fitted(0.05);
    expect(effectiveSpeed!.low).toBeLessThan(5e-3);
    expect(effectiveSpeed!.high).toBeGreaterThan(5e-3);
    expect((effectiveSpeed!.high - effectiveSpeed!.low) / 5e-3).toBeLessThan(0.15);
    expect(base.low).toBeLessThan(0.05 * mbar);
    expect(base.high).toBeGreaterThan(0.05 * mbar);
    expect(byDecade.length).toBeGreaterThanOrEqual(3);
    for (const decade of byDecade) {
      expect(decade.ratePerS.low).toBeLessThan(0.05);
      expect(decade.ratePerS.high).toBeGreaterThan(0.05);
    }
  });

  it('tells a set point that is not reached', () => {
    const log = madeLog(time, [channel('p', fall(0.05))]);
    const { times } = fitPumpDown(log, stretch(log, 'pump-down'), 'p', { setPointsPa: [1e-3] });
    expect(times).toEqual([{ toPa: 1e-3, afterS: null }]);
  });

  it('leaves readings of zero and below off its logarithmic axis and says how many', () => {
    const values = fall(0.05);
    values[500] = 0;
    values[510] = -1;
    const log = madeLog(time, [channel('p', values)]);
    expect(fitPumpDown(log, stretch(log, 'pump-down'), 'p').notes.join(' ')).toContain('2 reading(s) of zero or below');
  });
});

describe('a tail', () => {
  /** Share of runs whose intervals hold exponent and base. */
  const held = (
    exponent: number,
    base: number,
    correlation: number,
    runs: number,
  ): { exponent: number; base: number } => {
    const random = seeded(31);
    const inside = { exponent: 0, base: 0 };
    for (let run = 0; run < runs; run++) {
      const time = Float64Array.from({ length: 120 }, (_, i) => 300 * 120 ** (i / 119));
      const noise = autoregressive(random, 120, correlation);
      const pa = time.map((t, i) => (base + (t / 300) ** -exponent) * (1 + 0.01 * noise[i]));
      const fit = fitTail(time, pa, [-200, 250])!;
      if (fit.exponent.low <= exponent && exponent <= fit.exponent.high) inside.exponent++;
      if (fit.base.low <= base && base <= fit.base.high) inside.base++;
    }
    return { exponent: inside.exponent / runs, base: inside.base / runs };
  };

  // 200 runs at 95 % scatter by 1.5 %.
  it.each([
    [1, 0.002],
    [0.5, 0],
    [1.3, 0.001],
  ])('of exponent -%f over a base of %f Pa has both inside its intervals, though its clock is not known', (n, base) => {
    const share = held(n, base, 0, 200);
    expect(share.exponent).toBeGreaterThanOrEqual(0.92);
    expect(share.base).toBeGreaterThanOrEqual(0.92);
  });

  it('keeps 90 % of that where neighbouring readings err together', () => {
    const share = held(1, 0.002, 0.6, 200);
    expect(share.exponent).toBeGreaterThanOrEqual(0.9);
    expect(share.base).toBeGreaterThanOrEqual(0.9);
  });

  it('is not found where the pressure falls exponentially to a base', () => {
    const time = evenly(2000, 1);
    const values = Float64Array.from(time, (t) => 5 + 1e5 * Math.exp(-t / 20));
    const log = madeLog(time, [channel('p', values)]);
    expect(fitPumpDown(log, stretch(log, 'pump-down'), 'p').tailExponent).toBeNull();
  });
});

describe('the load balance', () => {
  // Pumped at S/V = 0.5 /s, isolated from 100 s to 300 s, pumped again. The load makes 0.05 Pa/s, so that load over speed
  // is 0.1 Pa; whatever stands above that is not made by the load.
  const record = (pumpBase: number) => {
    const random = seeded(41);
    const time = evenly(400, 1);
    let p = 0.1 + pumpBase;
    const values = Float64Array.from(time, (t) => {
      for (let k = 0; k < 10; k++) p += 0.1 * (t >= 100 && t < 300 ? 0.05 : 0.05 - 0.5 * (p - pumpBase));
      return p + 0.0005 * normal(random);
    });
    const log = madeLog(time, [channel('p', values, { resolution: 1e-4 })]);
    const rise = fitRateOfRise(log, stretch(log, 'isolation', 101, 299), 'p');
    return balanceLoad(log, rise, [])!;
  };

  it('explains the steady pressure where the load makes it', () => {
    const balance = record(0);
    expect(balance.explains).toBe('yes');
    expect(balance.explainedPa.low).toBeLessThan(0.1);
    expect(balance.explainedPa.high).toBeGreaterThan(0.1);
  });

  it('does not where the pump itself stops at ten times that', () => {
    const balance = record(1);
    expect(balance.explains).toBe('no');
    expect(balance.text).toContain('pump side');
  });
});
