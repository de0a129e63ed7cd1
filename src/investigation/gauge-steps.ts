import type { GaugePrinciple } from '../fits';
import type { GaugeLog } from '../log';
import type { Quantity } from '../units';
import { endLevel } from './end-level';
import { deviationText, levelPressure, notGiven, type ServiceStep } from './service-step';

/** Where a barometer can stand: from a high valley to the sea in fine weather, Pa. */
const ATMOSPHERE = [70_000, 108_500] as const;
/** How far a gauge may be off at atmosphere, part of the reading (common practice, no source). */
const OFF_AT_ATMOSPHERE: Readonly<Record<GaugePrinciple, number | null>> = {
  thermal: null,
  capacitance: 0.01,
  'hot-cathode': null,
  'cold-cathode': null,
  piezo: 0.01,
  combined: 0.05,
};
/** A zero error up to this part of the target is borne (common practice: a tenth). */
const ZERO_OF_TARGET = 0.1;

/**
 * The gauge at atmosphere: does it read what the barometer shows?
 * @param log of the vented system, or null
 * @param known the barometer at the place (not reduced to sea level), how the gauge works, its channel
 * @returns the step
 * @throws ArgumentError or QuestionError where the log has no gauge to follow
 */
export function gaugeAtAtmosphere(
  log: GaugeLog | null,
  known: { readonly barometer?: Quantity; readonly gauge?: GaugePrinciple; readonly channel?: string } = {},
): ServiceStep {
  const step = 'gauge at atmosphere';
  if (log === null) {
    return notGiven(step, 'vent with dry gas, not above atmosphere, and record ten minutes; note the barometer');
  }
  const level = endLevel(log, known.channel);
  const { barometer, gauge } = known;
  if (!(level.overRange < 0.5) || Number.isNaN(level.pa)) {
    const shows = [`"${level.channel}" is over its range at atmosphere, as many gauges are: this end is not checked`];
    return { step, state: 'cannot tell', shows, todo: ['compare it with a gauge that reads atmosphere, further down'] };
  }
  const most = gauge === undefined ? 0.05 : OFF_AT_ATMOSPHERE[gauge];
  const shows = [`"${level.channel}" reads ${levelPressure(level.pa, level)}`];
  if (most === null) {
    const why = `a ${gauge} gauge says little near atmosphere, and reads another gas quite differently`;
    return { step, state: 'cannot tell', shows: [...shows, why], todo: [] };
  }
  if (barometer === undefined) {
    const possible = level.pa >= ATMOSPHERE[0] && level.pa <= ATMOSPHERE[1];
    const said = possible ? 'a pressure that air can have' : 'no pressure that the air can have';
    const state = possible ? 'cannot tell' : 'not as it should be';
    const todo = ['note the barometer at the place (not reduced to sea level) beside the log'];
    return { step, state, shows: [...shows, `the barometer was not given; it is ${said}`], todo };
  }
  const off = level.pa / barometer.si - 1;
  shows.push(
    `the barometer shows ${levelPressure(barometer.si, level)}: the gauge is ${deviationText(off)} off; ${deviationText(most)} would pass`,
  );
  const good = Math.abs(off) <= most;
  const todo = good ? [] : ['set the gauge at atmosphere as its maker says, or change it, before anything is judged'];
  return { step, state: good ? 'as it should be' : 'not as it should be', shows, todo };
}

/**
 * The gauge at zero: what it reads far below what it can show is its zero error.
 * @param log at a pressure far below the gauge's range, or null
 * @param known the pressure that the system ought to reach, the channel
 * @returns the step
 * @throws ArgumentError or QuestionError where the log has no gauge to follow
 */
export function gaugeAtZero(
  log: GaugeLog | null,
  known: { readonly target?: Quantity; readonly channel?: string } = {},
): ServiceStep {
  const step = 'gauge at zero';
  if (log === null) {
    const how =
      'pump the gauge far below the lowest pressure that matters (a high-vacuum stand), and record ten minutes';
    return notGiven(step, how);
  }
  const level = endLevel(log, known.channel);
  if (level.underRange > 0.5) {
    const shows = [`"${level.channel}" shows under range, as it should far below what it can read`];
    return { step, state: 'as it should be', shows, todo: [] };
  }
  if (Number.isNaN(level.pa)) {
    return { step, state: 'cannot tell', shows: [`"${level.channel}" has no good reading at the end`], todo: [] };
  }
  const shows = [`"${level.channel}" reads ${levelPressure(level.pa, level)} where the pressure is as good as nothing`];
  if (level.moves !== 'no') {
    shows.push(`it still ${level.moves}: this is not its zero yet`);
    return { step, state: 'cannot tell', shows, todo: ['wait until it stands still, and record again'] };
  }
  if (known.target === undefined) {
    shows.push('the target was not given, so nobody can say whether that matters');
    return { step, state: 'cannot tell', shows, todo: ['give the pressure that the system ought to reach'] };
  }
  const part = Math.abs(level.pa) / known.target.si;
  shows.push(
    `that is ${deviationText(part)} of the target of ${levelPressure(known.target.si, level)}; up to ${deviationText(ZERO_OF_TARGET)} is borne`,
  );
  const good = part <= ZERO_OF_TARGET;
  const todo = good
    ? []
    : ['set the zero as its maker says; until then a base pressure near the zero error means nothing'];
  return { step, state: good ? 'as it should be' : 'not as it should be', shows, todo };
}
