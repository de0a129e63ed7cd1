/** Statistics, least squares, distributions, random numbers; no physics. */

export * from './autocorrelation';
export * from './check';
export * from './distributions';
export * from './estimate';
export * from './least-squares';
export * from './linear-algebra';
export * from './random';
export * from './root-finding';
export * from './special-functions';
export * from './statistics';
export * from './straight-line';
