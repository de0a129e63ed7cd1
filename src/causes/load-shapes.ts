import * as elementary from '../numerics/elementary';

/**
 * The forward models that the joint inference lays over a whole record. Each says how much gas has come in since the
 * valve closed (Pa, for a load that starts at its own unit strength) and how strong the load is at a moment while
 * pumped (Pa/s). Time is counted on the source's own clock, so that a source goes on ageing between isolations.
 */

/** Rise of a load that falls as a power of its age, and the load itself. */
export interface LoadShape {
  /**
   * Gas that has come in between two ages.
   * @param from age at closing, s, > 0
   * @param to age now, s, >= from
   * @returns integral of the load, in the load's unit times s
   */
  readonly rise: (from: number, to: number) => number;
  /**
   * The load at an age.
   * @param age s, > 0
   */
  readonly load: (age: number) => number;
}

/** A load that does not change: air through a leak into a vessel far below atmosphere. */
export const constantLoad: LoadShape = { rise: (from, to) => to - from, load: () => 1 };

/**
 * Outgassing, load = age^-exponent; exponent near 1 for water on metal, near 0.5 for rubber and plastics.
 * @param exponent 0 to 2
 */
export function powerLoad(exponent: number): LoadShape {
  const k = 1 - exponent;
  const rise =
    Math.abs(k) < 1e-6
      ? (from: number, to: number): number => elementary.log(to / from)
      : (from: number, to: number): number => (elementary.power(to, k) - elementary.power(from, k)) / k;
  return { rise, load: (age) => elementary.power(age, -exponent) };
}

/** The local exponent of walls stays between these. */
const MOST_EXPONENT = 4;

/**
 * Outgassing whose exponent changes with the logarithm of its age, load = exp(-integral of (exponent + bend u) du) with
 * u = ln(age / at), the exponent kept from 0 to 4: walls of several kinds together flatten out (bend below 0), a seal
 * that dries out falls ever more steeply (bend above 0).
 * @param exponent at the age `at`
 * @param bend change of the exponent per factor e of age
 * @param at age where the load is 1, s, > 0
 */
export function bentPowerLoad(exponent: number, bend: number, at: number): LoadShape {
  if (Math.abs(bend) < 1e-4) {
    const plain = powerLoad(exponent);
    const unit = elementary.power(at, exponent);
    return { rise: (from, to) => unit * plain.rise(from, to), load: (age) => unit * plain.load(age) };
  }
  const flatAt = -exponent / bend;
  const steepAt = (MOST_EXPONENT - exponent) / bend;
  const [low, high] = bend > 0 ? [flatAt, steepAt] : [steepAt, flatAt];
  const beyondHigh = bend > 0 ? MOST_EXPONENT : 0;
  const beyondLow = MOST_EXPONENT - beyondHigh;
  /** Minus the logarithm of the load. */
  const fallen = (u: number): number => {
    const inside = Math.min(high, Math.max(low, u));
    return inside * (exponent + 0.5 * bend * inside) + (u > high ? beyondHigh : beyondLow) * (u - inside);
  };
  // Three points of Gauss in the logarithm of the age: callers take short steps, each from the end of the one before.
  let reached = at;
  let reachedLog = 0;
  const rise = (from: number, to: number): number => {
    const start = from === reached ? reachedLog : elementary.log(from / at);
    reached = to;
    reachedLog = elementary.log(to / at);
    const width = reachedLog - start;
    let sum = 0;
    for (let i = 0; i < 3; i++) {
      const u = start + width * GAUSS_AT[i];
      sum += GAUSS_WEIGHT[i] * elementary.exp(u - fallen(u));
    }
    return sum * width * at;
  };
  return { rise, load: (age) => elementary.exp(-fallen(elementary.log(age / at))) };
}

const GAUSS_AT = [0.5 - 0.5 * Math.sqrt(0.6), 0.5, 0.5 + 0.5 * Math.sqrt(0.6)];
const GAUSS_WEIGHT = [5 / 18, 8 / 18, 5 / 18];

/**
 * Two states of one load, such as walls or a pocket that a short vent has charged again in part.
 * @param fresh part that begins anew, 0 to 1
 * @param shape the load
 * @param older how much older the rest is, s, >= 0
 */
export function partlyRenewed(fresh: number, shape: LoadShape, older: number): LoadShape {
  if (!(older > 0)) return shape;
  return {
    rise: (from, to) => fresh * shape.rise(from, to) + (1 - fresh) * shape.rise(from + older, to + older),
    load: (age) => fresh * shape.load(age) + (1 - fresh) * shape.load(age + older),
  };
}

/**
 * A pocket that empties through a molecular path, load = exp(-age / time).
 * @param time emptying time V_t / C, s, > 0
 */
export function molecularPocketLoad(time: number): LoadShape {
  return {
    rise: (from, to) => time * elementary.exp(-from / time) * -elementary.expm1(-(to - from) / time),
    load: (age) => elementary.exp(-age / time),
  };
}

/**
 * A pocket that empties through a viscous path, load = (1 + age / time)^-2.
 * @param time time in which its pressure halves at the start, s, > 0
 */
export function viscousPocketLoad(time: number): LoadShape {
  return {
    rise: (from, to) => (time * (to - from)) / ((1 + from / time) * (time + to)),
    load: (age) => elementary.power(1 + age / time, -2),
  };
}

/** Terms of the series, which is used from a hundredth of the drying time on. */
const DIFFUSION_TERMS = 14;

/**
 * Gas that diffuses out of rubber or plastic that was full of it: as 1/sqrt(age) at first, exponentially once it runs
 * out; load = sum over odd n of exp(-n^2 age / time), as of a slab (Crank, The Mathematics of Diffusion, from memory).
 * @param time drying time l^2 / (pi^2 D), s, > 0
 */
export function diffusionLoad(time: number): LoadShape {
  const early = 0.01 * time;
  // Up to there sqrt(pi time / age) / 4, the same law to better than a part in ten thousand.
  const lateRise = (from: number, to: number): number => {
    let sum = 0;
    for (let i = 0; i < DIFFUSION_TERMS; i++) {
      const rate = (2 * i + 1) ** 2 / time;
      sum += (elementary.exp(-rate * from) * -elementary.expm1(-rate * (to - from))) / rate;
    }
    return sum;
  };
  const earlyRise = (from: number, to: number): number =>
    0.5 * Math.sqrt(Math.PI * time) * ((to - from) / (Math.sqrt(to) + Math.sqrt(from)));
  return {
    rise: (from, to) => {
      if (to <= from) return 0;
      if (to <= early) return earlyRise(from, to);
      return from >= early ? lateRise(from, to) : earlyRise(from, early) + lateRise(early, to);
    },
    load: (age) => {
      if (age <= early) return 0.25 * Math.sqrt((Math.PI * time) / Math.max(age, 1e-9));
      let sum = 0;
      for (let i = 0; i < DIFFUSION_TERMS; i++) sum += elementary.exp(-((2 * i + 1) ** 2 / time) * age);
      return sum;
    },
  };
}

/**
 * Rise towards an end value, 1 - exp(-rate x elapsed): vapour over a liquid, gas lost to a surface.
 * @param rate 1/s, > 0
 * @param elapsed seconds since closing, >= 0
 * @returns part of the end value reached, 0 to 1
 */
export function saturating(rate: number, elapsed: number): number {
  return -elementary.expm1(-rate * elapsed);
}

/**
 * Rise of a load while a part of the gas leaves again, dp/dt = load - rate p (a seat that passes to a running pump).
 * Integrated step by step with the load taken at the middle of each step, exact for a constant load.
 * @param shape the load
 * @param rate how fast gas leaves, 1/s, > 0
 * @param ageAtClosing s
 * @param elapsed seconds since closing of the wanted points, ascending
 * @param out receives the rise at each point
 */
export function drainedRise(
  shape: LoadShape,
  rate: number,
  ageAtClosing: number,
  elapsed: ArrayLike<number>,
  out: Float64Array,
): void {
  let at = 0;
  let value = 0;
  for (let i = 0; i < elapsed.length; i++) {
    const steps = i === 0 ? 4 : 2;
    const h = (elapsed[i] - at) / steps;
    const keep = elementary.exp(-rate * h);
    for (let s = 0; s < steps; s++) {
      const mean = h > 0 ? shape.rise(ageAtClosing + at, ageAtClosing + at + h) / h : 0;
      value = value * keep + (mean * (1 - keep)) / rate;
      at += h;
    }
    out[i] = value;
  }
}
