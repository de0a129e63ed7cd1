import * as elementary from '../numerics/elementary';
import { bell } from './bell';
import { type CooledLiquid, cooledRise, cooledTo, warmedTo, warmthAtClosing, warmthWhilePumped } from './cooled-liquid';
import type { Cause } from './finding';
import type { JointLikelihood, Roughness } from './joint-likelihood';
import {
  bentPowerLoad,
  constantLoad,
  diffusionLoad,
  drainedRise,
  type LoadShape,
  molecularPocketLoad,
  partlyRenewed,
  saturating,
  viscousPocketLoad,
} from './load-shapes';
import { quickNormalCdf } from './normal-table';
import type { IsolationEvidence, RecordEvidence } from './record-evidence';
import { suddenStop } from './sudden-stop';

/** A source (or sink) of gas as the forward models know it. */
export type Source =
  | 'outgassing'
  | 'diffusion'
  | 'pocket'
  | 'viscous pocket'
  | 'vapour'
  | 'cooled vapour'
  | 'fading vapour'
  | 'drying vapour'
  | 'warming vapour'
  | 'filling line'
  | 'sink'
  | 'leak';

/** The cause that a source belongs to. */
export const CAUSE_OF: Readonly<Record<Source, Cause>> = {
  outgassing: 'outgassing',
  diffusion: 'outgassing',
  pocket: 'virtual leak',
  'viscous pocket': 'virtual leak',
  vapour: 'evaporation',
  'cooled vapour': 'evaporation',
  'fading vapour': 'evaporation',
  'drying vapour': 'evaporation',
  'warming vapour': 'evaporation',
  'filling line': 'passing valve',
  sink: 'sink',
  leak: 'real leak',
};

/** A running pump that draws through a seat; walls, and a gauge that ionises, which take gas up again. */
export type Drain = 'seat' | 'surfaces';

/** What a set of sources says about the whole record. */
export interface Hypothesis {
  readonly name: string;
  /** The leak, where it is there, comes last. */
  readonly sources: readonly Source[];
  /** By what gas leaves again, in proportion to the pressure; null where it stays. */
  readonly drain: Drain | null;
  /** True where the room's temperature moves the pressure more than usual. */
  readonly warm: boolean;
  /** Prior weight; need not be normalised. */
  readonly prior: number;
}

/**
 * How far a source may differ from itself between isolations: walls follow the temperature (12 to 15 % per kelvin for
 * water on metal, common practice) and take gas back, a liquid cools itself and freezes; a leak and a pocket do not.
 * Relative, times the drift, which the record itself sets.
 */
const BETWEEN: Readonly<Record<Source, number>> = {
  outgassing: 0.06,
  diffusion: 0.06,
  pocket: 0,
  'viscous pocket': 0,
  vapour: 0.2,
  'cooled vapour': 0.2,
  'fading vapour': 0.1,
  'drying vapour': 0.2,
  'warming vapour': 0.2,
  'filling line': 0.1,
  sink: 0.1,
  leak: 0,
};
/** Sources that end at a pressure of their own. */
export const SATURATES: ReadonlySet<Source> = new Set([
  'vapour',
  'cooled vapour',
  'fading vapour',
  'drying vapour',
  'sink',
]);

/**
 * Whether a source is a vapour that ends at its saturation pressure.
 * @param source the source
 */
export function isVapour(source: Source): boolean {
  return source !== 'sink' && SATURATES.has(source);
}

/** A liquid or ice that does not cool itself follows the room, by some 7 % per kelvin. */
const BETWEEN_UNCOOLED = 0.06;
/** Pa. */
const COOLS_PA = 10;

/** By how much a rise that comes to rest differs from one isolation to the next, as closing is not known to the second. */
const CLOSING_BETWEEN = 0.02;
/** The most by which a source may differ from itself between isolations. */
const MOST_BETWEEN = 0.4;

/**
 * What sits beside a leak, with its weight before the record is seen: a judgement of how often each is met, settled on
 * the training seeds of the bench.
 */
const COMPANIONS: readonly (Omit<Hypothesis, 'name' | 'prior'> & {
  readonly alone: number;
  readonly withLeak: number;
})[] = [
  { sources: [], drain: null, warm: false, alone: 0.1, withLeak: 0.16 },
  { sources: ['outgassing'], drain: null, warm: false, alone: 0.3, withLeak: 0.18 },
  { sources: ['diffusion'], drain: null, warm: false, alone: 0.004, withLeak: 0.0015 },
  { sources: ['pocket'], drain: null, warm: false, alone: 0.05, withLeak: 0.025 },
  { sources: ['viscous pocket'], drain: null, warm: false, alone: 0.015, withLeak: 0.006 },
  { sources: ['vapour'], drain: null, warm: false, alone: 0.07, withLeak: 0.03 },
  { sources: ['cooled vapour'], drain: null, warm: false, alone: 0.03, withLeak: 0.005 },
  { sources: ['fading vapour'], drain: null, warm: false, alone: 0.015, withLeak: 0.004 },
  { sources: ['drying vapour'], drain: null, warm: false, alone: 0.015, withLeak: 0.004 },
  { sources: ['warming vapour'], drain: null, warm: false, alone: 0.005, withLeak: 0.001 },
  { sources: ['outgassing', 'pocket'], drain: null, warm: false, alone: 0.04, withLeak: 0.025 },
  { sources: ['outgassing', 'vapour'], drain: null, warm: false, alone: 0.03, withLeak: 0.02 },
  { sources: ['outgassing'], drain: 'seat', warm: false, alone: 0.02, withLeak: 0.01 },
  { sources: [], drain: 'seat', warm: false, alone: 0, withLeak: 0.02 },
  { sources: ['outgassing'], drain: 'surfaces', warm: false, alone: 0.015, withLeak: 0.008 },
  { sources: ['pocket'], drain: 'surfaces', warm: false, alone: 0.002, withLeak: 0 },
  { sources: [], drain: 'surfaces', warm: false, alone: 0, withLeak: 0.015 },
  { sources: ['filling line'], drain: null, warm: false, alone: 0.003, withLeak: 0.001 },
  { sources: ['outgassing', 'filling line'], drain: null, warm: false, alone: 0.003, withLeak: 0 },
  { sources: [], drain: null, warm: true, alone: 0.04, withLeak: 0.02 },
  { sources: ['outgassing'], drain: null, warm: true, alone: 0.02, withLeak: 0.01 },
  { sources: ['sink'], drain: null, warm: false, alone: 0.03, withLeak: 0.015 },
  { sources: ['outgassing', 'sink'], drain: null, warm: false, alone: 0.012, withLeak: 0 },
];

const DRAINS: Readonly<Record<Drain, string>> = { seat: 'seat', surfaces: 'uptake' };

/** All sets of sources that are weighed against each other. */
export function allHypotheses(): Hypothesis[] {
  return COMPANIONS.flatMap((one) => {
    const label = [
      ...one.sources,
      ...(one.drain === null ? [] : [DRAINS[one.drain]]),
      ...(one.warm ? ['temperature'] : []),
    ];
    const common = { drain: one.drain, warm: one.warm };
    const alone = { name: label.join(' + ') || 'nothing', sources: one.sources, prior: one.alone, ...common };
    const leaking = {
      name: [...label, 'leak'].join(' + '),
      sources: [...one.sources, 'leak' as const],
      prior: one.withLeak,
      ...common,
    };
    return [alone, leaking].filter((set) => set.prior > 0);
  });
}

/** Above this surfaces take up next to nothing of what is there, Pa. */
const NO_UPTAKE_PA = 30;

/**
 * Whether a set is worth weighing on a record at all.
 * @param hypothesis the set of sources
 * @param evidence the thinned record
 */
export function isPossible({ drain }: Hypothesis, { isolations }: RecordEvidence): boolean {
  if (drain !== 'surfaces') return true;
  // Where the pressure falls, or what was let in is taken up, the sink is what is to be found.
  if (isolations.some((one) => one.filled || falls(one))) return false;
  return isolations.some(({ pa }) => pa[pa.length - 1] < NO_UPTAKE_PA);
}

/**
 * What stands beside the leak in a set of sources.
 * @param name of the set
 * @returns the name of the same set without its leak; empty for a leak alone
 */
export function nameBesideLeak(name: string): string {
  return name.replace(/ ?\+? ?leak$/, '');
}

/** The nonlinear parameters of a hypothesis as values with a unit. */
export interface Shapes {
  exponent: number;
  /** Change of that exponent per factor e of age. */
  bend: number;
  /** How much of walls and pockets a vent inside the record has charged again, 0 to 1. */
  renewed: number;
  /** Age of the walls' clock at the reference moment, s. */
  clockS: number;
  pocketS: number;
  /** Time in which rubber or plastic gives off most of its gas, s. */
  driesInS: number;
  vapourPerS: number;
  /** Logarithm of a liquid's vapour pressure at the temperature of its vessel over the same when pumping has cooled it. */
  warmth: number;
  /** How fast it warms again when it is shut in, 1/s. */
  rewarmPerS: number;
  /** How fast the end pressure of a vapour that is held in oil or rubber falls with the time pumped, 1/s. */
  fadesPerS: number;
  /** How fast the load of a liquid or ice grows that warms while it is shut in, 1/s. */
  growsPerS: number;
  /** Time in which the line behind a shut valve fills once its pump stands still, s. */
  fillsInS: number;
  /** How fast the gas follows a change of the temperature around it, 1/s. */
  warmingPerS: number;
  /** How far the temperature of the gas wanders besides, K per square root of half an hour. */
  kelvin: number;
  drainPerS: number;
  speedPerS: number;
  wobble: number;
  /** How much more than usual the sources differ from isolation to isolation. */
  drift: number;
  dryAtS: number;
}

type ShapeName = keyof Shapes;

/** A hypothesis made ready for one record: columns for any shape parameters. */
export interface Prepared {
  readonly hypothesis: Hypothesis;
  /** The shape parameters in use; each has a standard normal prior in its own coordinate. */
  readonly names: readonly ShapeName[];
  /** Turns coordinates into values with a unit. */
  shapes(z: ArrayLike<number>): Shapes;
  /** Columns before those of the sources: 1 where the pump's own pressure is one, else 0. */
  readonly lead: number;
  /** Fills the columns and gives what else the likelihood needs. */
  columns(shapes: Shapes): { columns: Float64Array[]; roughness: Roughness; shift: Float64Array | null };
  /** Factor from an amplitude to the load per volume, Pa/s, at the closing and at the end of isolation `i`. */
  loads(shapes: Shapes, source: number, isolation: number): { closing: number; end: number };
  /** Logarithm of the prior of the amplitudes beyond the half-normal one. */
  amplitudePrior(shapes: Shapes, amplitudes: ArrayLike<number>): number;
}

/**
 * Prepares a hypothesis for a record.
 * @param hypothesis the set of sources
 * @param evidence the thinned record
 * @param likelihood the same record laid out in rows
 * @param thermal true where the gauge reads vapour high
 */
export function prepare(
  hypothesis: Hypothesis,
  evidence: RecordEvidence,
  likelihood: JointLikelihood,
  thermal: boolean,
): Prepared {
  const { sources, drain, warm } = hypothesis;
  const drained = drain !== null;
  const seat = drain === 'seat';
  const names: ShapeName[] = ['wobble'];
  const several = evidence.isolations.length > 1;
  const stop = sources.includes('drying vapour') ? suddenStop(evidence.isolations) : null;
  const hasPumped = likelihood.rows > likelihood.firstPumpedRow;
  const vented = evidence.isolations.some((one) => one.olderS > 1.001 * one.ageS);
  if (sources.includes('outgassing')) names.push('exponent', 'clockS');
  if (sources.includes('outgassing') && (several || hasPumped)) names.push('bend');
  if (vented && sources.some((one) => one !== 'leak' && shapeOf(one, STANDARD) !== null)) names.push('renewed');
  if (sources.includes('diffusion')) names.push('driesInS');
  if (sources.includes('pocket') || sources.includes('viscous pocket')) names.push('pocketS');
  if (sources.some((one) => SATURATES.has(one))) names.push('vapourPerS');
  if (sources.includes('fading vapour')) names.push('fadesPerS');
  if (sources.includes('cooled vapour')) names.push('warmth', 'rewarmPerS');
  if (sources.includes('warming vapour')) names.push('growsPerS');
  if (sources.includes('filling line')) names.push('fillsInS');
  if (sources.includes('drying vapour') || sources.includes('warming vapour')) names.push('dryAtS');
  if (warm) names.push('warmingPerS', 'kelvin');
  if (drained) names.push('drainPerS');
  if (
    sources.some((source) => BETWEEN[source] > 0) &&
    (evidence.isolations.length > 1 || names.includes('vapourPerS'))
  ) {
    names.push('drift');
  }
  if (hasPumped && sources.length > 0) names.push('speedPerS');

  const first = evidence.isolations[0];
  const last = evidence.isolations[evidence.isolations.length - 1];
  const shortest = evidence.isolations.reduce((least, one) => Math.min(least, one.endS - one.closeS), Infinity);
  const longest = evidence.longestS;
  const wholeS = last.endS - first.closeS + first.ageS;
  const meanRate = likelihood.scalePa / longest;
  const steady = Math.max(evidence.steadyPa ?? 0, 1e-3 * likelihood.scalePa);
  const speed = evidence.pumping ?? { perS: meanRate / steady, relative: 2 };

  // What follows the room's temperature wanders more, the longer it is watched.
  const follows = sources.some((source) => BETWEEN[source] > 0);
  const usualWobble = follows ? 0.006 * Math.min(2, Math.max(1, Math.sqrt(longest / 1800))) : 0.004;
  const wobbleSpread = follows ? 1.4 : 1.1;

  // What begins slowly for some seconds or readings only is the stroke of a valve.
  const soonest = Math.max(shortest / 60, VALVE_STROKE_S, 4 * evidence.stepS);

  const shapes = (z: ArrayLike<number>): Shapes => {
    const out: Shapes = { ...STANDARD, speedPerS: speed.perS, wobble: usualWobble };
    names.forEach((name, i) => {
      const x = Math.min(6, Math.max(-6, z[i]));
      if (name === 'exponent') out.exponent = Math.min(1.4, Math.max(0.3, 0.93 + 0.22 * x));
      else if (name === 'bend') out.bend = Math.min(1, Math.max(-0.4, 0.06 * x * (1 + 0.2 * x * x)));
      else if (name === 'renewed') out.renewed = quickNormalCdf(1.5 * x);
      else if (name === 'clockS') {
        out.clockS = evidence.clockKnown
          ? Math.max(1e-3, 0.06 * first.ageS * elementary.exp(1.2 * x))
          : logUniform(x, Math.max(1, 0.02 * longest), Math.max(1e6, 30 * wholeS));
      } else if (name === 'pocketS') out.pocketS = logUniform(x, shortest / 15, 8 * wholeS);
      else if (name === 'driesInS') out.driesInS = logUniform(x, shortest / 15, 30 * wholeS);
      else if (name === 'vapourPerS') out.vapourPerS = logUniform(x, 0.03 / longest, FASTEST / shortest);
      else if (name === 'warmth') out.warmth = Math.min(MOST_WARMTH, 0.7 * elementary.exp(0.8 * x));
      else if (name === 'rewarmPerS') out.rewarmPerS = logUniform(x, 0.05 / longest, 20 / longest);
      else if (name === 'fadesPerS') out.fadesPerS = logUniform(x, 0.1 / wholeS, 10 / wholeS);
      else if (name === 'growsPerS') out.growsPerS = logUniform(x, 0.3 / longest, 8 / shortest);
      else if (name === 'fillsInS') out.fillsInS = logUniform(x, soonest, Math.max(3 * longest, 4 * soonest));
      else if (name === 'warmingPerS') out.warmingPerS = logUniform(x, 0.2 / longest, 20 / shortest);
      else if (name === 'kelvin') out.kelvin = Math.min(MOST_KELVIN, 0.5 * elementary.exp(1.1 * x));
      else if (name === 'drainPerS') out.drainPerS = logUniform(x, (seat ? 0.3 : 0.03) / longest, FASTEST / shortest);
      else if (name === 'speedPerS') out.speedPerS = speed.perS * elementary.exp(speed.relative * x);
      else if (name === 'wobble') out.wobble = usualWobble * elementary.exp(wobbleSpread * x);
      else if (name === 'drift') out.drift = driftOf(x);
      else if (name === 'dryAtS') {
        out.dryAtS =
          stop === null
            ? first.closeS + (last.endS - first.closeS) * quickNormalCdf(x)
            : stop.atS + Math.min(3, Math.max(-3, x)) * stop.withinS;
      }
    });
    return out;
  };

  // Below some ten pascal evaporation takes too little heat to cool what evaporates (calc).
  const betweenOf = (one: Source): number =>
    one === 'vapour' && likelihood.scalePa < COOLS_PA ? BETWEEN_UNCOOLED : BETWEEN[one];

  const hasVapour = sources.includes('vapour') || sources.includes('drying vapour');
  const swing = warm ? new Float64Array(likelihood.rows) : null;
  const lead = hasPumped ? 1 : 0;
  const buffers = sources.map(() => new Float64Array(likelihood.rows));
  // A seat draws towards the pump's own pressure, and not towards nothing.
  const base = seat ? likelihood.baseColumn.slice() : likelihood.baseColumn;
  const all = lead > 0 ? [base, ...buffers] : buffers;
  const vapour = sources.find(isVapour);
  // The heat balance counts all that stands there as vapour; else what all isolations begin with may be another gas.
  const begins = evidence.isolations.reduce(
    (least, one) => (one.filled ? least : Math.min(least, one.closePa)),
    Infinity,
  );
  const common = vapour === undefined || vapour === 'cooled vapour' || !Number.isFinite(begins) ? 0 : begins;
  const moves = drained || evidence.isolations.some((one) => !one.filled && one.closePa > common);
  const shift = moves && (drained || vapour !== undefined) ? new Float64Array(likelihood.rows) : null;
  const factors = new Float64Array(sources.length);

  const columns = (s: Shapes): { columns: Float64Array[]; roughness: Roughness; shift: Float64Array | null } => {
    sources.forEach((source, c) => {
      factors[c] = fillColumn(source, s, drain, evidence, likelihood, buffers[c]);
    });
    if (shift !== null) {
      // What stands there at closing leaves through the seat, or keeps as much vapour from coming.
      const perS = drained ? s.drainPerS : s.vapourPerS;
      evidence.isolations.forEach((one, i) => {
        const from = likelihood.firstRow[i];
        const until = vapour === 'drying vapour' ? Math.max(0, s.dryAtS - one.closeS) : Infinity;
        const there = drained ? one.closePa : one.filled ? 0 : one.closePa - common;
        for (let b = 0; b < one.pa.length; b++) {
          const part = saturating(perS, Math.min(until, one.timeS[b] - one.closeS));
          shift[from + b] = there * part;
          if (seat && lead > 0) base[from + b] = base[likelihood.rows - 1] * part;
        }
      });
    }
    if (swing !== null) {
      evidence.isolations.forEach((one, i) => {
        for (let b = 0; b < one.pa.length; b++) {
          const part = saturating(s.warmingPerS, one.timeS[b] - one.closeS);
          swing[likelihood.firstRow[i] + b] = (one.closePa * part * SWING_K) / 293;
        }
      });
    }
    const least = drained ? CLOSING_BETWEEN : 0;
    const own = several ? sources.map((one) => Math.max(least, Math.min(MOST_BETWEEN, betweenOf(one) * s.drift))) : [];
    const between = lead > 0 && several ? [0, ...own] : own;
    const ramp = hasVapour ? Math.min(0.25, 0.12 * s.drift) : 0;
    return { columns: all, roughness: { wobble: s.wobble, kelvin: s.kelvin, between, ramp, swing }, shift };
  };

  const loads = (s: Shapes, c: number, i: number): { closing: number; end: number } => {
    const one = evidence.isolations[i];
    const shape = shapeAt(sources[c], s, evidence, one.olderS - one.ageS);
    const now = factors[c] * faded(sources[c], s, evidence, one.olderS);
    if (sources[c] === 'cooled vapour') return cooledLoads(s, evidence, i, now);
    const at = (elapsed: number): number => now * isolatedLoad(sources[c], s, one, elapsed, shape);
    return { closing: at(0), end: at(one.endS - one.closeS) };
  };

  // A seat cannot draw a chamber below the pressure that the open valve had brought it to; only what was filled can fall so.
  const fell = !evidence.heldByFlow && evidence.isolations.some((one) => !one.filled && falls(one));
  // What only gives gas off makes no fall, however it differs from one isolation to the next.
  const gives = !drained && !warm && !sources.includes('sink');
  const cannot = gives && evidence.isolations.every(falls) ? ONLY_FALLS : 0;
  const oldest = evidence.isolations.reduce((most, one) => Math.max(most, one.ageS), 0);
  const amplitudePrior = (s: Shapes, amplitudes: ArrayLike<number>): number => {
    const endPa = last.pa[last.pa.length - 1];
    let log = cannot;
    if (seat) log += elementary.log(fell ? 1e-6 : seatPrior(endPa));
    else if (drained) log += uptakePrior(endPa);
    if (drained && names.includes('speedPerS')) log += shutPrior(s.drainPerS / s.speedPerS);
    // Before the record was seen, it might have run dry at any moment.
    if (stop !== null) log += elementary.log(Math.min(1, (2.5 * stop.withinS) / (last.endS - first.closeS)));
    sources.forEach((source, c) => {
      const amplitude = amplitudes[c + lead];
      const end = factors[c] * amplitude;
      if (BETWEEN[source] > 0 && names.includes('drift')) log += driftPrior(s.drift, amplitude);
      if (isVapour(source)) {
        const warmed = source === 'cooled vapour' ? elementary.exp(warmthAtEnd(s, evidence)) : 1;
        const there = last.filled ? 0 : Math.max(0, last.closePa);
        const whole = end * warmed + common;
        const saturation = whole / (thermal ? 1.6 : 1);
        const expected = source === 'cooled vapour' ? cooledPrior(saturation) : vapourPrior(saturation);
        log += logAgainstHalfNormal(expected, amplitude);
        log += risingPrior(whole, there);
      } else if (source === 'warming vapour') {
        log += warmingPrior(likelihood.scalePa * amplitude);
      } else if (source === 'outgassing' || source === 'diffusion') {
        log += wallsPrior(end);
        if (source === 'outgassing') {
          const latest = localExponent(s, first.ageS, oldest);
          log += flatteningPrior(latest) + steepeningPrior(latest);
        }
      } else if (source === 'sink') {
        log += logAgainstHalfNormal(sinkPrior(end / Math.max(last.closePa, 1e-12)), amplitude);
      }
    });
    return log;
  };

  return { hypothesis, names, lead, shapes, columns, loads, amplitudePrior };
}

/** Whether the pressure falls in an isolation beyond its noise and beyond what the room may do. */
function falls(one: IsolationEvidence): boolean {
  const n = one.pa.length;
  // A burst at closing is no fall: what counts is where the open valve had brought it to.
  const from = Math.min(one.pa[0], one.closePa);
  const fall = from - one.pa[n - 1];
  return fall > 8 * Math.hypot(one.sd[0], one.sd[n - 1]) && fall > 0.02 * Math.abs(from);
}

/** Which part of a saturation pressure is not yet there at closing, as the rise shows it. */
function unfilledPart(one: IsolationEvidence, perS: number): number {
  const n = one.pa.length;
  const risen = Math.max(0, one.pa[n - 1] - one.closePa) / Math.max(saturating(perS, one.endS - one.closeS), 1e-9);
  return risen > 0 ? risen / (risen + Math.max(0, one.closePa)) : 0;
}

/** The logarithm by which the vapour pressure of a cooled liquid has grown at the end of the last isolation. */
function warmthAtEnd(liquid: CooledLiquid, evidence: RecordEvidence): number {
  const closing = warmthAtClosing(liquid, evidence);
  const last = evidence.isolations[closing.length - 1];
  return warmedTo(liquid, closing[closing.length - 1], last.endS - last.closeS);
}

/** Loads of a cooled liquid for a saturation pressure of `now` when it is coldest, Pa/s. */
function cooledLoads(
  liquid: CooledLiquid,
  evidence: RecordEvidence,
  i: number,
  now: number,
): { closing: number; end: number } {
  const one = evidence.isolations[i];
  const closing = warmthAtClosing(liquid, evidence)[i];
  const span = one.endS - one.closeS;
  const out = new Float64Array(8);
  cooledRise(
    liquid,
    closing,
    out.map((_, j) => (span * (j + 1)) / 8),
    out,
  );
  const saturated = elementary.exp(warmedTo(liquid, closing, span));
  const open = unfilledPart(one, liquid.vapourPerS);
  return {
    closing: now * open * liquid.vapourPerS * elementary.exp(closing),
    end: now * liquid.vapourPerS * Math.max(0, saturated - out[7]),
  };
}

/** Shape parameters of what a hypothesis does not hold. */
const STANDARD: Shapes = {
  exponent: 1,
  bend: 0,
  renewed: 1,
  clockS: 0,
  pocketS: 1,
  driesInS: 1,
  vapourPerS: 1,
  warmth: 0,
  rewarmPerS: 1,
  fadesPerS: 0,
  growsPerS: 1,
  fillsInS: 1,
  warmingPerS: 1,
  kelvin: 0.15,
  drainPerS: 1,
  speedPerS: 1,
  wobble: 0.004,
  drift: 0.5,
  dryAtS: 0,
};

/** More than this the gas of a vessel does not wander in half an hour, K per square root of it (common practice). */
const MOST_KELVIN = 5;
/** A liquid does not become colder than some 50 K below its vessel: its vapour pressure falls by this, as a logarithm. */
const MOST_WARMTH = 4;
/** Vapour and gas through a seat come to rest in this part of the shortest isolation at the fastest, inverted. */
const FASTEST = 60;
/** How far the temperature of gas moves in one isolation where it is what moves the pressure, K. */
const SWING_K = 3;

/**
 * The likelihood lets a source wander by the drift times a rise as large as the record's; one that makes a small part of
 * the rise and wanders as far drifts the more for its size. The prior of the drift at that, against the same at the
 * drift itself, as a logarithm.
 */
function driftPrior(drift: number, amplitude: number): number {
  const part = Math.min(1, Math.max(0.02, amplitude));
  const at = (value: number): number => Math.max(0, elementary.log(value / USUAL_DRIFT) / DRIFT_SPREAD);
  return 0.5 * (at(Math.max(drift, 1e-3)) ** 2 - at(Math.max(drift, 1e-3) / part) ** 2);
}

const USUAL_DRIFT = 0.5;
const DRIFT_SPREAD = 1.4;

/** Valves are shut and gauges have followed within this time, s (common practice, no source). */
const VALVE_STROKE_S = 10;

/** Drift of a coordinate: none in a third of the prior, else log-normal about one half. */
function driftOf(x: number): number {
  return USUAL_DRIFT * elementary.exp(DRIFT_SPREAD * x) * Math.min(1, Math.max(0, (x + 0.45) / 0.6));
}

function logUniform(z: number, low: number, high: number): number {
  return low * elementary.power(high / low, quickNormalCdf(z));
}

/** How unlikely a set without anything that takes gas away is where every isolation falls, as a logarithm. */
const ONLY_FALLS = -8;

/** A source that would have made the pumped pressure this many rises high is as good as excluded. */
const IMPOSSIBLE = 1e6;

/** Fills one column, scaled so that amplitude 1 makes the largest observed rise; returns the scaling factor. */
function fillColumn(
  source: Source,
  s: Shapes,
  drain: Drain | null,
  evidence: RecordEvidence,
  likelihood: JointLikelihood,
  out: Float64Array,
): number {
  let largest = 0;
  const closing = source === 'cooled vapour' ? warmthAtClosing(s, evidence) : [];
  evidence.isolations.forEach((one, i) => {
    const shape = shapeAt(source, s, evidence, one.olderS - one.ageS);
    const from = likelihood.firstRow[i];
    const n = one.pa.length;
    const age = one.ageS + (source === 'outgassing' ? s.clockS : 0);
    const elapsed = likelihood.elapsedS[i];
    if (drain !== null && shape !== null) {
      drainedRise(shape, s.drainPerS, age, elapsed, out.subarray(from, from + n));
    } else if (source === 'cooled vapour') {
      cooledRise(s, closing[i], elapsed, out.subarray(from, from + n));
    } else {
      let before = 0;
      let risen = 0;
      for (let b = 0; b < n; b++) {
        const now = elapsed[b];
        if (shape !== null) {
          const still = one.pa[b] > 100 ? left(source, one.pa[b], evidence.clockKnown ? shape.load(age + now) : 1) : 1;
          risen += shape.rise(age + before, age + now) * still;
        } else risen = faded(source, s, evidence, one.olderS) * otherRise(source, s, one.closeS, now);
        out[from + b] = risen;
        before = now;
      }
    }
    largest = Math.max(largest, Math.abs(out[from + n - 1] - out[from]));
  });
  const factor = largest > 1e-300 ? likelihood.scalePa / largest : 0;
  for (let r = 0; r < likelihood.firstPumpedRow; r++) out[r] *= factor;
  let row = likelihood.firstPumpedRow;
  for (const one of evidence.pumped) {
    const shape = shapeAt(source, s, evidence, one.olderS[0] - one.ageS[0]);
    for (let b = 0; b < one.pa.length; b++) {
      const load = faded(source, s, evidence, one.olderS[b]) * pumpedLoad(source, s, shape, one.ageS[b], one.timeS[b]);
      const warmed =
        source === 'cooled vapour'
          ? elementary.exp(warmthWhilePumped(s, closing, evidence, one.timeS[b], one.ageS[b]))
          : 1;
      // A vapour comes the slower, the nearer the pumped pressure is to saturation; surfaces pump beside the pump.
      const against = source === 'cooled vapour' ? s.vapourPerS : drain === 'surfaces' ? s.drainPerS : 0;
      const pumpedPa = (factor * warmed * load) / (s.speedPerS + against);
      out[row++] = Math.min(pumpedPa, IMPOSSIBLE * likelihood.scalePa);
    }
  }
  return factor;
}

/** What is left, after so long a time of pumping, of a vapour that fades: 1 at the first isolation. */
function faded(source: Source, s: Shapes, evidence: RecordEvidence, olderS: number): number {
  const { olderS: first } = evidence.isolations[0];
  if (source !== 'fading vapour') return 1;
  return elementary.exp(Math.min(20, -s.fadesPerS * (olderS - first)));
}

/**
 * What is left of a flow against the pressure that it has made: air from outside (laminar and choked paths, between
 * both), or gas from a pocket that held air of the atmosphere when pumping began.
 */
function left(source: Source, pa: number, load: number): number {
  if (source === 'leak' && pa > 3000) return Math.max(0.05, 1 - 0.8 * (pa / ATMOSPHERE) ** 2);
  if (source === 'pocket') return Math.max(0.05, 1 - pa / (ATMOSPHERE * load));
  if (source === 'viscous pocket') return Math.max(0.05, 1 - (pa / ATMOSPHERE) ** 2 / load);
  return 1;
}

/** Pa. */
const ATMOSPHERE = 101325;

/** The shape after a vent that has charged walls or a pocket again in part. */
function shapeAt(source: Source, s: Shapes, evidence: RecordEvidence, olderS: number): LoadShape | null {
  const shape = shapeOf(source, s, evidence.isolations[0].ageS + s.clockS);
  return shape === null || source === 'leak' ? shape : partlyRenewed(s.renewed, shape, olderS);
}

function shapeOf(source: Source, s: Shapes, at = 1): LoadShape | null {
  if (source === 'leak') return constantLoad;
  if (source === 'outgassing') return bentPowerLoad(s.exponent, s.bend, Math.max(1e-3, at));
  if (source === 'diffusion') return diffusionLoad(s.driesInS);
  if (source === 'pocket') return molecularPocketLoad(s.pocketS);
  if (source === 'viscous pocket') return viscousPocketLoad(s.pocketS);
  return null;
}

function otherRise(source: Source, s: Shapes, closeS: number, elapsed: number): number {
  const sign = source === 'sink' ? -1 : 1;
  if (source === 'warming vapour') {
    return elementary.expm1(s.growsPerS * Math.min(elapsed, Math.max(0, s.dryAtS - closeS))) / s.growsPerS;
  }
  // Gas comes from behind the seat as far as the line there has filled.
  if (source === 'filling line') return elapsed - s.fillsInS * saturating(1 / s.fillsInS, elapsed);
  const wet = source === 'drying vapour' ? Math.min(elapsed, Math.max(0, s.dryAtS - closeS)) : elapsed;
  return sign * saturating(s.vapourPerS, wet);
}

function pumpedLoad(source: Source, s: Shapes, shape: LoadShape | null, ageS: number, atS: number): number {
  if (shape !== null) return shape.load(Math.max(1e-3, ageS + (source === 'outgassing' ? s.clockS : 0)));
  // What warms when it is shut in was kept cold by a trap or a pump that takes its vapour at a speed of its own.
  if (source === 'warming vapour' || source === 'filling line') return 0;
  if (source === 'sink' || (source === 'drying vapour' && atS > s.dryAtS)) return 0;
  return s.vapourPerS;
}

/**
 * How much of a source's load at the last closing would be left after more time.
 * @param source the source
 * @param s its shape parameters
 * @param evidence the thinned record
 * @param furtherS seconds after the last closing
 * @returns load then over load at the last closing
 */
export function futureLoad(source: Source, s: Shapes, evidence: RecordEvidence, furtherS: number): number {
  const last = evidence.isolations[evidence.isolations.length - 1];
  const shape = shapeAt(source, s, evidence, last.olderS - last.ageS);
  const dries = source === 'drying vapour' || source === 'warming vapour';
  if (source === 'fading vapour') return elementary.exp(-s.fadesPerS * furtherS);
  if (source === 'cooled vapour') {
    const closing = warmthAtClosing(s, evidence);
    const warm = closing[closing.length - 1];
    return elementary.exp(cooledTo(s, warm, furtherS) - warm);
  }
  if (shape === null) return dries && last.closeS + furtherS > s.dryAtS ? 0 : 1;
  const age = Math.max(1e-3, last.ageS + (source === 'outgassing' ? s.clockS : 0));
  const now = shape.load(age);
  return now > 0 ? shape.load(age + furtherS) / now : 0;
}

/** Load per volume of amplitude 1 before scaling, Pa/s, `elapsed` seconds after closing. */
function isolatedLoad(
  source: Source,
  s: Shapes,
  one: IsolationEvidence,
  elapsed: number,
  shape: LoadShape | null,
): number {
  if (shape !== null) return shape.load(Math.max(1e-3, one.ageS + elapsed + (source === 'outgassing' ? s.clockS : 0)));
  if ((source === 'drying vapour' || source === 'warming vapour') && one.closeS + elapsed > s.dryAtS) return 0;
  if (source === 'warming vapour') return elementary.exp(s.growsPerS * elapsed);
  if (source === 'filling line') return saturating(1 / s.fillsInS, elapsed);
  return (source === 'sink' ? -1 : 1) * s.vapourPerS * elementary.exp(-s.vapourPerS * elapsed);
}

/** How likely an end pressure is for a vapour, per decade: liquids and solvents near room temperature (some hundred to
 * some ten thousand Pa), ice and cold liquids, vapour held in oil. */
function vapourPrior(endPa: number): number {
  const x = elementary.log10(Math.max(endPa, 1e-9));
  return 0.6 * bell(x, 3.4, 0.4) + 0.28 * bell(x, 2.1, 0.6) + 0.12 * bell(x, 0.7, 0.8);
}

/** The same for one that cools itself: below some ten pascal evaporation takes too little heat for that (calc). */
function cooledPrior(endPa: number): number {
  const x = elementary.log10(Math.max(endPa, 1e-9));
  return 0.7 * bell(x, 3.4, 0.4) + 0.3 * bell(x, 2.3, 0.5);
}

/** A vapour that would have to condense from the closing on is a sink, not evaporation, as a logarithm. */
function risingPrior(endPa: number, closePa: number): number {
  return endPa < closePa ? -Math.min(30, 0.5 * ((1 - endPa / closePa) / 0.01) ** 2) : 0;
}

/** Walls and seals seldom make more than some hundred Pa between two pumpings (common practice), as a logarithm. */
function wallsPrior(risePa: number): number {
  return risePa > 100 ? -0.5 * (elementary.log10(risePa / 100) / 0.5) ** 2 : 0;
}

/** The power by which a bent load of walls falls at an age. */
function localExponent(s: Shapes, firstS: number, ageS: number): number {
  return s.exponent + s.bend * elementary.log((ageS + s.clockS) / Math.max(firstS + s.clockS, 1e-3));
}

/**
 * Walls of several kinds flatten out, but not below what diffusion out of rubber does, a power of one half (common
 * practice): a load that does not fall at all is a leak or permeation, as a logarithm.
 */
function flatteningPrior(exponent: number): number {
  return exponent < 0.4 ? -0.5 * ((0.4 - exponent) / 0.12) ** 2 : 0;
}

/** Nor do walls fall much more steeply than 1/t, unless what they hold runs out, which is diffusion: as a logarithm. */
function steepeningPrior(exponent: number): number {
  return exponent > 1.4 ? -0.5 * ((exponent - 1.4) / 0.25) ** 2 : 0;
}

/** Ice or a liquid that warms makes more than a tenth of a pascal, as a logarithm. */
function warmingPrior(risePa: number): number {
  return risePa < 0.1 ? -0.5 * (elementary.log10(Math.max(risePa, 1e-12) / 0.1) / 0.5) ** 2 : 0;
}

/** How likely it is that a seat, not a vapour, ends a rise at this pressure: relative to 1 at its most likely. */
function seatPrior(endPa: number): number {
  return 0.8 * Math.max(endPa < 1 ? 0.3 : 0.01, elementary.exp(-0.5 * elementary.log10(Math.max(endPa, 1e-9)) ** 2));
}

/**
 * Walls hold a layer of some 4e-5 Pa m3 on a square metre, and an ionising gauge works below a pascal: higher up what they
 * take away is next to nothing beside what is there (calc), as a logarithm.
 */
function uptakePrior(endPa: number): number {
  return endPa > UPTAKE_PA ? -elementary.log(endPa / UPTAKE_PA) : 0;
}

/** Pa. */
const UPTAKE_PA = 0.1;

/** A shut seat passes less than the open valve did, as a logarithm. */
function shutPrior(part: number): number {
  return part > 0.4 ? -0.5 * (elementary.log(part / 0.4) / 0.5) ** 2 : 0;
}

/** How likely it is, per decade, that a surface takes up this part of the gas: seldom less than a few hundredths. */
function sinkPrior(part: number): number {
  return bell(elementary.log10(Math.max(part, 1e-9)), -0.4, 0.5);
}

/** A prior per decade against the half-normal prior that every amplitude has, as a logarithm. */
function logAgainstHalfNormal(perDecade: number, amplitude: number): number {
  const a = Math.max(amplitude, 0.05);
  const density = perDecade / (elementary.log(10) * a);
  const halfNormal = Math.sqrt(2 / Math.PI) * elementary.exp(-0.5 * a * a);
  return elementary.log(Math.max(density, 1e-12)) - elementary.log(Math.max(halfNormal, 1e-12));
}
