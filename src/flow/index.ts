/** Flow: conductance in every regime, orifices, pumps, pump-down, sizing. */

export * from './gas-ballast';
export * from './line';
export * from './network';
export * from './orifice';
export * from './pump-curve';
export * from './pump-down';
export * from './rise';
export * from './sizing';
export * from './transmission-probability';
export * from './tube';
