import { describe, expect, it } from 'vitest';
import { CAUSES } from '../../src/causes/finding';
import {
  type ChamberConditions,
  evaporation,
  type GasLoad,
  gasCooling,
  type IsolatedChamber,
  isolatedRise,
  outgassing,
  passingGasFeed,
  passingToRunningPump,
  passingToStoppedPump,
  permeation,
  pumpBackstream,
  realLeak,
  takingSurface,
  temperatureDrift,
  trappedGas,
  typicalParameters,
  waterInOil,
} from '../../src/gas-loads';
import { fitLeastSquares, randomStream } from '../../src/numerics';

/** How a load is walked: truth, what is fitted, in what chamber, for how long, at what noise. */
interface Walk {
  readonly load: GasLoad;
  readonly truth?: Readonly<Record<string, number>>;
  readonly free: readonly string[];
  readonly chamber?: Partial<IsolatedChamber>;
  readonly lastS: number;
  readonly noisePa: number;
}

const WALKS: readonly Walk[] = [
  { load: realLeak('choked'), free: ['leak'], lastS: 600, noisePa: 0.05 },
  { load: realLeak('molecular'), truth: { leak: 3 }, free: ['leak'], lastS: 900, noisePa: 20 },
  { load: realLeak('laminar'), truth: { leak: 3 }, free: ['leak'], lastS: 900, noisePa: 20 },
  {
    load: trappedGas('molecular'),
    truth: { conductance: 3e-9 },
    free: ['pocket volume', 'conductance'],
    lastS: 1500,
    noisePa: 0.02,
  },
  {
    load: trappedGas('viscous'),
    truth: { 'viscous conductance': 5e-14 },
    free: ['pocket volume', 'viscous conductance'],
    lastS: 3000,
    noisePa: 0.02,
  },
  {
    load: outgassing(),
    truth: { readsorption: 0 },
    free: ['at one hour', 'exponent'],
    chamber: { pumpedS: 600 },
    lastS: 3600,
    noisePa: 0.005,
  },
  {
    load: outgassing('air'),
    truth: { 'at one hour': 2e-4, readsorption: 0.01 },
    free: ['at one hour', 'readsorption'],
    chamber: { pumpedS: 600 },
    lastS: 3600,
    noisePa: 0.02,
  },
  {
    load: evaporation('water'),
    truth: { conductance: 2e-5, mass: 3e-5 },
    free: ['conductance', 'mass'],
    lastS: 3600,
    noisePa: 1,
  },
  {
    load: evaporation('water'),
    truth: { conductance: 1e-4, mass: 1e-3, 'start temperature': 253.15 },
    free: ['conductance', 'heat conductance'],
    lastS: 1200,
    noisePa: 0.05,
  },
  { load: evaporation('acetone'), free: ['conductance', 'heat conductance'], lastS: 900, noisePa: 2 },
  { load: evaporation('ethanol'), free: ['conductance'], lastS: 300, noisePa: 2 },
  { load: evaporation('2-propanol'), free: ['conductance'], lastS: 300, noisePa: 2 },
  {
    load: waterInOil(),
    truth: { mass: 1e-5, capacity: 2e-5 },
    free: ['conductance', 'capacity'],
    lastS: 9000,
    noisePa: 0.5,
  },
  {
    load: permeation(),
    truth: { steady: 1e-5, 'time lag': 2000 },
    free: ['steady', 'time lag'],
    lastS: 15_000,
    noisePa: 0.02,
  },
  {
    load: permeation('water'),
    truth: { steady: 1e-5, 'time lag': 2000, 'exposed for': 1500 },
    free: ['steady', 'exposed for'],
    lastS: 15_000,
    noisePa: 0.02,
  },
  {
    load: passingToRunningPump(),
    truth: { 'seat conductance': 2e-5, 'line pressure': 5 },
    free: ['seat conductance', 'line pressure'],
    chamber: { startPa: 200 },
    lastS: 3000,
    noisePa: 0.1,
  },
  {
    load: passingToStoppedPump(),
    truth: { 'seat conductance': 1e-7 },
    free: ['seat conductance', 'back conductance'],
    chamber: { pumpRunning: false },
    lastS: 3000,
    noisePa: 0.1,
  },
  { load: passingGasFeed(), free: ['seat conductance'], lastS: 600, noisePa: 0.1 },
  { load: passingGasFeed('solvent'), free: ['seat conductance'], lastS: 600, noisePa: 0.1 },
  {
    load: takingSurface('air'),
    truth: { speed: 3e-5, 'balance pressure': 3 },
    free: ['speed', 'balance pressure'],
    chamber: { startPa: 100 },
    lastS: 2000,
    noisePa: 0.1,
  },
  {
    load: gasCooling(),
    free: ['excess', 'time constant'],
    chamber: { startPa: 20_000 },
    lastS: 60,
    noisePa: 10,
  },
  { load: temperatureDrift(), free: ['drift'], chamber: { startPa: 1000 }, lastS: 3600, noisePa: 0.05 },
];

const KNOWN_UNITS = [
  'Pa m3/s',
  'm3',
  'm3/s',
  'm3/(s Pa)',
  'Pa',
  '',
  's',
  '1/Pa',
  '1/K',
  'W/K',
  'kg',
  'K',
  'Pa m3',
  'K/s',
];

function conditions(part: Partial<ChamberConditions> = {}): ChamberConditions {
  return {
    timeS: 700,
    pumpedS: 900,
    pa: 40,
    partialPa: { air: 25, water: 10, solvent: 5 },
    wallK: 296.15,
    wallKPerS: 0,
    barometerPa: 100_000,
    volumeM3: 0.0124,
    pumpOpen: false,
    pumpRunning: true,
    ...part,
  };
}

const LOADS = [...WALKS.map((walk) => walk.load), pumpBackstream(), pumpBackstream('water')];

describe('the contract of gas loads', () => {
  for (const load of LOADS) {
    describe(`${load.name} (${load.gas})`, () => {
      const typical = typicalParameters(load);
      const random = randomStream(17);

      it('names a known cause, gives every parameter a unit and a typical size within its bounds', () => {
        expect(CAUSES).toContain(load.cause);
        expect(new Set(load.parameters.map((p) => p.name)).size).toBe(load.parameters.length);
        for (const p of load.parameters) {
          expect(KNOWN_UNITS).toContain(p.unit);
          expect(p.low).toBeLessThan(p.high);
          expect(p.typical).toBeGreaterThanOrEqual(p.low);
          expect(p.typical).toBeLessThanOrEqual(p.high);
        }
        expect(load.start(typical)).toHaveLength(load.states.length);
        for (const state of load.states) expect(state.negligible).toBeGreaterThan(0);
      });

      it('gives finite flows and rates at the ends of its parameters, from vacuum to atmosphere', () => {
        for (const pa of [0, 1e-3, 50, 5e4, 101_325]) {
          for (const pumpOpen of [true, false]) {
            for (let j = 0; j < load.parameters.length; j++) {
              for (const value of [load.parameters[j].low, load.parameters[j].high]) {
                const p = Float64Array.from(typical);
                p[j] = value;
                const at = conditions({ pa, partialPa: { air: pa, water: 0, solvent: 0 }, pumpOpen });
                const state = load.start(p);
                const out = new Float64Array(load.states.length);
                load.stateRate(at, p, state, out);
                expect(Number.isFinite(load.throughput(at, p, state)), `${load.parameters[j].name} = ${value}`).toBe(
                  true,
                );
                expect(out.every(Number.isFinite), `rate at ${load.parameters[j].name} = ${value}`).toBe(true);
              }
            }
          }
        }
      });

      it('has derivatives that agree with differences', () => {
        for (let draw = 0; draw < 12; draw++) {
          const at = conditions({
            pumpOpen: draw % 2 === 0,
            timeS: 50 + 900 * random.uniform(),
            wallK: 285 + 20 * random.uniform(),
          });
          const p = Float64Array.from(typical, (value) => value * (0.6 + 0.8 * random.uniform()));
          if (load.name.startsWith('evaporation')) p[3] = 280 + 10 * random.uniform();
          const state = load.start(p).map((value) => value * (0.5 + 0.4 * random.uniform()));
          const exact = new Float64Array(load.parameters.length);
          load.derivatives(at, p, state, exact);
          for (let j = 0; j < load.parameters.length; j++) {
            const h = 1e-4 * (Math.abs(p[j]) || 100);
            const shifted = (by: number): number => {
              const q = Float64Array.from(p);
              q[j] += by;
              return load.throughput(at, q, state);
            };
            const difference = (8 * (shifted(h) - shifted(-h)) - (shifted(2 * h) - shifted(-2 * h))) / (12 * h);
            const size = Math.abs(exact[j]) + 1e-9 * Math.abs(load.throughput(at, p, state) / (p[j] || 100)) + 1e-300;
            expect(Math.abs(exact[j] - difference) / size, load.parameters[j].name).toBeLessThan(1e-5);
          }
        }
      });
    });
  }

  for (const walk of WALKS) {
    const { load, free, lastS, noisePa } = walk;
    it(`${load.name} (${load.gas}): simulated, then fitted, returns ${free.join(' and ')} within its uncertainty`, () => {
      const truth = typicalParameters(load, walk.truth);
      const index = free.map((name) => load.parameters.findIndex((p) => p.name === name));
      expect(Math.min(...index)).toBeGreaterThanOrEqual(0);
      const chamber: IsolatedChamber = { volumeM3: 0.0124, startPa: 3, ...walk.chamber };
      const times = Float64Array.from({ length: 121 }, (_, i) => (lastS * i) / 120);
      const clean = isolatedRise([{ load, parameters: truth }], chamber, times);
      expect(Math.abs(clean[120] - clean[0])).toBeGreaterThan(20 * noisePa);
      const random = randomStream(5);
      let squares = 0;
      const repeats = 4;
      for (let repeat = 0; repeat < repeats; repeat++) {
        const seen = Float64Array.from(clean, (value) => value + noisePa * random.normal());
        const values = (b: ArrayLike<number>): Float64Array => {
          const all = Float64Array.from(truth);
          index.forEach((j, i) => {
            all[j] = b[i];
          });
          return all;
        };
        const fit = fitLeastSquares({
          residuals: (b, out) => {
            const model = isolatedRise([{ load, parameters: values(b) }], chamber, times);
            for (let i = 0; i < out.length; i++) out[i] = (model[i] - seen[i]) / noisePa;
          },
          count: times.length,
          start: index.map((j) => truth[j] * 1.3 || 1),
          low: index.map((j) => load.parameters[j].low),
          high: index.map((j) => load.parameters[j].high),
          absoluteSigma: true,
          precision: 1e-7,
        });
        expect(fit.converged, fit.message).toBe(true);
        index.forEach((j, i) => {
          const error = fit.standardErrors[i];
          expect(error).not.toBeNull();
          expect(error! / Math.abs(truth[j])).toBeLessThan(0.5);
          const z = (fit.parameters[i] - truth[j]) / error!;
          expect(Math.abs(z), `${load.parameters[j].name}: ${fit.parameters[i]} for ${truth[j]}`).toBeLessThan(4);
          squares += z * z;
        });
      }
      // Mean square of the deviations in standard errors: 1 expected; 3 is beyond one in ten thousand.
      expect(squares / (repeats * free.length)).toBeLessThan(4);
    });
  }
});
