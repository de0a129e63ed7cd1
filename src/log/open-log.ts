import { Gunzip } from 'fflate';
import { ArgumentError, LogError } from '../errors';
import type { LogDescription } from './description';
import { jsonRows } from './json-rows';
import { indexLines } from './lines';
import { spreadsheetRows } from './spreadsheet';

/** A log as lines of text, whatever it came in. */
export interface LogText {
  readonly file: string;
  /** UTF-8 or Latin-1, without byte order mark. */
  readonly bytes: Uint8Array;
  /** First byte of each line, and the length of the text. */
  readonly lines: Uint32Array;
  readonly encoding: LogDescription['encoding'];
  readonly compression: LogDescription['compression'];
  readonly format: LogDescription['format'];
  readonly sheet?: string;
  /** Sheets to choose from where there are several with readings. */
  readonly sheets: readonly string[];
  /** Line breaks inside quoted cells were made blanks. */
  readonly joined: number;
}

/** Larger texts are refused rather than let the machine run out of memory. */
const LARGEST_TEXT = 2 ** 31 - 1;

/** First bytes of files that people drop in by mistake, and what to do. */
const STRANGERS: readonly (readonly [string, readonly number[], string])[] = [
  ['a PDF document', [0x25, 0x50, 0x44, 0x46], 'export the readings as text'],
  ['a PNG picture', [0x89, 0x50, 0x4e, 0x47], 'export the readings as text'],
  ['a JPEG picture', [0xff, 0xd8, 0xff], 'export the readings as text'],
  ['a GIF picture', [0x47, 0x49, 0x46, 0x38], 'export the readings as text'],
  ['a bzip2 archive', [0x42, 0x5a, 0x68], 'unpack it first'],
  ['an xz archive', [0xfd, 0x37, 0x7a, 0x58, 0x5a], 'unpack it first'],
  ['a zstandard archive', [0x28, 0xb5, 0x2f, 0xfd], 'unpack it first'],
  ['a 7z archive', [0x37, 0x7a, 0xbc, 0xaf], 'unpack it first'],
  ['a SQLite database', [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65, 0x20], 'export the table as text'],
  ['an HDF5 file', [0x89, 0x48, 0x44, 0x46], 'export the readings as text'],
  ['a Parquet file', [0x50, 0x41, 0x52, 0x31], 'export the table as text'],
  ['a MATLAB file', [0x4d, 0x41, 0x54, 0x4c, 0x41, 0x42], 'export the readings as text'],
  ['a program', [0x7f, 0x45, 0x4c, 0x46], 'give the log itself'],
  ['a TDMS file', [0x54, 0x44, 0x53, 0x6d], 'export the readings as text'],
];

/**
 * Unpacks and decodes a log into lines.
 * @param input the bytes of the file
 * @param file name for messages
 * @param sheet sheet of a spreadsheet
 * @returns its lines, with encoding, compression and format
 * @throws LogError where the bytes are no text, no spreadsheet and no JSON, or nothing is in them
 */
export function openLog(input: Uint8Array, file: string, sheet?: string): LogText {
  if (!(input instanceof Uint8Array)) throw new ArgumentError('log', typeof input, 'the bytes of a file (Uint8Array)');
  if (input.length === 0) throw new LogError({ file, met: 'an empty file', expected: 'lines of readings' });
  const packed = input[0] === 0x1f && input[1] === 0x8b;
  const raw = packed ? unpack(input, file) : input;
  const compression = packed ? 'gzip' : 'none';
  refuseStrangers(raw, file);
  if (isSpreadsheet(raw)) {
    const table = spreadsheetRows(raw, file, sheet);
    return { ...asLines(table.rows), file, encoding: 'utf-8', compression, format: 'spreadsheet', ...table.names };
  }
  const { bytes, encoding } = decode(raw, file);
  const json = jsonRows(bytes, file);
  if (json) return { ...asLines(json.rows), file, encoding, compression, format: json.format, sheets: [] };
  const { text, joined } = joinQuotedLines(withoutFormulas(bytes));
  return { file, bytes: text, lines: indexLines(text), encoding, compression, format: 'text', sheets: [], joined };
}

function asLines(rows: string): Pick<LogText, 'bytes' | 'lines' | 'joined'> {
  const bytes = new TextEncoder().encode(rows);
  return { bytes, lines: indexLines(bytes), joined: 0 };
}

/** Unpacks gzip, also of several members, and stops before it fills the memory. */
function unpack(input: Uint8Array, file: string): Uint8Array {
  const parts: Uint8Array[] = [];
  let size = 0;
  let ended = false;
  const gunzip = new Gunzip((part, final) => {
    parts.push(part);
    size += part.length;
    ended = final;
    if (size > LARGEST_TEXT) throw new Error('too large');
  });
  try {
    for (let at = 0; at < input.length; at += 65536) gunzip.push(input.subarray(at, at + 65536), false);
    gunzip.push(new Uint8Array(0), true);
  } catch {
    const large = size > LARGEST_TEXT;
    const met = large ? 'more than 2 GB of unpacked text' : 'gzip data that are damaged or end early';
    throw new LogError({ file, met, expected: large ? 'a smaller log' : 'a complete gzip file' });
  }
  if (!ended) throw new LogError({ file, met: 'gzip data that end early', expected: 'a complete gzip file' });
  return parts.length === 1 ? parts[0] : concatenated(parts, size);
}

function concatenated(parts: readonly Uint8Array[], size: number): Uint8Array {
  const whole = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

function startsWith(bytes: Uint8Array, signature: readonly number[]): boolean {
  return signature.every((byte, i) => bytes[i] === byte);
}

function refuseStrangers(bytes: Uint8Array, file: string): void {
  const stranger = STRANGERS.find(([, signature]) => startsWith(bytes, signature));
  if (!stranger) return;
  throw new LogError({ file, met: stranger[0], expected: 'a text log, a spreadsheet or JSON', remedy: stranger[2] });
}

/** XLSX is a zip archive, XLS a compound file; what else these hold is told by the spreadsheet reader. */
function isSpreadsheet(bytes: Uint8Array): boolean {
  return startsWith(bytes, [0x50, 0x4b, 3, 4]) || startsWith(bytes, [0xd0, 0xcf, 0x11, 0xe0]);
}

interface Decoded {
  readonly bytes: Uint8Array;
  readonly encoding: LogDescription['encoding'];
}

/** Brings text to one byte per ASCII character: UTF-8 and Latin-1 stay, UTF-16 is made UTF-8. */
function decode(raw: Uint8Array, file: string): Decoded {
  if (startsWith(raw, [0xef, 0xbb, 0xbf])) return { bytes: refuseBinary(raw.subarray(3), file), encoding: 'utf-8' };
  if (startsWith(raw, [0xff, 0xfe])) return fromUtf16(raw.subarray(2), 'utf-16le', file);
  if (startsWith(raw, [0xfe, 0xff])) return fromUtf16(raw.subarray(2), 'utf-16be', file);
  const zeros = zeroShares(raw);
  if (zeros.odd > 0.4 && zeros.even < 0.05) return fromUtf16(raw, 'utf-16le', file);
  if (zeros.even > 0.4 && zeros.odd < 0.05) return fromUtf16(raw, 'utf-16be', file);
  const bytes = refuseBinary(raw, file);
  return { bytes, encoding: isUtf8(bytes) ? 'utf-8' : 'latin1' };
}

function fromUtf16(raw: Uint8Array, encoding: 'utf-16le' | 'utf-16be', file: string): Decoded {
  const little = raw.slice(0, raw.length - (raw.length % 2));
  if (encoding === 'utf-16be') {
    for (let i = 0; i + 1 < little.length; i += 2) [little[i], little[i + 1]] = [little[i + 1], little[i]];
  }
  const text = new TextDecoder('utf-16le').decode(little);
  return { bytes: refuseBinary(new TextEncoder().encode(text), file), encoding };
}

function zeroShares(raw: Uint8Array): { even: number; odd: number } {
  const end = Math.min(raw.length, 4000);
  let even = 0;
  let odd = 0;
  for (let i = 0; i < end; i++) {
    if (raw[i] !== 0) continue;
    if (i % 2 === 0) even++;
    else odd++;
  }
  const half = Math.max(end / 2, 1);
  return { even: even / half, odd: odd / half };
}

/**
 * Refuses bytes that are no text; NUL bytes are replaced.
 */
function refuseBinary(bytes: Uint8Array, file: string): Uint8Array {
  let strange = 0;
  let zeros = 0;
  for (let i = 0; i < bytes.length; i++) {
    const c = bytes[i];
    if (c >= 32 || (c >= 9 && c <= 13)) continue;
    if (c === 0) zeros++;
    else if (c !== 26 && c !== 27) strange++;
  }
  if (strange > 2 + bytes.length / 200) {
    throw new LogError({
      file,
      met: `binary data (${strange} control characters in ${bytes.length} bytes)`,
      expected: 'a text log, a spreadsheet or JSON',
      remedy: 'export the readings as text',
    });
  }
  if (zeros === bytes.length && zeros > 0) {
    throw new LogError({ file, met: 'nothing but NUL bytes', expected: 'lines of readings' });
  }
  return zeros === 0 ? bytes : withoutZeros(bytes);
}

/** Longer runs of NUL are blocks that were never written, shorter ones pad a cell. */
const PADDING = 64;
const QUERY = 63;

/**
 * Replaces runs of NUL. Between lines they become line ends or blanks, beside a separator blanks (a padded cell). Within a
 * cell, or where a lost block begins or ends in a line, something is missing: a question mark makes the cells around it
 * unreadable, so that no half number is taken for a whole one.
 */
function withoutZeros(bytes: Uint8Array): Uint8Array {
  const copy = bytes.slice();
  for (let from = copy.indexOf(0); from >= 0; from = copy.indexOf(0, from)) {
    let to = from;
    while (to < copy.length && copy[to] === 0) to++;
    const before = from === 0 ? 10 : copy[from - 1];
    const after = to === copy.length ? 10 : copy[to];
    const [ends, begins] = [isLineEnd(before), isLineEnd(after)];
    const long = to - from >= PADDING;
    const padding = !long && (begins || CELL_EDGES.has(before) || CELL_EDGES.has(after));
    copy.fill(ends || long ? 10 : padding ? 32 : QUERY, from, to);
    if (long && !ends) copy[from] = QUERY;
    if (long && !ends && !begins) copy[to - 1] = QUERY;
  }
  return copy;
}

function isLineEnd(byte: number): boolean {
  return byte === 10 || byte === 13;
}

/** Whether bytes form well-made UTF-8 (RFC 3629, without its finest distinctions). */
function isUtf8(bytes: Uint8Array): boolean {
  const end = bytes.length;
  for (let i = 0; i < end; i++) {
    const c = bytes[i];
    if (c < 0x80) continue;
    const more = c >= 0xc2 && c < 0xe0 ? 1 : c >= 0xe0 && c < 0xf0 ? 2 : c >= 0xf0 && c < 0xf5 ? 3 : 0;
    if (more === 0) return false;
    for (let k = 1; k <= more; k++) {
      if (i + k >= end) return true;
      if ((bytes[i + k] & 0xc0) !== 0x80) return false;
    }
    i += more;
  }
  return true;
}

/** `="1.5"`, by which text is kept from a spreadsheet's guesses, becomes ` "1.5"`. */
function withoutFormulas(bytes: Uint8Array): Uint8Array {
  let copy = bytes;
  for (let at = bytes.indexOf(61); at >= 0; at = bytes.indexOf(61, at + 1)) {
    if (bytes[at + 1] !== 34 || (at > 0 && !CELL_EDGES.has(bytes[at - 1]))) continue;
    if (copy === bytes) copy = bytes.slice();
    copy[at] = 32;
  }
  return copy;
}

/** More lines than this in one quoted cell means that the quote was none. */
const LONGEST_REMARK = 30;

/** Makes line breaks inside quoted cells blanks, so that a line is a row. Lone quotes are left alone. */
function joinQuotedLines(bytes: Uint8Array): { text: Uint8Array; joined: number } {
  let at = bytes.indexOf(34);
  let text = bytes;
  let joined = 0;
  while (at >= 0) {
    if (at > 0 && !isCellStart(bytes[at - 1])) {
      at = bytes.indexOf(34, at + 1);
      continue;
    }
    const { close, seen } = closingQuoteAt(bytes, at);
    if (close < 0) {
      at = bytes.indexOf(34, seen);
      continue;
    }
    for (let i = at + 1; i < close; i++) {
      if (bytes[i] !== 10 && bytes[i] !== 13) continue;
      if (text === bytes) text = bytes.slice();
      text[i] = 32;
      if (bytes[i] === 10 || bytes[i + 1] !== 10) joined++;
    }
    at = bytes.indexOf(34, close + 1);
  }
  return { text, joined };
}

const CELL_EDGES = new Set([9, 10, 13, 32, 44, 59, 124]);

function isCellStart(before: number): boolean {
  return CELL_EDGES.has(before);
}

/**
 * The quote that closes a cell: followed by a separator or a line end; doubled quotes are text. Where there is none,
 * `seen` tells how far nothing was found, so that a text full of lone quotes is looked at once.
 */
function closingQuoteAt(bytes: Uint8Array, opening: number): { close: number; seen: number } {
  let breaks = 0;
  for (let i = opening + 1; i < bytes.length; i++) {
    const c = bytes[i];
    if (c === 10 && ++breaks > LONGEST_REMARK) return { close: -1, seen: breaks > 1 ? nextLine(bytes, opening) : i };
    if (c !== 34) continue;
    if (bytes[i + 1] === 34) i++;
    else if (endsCell(bytes, i + 1)) return { close: i, seen: i };
  }
  return { close: -1, seen: bytes.length };
}

/** A separator or line end comes next, perhaps after blanks. */
function endsCell(bytes: Uint8Array, from: number): boolean {
  let at = from;
  while (at < bytes.length && bytes[at] === 32) at++;
  return at >= bytes.length || CELL_EDGES.has(bytes[at]);
}

function nextLine(bytes: Uint8Array, from: number): number {
  const next = bytes.indexOf(10, from);
  return next < 0 ? bytes.length : next;
}

/**
 * The text of some bytes of a log.
 * @param text the log
 * @param start first byte
 * @param end one past the last
 * @returns the decoded text
 */
export function textOf(text: LogText, start: number, end: number): string {
  const { bytes, encoding } = text;
  if (end - start < 200) {
    let ascii = '';
    let i = start;
    for (; i < end && bytes[i] < 128; i++) ascii += String.fromCharCode(bytes[i]);
    if (i === end) return ascii;
  }
  return new TextDecoder(encoding === 'latin1' ? 'latin1' : 'utf-8').decode(bytes.subarray(start, end));
}
