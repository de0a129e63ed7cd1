/** Chamber, loads, valves and gauges -> a log with known truth. */

export * from './simulate';
export * from './system';
export { type TemperatureAt, temperatureAt } from './temperature-course';
export * from './write-log-text';
