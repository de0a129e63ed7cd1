import { randomFrom } from '../segments/made-records';

type Chance = () => number;
const below = (r: Chance, n: number): number => Math.min(n - 1, Math.floor(r() * n));

const SEPARATORS = [44, 59, 9, 124, 32];
/** Bytes that mean something to a reader, besides chance ones. */
const TELLING = [...'0919.,;:-+eE"\'#<>|/\t \n\r=()[]{}%'].map((c) => c.charCodeAt(0));

function spliced(bytes: Uint8Array, from: number, to: number, put: Uint8Array): Uint8Array {
  const out = new Uint8Array(bytes.length - (to - from) + put.length);
  out.set(bytes.subarray(0, from));
  out.set(put, from);
  out.set(bytes.subarray(to), from + put.length);
  return out;
}

/** First bytes of the lines. */
function lineStarts(bytes: Uint8Array): number[] {
  const starts = [0];
  for (let i = 0; i < bytes.length; i++) if (bytes[i] === 10 && i + 1 < bytes.length) starts.push(i + 1);
  return starts;
}

function line(bytes: Uint8Array, r: Chance): [number, number] {
  const starts = lineStarts(bytes);
  const k = below(r, starts.length);
  return [starts[k], starts[k + 1] ?? bytes.length];
}

const none = new Uint8Array(0);

/** What can happen to a file: cut at either end, lines doubled, moved or lost, bytes changed, separators swapped. */
const DAMAGES: readonly ((bytes: Uint8Array, r: Chance) => Uint8Array)[] = [
  (bytes, r) => bytes.subarray(0, below(r, bytes.length + 1)),
  (bytes, r) => bytes.subarray(below(r, bytes.length)),
  (bytes, r) => {
    const [from, to] = line(bytes, r);
    return spliced(bytes, to, to, bytes.slice(from, to));
  },
  (bytes, r) => {
    const [from, to] = line(bytes, r);
    return spliced(bytes, from, to, none);
  },
  (bytes, r) => {
    const [from, to] = line(bytes, r);
    const [at] = line(bytes, r);
    return spliced(bytes, at, at, bytes.slice(from, to));
  },
  (bytes, r) => {
    const out = bytes.slice();
    for (let k = 1 + below(r, 8); k > 0; k--) out[below(r, out.length)] = below(r, 256);
    return out;
  },
  (bytes, r) => {
    const out = bytes.slice();
    for (let k = 1 + below(r, 8); k > 0; k--) out[below(r, out.length)] = TELLING[below(r, TELLING.length)];
    return out;
  },
  (bytes, r) => {
    const [a, b] = [SEPARATORS[below(r, 5)], SEPARATORS[below(r, 5)]];
    return bytes.map((c) => (c === a ? b : c));
  },
  (bytes, r) => {
    const at = below(r, bytes.length);
    return spliced(bytes, at, at, new Uint8Array(1 + below(r, 200)).fill(TELLING[below(r, TELLING.length)]));
  },
  (bytes, r) => {
    const [from, to] = [below(r, bytes.length), below(r, bytes.length)].sort((a, b) => a - b);
    return spliced(bytes, from, Math.min(to, from + 400), none);
  },
  (bytes, r) => {
    const at = below(r, bytes.length);
    return spliced(bytes, at, at, new Uint8Array(1 + below(r, 120)));
  },
];

/**
 * Damages a file, once to three times.
 * @param bytes of the file
 * @param seed of the chance
 */
export function damaged(bytes: Uint8Array, seed: number): Uint8Array {
  const r = randomFrom(seed * 7919 + 5);
  let out = bytes;
  for (let k = 1 + below(r, 3); k > 0 && out.length > 0; k--) out = DAMAGES[below(r, DAMAGES.length)](out, r);
  return out;
}
