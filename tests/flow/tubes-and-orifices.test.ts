import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  apertureConductance,
  capillaryThroughput,
  criticalPressureRatio,
  equivalentHole,
  laminarTubeConductance,
  longTubeConductance,
  molarFlowOfRise,
  molecularTubeConductance,
  orificeThroughput,
  reynoldsNumber,
  roundArea,
  temperatureDriftLoad,
  throughputOfRise,
  tubeConductance,
  tubeThroughput,
} from '../../src/flow';

describe('tubeThroughput', () => {
  const tube = { diameter: 0.01, length: 0.5 };

  it('names the regime that rules', () => {
    expect(tubeThroughput(tube, 'air', 1e-3, 0).regime).toBe('molecular');
    expect(tubeThroughput(tube, 'air', 10, 0).regime).toBe('transition');
    expect(tubeThroughput(tube, 'air', 300, 200).regime).toBe('laminar');
    expect(tubeThroughput(tube, 'air', 101325, 80000).regime).toBe('turbulent');
    expect(tubeThroughput({ diameter: 0.01, length: 0.01 }, 'air', 101325, 0).regime).toBe('choked');
  });

  it('joins the laminar and the molecular tube at its ends', () => {
    const molecular = molecularTubeConductance(tube, 'He') * 1e-4;
    expect(tubeThroughput(tube, 'He', 1e-4, 0).throughput / molecular).toBeCloseTo(1, 4);
    const laminar = laminarTubeConductance(tube, 'He', 950) * 100;
    expect(tubeThroughput(tube, 'He', 1000, 900).throughput / laminar).toBeCloseTo(1, 1);
  });

  it('never falls when the pressure before it rises or the one behind it falls', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        fc.double({ min: 0.0005, max: 0.1, noNaN: true }),
        (decade, share, diameter) => {
          const t = { diameter, length: 0.4 };
          const p = 10 ** decade;
          const q = tubeThroughput(t, 'air', p, share * p).throughput;
          expect(tubeThroughput(t, 'air', p, share * 0.98 * p).throughput).toBeGreaterThanOrEqual(q * (1 - 1e-9));
          expect(q).toBeGreaterThan(0);
        },
      ),
    );
  });

  it('passes nothing without a difference', () => {
    expect(tubeThroughput(tube, 'air', 100, 100).throughput).toBe(0);
  });

  it('has the Reynolds number of its flow', () => {
    const flow = tubeThroughput(tube, 'air', 300, 200);
    expect(flow.reynolds).toBeCloseTo(reynoldsNumber(flow.throughput, 0.01, 'air'), 9);
  });
});

describe('molecular tubes', () => {
  it('short ones are their aperture, long ones the long-tube formula', () => {
    expect(
      molecularTubeConductance({ diameter: 0.1, length: 1e-6 }, 'N2') / apertureConductance(roundArea(0.1), 'N2'),
    ).toBeCloseTo(1, 4);
    const long = { diameter: 0.001, length: 1 };
    expect(molecularTubeConductance(long, 'N2') / longTubeConductance(long, 'N2')).toBeCloseTo(1, 2);
  });
});

describe('useless input', () => {
  const tube = { diameter: 0.01, length: 0.5 };
  const hole = { area: 1e-6, gas: 'air', upstream: 1e5 };
  it.each([
    [() => roundArea(-1), 'diameter: met -1, expected a finite number above zero'],
    [() => apertureConductance(0, 'air'), 'area: met 0, expected a finite number above zero'],
    [() => criticalPressureRatio(1), 'heat capacity ratio: met 1, expected above 1'],
    [
      () => orificeThroughput({ ...hole, downstream: 2e5 }),
      'downstream pressure: met 200000, expected at most the upstream pressure, 100000 Pa',
    ],
    [
      () => orificeThroughput({ ...hole, upstream: Number.NaN }),
      'upstream pressure: met NaN, expected a finite number above zero',
    ],
    [
      () => orificeThroughput({ ...hole, dischargeCoefficient: 1.2 }),
      'discharge coefficient: met 1.2, expected above 0 and at most 1',
    ],
    [() => orificeThroughput({ ...hole, temperature: -5 }), 'temperature: met -5, expected a finite number above zero'],
    [() => equivalentHole(0), 'throughput: met 0, expected a finite number above zero'],
    [
      () => longTubeConductance({ diameter: 0, length: 1 }, 'air'),
      'diameter: met 0, expected a finite number above zero',
    ],
    [
      () => tubeConductance({ diameter: 1, length: -1 }, 'air', 1),
      'length: met -1, expected a finite number above zero',
    ],
    [() => tubeConductance(tube, 'air', -1), 'mean pressure: met -1, expected a finite number, zero or above'],
    [
      () => tubeThroughput(tube, 'air', 1, 2),
      'downstream pressure: met 2, expected at most the upstream pressure, 1 Pa',
    ],
    [() => tubeThroughput(tube, 'air', 0, 0), 'upstream pressure: met 0, expected a finite number above zero'],
    [
      () => tubeThroughput(tube, 'H2O', 1e3, 0, 250),
      'temperature for the viscosity of H2O: met 250 K, expected 273.16 to 1073.15 K',
    ],
    [
      () => capillaryThroughput(tube, 'air', 1, 2),
      'downstream pressure: met 2, expected at most the upstream pressure, 1 Pa',
    ],
    [() => throughputOfRise(0, 1), 'volume: met 0, expected a finite number above zero'],
    [() => throughputOfRise(1, Number.NaN), 'rate of rise: met NaN, expected a finite number'],
    [
      () => molarFlowOfRise(1, { pressure: -1, temperature: 300 }, { pressure: 1, temperature: 300 }, 1),
      'pressure: met -1, expected >= 0 Pa',
    ],
    [
      () => molarFlowOfRise(1, { pressure: 1, temperature: 0 }, { pressure: 1, temperature: 300 }, 1),
      'temperature: met 0, expected a finite number above zero',
    ],
    [() => temperatureDriftLoad(1, 1, 300, Number.NaN), 'drift: met NaN, expected a finite number'],
  ])('%s', (call, message) => {
    expect(call).toThrow(message);
  });
});
