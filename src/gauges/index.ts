/** Gauges: what an instrument can know, and what its reading means. */

export * from './analogue-output';
export * from './combined-gauge';
export * from './gas-factor';
export * from './gauge-scale';
export * from './gauge-type';
export * from './principle-of-name';
export * from './reading-uncertainty';
export * from './thermal-transpiration';
export * from './zero-error';
