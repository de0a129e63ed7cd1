import type { RateOfRise } from '../fits/results';
import type { GaugeLog } from '../log/gauge-log';
import { pressureChannel } from '../log/pressure-channel';
import { fromSI, shownUnit } from '../units';
import { shortNumber, timeScale, timeWords } from './axes';
import { CHART_WIDTH, type ChartOptions, type ChartSpec, COLOURS, chart } from './chart';
import { thin } from './thin';

/**
 * What the fitted curve of an isolation leaves over: readings minus curve, with plus and minus two standard deviations.
 * A pattern here says that the curve is not the whole story; independent noise looks like rain.
 * @param log the log, SI
 * @param rise the rate of rise of the isolation
 * @param options unit, size, title
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where the log has no such channel; QuantityError where the unit is unknown
 */
export function residualsChart(log: GaugeLog, rise: RateOfRise, options: ChartOptions = {}): ChartSpec {
  const channel = pressureChannel(log, rise.channel);
  const unit = options.unit ?? shownUnit(channel.unit || 'Pa').label;
  const width = options.width ?? CHART_WIDTH;
  const scale = timeScale(rise.windowS[1] - rise.windowS[0]);
  const time = Float64Array.from(rise.rows, (row) => log.time[row]);
  const shown = (pa: number): number => fromSI(pa, unit) - fromSI(0, unit);
  const values = [...thin(time, rise.residualsPa, () => true, width)].map((i) => ({
    time: (time[i] - rise.segment.startS) / scale.seconds,
    residual: shown(rise.residualsPa[i]),
  }));
  const twoSigma = shown(2 * rise.noisePa);
  const subtitle = [
    `standard deviation ${shortNumber(shown(rise.noisePa))} ${unit}, autocorrelation ${shortNumber(rise.autocorrelation, 2)}, ` +
      `${rise.rows.length} readings count as ${shortNumber(rise.effectivePoints)} independent ones`,
  ];
  const x = {
    field: 'time',
    type: 'quantitative',
    title: `time since closing / ${scale.unit}`,
    scale: { nice: false },
  };
  const y = { field: 'residual', type: 'quantitative', title: `residual / ${unit}` };
  return chart(
    {
      title: options.title ?? `What the fit of the isolation at ${timeWords(rise.segment.startS)} leaves over`,
      subtitle,
      description: `Residuals of the isolation fit of ${rise.channel}`,
      text: `Residuals: ${subtitle[0]}.`,
    },
    {
      width,
      height: options.height ?? 160,
      layer: [
        {
          data: { values: [{ low: -twoSigma, high: twoSigma }] },
          mark: { type: 'rect', opacity: 0.25, color: COLOURS.sky },
          encoding: { y: { ...y, field: 'low' }, y2: { field: 'high' } },
        },
        { data: { values: [{ residual: 0 }] }, mark: { type: 'rule', color: COLOURS.grey }, encoding: { y } },
        { data: { values }, mark: { type: 'point', size: 12, color: COLOURS.black }, encoding: { x, y } },
      ],
    },
  );
}
