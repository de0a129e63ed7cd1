import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import {
  analyse,
  answersToRemarks,
  type ChartSpec,
  comparisonChart,
  curvesChart,
  findSegments,
  intervalsChart,
  isolationChart,
  lastMinutesChart,
  pressureChart,
  pumpDownChart,
  type ReadOptions,
  rateAgainstTimePumpedChart,
  readLog,
  remarksChart,
  residualsChart,
  sideBySide,
  vapourPressure,
} from '../../src/index';

const measured = (name: string, options: ReadOptions) =>
  readLog(gunzipSync(readFileSync(join(__dirname, '../measured', `${name}.gz`))), { file: name, ...options });

/** A demo log: invented, as its first line says. */
const demo = (name: string) => readLog(readFileSync(join(__dirname, '../../datasets', name)), { file: name });

/** Every kind of chart on the two measured logs, whose origin and licences lie beside them in `tests/measured`, and on invented ones. */
export function galleryCharts(): ReadonlyMap<string, ChartSpec> {
  const anneal = measured('anneal-chamber.csv', { unit: 'Torr', channels: ['Capman Pressure'] });
  const found = analyse(anneal, { channel: 'RTP Throttle Valve Capman Pressure' });
  const orifice = measured('orifice-chamber.txt', { unit: 'mbar' });
  const tail = analyse(orifice, { channel: 'CH2' });
  const [rise] = found.fits.isolations;
  const tracer = demo('service-tracer.csv');
  const watched = demo('watch-a-run.csv');
  const loads = [
    { name: 'all open', estimate: { value: 6.6e-4, low: 6.1e-4, high: 7.1e-4 } },
    { name: 'section A shut off', estimate: { value: 6.3e-4, low: 5.9e-4, high: 6.7e-4 } },
    { name: 'section B shut off', estimate: { value: 2.5e-5, low: 2.1e-5, high: 2.9e-5 } },
  ];
  const degrees = Array.from({ length: 91 }, (_, i) => i - 50);
  const pumped = [600, 1800, 5400, 16_200];
  const about = (value: number) => ({ value, low: 0.9 * value, high: 1.1 * value });
  const repeated = [
    { name: 'leak', rates: pumped.map((pumpedS) => ({ pumpedS, rate: about(2e-3) })) },
    { name: 'walls', rates: pumped.map((pumpedS) => ({ pumpedS, rate: about(1.2 / pumpedS) })) },
  ];
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
    ['intervals', intervalsChart(loads, 'Pa m3/s', { what: 'gas load', limit: 1e-4 })],
    [
      'intervals-that-reach-zero',
      intervalsChart([{ name: 'leak', estimate: { value: 4e-5, low: 0, high: 1e-4 } }, loads[2]], 'mbar L/s', {
        what: 'real leak',
        width: 400,
      }),
    ],
    [
      'curves',
      curvesChart(
        [
          {
            name: 'water and ice',
            x: degrees,
            y: degrees.map((t) => vapourPressure(t < 0.01 ? 'ice' : 'water', t + 273.15) / 100),
          },
          {
            name: 'ethanol',
            x: [10, 20, 30, 40],
            y: [10, 20, 30, 40].map((t) => vapourPressure('ethanol', t + 273.15) / 100),
          },
          { name: 'a plateau', x: [4], y: [8.1], points: true },
        ],
        {
          x: { title: 'temperature', unit: 'degC' },
          y: { title: 'vapour pressure', unit: 'mbar', scale: 'log' },
        },
        {
          levels: [{ y: 6.117, label: 'triple point of water' }],
          notes: [{ x: -45, y: 20, label: 'ice on the left' }],
          width: 400,
        },
      ),
    ],
    ['rate-against-time-pumped', rateAgainstTimePumpedChart(repeated)],
    ['rate-against-time-pumped-of-one-record', rateAgainstTimePumpedChart([repeated[1]], { unit: 'Torr', width: 400 })],
    [
      'side-by-side',
      sideBySide(
        [isolationChart(anneal, rise, { width: 260 }), residualsChart(anneal, rise, { width: 260 })],
        'An isolation and what its fit leaves over',
      ),
    ],
    [
      'last-minutes',
      lastMinutesChart(watched, 'vessel [Torr]', {
        segmented: findSegments(watched),
        setPoints: [{ pa: 66.66, name: '500 mTorr' }],
      }),
    ],
    ['last-minutes-over-decades', lastMinutesChart(watched, 'vessel [Torr]', { minutes: 60, width: 400 })],
    ['remarks', remarksChart(tracer, 'P1 [mbar]', answersToRemarks(tracer))],
  ]);
}
