/** Models of gas entering a chamber, one a file, one contract. */

export * from './evaporation';
export * from './gas-cooling';
export * from './gas-load';
export * from './isolated-rise';
export * from './outgassing';
export * from './passing-valve';
export * from './permeation';
export * from './pump-side';
export { type LeakPath, leakRollOff, realLeak } from './real-leak';
export * from './saturation';
export * from './sink';
export * from './temperature-drift';
export * from './trapped-gas';
export * from './water-in-oil';
