/** Results drawn: one chart a file, each a Vega-Lite 5 specification with its text equivalent. */
export { shortNumber, timeWords } from './axes';
export { type ChartOptions, type ChartSpec, COLOURS } from './chart';
export { type ComparedRecord, type ComparisonChartOptions, comparisonChart } from './comparison-chart';
export { type IntervalsChartOptions, intervalsChart, type NamedEstimate } from './intervals-chart';
export { isolationChart } from './isolation-chart';
export { type PressureChartOptions, pressureChart, type SetPoint } from './pressure-chart';
export { type PumpDownChartOptions, pumpDownChart } from './pump-down-chart';
export { remarksChart } from './remarks-chart';
export { residualsChart } from './residuals-chart';
export { thin } from './thin';
