export { type AttachedKernel, attach, attachedKernel } from './attach';
export { reactive } from './reactive-switch';
