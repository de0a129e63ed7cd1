/**
 * Rows that draw the same picture as all rows: in each of `buckets` equal stretches of time the first, the lowest, the
 * highest and the last, so that no extreme is lost.
 * @param time seconds, ascending
 * @param values any unit; rows that are not finite are left out
 * @param keep tells whether a row may be drawn
 * @param buckets how many stretches, about one a pixel
 * @returns row numbers, ascending; all drawable rows where there are fewer than four a bucket
 */
export function thin(
  time: Float64Array,
  values: Float64Array,
  keep: (row: number) => boolean,
  buckets: number,
): Int32Array {
  const rows: number[] = [];
  let drawable = 0;
  for (let row = 0; row < values.length; row += 1) if (Number.isFinite(values[row]) && keep(row)) drawable += 1;
  const all = drawable <= 4 * buckets;
  const start = time[0] ?? 0;
  const step = Math.max((time[time.length - 1] - start) / buckets, Number.MIN_VALUE);
  let bucket = -1;
  let first = -1;
  let lowest = -1;
  let highest = -1;
  let last = -1;
  const flush = (): void => {
    if (first < 0) return;
    for (const row of [...new Set([first, lowest, highest, last])].sort((a, b) => a - b)) rows.push(row);
    first = -1;
  };
  for (let row = 0; row < values.length; row += 1) {
    if (!Number.isFinite(values[row]) || !keep(row)) continue;
    if (all) {
      rows.push(row);
      continue;
    }
    const here = Math.min(buckets - 1, Math.floor((time[row] - start) / step));
    if (here !== bucket) {
      flush();
      bucket = here;
    }
    if (first < 0) {
      first = row;
      lowest = row;
      highest = row;
    }
    if (values[row] < values[lowest]) lowest = row;
    if (values[row] > values[highest]) highest = row;
    last = row;
  }
  flush();
  return Int32Array.from(rows);
}
