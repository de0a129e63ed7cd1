export { type ChosenChannel, chooseChannel } from './choose-channel';
export { correctSegments } from './corrections';
export { findSegments, type SegmentOptions } from './find-segments';
export { readSetPoints } from './read-set-points';
export { type RecentTrend, recentTrend, type TrendOptions } from './recent-trend';
export * from './segment';
export { type Crossing, crossings, HYSTERESIS, steadySince, timeToSetPoint, USUAL_SET_POINTS_PA } from './set-points';
export { type SetPointState, setPointsPassed } from './set-points-passed';
export { type SuddenChange, suddenChanges } from './sudden-changes';
