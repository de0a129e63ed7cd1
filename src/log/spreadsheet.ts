import { LogError } from '../errors';
export interface SpreadsheetRows {
  rows: string;
  names: { sheet: string; sheets: readonly string[] };
}
export function spreadsheetRows(_bytes: Uint8Array, file: string, _sheet?: string): SpreadsheetRows {
  throw new LogError({ file, met: 'a spreadsheet', expected: 'a text log' });
}
