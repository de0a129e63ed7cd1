export { type ChosenChannel, chooseChannel } from './choose-channel';
export { correctSegments } from './corrections';
export { findSegments, type SegmentOptions } from './find-segments';
export * from './segment';
export { type Crossing, crossings, HYSTERESIS, steadySince, timeToSetPoint, USUAL_SET_POINTS_PA } from './set-points';
