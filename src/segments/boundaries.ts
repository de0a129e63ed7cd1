import type { Span } from './span';
import type { WorkingRecord } from './stretches';

/** How far a boundary may be moved, readings. */
const REACH = 8;

/**
 * Does the pressure drop from reading `i - 1` to `i` by more than noise, and by a fair part of the steepest drop
 * near?
 */
function drops(record: WorkingRecord, i: number, steepest: number): boolean {
  const { y } = record.scaled;
  const spread = Math.sqrt(record.longRun);
  const drop = y[i - 1] - y[i];
  return drop > 4 * spread && record.readings.pa[i - 1] - record.readings.pa[i] > 0.12 * steepest;
}

/**
 * Moves the end of what holds gas (isolation, fill, hold) to the last reading before the pump takes hold: a straight
 * line
 * cannot follow the first readings of a steep fall.
 */
export function sharpenFalls(record: WorkingRecord, spans: Span[]): void {
  const { pa } = record.readings;
  for (let k = 1; k < spans.length; k++) {
    const before = spans[k - 1];
    const after = spans[k];
    if (after.kind !== 'pump-down' || before.kind === 'pump-down' || after.from !== before.to + 1) continue;
    const low = Math.max(before.from + 2, after.from - REACH);
    const high = Math.min(after.to - 1, after.from + REACH);
    let steepest = 0;
    for (let i = low; i <= high; i++) steepest = Math.max(steepest, pa[i - 1] - pa[i]);
    let cut = after.from;
    for (let i = low; i <= high; i++) {
      if (!drops(record, i, steepest)) continue;
      // A dip that is made good at once is noise; a fall goes on.
      if (i + 1 <= high && pa[i + 1] > pa[i] + 0.5 * (pa[i - 1] - pa[i])) continue;
      cut = i;
      break;
    }
    before.to = cut - 1;
    after.from = cut;
  }
}
