/**
 * Cuts a record into stretches that a straight line describes, joining from the bottom up: neighbours whose union costs
 * least are joined first, until every further joining would cost more than the noise can explain. O(n log n).
 */

/** Straight stretches of a record, columns of equal length. */
export interface Pieces {
  readonly count: number;
  /** First and last reading (inclusive). */
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** Readings in a starting block. */
const BLOCK = 2;
/** How far to each side of a cut a better place is looked for, readings. */
const REACH = 1500;

/** A record to be cut: times, readings scaled to a noise of 1, and the weight of each reading. */
export interface ScaledRecord {
  readonly time: Float64Array;
  readonly y: Float64Array;
  readonly weight: Float64Array;
}

/** How far, in parts of the change from one reading to the next, stamps and readings drift apart. */
const JITTER = 0.3;

/**
 * Weights of readings: 1 where the pressure stands, less where it runs, since there the moment of the reading is what
 * is uncertain (a logger stamps a reading when it stores it).
 * @param y readings scaled to a noise of 1
 */
export function weightsOf(y: Float64Array): Float64Array {
  const weight = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) {
    const before = i > 0 ? Math.abs(y[i] - y[i - 1]) : 0;
    const after = i + 1 < y.length ? Math.abs(y[i + 1] - y[i]) : 0;
    const run = JITTER * Math.max(0, Math.max(before, after) - 3);
    weight[i] = 1 / (1 + run * run);
  }
  return weight;
}

/** Moves within so many codes are the gauge's steps. */
const STAIR = 1.6;
/** Readings that stay within a step say as much as so many do. */
const STAIR_READINGS = 8;

/**
 * Weights of readings for joining: readings that stay within one step of the gauge for long err together, so that many of
 * them say little more than a few. Without this a slow rise through a coarse display would be cut into its stairs.
 * @param pa pressure, Pa
 * @param weight weights without regard to that
 * @param stepPa the step between codes at a pressure, Pa; 0 where none is seen
 */
export function weightsWithinStairs(
  pa: Float64Array,
  weight: Float64Array,
  stepPa: (pa: number) => number,
): Float64Array {
  const out = Float64Array.from(weight);
  for (let from = 0; from < pa.length; ) {
    let within = STAIR * stepPa(pa[from]);
    let to = from;
    let [low, high] = [pa[from], pa[from]];
    while (within > 0 && to + 1 < pa.length) {
      low = Math.min(low, pa[to + 1]);
      high = Math.max(high, pa[to + 1]);
      // Codes differ from level to level: what lies within one of the top of the range may be all of the rest.
      within = Math.min(within, STAIR * stepPa(pa[to + 1]));
      if (high - low > within) break;
      to++;
    }
    const part = STAIR_READINGS / (to - from + 1);
    if (part < 1) for (let i = from; i <= to; i++) out[i] *= part;
    from = to + 1;
  }
  return out;
}

/** Sums of a straight-line fit, about the means, so that ten decades lose no digits. */
class Moments {
  constructor(
    public n = 0,
    public t = 0,
    public y = 0,
    public tt = 0,
    public ty = 0,
    public yy = 0,
  ) {}

  add(t: number, y: number, weight: number): void {
    this.n += weight;
    const dt = t - this.t;
    const dy = y - this.y;
    this.t += (dt * weight) / this.n;
    this.y += (dy * weight) / this.n;
    this.tt += weight * dt * (t - this.t);
    this.ty += weight * dt * (y - this.y);
    this.yy += weight * dy * (y - this.y);
  }

  misfit(): number {
    return Math.max(0, this.yy - (this.tt > 0 ? (this.ty * this.ty) / this.tt : 0));
  }
}

interface Columns {
  readonly n: Float64Array;
  readonly t: Float64Array;
  readonly y: Float64Array;
  readonly tt: Float64Array;
  readonly ty: Float64Array;
  readonly yy: Float64Array;
}

const misfitOf = (m: Columns, i: number): number =>
  Math.max(0, m.yy[i] - (m.tt[i] > 0 ? (m.ty[i] * m.ty[i]) / m.tt[i] : 0));

/** What joining blocks `a` and `b` adds to the misfit. */
function joiningCost(m: Columns, a: number, b: number): number {
  const n = m.n[a] + m.n[b];
  const w = (m.n[a] * m.n[b]) / n;
  const dt = m.t[b] - m.t[a];
  const dy = m.y[b] - m.y[a];
  const tt = m.tt[a] + m.tt[b] + w * dt * dt;
  const ty = m.ty[a] + m.ty[b] + w * dt * dy;
  const yy = m.yy[a] + m.yy[b] + w * dy * dy;
  return Math.max(0, yy - (tt > 0 ? (ty * ty) / tt : 0)) - misfitOf(m, a) - misfitOf(m, b);
}

function join(m: Columns, a: number, b: number): void {
  const n = m.n[a] + m.n[b];
  const w = (m.n[a] * m.n[b]) / n;
  const dt = m.t[b] - m.t[a];
  const dy = m.y[b] - m.y[a];
  m.tt[a] += m.tt[b] + w * dt * dt;
  m.ty[a] += m.ty[b] + w * dt * dy;
  m.yy[a] += m.yy[b] + w * dy * dy;
  m.t[a] += (dt * m.n[b]) / n;
  m.y[a] += (dy * m.n[b]) / n;
  m.n[a] = n;
}

/**
 * Cuts a record into straight stretches.
 * @param record what to cut
 * @param price misfit (in units of the noise variance) that one more cut has to save
 * @param joining weights of readings for joining, which says how many pieces there are; where they end the record's own say
 */
export function cutIntoStraightPieces(record: ScaledRecord, price: number, joining: Float64Array): Pieces {
  const { time, y } = record;
  const weight = joining;
  const blocks = Math.max(1, Math.floor(y.length / BLOCK));
  const from = new Int32Array(blocks);
  const m: Columns = {
    n: new Float64Array(blocks),
    t: new Float64Array(blocks),
    y: new Float64Array(blocks),
    tt: new Float64Array(blocks),
    ty: new Float64Array(blocks),
    yy: new Float64Array(blocks),
  };
  for (let b = 0; b < blocks; b++) {
    from[b] = b * BLOCK;
    const end = b === blocks - 1 ? y.length : (b + 1) * BLOCK;
    const sums = new Moments();
    for (let i = b * BLOCK; i < end; i++) sums.add(time[i], y[i], weight[i]);
    m.n[b] = sums.n;
    m.t[b] = sums.t;
    m.y[b] = sums.y;
    m.tt[b] = sums.tt;
    m.ty[b] = sums.ty;
    m.yy[b] = sums.yy;
  }
  const next = joinCheapest(m, blocks, price);
  const starts: number[] = [];
  for (let b = 0; b >= 0; b = next[b]) starts.push(from[b]);
  return placeCuts(record, starts);
}

/** Joins neighbours, cheapest first, by a heap whose stale entries are skipped; gives the chain of what is left. */
function joinCheapest(m: Columns, blocks: number, price: number): Int32Array {
  const next = new Int32Array(blocks);
  const previous = new Int32Array(blocks);
  const version = new Int32Array(blocks);
  for (let b = 0; b < blocks; b++) {
    next[b] = b + 1 < blocks ? b + 1 : -1;
    previous[b] = b - 1;
  }
  if (blocks > LONG) joinInPairs(m, next, previous, version, Math.min(CHEAP, price));
  const heap = new CostHeap(blocks * 3 + 8);
  for (let b = 0; next[b] >= 0; b = next[b]) {
    const cost = joiningCost(m, b, next[b]);
    if (cost < price) heap.push(cost, b, version[b]);
  }
  while (heap.size > 0) {
    const stamp = heap.topStamp();
    const a = heap.pop();
    if (version[a] !== stamp || next[a] < 0) continue;
    const b = next[a];
    join(m, a, b);
    next[a] = next[b];
    if (next[b] >= 0) previous[next[b]] = a;
    version[b] = -1;
    version[a]++;
    if (next[a] >= 0) pushIfCheap(heap, m, a, next[a], version, price);
    const before = previous[a];
    if (before >= 0) {
      version[before]++;
      pushIfCheap(heap, m, before, a, version, price);
    }
  }
  return next;
}

/** In a record of more blocks than this, */
const LONG = 20_000;
/** neighbours are first joined two by two, in so many rounds, */
const ROUNDS = 3;
/** where noise alone costs as much in nineteen cases of twenty (chi-squared, two degrees of freedom). */
const CHEAP = 6;

/** Joins neighbours two by two before the cheapest are looked for one after the other: most of a long record is noise. */
function joinInPairs(m: Columns, next: Int32Array, previous: Int32Array, version: Int32Array, price: number): void {
  for (let round = 0; round < ROUNDS; round++) {
    for (let a = 0; a >= 0 && next[a] >= 0; a = next[a]) {
      const b = next[a];
      if (joiningCost(m, a, b) >= price) continue;
      join(m, a, b);
      next[a] = next[b];
      if (next[b] >= 0) previous[next[b]] = a;
      version[b] = -1;
      if (next[a] < 0) break;
    }
  }
}

function pushIfCheap(heap: CostHeap, m: Columns, a: number, b: number, version: Int32Array, price: number): void {
  const cost = joiningCost(m, a, b);
  if (cost < price) heap.push(cost, a, version[a]);
}

/** A binary heap of (cost, block, stamp) in typed arrays. */
class CostHeap {
  size = 0;
  private readonly cost: Float64Array;
  private readonly block: Int32Array;
  private readonly stamp: Int32Array;

  constructor(capacity: number) {
    this.cost = new Float64Array(capacity);
    this.block = new Int32Array(capacity);
    this.stamp = new Int32Array(capacity);
  }

  push(cost: number, block: number, stamp: number): void {
    let i = this.size++;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (this.cost[parent] <= cost) break;
      this.move(parent, i);
      i = parent;
    }
    this.put(i, cost, block, stamp);
  }

  topStamp(): number {
    return this.stamp[0];
  }

  /** Takes the cheapest out and gives its block. */
  pop(): number {
    const top = this.block[0];
    const last = --this.size;
    const cost = this.cost[last];
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= last) break;
      if (child + 1 < last && this.cost[child + 1] < this.cost[child]) child++;
      if (this.cost[child] >= cost) break;
      this.move(child, i);
      i = child;
    }
    this.put(i, cost, this.block[last], this.stamp[last]);
    return top;
  }

  private move(from: number, to: number): void {
    this.put(to, this.cost[from], this.block[from], this.stamp[from]);
  }

  private put(i: number, cost: number, block: number, stamp: number): void {
    this.cost[i] = cost;
    this.block[i] = block;
    this.stamp[i] = stamp;
  }
}

/** Moves each cut to where the two lines on its sides fit best, twice over. */
function placeCuts(record: ScaledRecord, starts: number[]): Pieces {
  const { y } = record;
  for (let sweep = 0; sweep < 2; sweep++) {
    for (let k = 1; k < starts.length; k++) {
      const low = Math.max(starts[k - 1], starts[k] - REACH);
      const high = Math.min(k + 1 < starts.length ? starts[k + 1] : y.length, starts[k] + REACH);
      starts[k] = bestCut(record, low, high, starts[k]);
    }
  }
  const count = starts.length;
  const from = Int32Array.from(starts);
  const to = new Int32Array(count);
  for (let k = 0; k < count; k++) to[k] = k + 1 < count ? starts[k + 1] - 1 : y.length - 1;
  return { count, from, to };
}

/**
 * The best first reading of the right-hand one of two lines over the readings `low` to `high` (exclusive).
 * @param otherwise what to answer when the stretch is too short to choose
 */
export function bestCut(record: ScaledRecord, low: number, high: number, otherwise: number): number {
  const { time, y, weight } = record;
  const n = high - low;
  if (n < 2 * BLOCK + 1) return otherwise;
  const right = new Float64Array(n);
  const sums = new Moments();
  for (let i = n - 1; i >= 0; i--) {
    sums.add(time[low + i], y[low + i], weight[low + i]);
    right[i] = sums.misfit();
  }
  const left = new Moments();
  let best = otherwise;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i + BLOCK < n; i++) {
    left.add(time[low + i], y[low + i], weight[low + i]);
    if (i + 1 < BLOCK) continue;
    const misfit = left.misfit() + right[i + 1];
    if (misfit < least) {
      least = misfit;
      best = low + i + 1;
    }
  }
  return best;
}
