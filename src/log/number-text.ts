/** Reading numbers from bytes: the inner loop of a log, so it makes no strings where it can avoid them. */

/** Powers of ten that a double holds exactly; with a mantissa below 2^53 one operation then rounds correctly. */
const EXACT = Float64Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));

/** Where the last number read by `numberAt` ended: equal to `end` where the whole cell was one number. */
export const numberStop = { at: 0 };

/**
 * Reads a decimal number, correctly rounded, from the front of a cell: `-1.25E-07`, `1,5` with a comma as mark.
 * @param bytes text, ASCII where it is a number
 * @param start first byte of the cell, not a blank
 * @param end one past its last byte
 * @param mark code of the decimal mark: 46 for a point, 44 for a comma
 * @returns the number, or NaN where the cell does not begin with one; `numberStop.at` tells where it ended
 */
export function numberAt(bytes: Uint8Array, start: number, end: number, mark: number): number {
  let i = start;
  let negative = false;
  if (i < end && (bytes[i] === 45 || bytes[i] === 43)) {
    negative = bytes[i] === 45;
    i++;
  }
  let mantissa = 0;
  let significant = 0;
  let exponent = 0;
  let digits = 0;
  for (; i < end; i++) {
    const d = bytes[i] - 48;
    if (d < 0 || d > 9) break;
    digits++;
    if (significant > 0 || d > 0) significant++;
    if (significant <= 15) mantissa = mantissa * 10 + d;
  }
  if (i < end && bytes[i] === mark) {
    i++;
    for (; i < end; i++) {
      const d = bytes[i] - 48;
      if (d < 0 || d > 9) break;
      digits++;
      if (significant > 0 || d > 0) significant++;
      if (significant <= 15) {
        mantissa = mantissa * 10 + d;
        exponent--;
      }
    }
  }
  if (digits === 0) {
    numberStop.at = start;
    return Number.NaN;
  }
  let stop = i;
  if (i + 1 < end && isExponentLetter(bytes[i])) {
    let j = i + 1;
    const minus = bytes[j] === 45;
    if (minus || bytes[j] === 43) j++;
    let power = 0;
    const first = j;
    for (; j < end; j++) {
      const d = bytes[j] - 48;
      if (d < 0 || d > 9) break;
      if (power < 10000) power = power * 10 + d;
    }
    if (j > first) {
      exponent += minus ? -power : power;
      stop = j;
    }
  }
  numberStop.at = stop;
  if (significant > 15 || exponent > 22 || exponent < -22) return numberFromText(bytes, start, stop, mark);
  const size = exponent < 0 ? mantissa / EXACT[-exponent] : mantissa * EXACT[exponent];
  return negative ? -size : size;
}

/** E, e, and the D, d of Fortran. */
function isExponentLetter(code: number): boolean {
  return code === 69 || code === 101 || code === 68 || code === 100;
}

/** Numbers with many digits or far exponents, by the platform's correctly rounded reader. */
function numberFromText(bytes: Uint8Array, start: number, end: number, mark: number): number {
  let text = '';
  for (let i = start; i < end; i++) text += bytes[i] === mark ? '.' : String.fromCharCode(bytes[i]);
  return Number(text.replace(/d/i, 'e'));
}
