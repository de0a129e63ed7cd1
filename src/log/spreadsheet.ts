import { read, utils, type WorkBook, type WorkSheet } from '@e965/xlsx';
import { unzipSync, zipSync } from 'fflate';
import { LogError } from '../errors';
import { isSoundCompound } from './compound-file';

/** Rows made of a spreadsheet: tab-separated lines. */
export interface SpreadsheetRows {
  readonly rows: string;
  readonly names: { readonly sheet: string; readonly sheets: readonly string[] };
}

/** Rows x columns at most, and at most so many for each filled cell, against a sheet that claims to be endless. */
const MOST_CELLS = 2e7;
const CELLS_FOR_FILLED = 50;
const SMALL_SHEET = 200_000;

/**
 * Makes rows of a sheet of an XLSX or XLS file. Dates become ISO 8601 text, numbers keep all their digits.
 * @param bytes of the file
 * @param file name for messages
 * @param wanted name of the sheet; the first with a table of numbers where absent
 * @returns the lines, the sheet, and the sheets with numbers
 * @throws LogError where the bytes are no spreadsheet, the sheet does not exist, or no sheet holds numbers
 */
export function spreadsheetRows(bytes: Uint8Array, file: string, wanted?: string): SpreadsheetRows {
  const book = openBook(bytes, file);
  const sheets = book.SheetNames.filter((name) => book.Sheets[name] !== undefined);
  if (wanted !== undefined && !sheets.includes(wanted)) {
    throw new LogError({
      file,
      met: `no sheet "${wanted}"`,
      expected: `one of ${sheets.join(', ')}`,
      remedy: 'name it with --sheet',
    });
  }
  const filled = sheets.filter((name) => countNumbers(book.Sheets[name]) >= 4);
  const sheet = wanted ?? filled[0];
  if (sheet === undefined) {
    throw new LogError({
      file,
      met: `a spreadsheet without numbers (${sheets.join(', ')})`,
      expected: 'a sheet with readings',
    });
  }
  return { rows: sheetText(book.Sheets[sheet], file), names: { sheet, sheets: filled } };
}

function openBook(bytes: Uint8Array, file: string): WorkBook {
  if (!isZip(bytes) && !isSoundCompound(bytes)) {
    throw new LogError({ file, met: 'an office document that is damaged or ends early', expected: 'a whole file' });
  }
  try {
    const book = read(isZip(bytes) ? wholeZip(bytes, file) : bytes, {
      type: 'array',
      cellDates: false,
      cellFormula: false,
      cellHTML: false,
      cellNF: true,
    });
    if (book.SheetNames.length > 0) return book;
  } catch (error) {
    if (error instanceof LogError) throw error;
    // What was thrown speaks of the inside of the format; the person needs to know what to do.
  }
  const zip = isZip(bytes);
  const names = String.fromCharCode(...bytes.subarray(0, 3000));
  if (zip && /\[Content_Types\]\.xml|xl\/|docProps\//.test(names)) {
    throw new LogError({ file, met: 'a spreadsheet that is damaged or ends early', expected: 'a whole XLSX file' });
  }
  const met = zip ? 'a zip archive that is no spreadsheet' : 'an office document that is no spreadsheet';
  throw new LogError({
    file,
    met,
    expected: 'a text log, a spreadsheet or JSON',
    remedy: zip ? 'unpack it first' : 'export it as text',
  });
}

function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50;
}

/** Unpacked parts of a workbook larger than this together are refused, bytes. */
const MOST_UNPACKED = 1e9;
/** Deflate packs no better than this (RFC 1951: 258 bytes in two bits or more). */
const MOST_PACKING = 1040;
const LONGEST_NAME = 255;

/**
 * The archive packed anew from what could be unpacked, so that the reader of the format meets no damage it would loop on.
 */
function wholeZip(bytes: Uint8Array, file: string): Uint8Array {
  let size = 0;
  const parts = unzipSync(bytes, {
    filter: ({ name, size: packed, originalSize }) => {
      if (packed > bytes.length || originalSize > MOST_PACKING * packed + 1000 || name.length > LONGEST_NAME) {
        throw new Error('the directory of the archive is damaged');
      }
      size += originalSize;
      return size <= MOST_UNPACKED;
    },
  });
  if (size > MOST_UNPACKED) {
    throw new LogError({ file, met: 'a spreadsheet of more than 1 GB', expected: 'a smaller one, or text' });
  }
  return zipSync(parts, { level: 0 });
}

function countNumbers(sheet: WorkSheet): number {
  let count = 0;
  for (const address of Object.keys(sheet)) {
    if (address[0] !== '!' && sheet[address].t === 'n' && ++count >= 4) break;
  }
  return count;
}

function sheetText(sheet: WorkSheet, file: string): string {
  const range = utils.decode_range(sheet['!ref'] ?? 'A1');
  const [rows, columns] = [range.e.r - range.s.r + 1, range.e.c - range.s.c + 1];
  const filled = Object.keys(sheet).length;
  const most = Math.min(MOST_CELLS, SMALL_SHEET + CELLS_FOR_FILLED * filled);
  if (rows * columns > most) {
    const met = `a sheet of ${rows} x ${columns} cells, ${filled} of them filled`;
    throw new LogError({ file, met, expected: `at most ${most} cells` });
  }
  const lines: string[] = [];
  const commas = hasCommaNumbers(sheet);
  for (let r = range.s.r; r <= range.e.r; r++) {
    const cells: string[] = [];
    for (let c = range.s.c; c <= range.e.c; c++) cells.push(cellText(sheet[utils.encode_cell({ r, c })], commas));
    lines.push(cells.join('\t'));
  }
  return lines.join('\n');
}

interface Cell {
  readonly t: string;
  readonly v?: unknown;
  readonly w?: string;
  readonly z?: unknown;
}

/** Numbers that were typed or pasted as text with a decimal comma, told by one that cannot part thousands. */
function hasCommaNumbers(sheet: WorkSheet): boolean {
  let comma = false;
  for (const address of Object.keys(sheet)) {
    if (address[0] === '!' || sheet[address].t !== 's') continue;
    const text = String(sheet[address].v).trim();
    if (/^[-+]?\d+\.\d+(e[-+]?\d+)?$/i.test(text)) return false;
    if (COMMA_NUMBER.test(text) && !/^[-+]?[1-9]\d{0,2},\d{3}$/.test(text)) comma = true;
  }
  return comma;
}

const COMMA_NUMBER = /^[-+]?\d*,\d+(e[-+]?\d+)?$/i;

function cellText(cell: Cell | undefined, commas: boolean): string {
  if (cell === undefined || cell.v === undefined || cell.v === null) return '';
  if (cell.t === 'e') return cell.w ?? '#N/A';
  if (cell.t === 'n' && typeof cell.v === 'number') return numberText(cell.v, String(cell.z ?? ''));
  const text = String(cell.v)
    .replace(/[\t\r\n]+/g, ' ')
    .trim();
  return commas && COMMA_NUMBER.test(text) ? text.replace(',', '.') : text;
}

/** Numbers shown as dates or times are days since 30 December 1899 (ECMA-376 part 1, 18.17.4); others stay numbers. */
function numberText(value: number, format: string): string {
  const plain = format.replace(/"[^"]*"|\\.|\[[$-][^\]]*\]/g, '');
  const elapsed = /\[h+\]|\[m+\]|\[s+\]/i.test(plain);
  const dated = /[dy]/i.test(plain) && !/general/i.test(plain);
  const timed = elapsed || /h|s/i.test(plain.replace(/general/i, ''));
  if (!dated && !timed) return String(value);
  const milliseconds = Math.round(value * 86_400_000);
  if (elapsed || value < 1) return clockText(milliseconds);
  return new Date(milliseconds - 2_209_161_600_000).toISOString().slice(0, timed ? 23 : 10);
}

function clockText(milliseconds: number): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  const seconds = Math.floor(milliseconds / 1000);
  const text = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  const rest = milliseconds % 1000;
  return rest === 0 ? text : `${text}.${String(rest).padStart(3, '0')}`;
}
