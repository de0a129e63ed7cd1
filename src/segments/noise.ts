import * as elementary from '../numerics/elementary';

/**
 * Noise of a gauge by pressure level, from the readings themselves. A gauge's noise is nowhere the same over ten
 * decades: constant near its zero, proportional to pressure further up, set by the last digit where it is quantised.
 */
export interface NoiseByLevel {
  /** Standard deviation of one reading at a pressure, Pa. */
  readonly sigmaPa: (pa: number) => number;
  /** Step between neighbouring codes at a pressure, Pa; 0 where no quantisation is seen. */
  readonly stepPa: (pa: number) => number;
  /** Pressure on a scale on which the noise is 1 everywhere: the integral of dp / sigma(p). */
  readonly scaled: (pa: number) => number;
}

/** Levels per decade at which the noise is estimated. */
const PER_DECADE = 2;
/** Fewest readings for an estimate at one level. */
const ENOUGH = 12;
/** Readings used per level; more change nothing. */
const PLENTY = 4000;
/** Fineness of the table of the scaled pressure. */
const TABLE_PER_DECADE = 40;
/** Moves from which a code is told: a gauge that stands at the top of its range and then falls shows none. */
const FEWEST_STEPS = 3;
/** A gauge is never worse than this, relative; what looks worse is a fast change of pressure. */
const WORST = 0.05;
/** Nor better than this, relative: it keeps noiseless (computed) records from being cut to shreds. */
const BEST = 2e-5;

interface Level {
  /** Where in the level its readings lie, log10 of Pa. */
  readonly centre: number;
  readonly level: number;
  sigma: number;
  readonly step: number;
}

const quantile = (sorted: readonly number[], q: number): number =>
  sorted.length === 0 ? Number.NaN : sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];

/** Do a reading's neighbours lie in its decade? Across its lower end the codes of a gauge that rounds to digits differ. */
function withinDecade(pa: Float64Array, i: number): boolean {
  const bottom = elementary.power(10, Math.floor(elementary.log10(pa[i]) + 1e-9)) * (1 - 1e-9);
  return !(pa[i] > 0) || (pa[i - 1] >= bottom && pa[i + 1] >= bottom);
}

/** Deviations from the line through both neighbours (scaled to one reading), and steps, of a level's readings. */
function estimateLevel(level: number, members: readonly number[], time: Float64Array, pa: Float64Array): Level {
  const within = members.filter((i) => withinDecade(pa, i));
  const used = within.length >= ENOUGH ? within : members;
  const stride = Math.max(1, Math.floor(used.length / PLENTY));
  const deviations: number[] = [];
  const steps: number[] = [];
  let unchanged = 0;
  for (let k = 0; k < used.length; k += stride) {
    const i = used[k];
    const span = time[i + 1] - time[i - 1];
    const w = span > 0 ? (time[i] - time[i - 1]) / span : 0.5;
    const deviation = pa[i] - pa[i - 1] - w * (pa[i + 1] - pa[i - 1]);
    deviations.push(Math.abs(deviation) / Math.sqrt(1 + w * w + (1 - w) * (1 - w)));
    const step = Math.abs(pa[i] - pa[i - 1]);
    if (step > 0) steps.push(step);
    else unchanged++;
  }
  deviations.sort((a, b) => a - b);
  steps.sort((a, b) => a - b);
  // Equal neighbours are frequent only where the last digit is coarser than the noise, or near it.
  const quantised = unchanged > 0.06 * deviations.length && steps.length >= FEWEST_STEPS;
  const step = quantised ? quantile(steps, 0.05) : 0;
  let sigma = 1.4826 * quantile(deviations, 0.5);
  if (step > 0) {
    const clipped = deviations.reduce((sum, d) => sum + Math.min(d * d, step * step), 0) / deviations.length;
    sigma = Math.max(sigma, step / Math.sqrt(12), Math.sqrt(clipped));
  }
  return { centre: centreOf(level, used, stride, pa), level, sigma, step };
}

/** Mean log10 of the readings of a level; its middle where a reading is not above zero. */
function centreOf(level: number, used: readonly number[], stride: number, pa: Float64Array): number {
  let sum = 0;
  let count = 0;
  for (let k = 0; k < used.length; k += stride) {
    if (!(pa[used[k]] > 0)) return (level + 0.5) / PER_DECADE;
    sum += elementary.log10(pa[used[k]]);
    count++;
  }
  return sum / count;
}

/**
 * Estimates the noise of a gauge by level from second differences, which a smooth change of pressure leaves alone.
 * @param time seconds, ascending
 * @param pa pressure, Pa, same length, all finite
 * @param resolution the smallest step the readings are written in, Pa: where the pressure runs its codes do not show
 */
export function estimateNoise(time: Float64Array, pa: Float64Array, resolution = 0): NoiseByLevel {
  const lowest = smallestPositive(pa);
  const levelOf = (p: number): number => Math.floor(PER_DECADE * elementary.log10(Math.max(p, lowest)));
  const byLevel = new Map<number, number[]>();
  for (let i = 1; i < pa.length - 1; i++) {
    const level = levelOf(pa[i]);
    const members = byLevel.get(level);
    if (members === undefined) byLevel.set(level, [i]);
    else members.push(i);
  }
  const levels = [...byLevel.entries()]
    .filter(([, members]) => members.length >= ENOUGH)
    .sort(([a], [b]) => a - b)
    .map(([level, members]) => estimateLevel(level, members, time, pa));
  // Near its zero a gauge's noise is no part of the pressure: there the quietest well-visited level sets the bound.
  const visited = levels.filter(({ level }) => (byLevel.get(level)?.length ?? 0) >= 0.02 * pa.length);
  const quietest = visited.reduce((least, { sigma }) => Math.min(least, sigma), Number.POSITIVE_INFINITY);
  const floor = Number.isFinite(quietest) ? 1.5 * quietest : 0;
  for (const entry of levels) {
    const p = elementary.power(10, entry.centre);
    const rounded = resolution / Math.sqrt(12);
    entry.sigma = Math.max(rounded, Math.min(Math.max(entry.sigma, BEST * p), Math.max(WORST * p, floor)));
  }
  if (levels.length === 0) {
    const usual = medianOf(pa);
    const level = levelOf(usual);
    levels.push({ level, centre: elementary.log10(Math.max(usual, lowest)), sigma: 0.01 * usual || 1, step: 0 });
  }
  return tabulate(levels, lowest, pa);
}

function smallestPositive(pa: Float64Array): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < pa.length; i++) if (pa[i] > 0 && pa[i] < lowest) lowest = pa[i];
  return Number.isFinite(lowest) ? Math.max(lowest, 1e-12) : 1;
}

const medianOf = (pa: Float64Array): number => (pa.length === 0 ? 1 : Float64Array.from(pa).sort()[pa.length >> 1]);

function tabulate(levels: readonly Level[], lowest: number, pa: Float64Array): NoiseByLevel {
  let highest = lowest;
  for (let i = 0; i < pa.length; i++) if (pa[i] > highest) highest = pa[i];
  const from = elementary.log10(lowest) - 0.1;
  const count = Math.ceil((elementary.log10(highest) - from + 0.2) * TABLE_PER_DECADE) + 1;
  const sigma = new Float64Array(count);
  const step = new Float64Array(count);
  const scaled = new Float64Array(count);
  const logs = levels.map(({ centre }) => centre);
  let k = 0;
  for (let i = 0; i < count; i++) {
    const log = from + i / TABLE_PER_DECADE;
    while (k < levels.length - 1 && logs[k + 1] < log) k++;
    const next = Math.min(k + 1, levels.length - 1);
    const p = elementary.power(10, log);
    if (log <= logs[0]) sigma[i] = levels[0].sigma;
    else if (next === k) sigma[i] = levels[k].sigma * elementary.power(10, log - logs[k]);
    else {
      const w = (log - logs[k]) / (logs[next] - logs[k]);
      sigma[i] = elementary.power(levels[k].sigma, 1 - w) * elementary.power(levels[next].sigma, w);
    }
    const nearest = Math.abs(log - logs[k]) <= Math.abs(log - logs[next]) ? k : next;
    step[i] = levels[nearest].step;
    const before = elementary.power(10, log - 1 / TABLE_PER_DECADE);
    scaled[i] = i === 0 ? p / sigma[0] : scaled[i - 1] + ((p - before) * 2) / (sigma[i] + sigma[i - 1]);
  }
  const place = (p: number): number =>
    p <= lowest ? 0 : Math.min(count - 2, Math.max(0, (elementary.log10(p) - from) * TABLE_PER_DECADE));
  const floorPa = elementary.power(10, from);
  const lows = Float64Array.from({ length: count }, (_, i) => elementary.power(10, from + i / TABLE_PER_DECADE));
  return {
    sigmaPa: (p) => sigma[Math.floor(place(p))],
    stepPa: (p) => step[Math.floor(place(p))],
    scaled: (p) => {
      if (p <= floorPa) return p / sigma[0];
      const at = place(p);
      const i = Math.floor(at);
      return scaled[i] + ((p - lows[i]) * 2) / (sigma[i] + sigma[i + 1]);
    },
  };
}
