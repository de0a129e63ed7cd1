import { deflateSync, inflateSync } from 'node:zlib';

/** Colours of a small picture. */
const MOST_COLOURS = 256;
const SIGNATURE = Uint8Array.from([137, 80, 78, 71, 13, 10, 26, 10]);

/** A picture taken apart: rows of pixels, red, green and blue each. */
interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/**
 * The same picture with 256 colours at most, on white: charts have few, and it takes a third of the bytes. A page carries
 * pictures only for readers whose scripts are switched off.
 * @param png a PNG (ISO/IEC 15948)
 * @returns a PNG; the given one where it is of another kind than ours, or no larger
 */
export function smallerPicture(png: Uint8Array): Uint8Array {
  const pixels = pixelsOf(png);
  if (!pixels) return png;
  const small = encode(pixels);
  return small.length < png.length ? small : png;
}

/** Pixels of a PNG with 8 bits a channel, not interlaced; null for any other. */
function pixelsOf(png: Uint8Array): Pixels | null {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  if (png.length < 33 || SIGNATURE.some((byte, i) => png[i] !== byte)) return null;
  const [width, height] = [view.getUint32(16), view.getUint32(20)];
  const channels = { 2: 3, 6: 4 }[png[25]];
  if (png[24] !== 8 || channels === undefined || png[28] !== 0 || width * height > 5e7) return null;
  const parts: Uint8Array[] = [];
  for (let at = 8; at + 8 <= png.length; at += view.getUint32(at) + 12) {
    const type = String.fromCharCode(...png.subarray(at + 4, at + 8));
    if (type === 'IDAT') parts.push(png.subarray(at + 8, at + 8 + view.getUint32(at)));
  }
  const raw = inflateSync(Buffer.concat(parts));
  const stride = width * channels;
  if (raw.length !== (stride + 1) * height) return null;
  const lines = unfiltered(raw, stride, height, channels);
  const rgb = new Uint8Array(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const alpha = channels === 4 ? lines[i * 4 + 3] / 255 : 1;
    for (let c = 0; c < 3; c++) rgb[i * 3 + c] = Math.round(lines[i * channels + c] * alpha + 255 * (1 - alpha));
  }
  return { width, height, rgb };
}

/** Undoes the filter of each line (clause 9 of the standard). */
function unfiltered(raw: Uint8Array, stride: number, height: number, step: number): Uint8Array {
  const out = new Uint8Array(stride * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)];
    for (let x = 0; x < stride; x++) {
      const left = x >= step ? out[y * stride + x - step] : 0;
      const up = y > 0 ? out[(y - 1) * stride + x] : 0;
      const corner = x >= step && y > 0 ? out[(y - 1) * stride + x - step] : 0;
      const guess = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter];
      out[y * stride + x] = raw[y * (stride + 1) + 1 + x] + guess;
    }
  }
  return out;
}

function paeth(left: number, up: number, corner: number): number {
  const [a, b, c] = [Math.abs(up - corner), Math.abs(left - corner), Math.abs(left + up - 2 * corner)];
  if (a <= b && a <= c) return left;
  return b <= c ? up : corner;
}

/** Colours that differ by less than 8 in each part are one. */
const shadeOf = (rgb: Uint8Array, i: number): number =>
  ((rgb[i] >> 3) << 10) | ((rgb[i + 1] >> 3) << 5) | (rgb[i + 2] >> 3);

function encode({ width, height, rgb }: Pixels): Uint8Array {
  const sums = new Map<number, [number, number, number, number]>();
  for (let i = 0; i < rgb.length; i += 3) {
    const shade = shadeOf(rgb, i);
    const sum = sums.get(shade) ?? [0, 0, 0, 0];
    sums.set(shade, sum);
    sum[0] += rgb[i];
    sum[1] += rgb[i + 1];
    sum[2] += rgb[i + 2];
    sum[3] += 1;
  }
  const shades = [...sums].sort(([, a], [, b]) => b[3] - a[3]);
  const colours = shades.map(([, sum]) => [0, 1, 2].map((c) => Math.round(sum[c] / sum[3])));
  const palette = colours.slice(0, MOST_COLOURS);
  const places = new Map(shades.map(([shade], i) => [shade, i < palette.length ? i : nearest(palette, colours[i])]));
  const lines = new Uint8Array((width + 1) * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      lines[y * (width + 1) + 1 + x] = places.get(shadeOf(rgb, (y * width + x) * 3)) as number;
    }
  }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 3, 0, 0, 0], 8);
  const table = Uint8Array.from(palette.flat());
  const data = deflateSync(lines, { level: 9 });
  return Buffer.concat([SIGNATURE, chunk('IHDR', head), chunk('PLTE', table), chunk('IDAT', data), chunk('IEND')]);
}

function nearest(palette: readonly (readonly number[])[], colour: readonly number[]): number {
  let [best, least] = [0, Number.POSITIVE_INFINITY];
  for (const [i, other] of palette.entries()) {
    const distance = colour.reduce((sum, part, c) => sum + (part - other[c]) ** 2, 0);
    if (distance < least) [best, least] = [i, distance];
  }
  return best;
}

function chunk(type: string, data: Uint8Array = new Uint8Array(0)): Buffer {
  const out = Buffer.alloc(data.length + 12);
  out.writeUInt32BE(data.length, 0);
  out.write(type, 4, 'latin1');
  out.set(data, 8);
  out.writeUInt32BE(checksum(out.subarray(4, data.length + 8)), data.length + 8);
  return out;
}

/** CRC-32 (annex D of the standard). */
function checksum(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}
