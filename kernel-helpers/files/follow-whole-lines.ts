/**
 * The part of a file that consists of whole lines: what stands after the last line end may still be being written.
 * @param bytes a text in any encoding in which a line ends with the byte LF or CR; UTF-16 is known by its mark
 * @returns the bytes up to and with the last line end; none where there is none
 */
export function wholeLines(bytes: Uint8Array): Uint8Array {
  const isWide = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  const isLittle = bytes[0] === 0xff;
  for (let end = bytes.length; end > 0; end--) {
    const byte = bytes[end - 1];
    if (byte !== 0x0a && byte !== 0x0d) continue;
    if (!isWide) return bytes.subarray(0, end);
    const low = isLittle ? end - 1 : end - 2;
    const isUnit = low % 2 === 0 && bytes[isLittle ? end : end - 2] === 0;
    if (isUnit) return bytes.subarray(0, low + 2);
  }
  return bytes.subarray(0, 0);
}
