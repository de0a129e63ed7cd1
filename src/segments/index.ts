export * from './find-segments';
export * from './segment';
