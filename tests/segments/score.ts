import type { Segment, SegmentedLog, SegmentKind } from '../../src/segments/segment';
import type { MadeRecord, TrueStretch } from './made-records';

/** How a found segmentation compares with the truth. */
export interface Score {
  readonly seed: number;
  /** Isolations that ought to be found. */
  readonly wanted: number;
  readonly found: number;
  readonly missed: readonly TrueStretch[];
  /** Isolations that are none. */
  readonly falseOnes: readonly Segment[];
  /** Found minus true, rows. */
  readonly startErrors: readonly number[];
  readonly endErrors: readonly number[];
  /** Rows by true and found kind. */
  readonly confusion: ReadonlyMap<string, number>;
}

/** Least rise and length of an isolation that ought to be found. */
const WANTED_SIGMAS = 8;
const WANTED_READINGS = 10;

/** First row at or after a moment. */
function rowAt(time: Float64Array, at: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

const overlap = (a: readonly [number, number], b: readonly [number, number]): number =>
  Math.max(0, Math.min(a[1], b[1]) - Math.max(a[0], b[0]) + 1);

export function score(record: MadeRecord, found: SegmentedLog): Score {
  const { time } = record.log;
  const { flags } = record.log.channels[0];
  // What the gauge could not read ends a stretch: nobody could see it.
  const rowsOf = (s: TrueStretch): [number, number] => {
    const from = rowAt(time, s.fromS);
    let to = rowAt(time, s.toS) - 1;
    while (to > from && flags[to] !== 0) to--;
    return [from, to];
  };
  const isolations = found.segments.filter((s) => s.kind === 'isolation');
  const truly = record.truth.filter((s) => s.kind === 'isolation');
  const wanted = truly.filter((s) => !s.afterFill && s.riseSigmas >= WANTED_SIGMAS && s.readings >= WANTED_READINGS);
  const missed: TrueStretch[] = [];
  const startErrors: number[] = [];
  const endErrors: number[] = [];
  for (const one of wanted) {
    const [from, to] = rowsOf(one);
    const match = isolations.find((s) => {
      const shared = overlap([s.from, s.to], [from, to]);
      return shared > 0.5 * (Math.max(s.to, to) - Math.min(s.from, from) + 1);
    });
    if (match === undefined) missed.push(one);
    else {
      startErrors.push(match.from - from);
      endErrors.push(match.to - to);
    }
  }
  const falseOnes = isolations.filter((s) => {
    const shared = truly.reduce((sum, one) => sum + overlap([s.from, s.to], rowsOf(one)), 0);
    return shared < 0.5 * (s.to - s.from + 1);
  });
  const confusion = new Map<string, number>();
  for (const one of record.truth) {
    const rows = rowsOf(one);
    for (const s of found.segments) {
      const shared = overlap([s.from, s.to], rows);
      const key = `${one.kind}|${s.kind}`;
      if (shared > 0) confusion.set(key, (confusion.get(key) ?? 0) + shared);
    }
  }
  const { seed } = record;
  return {
    seed,
    wanted: wanted.length,
    found: wanted.length - missed.length,
    missed,
    falseOnes,
    startErrors,
    endErrors,
    confusion,
  };
}

const quantile = (values: readonly number[], q: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? Number.NaN : sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
};

/** The figures of a bench. */
export interface BenchFigures {
  readonly records: number;
  readonly wanted: number;
  readonly recall: number;
  readonly falsePerRecord: number;
  readonly precision: number;
  readonly startMedian: number;
  readonly start95: number;
  readonly endMedian: number;
  readonly end95: number;
}

export function figures(scores: readonly Score[]): BenchFigures {
  const wanted = scores.reduce((sum, s) => sum + s.wanted, 0);
  const found = scores.reduce((sum, s) => sum + s.found, 0);
  const wrong = scores.reduce((sum, s) => sum + s.falseOnes.length, 0);
  const starts = scores.flatMap((s) => s.startErrors.map(Math.abs));
  const ends = scores.flatMap((s) => s.endErrors.map(Math.abs));
  return {
    records: scores.length,
    wanted,
    recall: found / wanted,
    falsePerRecord: wrong / scores.length,
    precision: found / (found + wrong),
    startMedian: quantile(starts, 0.5),
    start95: quantile(starts, 0.95),
    endMedian: quantile(ends, 0.5),
    end95: quantile(ends, 0.95),
  };
}

/** The share of the rows of a true kind that were called one of the given kinds. */
export function shareCalled(scores: readonly Score[], truth: SegmentKind, called: readonly SegmentKind[]): number {
  let all = 0;
  let right = 0;
  for (const s of scores) {
    for (const [key, rows] of s.confusion) {
      const [t, c] = key.split('|');
      if (t !== truth) continue;
      all += rows;
      if ((called as readonly string[]).includes(c)) right += rows;
    }
  }
  return all > 0 ? right / all : Number.NaN;
}

/** A readable table of a bench. */
export function summary(scores: readonly Score[]): string {
  const kinds = [...new Set(scores.flatMap((s) => [...s.confusion.keys()].flatMap((k) => k.split('|'))))].sort();
  const total = new Map<string, number>();
  for (const s of scores) for (const [k, rows] of s.confusion) total.set(k, (total.get(k) ?? 0) + rows);
  const lines = kinds.map(
    (t) => t.padEnd(12) + kinds.map((c) => String(total.get(`${t}|${c}`) ?? 0).padStart(11)).join(''),
  );
  return [
    JSON.stringify(figures(scores), (_, v) => (typeof v === 'number' ? Number(v.toPrecision(4)) : v)),
    `${'rows: truth'.padEnd(12)}${kinds.map((k) => k.padStart(11)).join('')}`,
    ...lines,
  ].join('\n');
}
