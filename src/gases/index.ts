/** Gases: species, kinetic theory, flow regime, leak rates from gas to gas, vapour pressure. */

export * from './flow-regime';
export * from './kinetic-theory';
export * from './leak-conversion';
export * from './plateau';
export * from './species';
export * from './vapour-pressure';
export * from './vapour-substances';
export * from './viscosity';
