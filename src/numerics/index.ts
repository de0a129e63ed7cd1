/** Statistics, least squares, distributions, random numbers; no physics. */

export * from './autocorrelation';
export * from './check';
export * from './distributions';
export * from './estimate';
export * from './information-criteria';
export * from './least-squares';
export * from './linear-algebra';
export * from './monte-carlo';
export * from './ode';
export * from './percent';
export * from './quadrature';
export * from './random';
export * from './remembering';
export * from './root-finding';
export * from './special-functions';
export * from './statistics';
export * from './straight-line';
export * from './uncertainty';
