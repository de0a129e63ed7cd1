const LF = 10;
const CR = 13;
const BLANK = 32;
const TAB = 9;

/**
 * Finds the lines of a text that ends them with LF, CRLF or CR, also mixed.
 * @param bytes the text, one byte per line ending character
 * @returns offset of the first byte of each line, and the length of the text as the last entry
 */
export function indexLines(bytes: Uint8Array): Uint32Array {
  let starts = new Uint32Array(1024 + (bytes.length >> 4));
  let count = 1;
  const end = bytes.length;
  for (let i = 0; i < end; i++) {
    const c = bytes[i];
    if (c > CR || (c !== LF && c !== CR)) continue;
    if (c === CR && i + 1 < end && (bytes[i + 1] === LF || bytes[i + 1] === CR)) continue;
    if (count + 1 >= starts.length) starts = grown(starts);
    starts[count++] = i + 1;
  }
  if (starts[count - 1] !== end) starts[count++] = end;
  return starts.slice(0, count);
}

function grown(starts: Uint32Array): Uint32Array {
  const larger = new Uint32Array(starts.length * 2);
  larger.set(starts);
  return larger;
}

/**
 * The end of a line without its line ending and trailing blanks.
 * @param bytes the text
 * @param start first byte of the line
 * @param next first byte of the next line
 * @returns offset one past the last byte that counts
 */
export function trimmedEnd(bytes: Uint8Array, start: number, next: number): number {
  let end = next;
  while (end > start && (bytes[end - 1] === LF || bytes[end - 1] === CR)) end--;
  while (end > start && bytes[end - 1] === BLANK) end--;
  return end;
}

/**
 * Tells whether there is nothing but blanks between two offsets.
 * @param bytes the text
 * @param start first byte
 * @param end one past the last
 * @returns whether all of it is blank
 */
export function isBlank(bytes: Uint8Array, start: number, end: number): boolean {
  for (let i = start; i < end; i++) if (bytes[i] !== BLANK && bytes[i] !== TAB) return false;
  return true;
}
