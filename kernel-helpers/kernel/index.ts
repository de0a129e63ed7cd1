export { type AttachedKernel, attach, attachedKernel } from './attach';
export { type CurrentRun, currentRun } from './current-run';
export { progress } from './progress';
export { reactive } from './reactive-switch';
