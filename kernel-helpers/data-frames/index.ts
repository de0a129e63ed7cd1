/** Logs and tables to and from danfo frames. */
export type { ColumnTable } from './column-table';
export { fromDataFrame } from './from-data-frame';
export { type DataFrameOptions, toDataFrame } from './to-data-frame';
