/** The whole way from a log to a finding, and what is written about it. */

export { type AnalyseOptions, type Analysis, analyse, type FollowedChannel } from './analyse';
export { type AnalysisJson, analysisJson, type EstimateJson, questionsJson } from './analysis-json';
export { analysisReport, type ReportOptions } from './analysis-report';
