import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  changeOverStep,
  columnFromVoltage,
  combinedReading,
  converterUncertainty,
  crossesChangeOver,
  GAUGE_TYPES,
  type GaugeType,
  gaugeRange,
  gaugeTypeData,
  idealThermalFactor,
  ionSensitivity,
  isolationTime,
  logarithmicLaw,
  type OutputLaw,
  pressureFromVoltage,
  rangeState,
  readingUncertainty,
  type SensitivitySource,
  thermalFactorBand,
  transpirationLimit,
  transpirationRatio,
  truePressure,
  voltageFromPressure,
  voltageUncertaintyEffect,
  zeroDrift,
  zeroErrorEffect,
} from '../../src/gauges';

describe('every gauge type', () => {
  it.each(GAUGE_TYPES.map((g) => g.type))('%s knows its best range best', (type) => {
    const data = gaugeTypeData(type);
    expect(data.range[0]).toBeLessThanOrEqual(data.best[0]);
    expect(data.range[1]).toBeGreaterThanOrEqual(data.best[1]);
    expect(data.relativeAtEnds).toBeGreaterThan(data.relative);
    expect(data.beware.length).toBeGreaterThan(0);
    const gauge = { type, fullScale: 1e5 };
    const [low, high] = gaugeRange(gauge);
    const middle = Math.sqrt(data.best[0] * data.best[1]) * (data.hasFullScale ? 1e5 : 1);
    expect(readingUncertainty(gauge, middle) / middle).toBeCloseTo(data.relative, 9);
    expect(readingUncertainty(gauge, low * 1.0001) / low).toBeCloseTo(
      data.range[0] === data.best[0] ? data.relative : data.relativeAtEnds,
      3,
    );
    expect(readingUncertainty(gauge, low / 2)).toBe(Infinity);
    expect(readingUncertainty(gauge, high * 2)).toBe(Infinity);
    expect(rangeState(gauge, low / 2)).toBe('under range');
    expect(rangeState(gauge, middle)).toBe('in range');
    expect(rangeState(gauge, high * 2)).toBe('over range');
  });

  it('takes a certificate and a zero into account', () => {
    const gauge = { type: 'capacitance', fullScale: 1000, relative: 0.0025, zero: 0.3 } as const;
    expect(readingUncertainty(gauge, 100)).toBeCloseTo(Math.hypot(0.25, 0.3), 12);
  });

  it.each([
    [
      () => gaugeTypeData('guess' as GaugeType),
      'gauge type: met "guess", expected one of thermocouple, pirani, convection',
    ],
    [() => gaugeRange({ type: 'capacitance' }), 'full scale of the capacitance gauge: met "none", expected a pressure'],
    [
      () => gaugeRange({ type: 'piezo', fullScale: -1 }),
      'full scale of the piezo gauge: met -1, expected a finite number above zero',
    ],
    [
      () => readingUncertainty({ type: 'pirani' }, Number.NaN),
      'pressure: met NaN, expected a finite number above zero',
    ],
    [
      () => readingUncertainty({ type: 'pirani', relative: 2 }, 10),
      'relative uncertainty: met 2, expected 0 to below 1',
    ],
    [
      () => readingUncertainty({ type: 'pirani', zero: -1 }, 10),
      'zero uncertainty: met -1, expected a finite number, zero or above',
    ],
    [() => rangeState({ type: 'pirani' }, -1), 'pressure: met -1, expected a finite number, zero or above'],
  ])('refuses: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('truePressure', () => {
  it('leaves a diaphragm gauge alone', () => {
    expect(truePressure('capacitance', 12, 'He')).toMatchObject({ value: 12, low: 12, high: 12 });
  });
  it('puts 15 % about an ionisation gauge', () => {
    const p = truePressure('cold-cathode', 1e-3, 'Ar');
    expect(p.low).toBeCloseTo(1e-3 / 1.4 / 1.15, 12);
    expect(p.high).toBeCloseTo(1e-3 / 1.4 / 0.85, 12);
  });
  it('gives the band of a heat-conduction gauge below 100 Pa, and no upper bound above it', () => {
    expect(truePressure('pirani', 10, 'H2O')).toMatchObject({ low: 5, high: 7.5, value: 6.25 });
    expect(truePressure('pirani', 10, 'air')).toMatchObject({ low: 10, high: 10 });
    const argon = truePressure('convection', 3000, 'Ar');
    expect(argon.high).toBe(Infinity);
    expect(argon.note).toBe('above 100 Pa no factor holds for argon: the true pressure may be far higher');
    expect(truePressure('convection', 3000, 'N2').high).toBeLessThan(3100);
  });
  it('takes the ideal factor, widely, where no band is known', () => {
    const [low, high] = thermalFactorBand('Kr');
    expect(low * high).toBeCloseTo(idealThermalFactor('Kr') ** 2, 9);
    expect(high / low).toBeCloseTo(2.25, 9);
  });
  it.each([
    [() => truePressure('pirani', 0, 'He'), 'reading: met 0, expected a finite number above zero'],
    [() => truePressure('hot-cathode', 1, 'D2'), 'gas: met "D2", expected one of He, Ne'],
    [() => ionSensitivity('He', 'me' as SensitivitySource), 'source: met "me", expected Redhead or Summers'],
    [() => idealThermalFactor('He', 1), 'heat capacity ratio: met 1, expected above 1'],
    [() => thermalFactorBand('phlogiston'), 'gas: met "phlogiston"'],
  ])('refuses: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('combined gauges', () => {
  const gauge = { lowerGain: 0.9, upperGain: 1.1, changeOver: [100, 1000] } as const;
  it('show the lower sensor, a mixture, the upper sensor, and never fall with the pressure', () => {
    expect(combinedReading(gauge, 10)).toBeCloseTo(9, 12);
    expect(combinedReading(gauge, 5000)).toBeCloseTo(5500, 9);
    let last = 0;
    for (let p = 1; p < 1e4; p *= 1.02) {
      const reading = combinedReading(gauge, p);
      expect(reading).toBeGreaterThan(last);
      last = reading;
    }
  });
  it('jump where the change-over has no width', () => {
    const sharp = { ...gauge, changeOver: [90, 90] } as const;
    expect(combinedReading(sharp, 99.9)).toBeCloseTo(89.91, 9);
    expect(combinedReading(sharp, 100.1)).toBeCloseTo(110.11, 9);
    expect(changeOverStep(gauge)).toBeCloseTo(0.2222, 4);
  });
  it('say whether a stretch crosses the change-over', () => {
    expect(crossesChangeOver(gauge, 1, 50)).toBe(false);
    expect(crossesChangeOver(gauge, 150, 50)).toBe(true);
    expect(crossesChangeOver(gauge, 2000, 3000)).toBe(false);
  });
  it('refuse useless input', () => {
    expect(() => combinedReading({ ...gauge, changeOver: [1000, 100] }, 1)).toThrow(
      'change-over: met "1000 to 100", expected a lower and an upper pressure',
    );
    expect(() => combinedReading(gauge, -1)).toThrow('pressure: met -1, expected a finite number, zero or above');
    expect(() => changeOverStep({ ...gauge, lowerGain: 0 })).toThrow(
      'gain of the lower sensor: met 0, expected a finite number above zero',
    );
    expect(() => crossesChangeOver(gauge, Number.NaN, 1)).toThrow('lowest reading: met NaN');
  });
});

describe('zero error', () => {
  it('feigns V times its drift, and a constant part nothing', () => {
    expect(zeroErrorEffect(0.3, 1e-5, 0.02)).toMatchObject({ falseRate: 1e-5, offset: 0.3 });
    expect(zeroErrorEffect(0.3, 1e-5, 0.02).falseLoad).toBeCloseTo(2e-7, 15);
    expect(zeroErrorEffect(0.3, 0, 0.02).falseLoad).toBe(0);
    expect(zeroDrift(1000, 1 / 3600)).toBeCloseTo(0.03 / 3600, 12);
  });
  it('says how long to isolate', () => {
    expect(isolationTime(1e-3, 0.01, 0.02)).toBeCloseTo(300, 9);
  });
  it.each([
    [() => zeroErrorEffect(Number.NaN, 0, 1), 'offset: met NaN, expected a finite number'],
    [() => zeroErrorEffect(0, 0, 0), 'volume: met 0, expected a finite number above zero'],
    [() => zeroDrift(-1, 1), 'full scale: met -1, expected a finite number above zero'],
    [() => isolationTime(0, 1), 'rate: met 0, expected a finite number above zero'],
    [() => isolationTime(1, -1), 'resolution: met -1, expected a finite number, zero or above'],
  ])('refuses: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('thermal transpiration', () => {
  it('grows as the pressure falls, half of it at the half-effect pressure', () => {
    const head = { headTemperature: 318.15, chamberTemperature: 293.15, bore: 0.005, gas: 'N2' };
    const { halfEffect } = transpirationRatio(head, 1);
    const full = transpirationLimit(318.15, 293.15) - 1;
    expect(transpirationRatio(head, halfEffect).value - 1).toBeCloseTo(full / 2, 12);
    expect(transpirationRatio(head, halfEffect / 1e6).value - 1).toBeCloseTo(full, 6);
    expect(transpirationRatio({ ...head, bore: 0.01 }, 1).halfEffect).toBeCloseTo(halfEffect / 2, 9);
  });
  it('refuses useless input', () => {
    expect(() => transpirationLimit(0, 1)).toThrow('head temperature: met 0, expected a finite number above zero');
    const head = { headTemperature: 318, chamberTemperature: 293, bore: 0, gas: 'N2' };
    expect(() => transpirationRatio(head, 1)).toThrow('bore: met 0, expected a finite number above zero');
  });
});

describe('analogue outputs', () => {
  const law: OutputLaw = { kind: 'logarithmic', decadesPerVolt: 1, offset: -5.5, unit: 'mbar' };
  it('invert themselves', () => {
    fc.assert(
      fc.property(fc.double({ min: -7, max: 5, noNaN: true }), (decade) => {
        const p = 10 ** decade;
        expect(pressureFromVoltage(law, voltageFromPressure(law, p)) / p).toBeCloseTo(1, 9);
      }),
    );
    const linear: OutputLaw = { kind: 'linear', zeroVolts: 1, fullVolts: 5, fullScalePa: 1000 };
    expect(pressureFromVoltage(linear, 2)).toBeCloseTo(250, 9);
    expect(voltageFromPressure(linear, 250)).toBeCloseTo(2, 12);
    expect(voltageUncertaintyEffect(linear, 0.01, 2)).toBeCloseTo(0.01, 12);
  });
  it('come from two points of a manual', () => {
    const found = logarithmicLaw([2, 1e-1], [8, 1e5]);
    expect(pressureFromVoltage(found, 5)).toBeCloseTo(100, 9);
  });
  it('drop saturated voltages', () => {
    const column = columnFromVoltage(law, Float64Array.of(0, 5.5, 10, Number.NaN), [0.1, 9.9]);
    expect([...column].map(Number.isNaN)).toEqual([true, false, true, true]);
    expect(column[1]).toBeCloseTo(100, 9);
  });
  it('convert a million voltages in well under a second', () => {
    const volts = Float64Array.from({ length: 1e6 }, (_, i) => (i % 1000) / 100);
    const start = performance.now();
    const column = columnFromVoltage(law, volts);
    expect(performance.now() - start).toBeLessThan(1000);
    expect(column[550]).toBeCloseTo(100, 9);
  });
  it.each([
    [() => pressureFromVoltage(law, Number.NaN), 'voltage: met NaN, expected a finite number'],
    [() => voltageFromPressure(law, 0), 'pressure: met 0, expected a finite number above zero'],
    [
      () => pressureFromVoltage({ ...law, decadesPerVolt: 0 } as OutputLaw, 1),
      'decades per volt: met 0, expected a number that is not zero',
    ],
    [
      () => pressureFromVoltage({ ...law, unit: 'L' } as OutputLaw, 1),
      'quantity: met "L", expected a unit of pressure, not of volume',
    ],
    [
      () => pressureFromVoltage({ kind: 'linear', zeroVolts: 1, fullVolts: 1, fullScalePa: 1 }, 1),
      'voltage law: met 0, expected two different voltages',
    ],
    [() => logarithmicLaw([1, 1], [1, 2]), 'voltages: met "1 and 1", expected two different voltages'],
    [() => converterUncertainty(10, 12.5), 'bits: met 12.5, expected a whole number, 1 to 32'],
    [
      () => voltageUncertaintyEffect(law, -1),
      'uncertainty of the voltage: met -1, expected a finite number, zero or above',
    ],
    [
      () => voltageUncertaintyEffect({ kind: 'linear', zeroVolts: 1, fullVolts: 5, fullScalePa: 1 }, 0.1),
      'voltage: met undefined, expected a voltage above the zero of the law',
    ],
  ])('refuse: %s', (call, message) => {
    expect(call).toThrow(message);
  });
});
