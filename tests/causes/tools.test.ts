import { describe, expect, it } from 'vitest';
import {
  answersToRemarks,
  compareRecords,
  compareWithBaseline,
  detectionLimit,
  findCauses,
  findSection,
  gasFromGaugePair,
} from '../../src/causes';
import { logNormalTail, quickNormalCdf } from '../../src/causes/normal-table';
import { positiveAmplitudes } from '../../src/causes/positive-amplitudes';
import { fitRecord } from '../../src/fits';
import { normalCdf, randomStream } from '../../src/numerics';
import { madeLog, madeSegments, si } from './made-log';

function isolationOf(rate: number, seed: number) {
  const random = randomStream(seed);
  const time = Float64Array.from({ length: 301 }, (_, i) => 2 * i);
  const pa = Float64Array.from(time, (t) => 1 + rate * t + 0.005 * random.normal());
  const log = madeLog(time, pa);
  return { log, segmented: madeSegments(log, [['isolation', 0, 300]]) };
}

const fitsOf = (rate: number, seed: number) => {
  const { log, segmented } = isolationOf(rate, seed);
  return fitRecord(log, segmented, { gauge: 'capacitance' });
};

describe('detectionLimit', () => {
  it('is 3.29 times the standard uncertainty of the slope times the volume', () => {
    // calc (GUM, slope of n equally spaced readings): n = 61, T = 600 s, noise 1e-3: (1e-3/600) sqrt(12/61) = 7.392e-7
    const found = detectionLimit({ volumeM3: 1, forS: 600, everyS: 10, startPa: 1, noisePa: 1e-3, driftK: 0 });
    expect(found.leakPaM3S).toBeCloseTo(3.29 * 7.392e-7, 9);
  });

  it('is right: leaks of that size are seen about 19 times in 20 against a threshold with one false alarm in 20', () => {
    const random = randomStream(5);
    const limit = detectionLimit({
      volumeM3: 1,
      forS: 600,
      everyS: 10,
      startPa: 1,
      noisePa: 1e-3,
      driftK: 0,
    }).leakPaM3S;
    const slope = (rate: number): number => {
      let [tt, tp] = [0, 0];
      for (let i = 0; i < 61; i++) {
        const t = 10 * i - 300;
        tt += t * t;
        tp += t * (rate * t + 1e-3 * random.normal());
      }
      return tp / tt;
    };
    let [seen, alarms] = [0, 0];
    for (let k = 0; k < 2000; k++) {
      if (slope(limit) > limit / 2) seen++;
      if (slope(0) > limit / 2) alarms++;
    }
    expect(seen / 2000).toBeGreaterThan(0.93);
    expect(alarms / 2000).toBeLessThan(0.07);
  });

  it('says that a gauge is not fit at a pressure below its range', () => {
    const gauge = { type: 'pirani' } as const;
    const found = detectionLimit({ volumeM3: 0.1, forS: 600, everyS: 1, startPa: 1e-4, noisePa: 1e-6, gauge });
    expect(found.gaugeFit).toBe(false);
  });

  it('says whether a leak at the limit would be seen, and whether the gauge lasts to the end of the test', () => {
    const test = { volumeM3: 0.1, forS: 600, everyS: 1, startPa: 10, noisePa: 1e-2, driftK: 0 };
    const shown = detectionLimit({ ...test, limitPaM3S: 1e-3 });
    expect(shown.showsLimit).toBe(true);
    // calc: 1e-3 Pa m3/s in 0.1 m3 for 600 s makes 6 Pa.
    expect(shown.notes.join(' ')).toMatch(/makes 6 Pa/);
    expect(detectionLimit({ ...test, limitPaM3S: shown.leakPaM3S / 5 }).showsLimit).toBe(false);
    const gauge = { type: 'capacitance', fullScale: 13 } as const;
    expect(detectionLimit({ ...test, gauge }).gaugeFit).toBe(true);
    const beyond = detectionLimit({ ...test, gauge, limitPaM3S: 1e-3 });
    expect(beyond.gaugeFit).toBe(false);
    expect(beyond.notes.join(' ')).toMatch(/over range at the end of the test|at the end of the test/);
  });
});

describe('gasFromGaugePair', () => {
  it('reads 1.6 as water and 1 as air', () => {
    expect(gasFromGaugePair(1.6, 1, 0.05).mostlyWater).toBeGreaterThan(0.9);
    expect(gasFromGaugePair(1, 1, 0.05).mostlyWater).toBeLessThan(0.1);
  });
});

describe('compareRecords', () => {
  it('sees a repair that halves the rate, and no difference where there is none', () => {
    expect(compareRecords(fitsOf(0.01, 1), fitsOf(0.005, 2))[0].verdict).toBe('smaller');
    const same = [3, 5, 7, 9, 11].map((seed) => compareRecords(fitsOf(0.01, seed), fitsOf(0.01, seed + 1))[0].verdict);
    expect(same.filter((one) => one === 'no difference shown').length).toBeGreaterThanOrEqual(4);
  });

  it('says which stage differs from the healthy record', () => {
    const [stage] = compareWithBaseline(fitsOf(0.01, 1), fitsOf(0.002, 2));
    expect(stage.stage).toBe('load');
    expect(stage.differs).toBe(true);
  });
});

describe('findSection', () => {
  it('finds the section whose shutting off takes the load away', () => {
    const about = (value: number) => ({ value, low: value - 0.2, high: value + 0.2 });
    const [first] = findSection([
      { shutOff: 'nothing', load: about(5) },
      { shutOff: 'line', load: about(4.8) },
      { shutOff: 'side arm', load: about(0.9) },
    ]);
    expect(first.section).toBe('side arm');
    expect(first.probability).toBeGreaterThan(0.99);
    expect(first.load.value).toBeCloseTo(3.9, 9);
  });
});

describe('answersToRemarks', () => {
  it('tells a remark that the reading answers from one that it does not', () => {
    const random = randomStream(8);
    const time = Float64Array.from({ length: 3000 }, (_, i) => i);
    const pa = Float64Array.from(time, (t) => (t > 2010 ? 1.2 : 1) * (1 + 0.004 * random.normal()));
    const log = madeLog(time, pa, [
      { atS: 1000, text: 'flange A sprayed' },
      { atS: 2000, text: 'flange B sprayed' },
    ]);
    const [a, b] = answersToRemarks(log);
    expect(a.answers).not.toBe('yes');
    expect(b.answers).toBe('yes');
    expect(b.direction).toBe('up');
    expect(b.afterS!).toBeGreaterThan(8);
    expect(b.afterS!).toBeLessThan(16);
  });
});

describe('next tests', () => {
  it('name a trap only where no air leak is possible, and carry what must be true before', () => {
    const { log, segmented } = isolationOf(0.01, 4);
    const found = findCauses(log, segmented, fitRecord(log, segmented), { volume: si('volume', 0.01) });
    const tests = found.nextTest === null ? [] : [found.nextTest, ...found.otherTests];
    expect(tests.length).toBeGreaterThan(0);
    expect(tests.some((one) => /trap/.test(one.what))).toBe(false);
    for (const one of tests) {
      expect(one.needs.length).toBeGreaterThan(0);
      expect(one.expectedGain!).toBeGreaterThanOrEqual(0.02);
    }
    expect(found.cautions.join(' ')).toMatch(/oxygen condenses/);
  });
});

describe('the numerics underneath', () => {
  it('the table of the normal distribution agrees with the exact one to 1e-9', () => {
    for (let z = -7.9; z < 8; z += 0.0137) expect(Math.abs(quickNormalCdf(z) - normalCdf(z))).toBeLessThan(1e-9);
    // calc: asymptotic series of the tail, ln Phi(-10) = -53.23128515
    expect(logNormalTail(-10)).toBeCloseTo(-53.23128515, 6);
  });

  it('the probability of a quadrant is 1/4 + asin(r) / 2 pi', () => {
    // Sheppard's formula for two correlated normal variables.
    for (const r of [-0.6, 0, 0.5]) {
      const found = positiveAmplitudes(Float64Array.of(0, 0), Float64Array.of(1, r, r, 1), 400);
      expect(Math.exp(found.logProbability)).toBeCloseTo(0.25 + Math.asin(r) / (2 * Math.PI), 2);
    }
  });
});
