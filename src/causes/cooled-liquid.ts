import * as elementary from '../numerics/elementary';
import type { RecordEvidence } from './record-evidence';

/**
 * A liquid whose evaporation is limited by the heat that reaches it. Pumping cools it until heat in equals heat out, and it
 * warms again while it is shut in, so that its vapour pressure creeps: a rise that is fast, then nearly straight. Written with
 * the logarithm u of its vapour pressure over the same at its coldest, which follows the temperature (Clausius and Clapeyron):
 * u goes to `warmth` at `rewarmPerS` while shut in, and to 0 at (1 + warmth) times that while pumped, for each kelvin more
 * also takes more heat away (a linear balance of heat, calc).
 */
export interface CooledLiquid {
  /** How fast the vapour fills the vessel, 1/s. */
  readonly vapourPerS: number;
  /** u of the liquid at the temperature of its vessel: 0 does not cool; water near 20 degC that freezes, 1.3. */
  readonly warmth: number;
  /** Heat that reaches it per kelvin, over its heat capacity, 1/s. */
  readonly rewarmPerS: number;
}

/**
 * u after a time shut in.
 * @param liquid the liquid
 * @param before u at closing
 * @param elapsed s since closing
 * @returns u, 0 to `warmth`
 */
export function warmedTo({ warmth, rewarmPerS }: CooledLiquid, before: number, elapsed: number): number {
  return warmth - (warmth - before) * elementary.exp(-rewarmPerS * elapsed);
}

/**
 * u after a time of pumping.
 * @param liquid the liquid
 * @param before u when pumping began
 * @param elapsed s since then
 * @returns u, 0 to `warmth`
 */
export function cooledTo({ warmth, rewarmPerS }: CooledLiquid, before: number, elapsed: number): number {
  return before * elementary.exp(-rewarmPerS * (1 + warmth) * Math.max(0, elapsed));
}

/**
 * u at the closing of each isolation: as warm as the vessel when pumping began after a vent, and warmed and cooled since.
 * @param liquid the liquid
 * @param evidence the thinned record
 * @returns one value for each isolation
 */
export function warmthAtClosing(liquid: CooledLiquid, evidence: RecordEvidence): number[] {
  const found: number[] = [];
  for (const { closeS, ageS } of evidence.isolations) {
    found.push(warmthSince(liquid, found, found.length, evidence, closeS, ageS));
  }
  return found;
}

/**
 * u at a moment while pumped.
 * @param liquid the liquid
 * @param atClosing u at the closing of each isolation
 * @param evidence the thinned record
 * @param atS moment, s from the first row
 * @param ageS s since the start of pumping
 * @returns u, 0 to `warmth`
 */
export function warmthWhilePumped(
  liquid: CooledLiquid,
  atClosing: readonly number[],
  evidence: RecordEvidence,
  atS: number,
  ageS: number,
): number {
  let ended = 0;
  while (ended < atClosing.length && evidence.isolations[ended].endS <= atS) ended++;
  return warmthSince(liquid, atClosing, ended, evidence, atS, ageS);
}

/** u after the first `ended` isolations: shut in until pumping began again (a vent in between lets it warm as well). */
function warmthSince(
  liquid: CooledLiquid,
  atClosing: readonly number[],
  ended: number,
  { isolations, clockKnown }: RecordEvidence,
  atS: number,
  ageS: number,
): number {
  const before = isolations[ended - 1];
  if (before === undefined) return clockKnown ? cooledTo(liquid, liquid.warmth, ageS) : 0;
  const pumpedS = Math.min(ageS, atS - before.endS);
  const shutInS = atS - pumpedS - before.closeS;
  return cooledTo(liquid, warmedTo(liquid, atClosing[ended - 1], shutInS), pumpedS);
}

/**
 * Pressure that the liquid has made since closing while its vapour goes to and from it in proportion to the difference from
 * saturation, dp/dt = rate (e^u - p), step by step with u at the middle of each.
 * @param liquid the liquid
 * @param atClosing u at closing
 * @param elapsed s since closing of the wanted points, ascending
 * @param out receives the pressure at each point, over the saturation pressure of the coldest liquid
 */
export function cooledRise(
  liquid: CooledLiquid,
  atClosing: number,
  elapsed: ArrayLike<number>,
  out: Float64Array,
): void {
  let at = 0;
  let value = 0;
  for (let i = 0; i < elapsed.length; i++) {
    const h = elapsed[i] - at;
    const keep = elementary.exp(-liquid.vapourPerS * h);
    const target = elementary.exp(warmedTo(liquid, atClosing, at + 0.5 * h));
    value = value * keep + target * (1 - keep);
    out[i] = value;
    at = elapsed[i];
  }
}
