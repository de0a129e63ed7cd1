/** The whole way from a log to a finding, and what is written about it. */

export {
  type AnalyseOptions,
  type Analysis,
  analyse,
  analyseSegmented,
  type FollowedChannel,
} from './analyse';
export { type AnalysisJson, analysisJson, type EstimateJson, questionsJson } from './analysis-json';
export { analysisReport, type ReportOptions } from './analysis-report';
export { type Attempt, attempt, type OpenPoint, onward } from './attempt';
export { type EndLevel, endLevel } from './end-level';
export * from './gauge-steps';
export * from './load-steps';
export * from './pump-steps';
export * from './rate-of-rise-report';
export { type LastReading, type RunNow, type RunOptions, runNow } from './run-now';
export * from './section-tests';
export { type ServiceCall, serviceCall } from './service-call';
export { openStep, SERVICE_STEPS, type ServiceStep, type ServiceStepName } from './service-step';
