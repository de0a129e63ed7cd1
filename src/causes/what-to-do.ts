import { caution } from './cautions';
import type { Cause, Finding } from './finding';

const REPEAT = 'then repeat the same isolation and lay the two records over each other: is the difference real?';

/** What people do about each cause (common practice, no source). */
const STEPS: { readonly [cause in Cause]: readonly string[] } = {
  'real leak': [
    'find where: shut off one section after another and take the rate of rise in each state; the section with which the leak goes has it',
    'then tracer gas on the joints of that section, one place at a time, and write down when and where: does the reading answer?',
    `mend, ${REPEAT}`,
  ],
  'virtual leak': [
    'look for gas that is shut in: blind threads, screws without a vent, two seals in a row, a weld on both sides, a trapped plug',
    `vent the place to the chamber, or let dry gas in and pump again to empty it; ${REPEAT}`,
    'spraying finds nothing: the pocket has no opening to the room',
  ],
  outgassing: [
    'pump on: the load falls by itself, in unbaked metal about as one over the time pumped',
    'shorten it by warming the walls as far as seals and contents bear, or by a few fills with dry gas',
    'next time vent with dry gas, and keep the chamber open for as short as the work allows',
  ],
  evaporation: [
    'find what is wet: a puddle, a wet sample, a full trap, oil that holds water; exclude the cooling circuit by shutting its water off',
    `let it go to the pump with the gas ballast open, or take it out by hand; ${caution('warm')}`,
    REPEAT,
  ],
  permeation: [
    'it comes through seals and hoses, slowly and always: fewer or shorter elastomers, or metal, are the remedy',
    'a tracer test must be quick: after minutes the tracer comes through a sound elastomer too',
  ],
  'passing valve': [
    'blank the port behind the valve and repeat: does the passage go with it?',
    `clean or replace the seat, ${REPEAT}`,
  ],
  'pump side': [
    'blank the pump off at its inlet and read what it reaches alone: warm, ballast shut, then open',
    'if it reaches its own ultimate pressure, the line between is choked or leaks; if not: oil, ballast, seals, exhaust',
  ],
  temperature: [
    'record the temperature of the vessel beside the pressure, and repeat when the room is steady',
    'a rise that follows the temperature is no leak; one that stays is',
  ],
  sink: [
    'something takes gas up (a cold or gettering surface, gas that cools): the load is larger than the rise shows',
    'warm the surface or shut it off, and repeat',
  ],
  measurement: [
    'check the gauge: zero far below its range, reading at atmosphere, unit and gas set, plug and tube clean',
    'put a second gauge of another principle beside it, and repeat',
  ],
  none: [
    'nothing rises by more than this record can show; keep it as the baseline of the healthy system',
    'if the pressure is still too high with the valve open, look at the pump, its line and the gauge',
  ],
};

/**
 * What to do next, once the cause is known; nothing where it is not, because then the next test comes first.
 * @param verdict the verdict of a finding
 * @param conforms whether the limit is met, or null without one
 * @returns steps in their order, sentences without a full stop
 * @source common practice, no source
 */
export function whatToDo(verdict: Finding['verdict'], conforms: Finding['conforms']): readonly string[] {
  if (verdict === 'undetermined') return [];
  if (conforms !== 'yes') return STEPS[verdict];
  const baseline = 'the leak is within the limit: keep this record as the baseline, and compare the next one with it';
  return verdict === 'real leak' ? [baseline] : [baseline, ...STEPS[verdict]];
}
