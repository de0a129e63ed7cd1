import { describe, expect, it } from 'vitest';
import { fitRateOfRise, gaugeScale } from '../../src/fits';
import { productEstimate, productOf } from '../../src/fits/gas-load';
import { normalMixture } from '../../src/fits/mixture';
import { quantity } from '../../src/units';
import { channel, evenly, madeLog, stretch } from './made-logs';

const line = { name: 'rate', unit: 'Pa/s', from: 'test' };

describe('the product of rate, volume and gauge', () => {
  it('has the uncertainty of the GUM: 20 L +- 0.4, 2e-4 +- 5e-6 mbar/s, gauge 10 % give 4.00e-3 mbar L/s, u = 10.5 %', () => {
    // calc, by JCGM 100 5.1.6 (from memory): relative variances add.
    const product = productOf(normalMixture(2e-4, 5e-6), line, [
      { name: 'volume', value: 20, unit: 'L', relative: 0.02, from: '' },
      { name: 'gauge', value: 1, unit: '', relative: 0.1, from: '' },
    ]);
    expect(product.value).toBeCloseTo(4e-3, 12);
    expect(product.standardUncertainty / product.value).toBeCloseTo(0.105, 3);
    expect(product.budget.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 12);
    expect(product.budget.map((b) => b.name)).toEqual(['rate', 'volume', 'gauge']);
  });

  it('agrees with a normal interval where one factor alone is uncertain and small', () => {
    const product = productOf(normalMixture(1, 0.01), line, []);
    const { low, high } = productEstimate(product);
    expect(low).toBeCloseTo(1 - 0.0196, 4);
    expect(high).toBeCloseTo(1 + 0.0196, 4);
  });

  it('keeps the sign of the rate, however badly the gauge is known', () => {
    const product = productOf(normalMixture(1, 0.001), line, [
      { name: 'gas', value: 1, unit: '', relative: 0.6, from: '' },
    ]);
    const { low, high } = productEstimate(product);
    expect(low).toBeGreaterThan(0);
    // Log-normal: exp(1.96 sqrt(ln 1.36)) = 2.966 (calc).
    expect(high).toBeGreaterThan(2.8);
    expect(high).toBeLessThan(3.1);
  });

  it('holds zero where the rate does', () => {
    const { low, high } = productEstimate(productOf(normalMixture(0.5, 1), line, []));
    expect(low).toBeLessThan(0);
    expect(high).toBeGreaterThan(0);
  });
});

describe('the scale of a gauge', () => {
  it('depends on the gas for thermal and ionisation gauges only', () => {
    expect(gaugeScale('capacitance').gas).toBe(0);
    expect(gaugeScale('piezo').gas).toBe(0);
    expect(gaugeScale('thermal').gas).toBeGreaterThanOrEqual(0.3);
    expect(gaugeScale('thermal', 'air').gas).toBe(0);
  });

  it('is corrected for a gas that is known, where a factor holds for it', () => {
    // CRC Handbook, P. Redhead: relative sensitivity of ionisation gauges for argon 1.4, single gauges 15 % apart.
    const ion = gaugeScale('hot-cathode', 'Ar', undefined, 1e-3);
    expect(ion.gasFactor).toBeCloseTo(1 / 1.4, 10);
    expect(ion.gas).toBeGreaterThan(0.08);
    expect(ion.gas).toBeLessThan(0.1);
    // Common practice: argon on a nitrogen-set thermal gauge 1.5 to 1.8 below about 1 mbar; no factor above.
    const thermal = gaugeScale('thermal', 'Ar', undefined, 10);
    expect(thermal.gasFactor).toBeGreaterThan(1.5);
    expect(thermal.gasFactor).toBeLessThan(1.8);
    expect(gaugeScale('thermal', 'Ar', undefined, 5000).gas).toBeGreaterThanOrEqual(0.5);
  });

  it('is refused by name where it is unknown', () => {
    expect(() => gaugeScale('bellows' as never)).toThrow(/gauge: met "bellows", expected one of thermal, capacitance/);
    expect(() => gaugeScale('thermal', 'phlogiston')).toThrow(/gas: met "phlogiston"/);
  });
});

describe('the temperature of the gas', () => {
  const n = 121;
  const time = evenly(n, 30);
  // 100 L at 10 mbar whose gas warms by 1 K in an hour look like 9.5e-4 mbar L/s (calc, physics of the rise test).
  const kelvin = Float64Array.from(time, (t) => 293.15 + t / 3600);
  const values = Float64Array.from(kelvin, (T) => (1000 * T) / 293.15);
  const log = madeLog(time, [
    channel('p', values, { resolution: 1e-4 }),
    channel('gas', kelvin, { quantity: 'temperature', siUnit: 'K', unit: 'K' }),
  ]);
  const options = { volume: quantity('100 L'), gauge: 'capacitance' as const, dwellS: 0 };

  it('makes a load that is none, 9.5e-4 mbar L/s, where it is not corrected', () => {
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p', options);
    expect(rise.gasLoad!.value / (9.5e-4 * 0.1)).toBeCloseTo(1, 1);
    expect(rise.temperatureCorrected).toBe(false);
    expect(rise.notes.join(' ')).toContain('name the column that is the temperature of the gas');
    // A drift that nobody measured is in the budget, and is most of it here.
    const drift = rise.budget.find((b) => b.name === 'gas temperature')!;
    expect(drift.share).toBeGreaterThan(0.5);
  });

  it('is taken out where the column is named', () => {
    const rise = fitRateOfRise(log, stretch(log, 'isolation'), 'p', { ...options, temperatureChannel: 'gas' });
    expect(Math.abs(rise.gasLoad!.value)).toBeLessThan(0.01 * 9.5e-5);
    expect(rise.budget.some((b) => b.name === 'gas temperature')).toBe(false);
  });

  it('is refused where the column is no temperature', () => {
    expect(() => fitRateOfRise(log, stretch(log, 'isolation'), 'p', { ...options, temperatureChannel: 'p' })).toThrow(
      /temperature channel: met "p", expected a channel of temperature/,
    );
  });
});
