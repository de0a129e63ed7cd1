/** The demo log of `notebooks/watch-a-run.ipynb`: an invented vessel that is pumped, sprayed, tightened and shut off. */

import { constantSpeedPump } from '../src/flow';
import { outgassing, realLeak } from '../src/gas-loads';
import { simulate } from '../src/simulate';
import type { DemoLog } from './scenario';

const LITRE = 1e-3;

/**
 * A run as it looks while it is being written: it ends in the middle of an isolation.
 * @param comment the line that says that it is invented
 */
export function watchedRun(comment: string): DemoLog {
  const leak = 4e-3;
  const outgassed = 1.2e-3;
  const simulation = simulate(
    {
      volumeM3: 45 * LITRE,
      pump: constantSpeedPump(4 * LITRE, 14),
      line: { molecularM3PerS: 0.03, viscousM3PerSPa: 1e-3 },
      gasExchangeS: 8,
      temperature: { meanK: 294.8, driftKPerS: 2e-5 },
      loads: [
        { load: realLeak(), parameters: [leak], name: 'flange' },
        { load: outgassing(), parameters: [outgassed, 1, 60, 5e-4, 0.13], name: 'walls' },
      ],
      gauges: [
        {
          name: 'vessel',
          unit: 'Torr',
          noise: { relative: 0.003, absolutePa: 0.02, correlationS: 2 },
          lagS: 0.5,
          significantDigits: 4,
          range: { lowPa: 0.1, highPa: 13_332 },
          words: { low: 'LO', high: 'HI' },
        },
      ],
    },
    {
      durationS: 2160,
      actions: [
        { atS: 20, do: 'open pump valve' },
        // A joint gives way after the pressure had stood for minutes, and is tightened three minutes later.
        { atS: 1080, do: 'let gas in', flow: 0.07 },
        { atS: 1210, do: 'remark', text: 'joint 2 tightened' },
        { atS: 1260, do: 'remark', text: 'joint 3 tightened' },
        { atS: 1262, do: 'stop gas' },
        // A short burst: a bubble of gas out of a line.
        { atS: 1500, do: 'let gas in', flow: 3 },
        { atS: 1502, do: 'stop gas' },
        { atS: 1800, do: 'close pump valve', burst: 0.02 },
        { atS: 1800, do: 'remark', text: 'pump valve shut' },
      ],
    },
    { seed: 64, stepS: 1, file: 'watch-a-run.csv' },
  );
  return {
    path: 'watch-a-run.csv',
    title: 'A run while it is being written (invented)',
    description:
      'A vessel of 45 L, pumped from atmosphere past its set points. The pressure stands for minutes, steps up until a joint is ' +
      'tightened, a short burst of gas follows, and then the pump valve is shut: the record ends six minutes into that isolation.',
    simulation,
    dialect: { remarks: true, comments: [comment, 'vessel 45 L, one row a second'] },
    fields: [
      { name: 'time', type: 'number', unit: 's', description: 'since the first row' },
      { name: 'vessel', type: 'number', unit: 'Torr', description: 'gauge at the vessel; HI beyond 100 Torr' },
      { name: 'remark', type: 'string', unit: '', description: 'of the operator' },
    ],
    made: {
      'volume, m3': 45 * LITRE,
      'real leak, Pa m3/s': leak,
      'outgassing at one hour, Pa m3/s': outgassed,
      'joint from 1080 s to 1262 s, Pa m3/s': 0.07,
    },
  };
}
