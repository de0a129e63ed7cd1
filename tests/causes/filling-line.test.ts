import { describe, expect, it } from 'vitest';
import { type Finding, findCauses } from '../../src/causes';
import { fitRecord } from '../../src/fits';
import { constantSpeedPump } from '../../src/flow';
import { type GasLoad, passingToStoppedPump, realLeak } from '../../src/gas-loads';
import { randomStream } from '../../src/numerics';
import { type ScheduledAction, simulate } from '../../src/simulate';
import { madeLog, madeSegments, si } from './made-log';

/** Shut off three times for half an hour, the pump standing still meanwhile: a conductance between two pressures. */
function shutOffWith(load: GasLoad, parameters: readonly number[]): Finding {
  const [pumpedS, shutS] = [600, 1800];
  const rounds = [0, 1, 2].map((i) => i * (pumpedS + shutS));
  const actions = rounds.flatMap((at): ScheduledAction[] => [
    { atS: at + pumpedS, do: 'close pump valve' },
    { atS: at + pumpedS + 1, do: 'stop pump' },
    { atS: at + pumpedS + shutS - 60, do: 'start pump' },
    { atS: at + pumpedS + shutS, do: 'open pump valve' },
  ]);
  const system = {
    volumeM3: 0.05,
    pump: constantSpeedPump(5e-3, 0.5),
    loads: [{ load, parameters }],
    waterInAir: 0,
    gauges: [{ name: 'p', unit: 'Pa' }],
  };
  const durationS = rounds[2] + pumpedS + shutS;
  const { truth } = simulate(system, { durationS, startPa: 1e3, pumpOpen: true, actions });
  const random = randomStream(31);
  const time = Float64Array.from(truth.pa.keys());
  const pa = truth.pa.map((p) => p * (1 + 1e-3 * random.normal()) + 0.01 * random.normal());
  const log = madeLog(time, Float64Array.from(pa));
  // The pump starts a minute before the valve opens.
  const shutUntil = (at: number): number => at + pumpedS + shutS - 65;
  const segmented = madeSegments(
    log,
    rounds.flatMap((at): ['pump-down' | 'isolation', number, number][] => [
      ['pump-down', at + 1, at + pumpedS - 1],
      ['isolation', at + pumpedS + 1, shutUntil(at)],
    ]),
  );
  const volume = si('volume', 0.05, 0.001);
  const fits = fitRecord(log, segmented, { volume, gauge: 'capacitance' });
  return findCauses(log, segmented, fits, { volume, gauge: 'capacitance', limit: si('throughput', 1e-4) });
}

describe('a valve that passes to a stopped pump', () => {
  it('is told from a leak by the line behind it, which fills first', () => {
    // The line of 2 L fills through the pump within some 200 s; the seat then lets 1e-3 Pa m3/s by.
    const finding = shutOffWith(passingToStoppedPump(), [1e-8, 2e-3, 1e-5, 100]);
    expect(finding.verdict).toBe('passing valve');
    expect(finding.realLeak?.low).toBe(0);
    expect(finding.conforms).not.toBe('no');
    const passing = finding.present.find(({ cause }) => cause === 'passing valve');
    expect(passing?.note).toMatch(/line behind it that fills/);
    expect(passing?.shareOfAllRises.high).toBeGreaterThan(0.9);
  });

  it('is not seen in a leak of the same size', () => {
    const finding = shutOffWith(realLeak('laminar'), [1e-3]);
    expect(finding.verdict).toBe('real leak');
    expect(finding.realLeak?.low).toBeGreaterThan(8e-4);
    expect(finding.realLeak?.high).toBeLessThan(1.2e-3);
    expect(finding.conforms).toBe('no');
  });
});
