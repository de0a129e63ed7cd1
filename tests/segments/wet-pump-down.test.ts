import { describe, expect, it } from 'vitest';
import { constantSpeedPump } from '../../src/flow';
import { evaporation, realLeak } from '../../src/gas-loads';
import { findSegments } from '../../src/segments';
import { simulate } from '../../src/simulate';

describe('a pump-down over ice that sublimes and is gone', () => {
  it('holds no isolation: the shelf sinks as the ice cools and ends in a fall, not in a leap back', () => {
    const { log } = simulate(
      {
        volumeM3: 0.02,
        pump: constantSpeedPump(0.003, 0.5),
        loads: [
          { load: evaporation('water'), parameters: [0.005, 1, 0.01, 293.15] },
          { load: realLeak(), parameters: [1e-4] },
        ],
        gauges: [{ name: 'p', unit: 'Pa', noise: { relative: 2e-3, absolutePa: 0.05 } }],
      },
      { durationS: 4000, actions: [{ atS: 10, do: 'open pump valve' }] },
      { seed: 5, stepS: 2, file: 'wet.csv' },
    );
    const { segments } = findSegments(log, { channel: 'p' });
    expect(segments.filter(({ kind }) => kind === 'isolation')).toEqual([]);
  });
});
