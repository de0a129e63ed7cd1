export interface JsonRows {
  rows: string;
  format: 'json' | 'ndjson';
}
export function jsonRows(_bytes: Uint8Array, _file: string): JsonRows | undefined {
  return undefined;
}
