import type { GaugeLog } from './gauge-log';

/**
 * A mark of all readings of a log, times and flags with it, that changes when any of them does. It finds out whether
 * something that was worked out before still holds; it proves nothing about where a log comes from.
 * @param log the log
 * @returns the mark, 16 hex digits for the time and for each channel
 */
export function contentMark(log: GaugeLog): string {
  return [log.time, ...log.channels.flatMap(({ values, flags }) => [values, flags])].map(markOf).join('');
}

/** Two 32-bit FNV-1a hashes of different beginnings, over words of four bytes and what is left. */
function markOf({ buffer, byteOffset, byteLength }: Float64Array | Uint8Array): string {
  const whole = byteOffset % 4 === 0 ? byteLength >> 2 : 0;
  let a = 0x811c9dc5;
  let b = 0x9747b28c;
  for (const part of [
    new Int32Array(buffer, whole > 0 ? byteOffset : 0, whole),
    new Uint8Array(buffer, byteOffset + 4 * whole, byteLength - 4 * whole),
  ]) {
    for (let i = 0; i < part.length; i++) {
      a = Math.imul(a ^ part[i], 0x01000193);
      b = Math.imul(b ^ part[i], 0x85ebca6b);
      b ^= b >>> 13;
    }
  }
  return [a, b].map((half) => (half >>> 0).toString(16).padStart(8, '0')).join('');
}
