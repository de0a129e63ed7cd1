/** Reading gauge logs: bytes -> description -> `GaugeLog`. */

export { describeLog } from './describe-log';
export * from './description';
export * from './gauge-log';
export { parseLog } from './parse-log';
export { requireAnswers } from './questions';
export { readLog } from './read-log';
export type { ColumnAnswer, ReadOptions, VoltageLaw } from './read-options';
