/**
 * First row at or after a moment. O(log n).
 * @param time times of the rows, s, none before the one above it
 * @param atS the moment, s
 * @returns its number, from 0; the number of rows where there is none
 */
export function firstRowFrom(time: Float64Array, atS: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}
