/** Causes: what a record supports, what it cannot tell, and which test would. */

export * from './answers-to-remarks';
export * from './cause-options';
export * from './cautions';
export * from './compare-records';
export * from './detection-limit';
export * from './find-causes';
export * from './finding';
export * from './gauge-pair';
export * from './leak-beside-walls';
export * from './pumped-shelves';
export * from './recognise-plateau';
export { type RecordEvidence, recordEvidence } from './record-evidence';
export * from './tracer-expectation';
export * from './what-to-do';
