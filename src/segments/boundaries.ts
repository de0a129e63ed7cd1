import { medianBetween } from './readings';
import type { Span } from './span';
import type { WorkingRecord } from './stretches';

/** Below the level by so many noise deviations a reading belongs to the fall. */
const SOFT = 3;
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

/** Gas let in raises the pressure from reading to reading by so many times what the isolation before it did. */
const LEAP = 5;
/** Readings whose moves tell how an isolation rises. */
const USUAL_READINGS = 30;

/** Moves the end of an isolation that gas let in ends to the last reading before the leap. */
export function sharpenInlets(record: WorkingRecord, spans: Span[]): void {
  const { pa } = record.readings;
  for (let k = 1; k < spans.length; k++) {
    const before = spans[k - 1];
    const after = spans[k];
    if (before.kind !== 'isolation' || !LETS_IN.includes(after.kind) || after.from !== before.to + 1) continue;
    const low = Math.max(before.from + 2, after.from - REACH);
    const high = Math.min(after.to - 1, after.from + REACH);
    const moves: number[] = [];
    for (let i = Math.max(before.from + 1, low - USUAL_READINGS); i < low; i++) moves.push(Math.abs(pa[i] - pa[i - 1]));
    moves.sort((a, b) => a - b);
    const usual = Math.max(moves[moves.length >> 1] ?? 0, 2 * record.noise.sigmaPa(pa[low]));
    let steepest = 0;
    for (let i = low; i <= high; i++) steepest = Math.max(steepest, pa[i] - pa[i - 1]);
    for (let i = low; i <= high; i++) {
      if (pa[i] - pa[i - 1] < Math.max(LEAP * usual, 0.12 * steepest)) continue;
      before.to = i - 1;
      after.from = i;
      break;
    }
  }
}

/**
 * Where the gauge was over range and from then on the pressure falls, the valve was opened meanwhile: what is read after that
 * is no part of the isolation.
 */
export function endBeforeOverRange(record: WorkingRecord, spans: Span[]): void {
  const { pa, rows } = record.readings;
  for (let k = 1; k < spans.length; k++) {
    const before = spans[k - 1];
    const after = spans[k];
    if (before.kind !== 'isolation' || after.kind !== 'pump-down' || after.from !== before.to + 1) continue;
    let i = before.to;
    while (i > before.from && i > before.to - REACH && rows[i] - rows[i - 1] < MISSING_ROWS && pa[i] < pa[i - 1]) i--;
    if (rows[i] - rows[i - 1] < MISSING_ROWS || i - before.from < REACH || pa[i] < pa[i - 1]) continue;
    before.to = i - 1;
    after.from = i;
  }
}

/** Rows without a good reading in which a valve may have been opened unseen. */
const MISSING_ROWS = 3;
const LETS_IN: readonly string[] = ['fill', 'venting', 'regulated', 'atmosphere'];

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
    const { y } = record.scaled;
    const level = medianBetween(y, Math.max(before.from, after.from - 3), after.from - 1);
    for (let i = low; i <= high; i++) {
      // A pump that takes hold softly makes no single drop: what already lies below the level is its work.
      if (i > after.from && y[i - 1] < level - SOFT * Math.sqrt(record.longRun)) break;
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
