export * from './cause-options';
export * from './find-causes';
export * from './finding';
