import { ArgumentError } from '../errors';
import * as elementary from './elementary';

/** A stream of seeded random numbers. */
export interface RandomStream {
  /** Next 32 random bits as a whole number, 0 to 2^32 - 1. */
  bits(): number;
  /** Next number of a uniform distribution on [0, 1), with 53 random bits. */
  uniform(): number;
  /** Next number of the standard normal distribution (polar method of Marsaglia). */
  normal(): number;
  /** Next whole number from 0 to below `count`, without bias. */
  below(count: number): number;
  /** A stream of its own that depends on the seed and the name only, not on how much of this one was used. */
  split(name: string): RandomStream;
}

/**
 * The generator xoshiro128** 1.1 of Blackman and Vigna (ACM Trans. Math. Softw. 47, 36, 2021) from a given state.
 * @param state four 32-bit words, not all zero
 * @returns a function giving the next 32 bits, 0 to 2^32 - 1
 * @throws ArgumentError where the state is all zero
 */
export function xoshiro128(state: readonly [number, number, number, number]): () => number {
  let [a, b, c, d] = state.map((word) => word >>> 0);
  if ((a | b | c | d) === 0) throw new ArgumentError('state', 'all zero', 'at least one bit set');
  return () => {
    const five = Math.imul(b, 5);
    const result = Math.imul((five << 7) | (five >>> 25), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result;
  };
}

/** One step of the 32-bit SplitMix with the finaliser of MurmurHash3; spreads a seed over the state. */
function spread(seed: number): () => number {
  let s = seed | 0;
  return () => {
    s = (s + 0x9e3779b9) | 0;
    let z = s;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
}

/** FNV-1a, 32 bits. */
function hash(text: string, from: number): number {
  let h = (0x811c9dc5 ^ from) >>> 0;
  for (let i = 0; i < text.length; i++) {
    h ^= text.charCodeAt(i);
    h = Math.imul(h, 0x01000193);
  }
  return h >>> 0;
}

/**
 * Seeded random numbers: xoshiro128** seeded through SplitMix. The same seed gives the same numbers everywhere.
 * @param seed a whole number
 * @returns the stream
 * @throws ArgumentError where the seed is no whole number
 */
export function randomStream(seed: number): RandomStream {
  if (!Number.isSafeInteger(seed)) throw new ArgumentError('seed', seed, 'a whole number');
  const low = (seed % 2 ** 32) | 0;
  const words = spread(low ^ Math.imul(Math.trunc(seed / 2 ** 32), 0x9e3779b1));
  const bits = xoshiro128([words(), words(), words(), words() | 1]);
  let spare: number | null = null;
  const uniform = (): number => ((bits() >>> 5) * 67108864 + (bits() >>> 6)) / 9007199254740992;
  return {
    bits,
    uniform,
    normal: () => {
      if (spare !== null) {
        const kept = spare;
        spare = null;
        return kept;
      }
      for (;;) {
        const u = 2 * uniform() - 1;
        const v = 2 * uniform() - 1;
        const square = u * u + v * v;
        if (square >= 1 || square === 0) continue;
        const factor = Math.sqrt((-2 * elementary.log(square)) / square);
        spare = v * factor;
        return u * factor;
      }
    },
    below: (count) => {
      if (!(Number.isInteger(count) && count >= 1 && count <= 2 ** 32)) {
        throw new ArgumentError('count', count, 'a whole number from 1 to 2^32');
      }
      const limit = 2 ** 32 - (2 ** 32 % count);
      let word = bits();
      while (word >= limit) word = bits();
      return word % count;
    },
    split: (name) => randomStream(hash(name, low) + 2 ** 32 * (hash(name, ~low) >>> 12)),
  };
}
