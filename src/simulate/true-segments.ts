import type { LoadCause, LoadGas } from '../gas-loads';
import type { SegmentKind } from '../segments/segment';
import type { SimulatedSystem, TrueSegment } from './system';
import { temperatureAt } from './temperature-course';

/** A stretch between two actions, with the valves as they stood. */
export interface Stretch {
  /** First row, and the row after the last. */
  readonly fromRow: number;
  readonly toRow: number;
  readonly startS: number;
  readonly endS: number;
  readonly pumpOpen: boolean;
  readonly gasIn: 'none' | 'vent' | 'flow' | 'regulate';
  readonly volumeM3: number;
}

/** Columns that segments are read from. */
export interface CourseColumns {
  readonly time: Float64Array;
  readonly pa: Float64Array;
  readonly gasK: Float64Array;
  readonly wallK: Float64Array;
  readonly loads: readonly Float64Array[];
  readonly partialPa: Readonly<Record<LoadGas, Float64Array>>;
}

/** Pumped and falling slower than this, a part per second, counts as steady. */
const STEADY_PER_S = 2e-4;

type ByCause = Partial<Record<LoadCause, number>>;

/**
 * What truly happened, as segments: named by the valves, pumped stretches parted into pump-down and steady where the
 * pressure has come to move by less than 2e-4 of itself per second.
 * @param system the system, for its loads and temperature
 * @param stretches stretches between actions
 * @param course columns of the truth
 * @returns segments in order; stretches without a row are left out
 */
export function trueSegments(
  system: SimulatedSystem,
  stretches: readonly Stretch[],
  course: CourseColumns,
): TrueSegment[] {
  const barometer = system.barometerPa ?? 101325;
  const segments = stretches
    .filter(({ fromRow, toRow }) => toRow > fromRow)
    .flatMap((stretch) => parts(stretch, barometer, course));
  const merged: Stretch[] = [];
  const kinds: SegmentKind[] = [];
  for (const { stretch, kind } of segments) {
    const last = merged[merged.length - 1];
    if (last && kinds[kinds.length - 1] === kind && last.volumeM3 === stretch.volumeM3) {
      merged[merged.length - 1] = { ...last, toRow: stretch.toRow, endS: stretch.endS };
    } else {
      merged.push(stretch);
      kinds.push(kind);
    }
  }
  return merged.map((stretch, i) => measure(system, stretch, kinds[i], course));
}

function parts(
  stretch: Stretch,
  barometer: number,
  { time, pa }: CourseColumns,
): { readonly stretch: Stretch; readonly kind: SegmentKind }[] {
  const { fromRow, toRow } = stretch;
  if (stretch.gasIn === 'regulate') return [{ stretch, kind: 'regulated' }];
  if (stretch.gasIn === 'vent')
    return split(stretch, time, (row) => pa[row] > 0.97 * barometer, 'venting', 'atmosphere');
  if (stretch.gasIn === 'flow') return [{ stretch, kind: stretch.pumpOpen ? 'regulated' : 'fill' }];
  if (!stretch.pumpOpen) return [{ stretch, kind: pa[fromRow] > 0.9 * barometer ? 'atmosphere' : 'isolation' }];
  // The last row that still falls fast ends the pump-down.
  let lastFast = fromRow - 1;
  for (let row = fromRow + 1; row < toRow; row++) {
    const rate = Math.log(pa[row - 1] / pa[row]) / (time[row] - time[row - 1]);
    if (rate > STEADY_PER_S) lastFast = row;
  }
  return split(stretch, time, (row) => row > lastFast, 'pump-down', 'steady');
}

function split(
  stretch: Stretch,
  time: Float64Array,
  isSecond: (row: number) => boolean,
  first: SegmentKind,
  second: SegmentKind,
): { readonly stretch: Stretch; readonly kind: SegmentKind }[] {
  let cut = stretch.fromRow;
  while (cut < stretch.toRow && !isSecond(cut)) cut++;
  if (cut === stretch.toRow) return [{ stretch, kind: first }];
  if (cut === stretch.fromRow) return [{ stretch, kind: second }];
  return [
    { stretch: { ...stretch, toRow: cut, endS: time[cut] }, kind: first },
    { stretch: { ...stretch, fromRow: cut, startS: time[cut] }, kind: second },
  ];
}

function measure(system: SimulatedSystem, stretch: Stretch, kind: SegmentKind, course: CourseColumns): TrueSegment {
  const { fromRow, toRow, volumeM3 } = stretch;
  const { time, pa, gasK } = course;
  const byCause: ByCause = {};
  const atRow = (row: number): ByCause => {
    const loads: ByCause = {};
    const add = (cause: LoadCause, q: number): void => {
      loads[cause] = (loads[cause] ?? 0) + q;
    };
    system.loads.forEach(({ load }, i) => {
      add(load.cause, course.loads[i][row]);
    });
    const { wallK, wallKPerS } = temperatureAt(system.temperature, time[row]);
    if (wallKPerS !== 0) add('temperature', (volumeM3 * pa[row] * wallKPerS) / wallK);
    return loads;
  };
  let before = atRow(fromRow);
  const start = before;
  for (let row = fromRow + 1; row < toRow; row++) {
    const now = atRow(row);
    const half = (time[row] - time[row - 1]) / 2;
    for (const cause of Object.keys(now) as LoadCause[]) {
      byCause[cause] = (byCause[cause] ?? 0) + half * (now[cause]! + (before[cause] ?? 0));
    }
    // Gas on its way back to wall temperature: its pressure changes and no gas moves.
    const away = gasK[row] / course.wallK[row] - gasK[row - 1] / course.wallK[row - 1];
    if (away !== 0) byCause.sink = (byCause.sink ?? 0) + volumeM3 * pa[row] * away;
    before = now;
  }
  return {
    kind,
    startS: stretch.startS,
    endS: stretch.endS,
    startPa: pa[fromRow],
    endPa: pa[toRow - 1],
    volumeM3,
    byCause,
    loadsAtStart: start,
    loadsAtEnd: before,
  };
}
