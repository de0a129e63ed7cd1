import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import {
  analyse,
  type ChartSpec,
  comparisonChart,
  isolationChart,
  pressureChart,
  pumpDownChart,
  type ReadOptions,
  readLog,
  residualsChart,
} from '../../src/index';

const measured = (name: string, options: ReadOptions) =>
  readLog(gunzipSync(readFileSync(join(__dirname, '../measured', `${name}.gz`))), { file: name, ...options });

/** Every kind of chart on the two measured logs; their origin and licences lie beside them in `tests/measured`. */
export function galleryCharts(): ReadonlyMap<string, ChartSpec> {
  const anneal = measured('anneal-chamber.csv', { unit: 'Torr', channels: ['Capman Pressure'] });
  const found = analyse(anneal, { channel: 'RTP Throttle Valve Capman Pressure' });
  const orifice = measured('orifice-chamber.txt', { unit: 'mbar' });
  const tail = analyse(orifice, { channel: 'CH2' });
  const [rise] = found.fits.isolations;
  const setPoints = [
    { pa: 2666.45, name: 'roughing' },
    { pa: 66.66, name: 'gauge on' },
  ];
  return new Map<string, ChartSpec>([
    ['pressure', pressureChart(anneal, found.segmented, { setPoints })],
    ['pressure-of-two-gauges', pressureChart(orifice, tail.segmented, { alsoDraw: ['CH3'] })],
    ['pressure-to-drag-over', pressureChart(anneal, found.segmented, { brush: 'window', width: 300 })],
    ['isolation', isolationChart(anneal, rise)],
    ['isolation-in-other-units', isolationChart(anneal, rise, { unit: 'Pa', width: 400 })],
    ['residuals', residualsChart(anneal, rise)],
    ['pump-down', pumpDownChart(orifice, tail.fits.pumpDowns[0])],
    ['pump-down-on-linear-time', pumpDownChart(anneal, found.fits.pumpDowns[0], { timeAxis: 'linear' })],
    [
      'comparison',
      comparisonChart([
        { name: 'with sample', log: orifice, channel: 'CH2', fromS: 0, toS: 36_000 },
        { name: 'empty', log: orifice, channel: 'CH3', fromS: 0, toS: 36_000 },
      ]),
    ],
  ]);
}
