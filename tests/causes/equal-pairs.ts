import { fitRecord, type RecordFits } from '../../src/fits';
import { constantSpeedPump } from '../../src/flow';
import { outgassing, realLeak } from '../../src/gas-loads';
import type { GaugeLog } from '../../src/log';
import { randomStream } from '../../src/numerics';
import { findSegments, type SegmentedLog } from '../../src/segments';
import { type SimulatedGauge, simulate } from '../../src/simulate';

/** One side of a pair. */
export interface Side {
  readonly log: GaugeLog;
  readonly segmented: SegmentedLog;
  readonly fits: RecordFits;
}

/** Two records of one system in which nothing was changed: another day, another vent, the same pump, leak and gauge. */
export interface EqualPair {
  readonly gauge: 'capacitance' | 'thermal';
  readonly before: Side;
  readonly after: Side;
}

/**
 * What differs between two days though nothing was done (relative standard deviations; common practice, no source): a
 * gauge's scale (diaphragm 0.3 %, heat conduction 4 %), what the walls give off after another vent (15 %, and 13 % for
 * each kelvin of the room, which is 1 K off), the pump, warmer or colder, with its valve (3 %).
 */
const DAY_TO_DAY = { capacitance: 0.003, thermal: 0.04, walls: 0.15, pump: 0.03 } as const;

/**
 * Makes a pair.
 * @param seed whole number
 * @param leakAfter leak after over leak before; 1 for an equal pair
 */
export function equalPair(seed: number, leakAfter = 1): EqualPair {
  const random = randomStream(seed);
  const log = (low: number, high: number): number => low * (high / low) ** random.uniform();
  const gauge = random.uniform() < 0.5 ? 'capacitance' : 'thermal';
  const volumeM3 = log(4e-3, 0.1);
  const perS = log(0.03, 0.3);
  const pumpedS = log(1200, 4000);
  const isolatedS = log(400, 1200);
  const workPa = log(3, 80);
  const share = random.uniform();
  const load = (workPa / isolatedS) * volumeM3;
  const water = 1.4 + 0.4 * random.uniform();
  const side = (which: number): Side => {
    const scale = Math.exp(DAY_TO_DAY[gauge] * random.normal());
    const walls = Math.exp(DAY_TO_DAY.walls * random.normal());
    const speed = perS * volumeM3 * Math.exp(DAY_TO_DAY.pump * random.normal());
    const shown: SimulatedGauge =
      gauge === 'capacitance'
        ? {
            name: 'p',
            unit: 'Pa',
            noise: { relative: 5e-4, absolutePa: 0.02 },
            zeroPa: 0.02 * random.normal(),
            gasFactor: { air: scale, water: scale },
            range: { highPa: 1330, clamp: true },
          }
        : {
            name: 'p',
            unit: 'Pa',
            noise: { relative: 5e-3, absolutePa: 0.02, correlationS: 3 },
            gasFactor: { air: scale, water: scale * water },
            lagS: 0.6,
            range: { lowPa: 0.1, highPa: 5000 },
            words: { low: 'UNDER', high: 'OVER' },
          };
    const leak = load * (1 - share) * (which === 1 ? leakAfter : 1);
    // Outgassing is told by its load at an hour; at closing it is to make its share.
    const atHour = load * share * walls * (pumpedS / 3600);
    const { log: record } = simulate(
      {
        volumeM3,
        pump: constantSpeedPump(speed, 0.05),
        gasExchangeS: 5,
        temperature: { meanK: 294 + random.normal(), swingK: 0.2, periodS: 2000, phase: random.uniform() },
        loads: [
          { load: realLeak(), parameters: [leak] },
          { load: outgassing(), parameters: [atHour, 1, 60, 1e-3, 0.13] },
        ],
        gauges: [shown],
      },
      {
        durationS: 60 + pumpedS + isolatedS + 300,
        actions: [
          { atS: 60, do: 'open pump valve' },
          { atS: 60 + pumpedS, do: 'close pump valve', burst: 0.01 * volumeM3 },
          { atS: 60 + pumpedS + isolatedS, do: 'open pump valve' },
        ],
      },
      { seed: 1000 * seed + which, stepS: 2, file: `side-${which}.csv` },
    );
    const segmented = findSegments(record, { channel: 'p', gauge });
    return { log: record, segmented, fits: fitRecord(record, segmented, { gauge }) };
  };
  return { gauge, before: side(0), after: side(1) };
}
