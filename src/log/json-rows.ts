import { LogError } from '../errors';

/** Rows made of JSON: tab-separated lines, the first one the header. */
export interface JsonRows {
  readonly rows: string;
  readonly format: 'json' | 'ndjson';
}

type Row = Readonly<Record<string, unknown>>;

/** A record with more fields is no row of readings; the rest is left out. */
const MOST_FIELDS = 10_000;
/** Nesting deeper than this is no table. */
const DEEPEST = 4;

/**
 * Makes rows of JSON: a list of records, a list of lists, a record of columns, `columns` with `data` or `values`, one
 * of
 * these inside a record, or one record a line (NDJSON).
 * @param bytes UTF-8 or Latin-1 text
 * @param file name for messages
 * @returns undefined where the text is no JSON at all
 * @throws LogError where it begins as JSON and goes wrong, or holds no table
 */
export function jsonRows(bytes: Uint8Array, file: string): JsonRows | undefined {
  let at = 0;
  while (at < bytes.length && (bytes[at] === 32 || (bytes[at] >= 9 && bytes[at] <= 13))) at++;
  const first = bytes[at];
  if (first !== 0x7b && first !== 0x5b) return undefined;
  if (first === 0x5b && !looksLikeJson(bytes, at)) return undefined;
  const text = new TextDecoder().decode(bytes);
  const lines = firstLineIsWhole(text.trimStart()) ? readLines(text, file) : undefined;
  if (lines) return { rows: asText(lines), format: 'ndjson' };
  const rows = tableIn(parsed(text, file), 0);
  if (!rows)
    throw new LogError({
      file,
      met: 'JSON without a table in it',
      expected: 'a list of records or columns of numbers',
    });
  return { rows: asText(rows), format: 'json' };
}

/** A bracket may also open the header of a text log: `[s]`. */
function looksLikeJson(bytes: Uint8Array, at: number): boolean {
  let next = at + 1;
  while (next < bytes.length && (bytes[next] === 32 || (bytes[next] >= 9 && bytes[next] <= 13))) next++;
  if (bytes[next] < 48 || bytes[next] > 57) return [0x5b, 0x7b, 0x22, 0x2d, 0x5d].includes(bytes[next]);
  // `[2026-11-05 14:00:00] ...` is a line of text.
  const line = new TextDecoder().decode(bytes.subarray(next, next + 60));
  return !/^\d+[-:./]\d+[-:./]\d+/.test(line);
}

/** Whether the first line is a whole record and another follows. */
function firstLineIsWhole(text: string): boolean {
  const end = text.search(/[\r\n]/);
  if (end < 0) return false;
  const second = text.slice(end).trimStart()[0];
  if (second !== '{' && second !== '[') return false;
  try {
    const value: unknown = JSON.parse(text.slice(0, end));
    return typeof value === 'object' && value !== null;
  } catch {
    return false;
  }
}

function parsed(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new LogError({ file, met: 'JSON that is not well made or breaks off', expected: 'whole JSON' });
  }
}

/** One record a line; a last line that breaks off is left out. */
function readLines(text: string, file: string): readonly Row[] {
  const records: unknown[] = [];
  const lines = text.split(/\r\n|\n|\r/);
  const last = lines.reduce((found, line, i) => (line.trim() === '' ? found : i), 0);
  lines.forEach((line, i) => {
    if (line.trim() === '') return;
    try {
      records.push(JSON.parse(line));
    } catch {
      if (i === last) return;
      throw new LogError({
        file,
        line: i + 1,
        met: `"${line.trim().slice(0, 60)}"`,
        expected: 'one whole JSON record',
      });
    }
  });
  const rows = listOfRecords(records) ?? listOfLists(records);
  if (!rows)
    throw new LogError({ file, line: 1, met: 'lines of JSON that are no records', expected: 'one record a line' });
  return rows;
}

function tableIn(value: unknown, depth: number): readonly Row[] | undefined {
  if (depth > DEEPEST || typeof value !== 'object' || value === null) return undefined;
  if (Array.isArray(value)) return listOfRecords(value) ?? listOfLists(value) ?? insideOf(value, depth);
  return namedColumns(value as Row) ?? columnsOfNumbers(value as Row) ?? insideOf(Object.values(value), depth);
}

/** The longest table inside. */
function insideOf(values: readonly unknown[], depth: number): readonly Row[] | undefined {
  const found = values.slice(0, 100).map((value) => tableIn(value, depth + 1));
  return found.reduce((best, rows) => ((rows?.length ?? 0) > (best?.length ?? 0) ? rows : best), undefined);
}

function isRecord(value: unknown): value is Row {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function listOfRecords(values: readonly unknown[]): readonly Row[] | undefined {
  if (values.length === 0 || !values.every(isRecord)) return undefined;
  return values.map((value) => flat(value));
}

/** Records inside a record become columns named `inner outer`: `{ gauge: { value, unit } }`. */
function flat(record: Row): Row {
  if (!Object.values(record).some(isRecord)) return record;
  const out: Record<string, unknown> = {};
  for (const [name, value] of Object.entries(record)) {
    if (!isRecord(value)) out[name] = value;
    else if ('value' in value && typeof value.unit === 'string') out[`${name} (${value.unit})`] = value.value;
    else for (const [inner, part] of Object.entries(value)) out[`${name} ${inner}`] = part;
  }
  return out;
}

/** The first list may be the header. */
function listOfLists(values: readonly unknown[]): readonly Row[] | undefined {
  if (values.length < 2 || !values.every((value) => Array.isArray(value))) return undefined;
  const [first, ...rest] = values as readonly unknown[][];
  const named =
    first.every((cell) => typeof cell === 'string') && rest.some((row) => row.some((cell) => typeof cell === 'number'));
  const names = first.map((cell, i) => (named ? String(cell) : ''.padEnd(i)));
  return (named ? rest : (values as readonly unknown[][])).map((row) =>
    Object.fromEntries(names.map((name, i) => [name, row[i]])),
  );
}

/** `{ columns: [...], data: [[...]] }`, also with `fields`, `header`, `names`, and `values`, `rows`. */
function namedColumns(record: Row): readonly Row[] | undefined {
  const names = record.columns ?? record.fields ?? record.header ?? record.names;
  const data = record.data ?? record.values ?? record.rows;
  if (!Array.isArray(names) || !Array.isArray(data) || !data.every((row) => Array.isArray(row))) return undefined;
  const labels = names.map((name) => (isRecord(name) ? labelOf(name) : String(name)));
  return data.map((row: readonly unknown[]) => Object.fromEntries(labels.map((label, i) => [label, row[i]])));
}

function labelOf(field: Row): string {
  const name = String(field.name ?? field.label ?? '');
  return typeof field.unit === 'string' ? `${name} (${field.unit})` : name;
}

/** `{ time: [...], pressure: [...], units: { pressure: "mbar" } }`: lists of equal length. */
function columnsOfNumbers(record: Row): readonly Row[] | undefined {
  const lists = Object.entries(record)
    .slice(0, MOST_FIELDS)
    .filter(([, value]) => Array.isArray(value) && value.length > 0 && !value.some(isRecord));
  const longest = Math.max(0, ...lists.map(([, value]) => (value as unknown[]).length));
  const equal = lists.filter(([, value]) => (value as unknown[]).length === longest);
  if (
    equal.length < 1 ||
    longest < 2 ||
    equal.every(([, value]) => (value as unknown[]).every((v) => Array.isArray(v)))
  )
    return undefined;
  const units = isRecord(record.units) ? record.units : {};
  const named = equal.map(([name, value]) => {
    const unit = units[name];
    return [typeof unit === 'string' ? `${name} (${unit})` : name, value as unknown[]] as const;
  });
  return Array.from({ length: longest }, (_, i) => Object.fromEntries(named.map(([name, value]) => [name, value[i]])));
}

function asText(rows: readonly Row[]): string {
  const names: string[] = [];
  const seen = new Set<string>();
  for (const row of rows) {
    for (const name of Object.keys(row)) {
      if (seen.has(name) || seen.size >= MOST_FIELDS) continue;
      seen.add(name);
      names.push(name);
    }
  }
  const header = names.some((name) => name.trim() !== '') ? `${names.map(cellText).join('\t')}\n` : '';
  return header + rows.map((row) => names.map((name) => cellText(row[name])).join('\t')).join('\n');
}

function cellText(value: unknown): string {
  if (value === null || value === undefined) return '';
  const text = typeof value === 'object' ? JSON.stringify(value) : String(value);
  return text.replace(/[\t\r\n]+/g, ' ');
}
