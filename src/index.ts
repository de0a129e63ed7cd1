/** The public door of the browser-safe core, in the order of the data: text -> log -> segments -> fits -> finding. */

export * from './causes';
export * from './charts';
export * from './errors';
export * from './fits';
export * from './flow';
export * from './gas-loads';
export * from './gases';
export * from './gauges';
export * from './investigation';
export * from './log';
export * from './numerics';
export * from './segments';
export * from './simulate';
export * from './units';
export * from './worksheet';
