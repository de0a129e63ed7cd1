import { ArgumentError } from '../errors';
import type { PumpDown } from '../fits/results';
import { FLAG, type GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { fromSI, shownUnit } from '../units';
import { logDomain, logPressureAxis, pressureWords, shortNumber, timeScale, timeWords } from './axes';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import { thin } from './thin';

/** Options of {@link pumpDownChart}. */
export interface PumpDownChartOptions extends ChartOptions {
  /** `log` shows a tail that follows a power of time as a straight line; `linear` shows an exponential as one. */
  readonly timeAxis?: 'log' | 'linear';
}

/**
 * A pump-down on a logarithmic pressure axis with its fitted curve, its base pressure, and the time at which each whole
 * decade was passed. With a logarithmic time axis (the default) a tail t^-n is a straight line of slope -n.
 * @param log the log, SI
 * @param pumpDown the fitted pump-down
 * @param options unit, size, title, time axis
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the pump-down has no positive reading
 */
export function pumpDownChart(log: GaugeLog, pumpDown: PumpDown, options: PumpDownChartOptions = {}): ChartSpec {
  const channel = pressureChannel(log, pumpDown.channel);
  const unit = options.unit ?? shownUnit(channel.unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const height = options.height ?? 300;
  const logTime = (options.timeAxis ?? 'log') === 'log';
  const { segment } = pumpDown;
  const scale = timeScale(segment.endS - segment.startS);
  const shown = (pa: number): number => fromSI(pa, unit);
  const since = (seconds: number): number => (seconds - segment.startS) / scale.seconds;

  const time = log.time.subarray(segment.from, segment.to + 1);
  const values = channel.values.subarray(segment.from, segment.to + 1);
  const flags = channel.flags.subarray(segment.from, segment.to + 1);
  const axis = logTime ? time.map((t) => Math.log(Math.max(t - segment.startS, 1e-3))) : time;
  const rows = thin(
    axis,
    values,
    (row) => flags[row] === FLAG.good && values[row] > 0 && (!logTime || time[row] > segment.startS),
    width,
  );
  if (rows.length === 0) throw new ArgumentError('pump-down', 'no positive reading', 'at least one to draw');
  const readings = [...rows].map((row) => ({ time: since(time[row]), pressure: shown(values[row]) }));
  const fitted =
    pumpDown.curve === null
      ? []
      : [...pumpDown.curve.timeS].flatMap((t, i) => {
          const p = (pumpDown.curve as NonNullable<typeof pumpDown.curve>).pa[i];
          return p > 0 && (!logTime || t > segment.startS) ? [{ time: since(t), pressure: shown(p) }] : [];
        });
  const pressures = readings.map((r) => r.pressure);
  const domain = logDomain(
    pressures.reduce((a, b) => Math.min(a, b)),
    pressures.reduce((a, b) => Math.max(a, b)),
  );
  const base = shown(pumpDown.base.value);
  const times = pumpDown.times.flatMap((t) =>
    t.afterS !== null && t.afterS > 0
      ? [{ time: t.afterS / scale.seconds, pressure: shown(t.toPa), label: timeWords(t.afterS) }]
      : [],
  );

  const speed = pumpDown.effectiveSpeed;
  const rate = pumpDown.ratePerS;
  const subtitle = [
    `${timeWords(segment.endS - segment.startS)}, ${pressureWords(segment.startPa, unit)} to ${pressureWords(segment.endPa, unit)}`,
    (speed
      ? `effective speed ${shortNumber(speed.value * 1000)} L/s (95 %: ${shortNumber(speed.low * 1000)} to ${shortNumber(speed.high * 1000)})`
      : rate === null
        ? 'no stretch shows the speed'
        : `speed over volume ${shortNumber(rate.value)} 1/s (95 %: ${shortNumber(rate.low)} to ${shortNumber(rate.high)})`) +
      (pumpDown.tailExponent
        ? `, tail falls as time to the power -${shortNumber(pumpDown.tailExponent.value)} (95 %: -${shortNumber(pumpDown.tailExponent.high)} to -${shortNumber(pumpDown.tailExponent.low)})`
        : ''),
    pumpDown.baseReached
      ? `tends to ${pressureWords(pumpDown.base.value, unit)}`
      : `base not reached: below ${pressureWords(pumpDown.base.high, unit)}`,
  ];
  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time of pumping / ${scale.unit}`,
    scale: logTime ? { type: 'log', nice: false } : { nice: false },
    axis: { labelOverlap: true, ...(logTime ? { format: '~g' } : {}) },
  };
  const y = logPressureAxis(unit, domain);
  return chart(
    {
      title: options.title ?? 'Pump-down',
      subtitle,
      description: `Pump-down of ${pumpDown.channel} with its fitted curve`,
      text: [
        `Pump-down: ${subtitle.join('; ')}.`,
        ...pumpDown.byDecade.map(
          (d) =>
            `${pressureWords(d.fromPa, unit)} to ${pressureWords(d.toPa, unit)}: ${shortNumber(d.ratePerS.value)} 1/s`,
        ),
        ...times.map((t) => `${shortNumber(t.pressure)} ${unit} after ${t.label}`),
        ...pumpDown.notes,
      ].join('\n'),
    },
    {
      width,
      height,
      layer: [
        {
          data: { values: readings },
          mark: { type: 'line', color: COLOURS.black, strokeWidth: 1.2, clip: true },
          encoding: { x, y },
        },
        ...(fitted.length > 0
          ? [
              {
                data: { values: fitted },
                mark: { type: 'line', color: COLOURS.orange, strokeWidth: 2, strokeDash: [6, 3], clip: true },
                encoding: { x, y },
              },
            ]
          : []),
        ...(base > domain[0] && base < domain[1]
          ? [
              {
                data: { values: [{ pressure: base, label: `tends to ${shortNumber(base)} ${unit}` }] },
                mark: { type: 'rule', strokeDash: [2, 3], color: COLOURS.blue },
                encoding: { y },
              },
              {
                data: { values: [{ pressure: base, label: `tends to ${shortNumber(base)} ${unit}` }] },
                mark: {
                  type: 'text',
                  align: 'left',
                  baseline: 'bottom',
                  dx: 4,
                  dy: -2,
                  fontSize: 10,
                  color: COLOURS.blue,
                },
                encoding: { x: { value: 0 }, y, text: { field: 'label', type: 'nominal' } },
              },
            ]
          : []),
        {
          data: { values: times },
          mark: { type: 'point', shape: 'diamond', filled: true, size: 50, color: COLOURS.vermilion },
          encoding: { x, y },
        },
        {
          data: { values: times },
          mark: { type: 'text', align: 'left', dx: 7, dy: -6, fontSize: 10 },
          encoding: { x, y, text: { field: 'label', type: 'nominal' } },
        },
      ],
    },
  );
}
