/** Results drawn: one chart a file, each a Vega-Lite 5 specification with its text equivalent. */
export { shortNumber, timeWords } from './axes';
export { type ChartOptions, type ChartSpec, COLOURS } from './chart';
export { type ComparedRecord, type ComparisonChartOptions, comparisonChart } from './comparison-chart';
export { type CurvesAxis, type CurvesChartOptions, curvesChart, type NamedCurve } from './curves-chart';
export { type IntervalsChartOptions, intervalsChart, type NamedEstimate } from './intervals-chart';
export { type IsolationChartOptions, isolationChart } from './isolation-chart';
export { type LastMinutesOptions, lastMinutesChart } from './last-minutes-chart';
export { type PressureChartOptions, pressureChart, type SetPoint } from './pressure-chart';
export { type PumpDownChartOptions, pumpDownChart } from './pump-down-chart';
export { type RepeatedIsolations, rateAgainstTimePumpedChart } from './rate-against-time-pumped-chart';
export { remarksChart } from './remarks-chart';
export { residualsChart } from './residuals-chart';
export { sideBySide } from './side-by-side';
export { thin } from './thin';
