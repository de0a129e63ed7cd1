import type { RawRows } from './read-rows';

/**
 * Takes rows out, with what is said of them.
 * @param raw rows as read
 * @param out 1 for each row to take out
 * @param count how many these are
 * @param reason under which they are counted
 * @param said what a person should know about them
 * @returns the rows that are left
 */
export function keepRows(raw: RawRows, out: Uint8Array, count: number, reason: string, said: string): RawRows {
  const left = new Uint32Array(raw.rows - count);
  const place = new Uint32Array(raw.rows + 1);
  for (let row = 0; row < raw.rows; row++) {
    if (out[row] === 0) left[place[row]] = row;
    place[row + 1] = place[row] + (out[row] === 0 ? 1 : 0);
  }
  return {
    ...rowsTaken(raw, left),
    comments: raw.comments.map(({ row, text }) => ({ row: place[Math.min(row, raw.rows)], text })),
    leftOut: { ...raw.leftOut, [reason]: count },
    assumptions: [...raw.assumptions, said],
  };
}

/**
 * The rows in another order, or some of them; comments stay as they are.
 * @param raw rows as read
 * @param order which row stands in each place
 * @returns times, lines, readings and texts of these
 */
export function rowsTaken(raw: RawRows, order: Uint32Array): RawRows {
  return {
    ...raw,
    rows: order.length,
    time: taken(raw.time, order, new Float64Array(order.length)),
    lines: taken(raw.lines, order, new Uint32Array(order.length)),
    values: raw.values.map((values) => taken(values, order, new Float64Array(order.length))),
    flags: raw.flags.map((flags) => taken(flags, order, new Uint8Array(order.length))),
    texts: raw.texts.map((texts) => Array.from(order, (row) => texts[row])),
  };
}

/** A loop, because `filter` and `from` of typed arrays take ten times as long. */
function taken<T extends Float64Array | Uint32Array | Uint8Array>(from: T, order: Uint32Array, into: T): T {
  for (let i = 0; i < order.length; i++) into[i] = from[order[i]];
  return into;
}
