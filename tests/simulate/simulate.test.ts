import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import { constantSpeedPump } from '../../src/flow';
import {
  evaporation,
  isolatedRise,
  outgassing,
  outgassingRise,
  passingToRunningPump,
  realLeak,
  takingSurface,
  trappedGas,
  twoVolumePressures,
} from '../../src/gas-loads';
import { FLAG } from '../../src/log/gauge-log';
import { autocorrelation, standardDeviation } from '../../src/numerics';
import { type SimulatedSystem, simulate, temperatureAt, writeLogText } from '../../src/simulate';

const GAUGE = { name: 'chamber', unit: 'Pa' };
const PLAIN: SimulatedSystem = {
  volumeM3: 0.05,
  pump: constantSpeedPump(5e-3),
  loads: [],
  waterInAir: 0,
  gauges: [GAUGE],
};
const within = (got: number, wanted: number, part: number): void => {
  expect(Math.abs(got / wanted - 1), `${got} for ${wanted}`).toBeLessThan(part);
};

describe('the chamber against closed forms', () => {
  it('a pump-down without load is p0 exp(-S t / V) down to its ultimate', () => {
    const system = { ...PLAIN, pump: constantSpeedPump(5e-3, 2) };
    const { truth } = simulate(system, { durationS: 200, pumpOpen: true, startPa: 1e5, actions: [] });
    for (const t of [10, 50, 90, 200]) within(truth.pa[t], 2 + (1e5 - 2) * Math.exp(-t / 10), 1e-5);
  });

  it('a line in series lowers the speed to S C / (S + C)', () => {
    const system = { ...PLAIN, line: { molecularM3PerS: 5e-3, viscousM3PerSPa: 0 } };
    const { truth } = simulate(system, { durationS: 60, pumpOpen: true, startPa: 1e4, actions: [] });
    within(truth.pa[60], 1e4 * Math.exp(-60 / 20), 1e-5);
  });

  it('gas trapped behind a molecular path, pumped and then isolated, follows the two-volume solution', () => {
    const system: SimulatedSystem = {
      ...PLAIN,
      barometerPa: 1e5,
      loads: [{ load: trappedGas('molecular'), parameters: [1e-6, 1e-9, 1e5] }],
    };
    const run = simulate(
      system,
      { durationS: 4000, pumpOpen: true, startPa: 1e5, actions: [{ atS: 1000, do: 'close pump valve' }] },
      { stepS: 10 },
    );
    const two = { volumeM3: 0.05, pocketM3: 1e-6, conductanceM3PerS: 1e-9, speedM3PerS: 5e-3 };
    const start = { pa: 1e5, trappedPa: 1e5 };
    within(run.truth.pa[60], twoVolumePressures(two, start, 600).pa, 1e-5);
    const closing = twoVolumePressures(two, start, 1000);
    within(run.truth.pa[400], twoVolumePressures({ ...two, speedM3PerS: 0 }, closing, 3000).pa, 1e-4);
  });

  it('outgassing after an isolation adds up as its integral, and no gas is lost', () => {
    const load = outgassing();
    const system = { ...PLAIN, loads: [{ load, parameters: [1e-4, 1, 1, 0, 0.13] }] };
    const actions = [{ atS: 1000, do: 'close pump valve' as const }];
    const { truth } = simulate(system, { durationS: 3000, pumpOpen: true, startPa: 1e5, actions });
    const rise = outgassingRise({ atOneHour: 1e-4, exponent: 1, volumeM3: 0.05, pumpedS: 1001 }, 2000);
    within(truth.pa[3000] - truth.pa[1000], rise, 1e-4);
    const last = truth.segments[truth.segments.length - 1];
    expect(last.kind).toBe('isolation');
    within(last.byCause.outgassing!, rise * 0.05, 1e-3);
  });

  it('the simulated isolation is what the loads give by themselves, with readsorption and a path to a running pump', () => {
    const loads = [
      { load: realLeak('laminar'), parameters: [2e-3] },
      { load: outgassing('air'), parameters: [1e-4, 0.7, 60, 1e-3, 0.13] },
      { load: passingToRunningPump(), parameters: [1e-5, 2] },
    ];
    const { truth } = simulate({ ...PLAIN, loads }, { durationS: 2000, startPa: 30, pumpedBeforeS: 500, actions: [] });
    const alone = isolatedRise(loads, { volumeM3: 0.05, startPa: 30, pumpedS: 500 }, [500, 2000]);
    within(truth.pa[500], alone[0], 1e-4);
    within(truth.pa[2000], alone[1], 1e-4);
  });

  it('a fill at a known flow, a regulated pressure and a purge balance as they must', () => {
    const { truth } = simulate(PLAIN, {
      durationS: 600,
      startPa: 10,
      actions: [
        { atS: 10, do: 'let gas in', flow: 0.5 },
        { atS: 110, do: 'stop gas' },
        { atS: 200, do: 'open pump valve' },
        { atS: 210, do: 'let gas in', flow: 1 },
        { atS: 400, do: 'stop gas' },
        { atS: 400, do: 'regulate', toPa: 75, flow: 50 },
      ],
    });
    within(truth.pa[150], 10 + (0.5 * 100) / 0.05, 1e-6);
    within(truth.pa[399], 1 / 5e-3, 1e-6);
    within(truth.pa[600], 75, 1e-6);
    expect(truth.segments.map((segment) => segment.kind)).toEqual([
      'isolation',
      'fill',
      'isolation',
      'pump-down',
      'regulated',
    ]);
  });

  it('a valved-off section leaves with its gas and its leak, and mixes in again', () => {
    const system: SimulatedSystem = {
      ...PLAIN,
      sections: [{ name: 'trap', volumeM3: 0.025 }],
      loads: [{ load: realLeak(), parameters: [1e-2], section: 'trap' }],
      gauges: [GAUGE, { name: 'at the trap', unit: 'Pa', section: 'trap' }],
    };
    const { truth, log } = simulate(system, {
      durationS: 300,
      startPa: 10,
      actions: [
        { atS: 100, do: 'close section', section: 'trap' },
        { atS: 200, do: 'open section', section: 'trap' },
      ],
    });
    const open = (t: number): number => 10 + (1e-2 * t) / 0.075;
    within(truth.pa[99], open(99), 1e-6);
    within(truth.pa[199], open(100), 1e-6);
    within(truth.pa[250], open(250), 1e-6);
    within(log.channels[1].values[199], open(100) + (1e-2 * 99) / 0.025, 1e-6);
    expect(truth.loads[0][150]).toBe(0);
    expect(truth.segments.map((s) => s.volumeM3)).toEqual([0.05 + 0.025, 0.05, 0.05 + 0.025]);
  });

  it('a wet chamber stands at the vapour pressure until it is dry, then falls', () => {
    const system = { ...PLAIN, loads: [{ load: evaporation('water'), parameters: [1, 500, 5e-3, 293.15] }] };
    const { truth } = simulate(system, { durationS: 900, startPa: 2339, pumpOpen: true, actions: [] });
    expect(truth.pa[20]).toBeGreaterThan(1500);
    expect(truth.pa[900]).toBeLessThan(20);
    expect(truth.partialPa.water[20] / truth.pa[20]).toBeGreaterThan(0.8);
  });

  it('gas cools when it is pumped fast, within what an adiabatic expansion allows, and warms when let in', () => {
    const system = { ...PLAIN, pump: constantSpeedPump(0.05), gasExchangeS: 20 };
    const { truth } = simulate(system, {
      durationS: 100,
      actions: [
        { atS: 10, do: 'open pump valve' },
        { atS: 40, do: 'close pump valve' },
        { atS: 60, do: 'vent', flow: 1000 },
      ],
    });
    const coldest = Math.min(...truth.gasK);
    expect(coldest).toBeLessThan(275);
    expect(coldest).toBeGreaterThan(293.15 * (truth.pa[11] / 101325) ** 0.286 * 0.8);
    // Air let into vacuum warms towards gamma times its temperature (first law).
    expect(Math.max(...truth.gasK)).toBeGreaterThan(320);
    expect(Math.max(...truth.gasK)).toBeLessThan(1.4 * 293.15);
    expect(truth.pa[100]).toBeGreaterThan(0.9 * 101325);
  });

  it('a drift of temperature moves the pressure of an isolated chamber by p dT/T', () => {
    const system = { ...PLAIN, temperature: { meanK: 293.15, driftKPerS: 1e-3 } };
    const { truth } = simulate(system, { durationS: 1000, startPa: 1000, actions: [] });
    within(truth.pa[1000], 1000 * (294.15 / 293.15), 1e-6);
    within(truth.segments[0].byCause.temperature!, (0.05 * 1000) / 293.15, 1e-3);
  });

  it('a surface that takes gas up lowers the pressure to its balance', () => {
    const system = { ...PLAIN, loads: [{ load: takingSurface('air'), parameters: [1e-3, 4, 1e6] }] };
    const { truth } = simulate(system, { durationS: 600, startPa: 100, actions: [] });
    within(truth.pa[600], 4 + 96 * Math.exp((-600 * 1e-3) / 0.05), 1e-3);
  });
});

describe('the gauge', () => {
  const hold = { durationS: 4000, startPa: 50, actions: [] };

  it('shows noise of the wanted size and memory, zero error and gas factor', () => {
    const gauge = { ...GAUGE, noise: { relative: 0.02, correlationS: 5 }, zeroPa: 3, gasFactor: { air: 1.2 } };
    const { log } = simulate({ ...PLAIN, gauges: [gauge] }, hold, { seed: 3 });
    const { values } = log.channels[0];
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
    within(mean, 63, 0.01);
    within(standardDeviation(values), 0.02 * 63, 0.1);
    expect(autocorrelation(values)).toBeCloseTo(Math.exp(-1 / 5), 1);
  });

  it('keeps digits or steps, writes words beyond its range, clamps where told, lags, spikes and sticks', () => {
    const ramp = { durationS: 1000, startPa: 1, actions: [{ atS: 0, do: 'let gas in' as const, flow: 0.05 }] };
    const { log, cells } = simulate(
      {
        ...PLAIN,
        gauges: [
          { name: 'digits', unit: 'mbar', significantDigits: 2 },
          { name: 'words', unit: 'Pa', stepPa: 0.5, range: { lowPa: 100, highPa: 600 } },
          { name: 'clamp', unit: 'Pa', range: { highPa: 600, clamp: true } },
          { name: 'slow', unit: 'Pa', lagS: 10 },
          { name: 'spike', unit: 'Pa', spikes: [{ atS: 400, factor: 3 }] },
          { name: 'stuck', unit: 'Pa', stuck: [{ fromS: 500, toS: 600 }] },
        ],
      },
      ramp,
    );
    const [digits, words, clamp, slow, spike, stuck] = log.channels;
    expect(cells[0][500]).toBe('5.0e+0');
    expect(digits.values[500]).toBeCloseTo(500, 9);
    expect(cells[1][10]).toBe('UNDER');
    expect(words.flags[10]).toBe(FLAG.underRange);
    expect(words.values[10]).toBeNaN();
    expect(words.flags[800]).toBe(FLAG.overRange);
    expect(words.values[300] * 2).toBe(Math.round(words.values[300] * 2));
    expect(clamp.values[800]).toBe(600);
    expect(clamp.flags[800]).toBe(FLAG.overRange);
    // A ramp of 1 Pa/s seen through a first-order lag is late by the lag.
    expect(slow.values[500]).toBeCloseTo(501 - 10, 0);
    within(spike.values[400], 3 * spike.values[399], 0.02);
    expect(spike.values[401]).toBeLessThan(410);
    expect(stuck.values[600]).toBe(stuck.values[499]);
  });

  it('the same seed gives the same record, and one gauge does not disturb another', () => {
    const noisy = { ...GAUGE, noise: { relative: 0.01 } };
    const one = simulate({ ...PLAIN, gauges: [noisy] }, hold, { seed: 9 });
    const again = simulate({ ...PLAIN, gauges: [noisy] }, hold, { seed: 9 });
    const two = simulate({ ...PLAIN, gauges: [{ ...noisy, name: 'other' }, noisy] }, hold, { seed: 9 });
    expect(again.cells).toEqual(one.cells);
    expect(two.cells[1]).toEqual(one.cells[0]);
    expect(simulate({ ...PLAIN, gauges: [noisy] }, hold, { seed: 10 }).cells).not.toEqual(one.cells);
  });

  it('leaves out rows in gaps and shakes the stamps', () => {
    const { log } = simulate(PLAIN, hold, { gaps: [{ fromS: 100, toS: 200 }], jitterS: 0.05 });
    expect(log.rows).toBe(4001 - 99);
    expect(log.time.every((t, i) => i === 0 || t > log.time[i - 1])).toBe(true);
    expect(log.time.some((t) => t !== Math.round(t))).toBe(true);
  });
});

describe('speed, temperature and text', () => {
  it('an eight-hour record with stiff loads at one row a second takes well under a second', () => {
    const system: SimulatedSystem = {
      volumeM3: 0.0124,
      pump: constantSpeedPump(2e-3, 2),
      gasExchangeS: 8,
      temperature: { meanK: 294, swingK: 0.6, periodS: 1500, driftKPerS: 3e-5 },
      loads: [
        { load: realLeak(), parameters: [3e-3] },
        { load: outgassing(), parameters: [1e-4, 1, 60, 1e-3, 0.13] },
        { load: trappedGas('viscous'), parameters: [1e-6, 1e-14, 101325] },
        { load: evaporation('water'), parameters: [1e-4, 0.05, 1e-4, 293.15] },
      ],
      gauges: [{ ...GAUGE, noise: { relative: 0.005 }, significantDigits: 3, lagS: 0.5 }],
    };
    const actions = [
      { atS: 60, do: 'open pump valve' as const },
      { atS: 9000, do: 'close pump valve' as const, burst: 0.02 },
      { atS: 10_000, do: 'open pump valve' as const },
      { atS: 25_000, do: 'close pump valve' as const },
      { atS: 27_000, do: 'vent' as const, flow: 100 },
    ];
    const times = [1, 2, 3].map(() => {
      const started = performance.now();
      const { log } = simulate(system, { durationS: 8 * 3600, actions });
      expect(log.rows).toBe(28_801);
      return performance.now() - started;
    });
    expect(Math.min(...times)).toBeLessThan(1000);
  });

  it('a course of temperature and its rate agree', () => {
    const course = {
      meanK: 293,
      driftKPerS: 1e-4,
      swingK: 1.5,
      periodS: 900,
      phase: 0.2,
      changes: [{ atS: 100, byK: 5, timeConstantS: 300 }],
    };
    for (const t of [50, 150, 800]) {
      const rate = (temperatureAt(course, t + 0.01).wallK - temperatureAt(course, t - 0.01).wallK) / 0.02;
      expect(temperatureAt(course, t).wallKPerS).toBeCloseTo(rate, 7);
    }
  });

  it('writes the record as text in the wanted dialect', () => {
    const run = simulate(
      { ...PLAIN, thermometers: [{ name: 'wall', stepK: 0.1 }], gauges: [{ ...GAUGE, significantDigits: 3 }] },
      { durationS: 4, startPa: 50, actions: [{ atS: 2, do: 'remark', text: 'hood on' }] },
      { stepS: 2, start: '2026-03-02T23:59:58' },
    );
    expect(writeLogText(run, { comments: ['invented'], remarks: true })).toBe(
      '# invented\ntime [s],chamber [Pa],wall [degC],remark\n0,5.00e+1,20.0,\n2,5.00e+1,20.0,hood on\n4,5.00e+1,20.0,\n',
    );
    expect(
      writeLogText(run, { separator: ';', decimalMark: ',', time: 'iso', units: 'units line' }).split('\n')[4],
    ).toBe('2026-03-03T00:00:02;5,00e+1;20,0');
    expect(writeLogText(run, { time: 'elapsed h:m:s' })).toContain('00:00:04');
    expect(() => writeLogText(run, { decimalMark: ',' })).toThrow(ArgumentError);
  });

  it('refuses what cannot be simulated', () => {
    const run =
      (system: Partial<SimulatedSystem>, atS = 1) =>
      () =>
        simulate({ ...PLAIN, ...system }, { durationS: 10, actions: [{ atS, do: 'open pump valve' }] });
    expect(run({ volumeM3: -1 })).toThrow(ArgumentError);
    expect(run({ gauges: [] })).toThrow(ArgumentError);
    expect(run({ loads: [{ load: realLeak(), parameters: [-1] }] })).toThrow(/leak of real leak, choked/);
    expect(run({ loads: [{ load: realLeak(), parameters: [1], section: 'nowhere' }] })).toThrow(ArgumentError);
    expect(run({}, 11)).toThrow(ArgumentError);
    expect(() => simulate(PLAIN, { durationS: 1e9, actions: [] })).toThrow(ArgumentError);
  });
});
