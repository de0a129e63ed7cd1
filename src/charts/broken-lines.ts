import type { GaugeLog } from '../log/gauge-log';

/** A point of a line of pressure; without a pressure the line stops there. */
export type LinePoint<P> = P | (Omit<P, 'pressure'> & { readonly pressure: null });

/**
 * The points of a line that stops where the log has a gap: a straight line across it would look measured.
 * @param log says where its gaps are
 * @param rows the rows to draw, ascending
 * @param pointAt the point of a row
 * @returns the points, with one without a pressure in every gap
 */
export function brokenAtGaps<P extends { readonly pressure: number }>(
  log: GaugeLog,
  rows: ArrayLike<number>,
  pointAt: (row: number) => P,
): LinePoint<P>[] {
  const gaps = gapRows(log);
  const points: LinePoint<P>[] = [];
  let next = 0;
  for (let i = 0; i < rows.length; i += 1) {
    const passed = next;
    while (next < gaps.length && gaps[next] <= rows[i]) next += 1;
    if (i > 0 && next > passed) points.push({ ...pointAt(rows[i - 1]), pressure: null });
    points.push(pointAt(rows[i]));
  }
  return points;
}

/**
 * Where readings begin again after a gap, as the log noted it while it was read.
 * @param log the log
 * @returns rows, ascending
 */
export function gapRows({ timeNotes }: GaugeLog): number[] {
  return timeNotes.filter(({ kind }) => kind === 'gap').map(({ row }) => row);
}

/**
 * The pressures of a line's points.
 * @param points the points
 * @returns in the unit of the points, without the breaks
 */
export function pressuresOf(points: readonly { readonly pressure: number | null }[]): number[] {
  return points.flatMap(({ pressure }) => (pressure === null ? [] : [pressure]));
}
