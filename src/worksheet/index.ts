export * from './cell-names';
export * from './worksheet';
