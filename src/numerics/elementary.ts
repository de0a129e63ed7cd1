/**
 * Elementary functions that give the same digits everywhere. The language leaves the last digit of `Math.exp` and its
 * like to each engine, and an analysis that searches and samples makes much of a last digit: a finding would then depend
 * on which Node.js or which browser worked it out. These are made of additions, multiplications and divisions alone, which
 * the language does fix (IEEE 754), in one order. Errors are below one unit in the last place, as they are of `Math`.
 *
 * After fdlibm 5.3 (e_exp.c, e_log.c, s_expm1.c, s_log1p.c, e_log10.c, e_pow.c, k_sin.c, k_cos.c):
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc. business.
 * Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice is preserved.
 */
const double = new Float64Array(1);
const words = new Int32Array(double.buffer);
/** Which of the two words holds sign and exponent: the order of bytes is the machine's. */
const HIGH = new Uint8Array(Uint16Array.of(1).buffer)[0];
const LOW = 1 - HIGH;

function highWord(x: number): number {
  double[0] = x;
  return words[HIGH];
}

function withHighWord(x: number, high: number): number {
  double[0] = x;
  words[HIGH] = high;
  return double[0];
}

function withoutLowWord(x: number): number {
  double[0] = x;
  words[LOW] = 0;
  return double[0];
}

/** 2 to the power k, for -1022 <= k <= 1023. */
function powerOfTwo(k: number): number {
  words[HIGH] = (0x3ff + k) << 20;
  words[LOW] = 0;
  return double[0];
}

/** y times 2 to the power k. */
function scaled(y: number, k: number): number {
  if (k > 1023) return y * 2 * powerOfTwo(k - 1);
  return k < -1021 ? y * powerOfTwo(k + 1000) * powerOfTwo(-1000) : y * powerOfTwo(k);
}

const LN2_HIGH = 0.6931471803691238;
const LN2_LOW = 1.9082149292705877e-10;
const PER_LN2 = Math.LOG2E;
const TWO_54 = 18014398509481984;
const LEAST_NORMAL = 2.2250738585072014e-308;

/** A number with all its digits: one below the normal range is multiplied by 2^54. */
function normal(x: number): number {
  return x < LEAST_NORMAL ? x * TWO_54 : x;
}

/** The power of two of x, from the high word of `normal(x)`. */
function exponentOf(x: number, high: number): number {
  return (high >> 20) - 1023 - (x < LEAST_NORMAL ? 54 : 0);
}

/** What is left of exp on |x| <= ln(2) / 2: x - x^2 (1/6 - ...). */
function expRemainder(x: number): number {
  const t = x * x;
  return (
    x -
    t *
      (0.16666666666666602 +
        t *
          (-0.0027777777777015593 +
            t * (6.613756321437934e-5 + t * (-1.6533902205465252e-6 + t * 4.1381367970572385e-8))))
  );
}

/**
 * e to the power x.
 * @param x any number, dimensionless
 * @returns e^x, the same digits on every engine
 */
export function exp(x: number): number {
  if (!(x > -745.1332191019411)) return Number.isNaN(x) ? x : 0;
  if (x > 709.782712893384) return Infinity;
  const size = Math.abs(x);
  const high = highWord(size);
  if (high < 0x3e300000) return 1 + x;
  let k = 0;
  let [from, less] = [x, 0];
  if (high > 0x3fd62e42) {
    if (x === 1) return Math.E;
    k = high < 0x3ff0a2b2 ? Math.sign(x) : Math.trunc(PER_LN2 * x + (x < 0 ? -0.5 : 0.5));
    from = x - k * LN2_HIGH;
    less = k * LN2_LOW;
  }
  const r = from - less;
  const c = expRemainder(r);
  if (k === 0) return 1 - ((r * c) / (c - 2) - r);
  return scaled(1 - (less - (r * c) / (2 - c) - from), k);
}

/**
 * e to the power x, less 1, accurate where x is small.
 * @param x any number, dimensionless
 * @returns e^x - 1, the same digits on every engine
 */
export function expm1(x: number): number {
  const high = highWord(Math.abs(x));
  if (high >= 0x4043687a) {
    if (Number.isNaN(x)) return x;
    if (x < 0) return -1;
    if (x > 709.782712893384) return Infinity;
  }
  if (high < 0x3c900000) return x;
  let k = 0;
  let [r, c] = [x, 0];
  if (high > 0x3fd62e42) {
    k = high < 0x3ff0a2b2 ? Math.sign(x) : Math.trunc(PER_LN2 * x + (x < 0 ? -0.5 : 0.5));
    const from = x - k * LN2_HIGH;
    const less = k * LN2_LOW;
    r = from - less;
    c = from - r - less;
  }
  const half = 0.5 * r;
  const square = r * half;
  const r1 =
    1 +
    square *
      (-0.03333333333333313 +
        square *
          (0.0015873015872548146 +
            square * (-7.93650757867488e-5 + square * (4.008217827329362e-6 + square * -2.0109921818362437e-7))));
  const t = 3 - r1 * half;
  const e = square * ((r1 - t) / (6 - r * t));
  if (k === 0) return r - (r * e - square);
  const rest = r * (e - c) - c - square;
  if (k === -1) return 0.5 * (r - rest) - 0.5;
  if (k === 1) return r < -0.25 ? -2 * (rest - (r + 0.5)) : 1 + 2 * (r - rest);
  if (k <= -2 || k > 56) return scaled(1 - (rest - r), k) - 1;
  if (k < 20) return scaled(1 - powerOfTwo(-k) - (rest - r), k);
  return scaled(r - (rest + powerOfTwo(-k)) + 1, k);
}

/**
 * Natural logarithm.
 * @param x zero or above, dimensionless
 * @returns ln x, the same digits on every engine; NaN below zero
 */
export function log(x: number): number {
  if (!(x > 0)) return x === 0 ? -Infinity : Number.NaN;
  if (x === Infinity) return x;
  const mantissa = normal(x);
  const high = highWord(mantissa);
  let k = exponentOf(x, high);
  const part = high & 0xfffff;
  const up = (part + 0x95f64) & 0x100000;
  const f = withHighWord(mantissa, part | (up ^ 0x3ff00000)) - 1;
  k += up >> 20;
  if ((0xfffff & (2 + part)) < 3) {
    if (f === 0) return k * LN2_HIGH + k * LN2_LOW;
    const r = f * f * (0.5 - 0.3333333333333333 * f);
    return k === 0 ? f - r : k * LN2_HIGH - (r - k * LN2_LOW - f);
  }
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const odd = w * (0.3999999999940942 + w * (0.22222198432149784 + w * 0.15313837699209373));
  const even = z * (0.6666666666666735 + w * (0.2857142874366239 + w * (0.1818357216161805 + w * 0.14798198605116586)));
  const r = even + odd;
  if (((part - 0x6147a) | (0x6b851 - part)) > 0) {
    const half = 0.5 * f * f;
    return k === 0 ? f - (half - s * (half + r)) : k * LN2_HIGH - (half - (s * (half + r) + k * LN2_LOW) - f);
  }
  return k === 0 ? f - s * (f - r) : k * LN2_HIGH - (s * (f - r) - k * LN2_LOW - f);
}

/**
 * Natural logarithm of 1 + x, accurate where x is small.
 * @param x -1 or above, dimensionless
 * @returns ln(1 + x), the same digits on every engine; NaN below -1
 */
export function log1p(x: number): number {
  if (!(x > -1)) return x === -1 ? -Infinity : Number.NaN;
  if (x === Infinity) return x;
  const high = highWord(x);
  const size = high & 0x7fffffff;
  let [k, f, part, c] = [1, 0, 1, 0];
  if (high < 0x3fda827a) {
    if (size < 0x3e200000) return size < 0x3c900000 ? x : x - x * x * 0.5;
    if (high > 0 || high <= (0xbfd2bec4 | 0)) [k, f] = [0, x];
  }
  if (k !== 0) {
    const u = high < 0x43400000 ? 1 + x : x;
    const ofU = highWord(u);
    k = (ofU >> 20) - 1023;
    if (high < 0x43400000) c = (k > 0 ? 1 - (u - x) : x - (u - 1)) / u;
    part = ofU & 0xfffff;
    if (part < 0x6a09e) f = withHighWord(u, part | 0x3ff00000) - 1;
    else {
      k += 1;
      f = withHighWord(u, part | 0x3fe00000) - 1;
      part = (0x100000 - part) >> 2;
    }
  }
  const half = 0.5 * f * f;
  if (part === 0) {
    if (f === 0) return k * LN2_HIGH + (c + k * LN2_LOW);
    const r = half * (1 - 0.6666666666666666 * f);
    return k === 0 ? f - r : k * LN2_HIGH - (r - (k * LN2_LOW + c) - f);
  }
  const s = f / (2 + f);
  const z = s * s;
  const r =
    z *
    (0.6666666666666735 +
      z *
        (0.3999999999940942 +
          z *
            (0.2857142874366239 +
              z *
                (0.22222198432149784 +
                  z * (0.1818357216161805 + z * (0.15313837699209373 + z * 0.14798198605116586))))));
  return k === 0 ? f - (half - s * (half + r)) : k * LN2_HIGH - (half - (s * (half + r) + (k * LN2_LOW + c)) - f);
}

/**
 * Logarithm to base 10; whole for powers of ten.
 * @param x zero or above, dimensionless
 * @returns lg x, the same digits on every engine; NaN below zero
 */
export function log10(x: number): number {
  if (!(x > 0) || x === Infinity || x === 1) return log(x);
  const mantissa = normal(x);
  const high = highWord(mantissa);
  const k = exponentOf(x, high);
  const below = k < 0 ? 1 : 0;
  const y = k + below;
  const rest = withHighWord(mantissa, (high & 0xfffff) | ((0x3ff - below) << 20));
  return y * 3.694239077158931e-13 + Math.LOG10E * log(rest) + y * 0.30102999566361177;
}

/**
 * Logarithm to base 2.
 * @param x zero or above, dimensionless
 * @returns ln x / ln 2, the same digits on every engine; NaN below zero
 */
export function log2(x: number): number {
  return log(x) / Math.LN2;
}

/**
 * x to the power y.
 * @param x any number, dimensionless
 * @param y any number, dimensionless
 * @returns x^y, the same digits on every engine; NaN for a broken power of a number below zero
 */
export function power(x: number, y: number): number {
  if (y === 2) return x * x;
  // The language fixes these to the last digit.
  if (!Number.isFinite(x) || !Number.isFinite(y) || x === 0 || y === 0 || x === 1 || y === 1) return x ** y;
  if (x < 0) return Number.isInteger(y) ? (y % 2 === 0 ? 1 : -1) * power(-x, y) : Number.NaN;
  if (Math.abs(y) > 2 ** 31) return exp(y * log(x));
  const [t1, t2] = logOfTwoParts(x);
  const y1 = withoutLowWord(y);
  const less = (y - y1) * t1 + y * t2;
  const main = y1 * t1;
  const sum = less + main;
  if (sum > 1024 || (sum === 1024 && less + 8.008566259537294e-17 > sum - main)) return Infinity;
  if (sum < -1075 || (sum === -1075 && less <= sum - main)) return 0;
  const n = Math.abs(sum) > 0.5 ? Math.sign(sum) * Math.floor(Math.abs(sum) + 0.5) : 0;
  const rest = main - n;
  const t = withoutLowWord(less + rest);
  const u = t * 0.6931471824645996;
  const v = (less - (t - rest)) * Math.LN2 + t * -1.904654299957768e-9;
  const z = u + v;
  const w = v - (z - u);
  const c = expRemainder(z);
  return scaled(1 - ((z * c) / (c - 2) - (w + z * w) - z), n);
}

/** Logarithm to base 2 of a number above zero, as a sum of two: the first with half the digits. */
function logOfTwoParts(x: number): readonly [number, number] {
  let mantissa = x;
  let n = 0;
  let high = highWord(x);
  if (high < 0x00100000) {
    mantissa *= 9007199254740992;
    n = -53;
    high = highWord(mantissa);
  }
  n += (high >> 20) - 0x3ff;
  const part = high & 0xfffff;
  let rounded = part | 0x3ff00000;
  let near = 0;
  if (part > 0x3988e) {
    if (part < 0xbb67a) near = 1;
    else {
      n += 1;
      rounded -= 0x100000;
    }
  }
  mantissa = withHighWord(mantissa, rounded);
  const to = near ? 1.5 : 1;
  const u = mantissa - to;
  const v = 1 / (mantissa + to);
  const s = u * v;
  const sHigh = withoutLowWord(s);
  let tHigh = withHighWord(0, ((rounded >> 1) | 0x20000000) + 0x80000 + (near << 18));
  let tLow = mantissa - (tHigh - to);
  const sLow = v * (u - sHigh * tHigh - sHigh * tLow);
  let s2 = s * s;
  let r =
    s2 *
    s2 *
    (0.5999999999999946 +
      s2 *
        (0.4285714285785502 +
          s2 *
            (0.33333332981837743 + s2 * (0.272728123808534 + s2 * (0.23066074577556175 + s2 * 0.20697501780033842)))));
  r += sLow * (sHigh + s);
  s2 = sHigh * sHigh;
  tHigh = withoutLowWord(3 + s2 + r);
  tLow = r - (tHigh - 3 - s2);
  const main = sHigh * tHigh;
  const less = sLow * tHigh + tLow * s;
  const pHigh = withoutLowWord(main + less);
  const pLow = less - (pHigh - main);
  const zHigh = 0.9617967009544373 * pHigh;
  const zLow = -7.028461650952758e-9 * pHigh + pLow * 0.9617966939259756 + (near ? 1.350039202129749e-8 : 0);
  const ofNear = near ? 0.5849624872207642 : 0;
  const t1 = withoutLowWord(zHigh + zLow + ofNear + n);
  return [t1, zLow - (t1 - n - ofNear - zHigh)];
}

/**
 * Sine.
 * @param x angle, rad, |x| up to 8e5
 * @returns sin x, the same digits on every engine
 */
export function sin(x: number): number {
  const [turns, y, less] = quarterTurns(x);
  return [sinKernel(y, less), cosKernel(y, less), -sinKernel(y, less), -cosKernel(y, less)][turns];
}

/**
 * Cosine.
 * @param x angle, rad, |x| up to 8e5
 * @returns cos x, the same digits on every engine
 */
export function cos(x: number): number {
  const [turns, y, less] = quarterTurns(x);
  return [cosKernel(y, less), -sinKernel(y, less), -cosKernel(y, less), sinKernel(y, less)][turns];
}

/** Quarter turns (0 to 3) and what is left, as a sum of two, within a quarter of pi of zero (Cody and Waite). */
function quarterTurns(x: number): readonly [number, number, number] {
  if (!(Math.abs(x) > 0.7853981633974483)) return [0, x, 0];
  const n = Math.round(x * 0.6366197723675814);
  const first = x - n * 1.5707963267341256;
  const second = n * 6.077100506303966e-11;
  const r = first - second;
  const w = n * 2.0222662487959506e-21 - (first - r - second);
  const y = r - w;
  return [((n % 4) + 4) % 4, y, r - y - w];
}

function sinKernel(x: number, less: number): number {
  const z = x * x;
  const v = z * x;
  const r =
    0.00833333333332249 +
    z *
      (-0.0001984126982985795 + z * (2.7557313707070068e-6 + z * (-2.5050760253406863e-8 + z * 1.58969099521155e-10)));
  return x - (z * (0.5 * less - v * r) - less - v * -0.16666666666666632);
}

function cosKernel(x: number, less: number): number {
  const z = x * x;
  const r =
    z *
    (0.0416666666666666 +
      z *
        (-0.001388888888887411 +
          z *
            (2.480158728947673e-5 +
              z * (-2.7557314351390663e-7 + z * (2.087572321298175e-9 + z * -1.1359647557788195e-11)))));
  const half = 0.5 * z;
  const w = 1 - half;
  return w + (1 - w - half + (z * r - x * less));
}
