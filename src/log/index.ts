/** Reading gauge logs: bytes -> description -> `GaugeLog`. */

export { correctLog } from './correct-log';
export { countFlags, type FlagName } from './count-flags';
export { describeLog } from './describe-log';
export * from './description';
export { flagCounts, flagWords } from './flag-words';
export * from './gauge-log';
export { parseLog } from './parse-log';
export { openQuestions, questionsFirst, requireAnswers } from './questions';
export { readLog } from './read-log';
export type { ColumnAnswer, ReadOptions, VoltageLaw } from './read-options';
export { withRemarks } from './read-remarks';
export { clockText, type WallClock, wallClock } from './wall-clock';
