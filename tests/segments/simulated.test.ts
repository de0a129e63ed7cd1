import { describe, expect, it } from 'vitest';
import { constantSpeedPump } from '../../src/flow';
import { outgassing, realLeak, trappedGas } from '../../src/gas-loads';
import { findSegments } from '../../src/segments';
import { type Action, type BuiltInLoad, type SimulatedSystem, simulate } from '../../src/simulate';

/** Systems of the simulator (its physics is checked against closed forms in tests/simulate). Invented. */
const system = (loads: readonly BuiltInLoad[], noise: number): SimulatedSystem => ({
  volumeM3: 0.05,
  pump: constantSpeedPump(5e-3),
  loads,
  gauges: [{ name: 'chamber', unit: 'Pa', noise: { relative: noise }, significantDigits: 4 }],
});

const LOADS: readonly (readonly [string, readonly BuiltInLoad[]])[] = [
  ['outgassing', [{ load: outgassing(), parameters: [1e-4, 1, 1, 0, 0.13] }]],
  ['a leak', [{ load: realLeak(), parameters: [1e-4] }]],
  ['trapped gas', [{ load: trappedGas('molecular'), parameters: [1e-6, 1e-9, 1e5] }]],
];

describe('segments of simulated records', () => {
  it.each(LOADS)('with %s: the isolation and the purge are found where the valve moved', (_, loads) => {
    const at = (atS: number, action: Action): Action & { atS: number } => ({ ...action, atS });
    for (let seed = 1; seed <= 8; seed++) {
      const run = simulate(
        system(loads, 0.004),
        {
          durationS: 4500,
          pumpOpen: true,
          startPa: 101325,
          actions: [
            at(900, { do: 'close pump valve' }),
            at(900, { do: 'let gas in', flow: 5 }),
            at(1200, { do: 'stop gas' }),
            at(1200, { do: 'open pump valve' }),
            at(3000, { do: 'close pump valve' }),
            at(3900, { do: 'open pump valve' }),
          ],
        },
        { seed },
      );
      const { segments } = findSegments(run.log);
      const isolations = segments.filter((s) => s.kind === 'isolation');
      expect(isolations).toHaveLength(1);
      expect(Math.abs(isolations[0].startS - 3000)).toBeLessThanOrEqual(3);
      expect(Math.abs(isolations[0].endS - 3900)).toBeLessThanOrEqual(3);
      const fill = segments.filter((s) => s.kind === 'fill');
      expect(fill).toHaveLength(1);
      expect(Math.abs(fill[0].startS - 900)).toBeLessThanOrEqual(4);
      expect(Math.abs(fill[0].endS - 1200)).toBeLessThanOrEqual(4);
    }
  });
});
