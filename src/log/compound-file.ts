/** Sector numbers from here on are marks (free, end of chain), MS-CFB 2.1. */
const FIRST_MARK = 0xfffffffa;
const IN_HEADER = 109;

/**
 * Tells whether the sectors of a compound file (XLS) hang together: each chain ends, and none runs in a circle. The reader
 * of the format follows chains without looking, and would not come back from a circle.
 * @param bytes of the file, at least its header
 * @returns false where it is damaged or ends early
 * @source Microsoft, MS-CFB: compound file binary file format, 2.2 to 2.5 (from memory)
 */
export function isSoundCompound(bytes: Uint8Array): boolean {
  if (bytes.length < 1536) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const at = (offset: number): number => view.getUint32(offset, true);
  const shift = view.getUint16(30, true);
  if ((shift !== 9 && shift !== 12) || view.getUint16(32, true) !== 6) return false;
  const size = 2 ** shift;
  const sectors = Math.ceil(bytes.length / size) - 1;
  const whole = (sector: number): boolean => (sector + 2) * size <= bytes.length;
  const tables = tablesOf(at, size, sectors, whole);
  if (tables === undefined || tables.length !== at(44)) return false;
  const next = new Uint32Array(tables.length * (size / 4));
  tables.forEach((sector, k) => {
    for (let i = 0; i < size / 4; i++) next[k * (size / 4) + i] = at((sector + 1) * size + 4 * i);
  });
  return chainsEnd(next, sectors) && next[at(48)] !== undefined;
}

/** Sectors that hold the table of chains; undefined where one of them lies outside. */
function tablesOf(
  at: (offset: number) => number,
  size: number,
  sectors: number,
  whole: (sector: number) => boolean,
): number[] | undefined {
  const found: number[] = [];
  for (let i = 0; i < IN_HEADER; i++) found.push(at(76 + 4 * i));
  let more = at(68);
  for (let steps = 0; more < FIRST_MARK; steps++) {
    if (more >= sectors || !whole(more) || steps > sectors) return undefined;
    for (let i = 0; i < size / 4 - 1; i++) found.push(at((more + 1) * size + 4 * i));
    more = at((more + 2) * size - 4);
  }
  const used = found.filter((sector) => sector < FIRST_MARK);
  return used.every((sector) => sector < sectors && whole(sector)) ? used : undefined;
}

/** No sector follows two others, none lies outside, and no chain is without a beginning. */
function chainsEnd(next: Uint32Array, sectors: number): boolean {
  const led = new Uint8Array(next.length);
  for (let sector = 0; sector < next.length; sector++) {
    const to = next[sector];
    if (to >= FIRST_MARK) continue;
    if (to >= sectors || to >= next.length || led[to] === 1) return false;
    led[to] = 1;
  }
  let reached = 0;
  let linked = 0;
  for (let sector = 0; sector < next.length; sector++) {
    if (next[sector] < FIRST_MARK) linked++;
    if (led[sector] === 1) continue;
    for (let one = sector; next[one] < FIRST_MARK; one = next[one]) reached++;
  }
  return reached === linked;
}
