import { formatNumber, fromSI } from '../units';
import type { OpenPoint } from './attempt';
import type { EndLevel } from './end-level';

/** The steps of a service call, in the order in which they are made. */
export const SERVICE_STEPS = [
  'gauge at atmosphere',
  'gauge at zero',
  'pump blanked off, ballast shut',
  'pump blanked off, ballast open',
  'pump blanked off, ballast shut again',
  'line, section by section',
  'chamber',
  'tracer',
] as const;

/** One step of a service call. */
export type ServiceStepName = (typeof SERVICE_STEPS)[number];

/** What a step has shown. */
export interface ServiceStep {
  readonly step: ServiceStepName;
  readonly state: 'as it should be' | 'not as it should be' | 'cannot tell' | 'not given';
  /** What it shows, in sentences. */
  readonly shows: readonly string[];
  /** What to do now, or what to measure; empty where nothing is open. */
  readonly todo: readonly string[];
}

/**
 * A step that was not made.
 * @param step which
 * @param todo how it is made
 * @returns the step
 */
export function notGiven(step: ServiceStepName, ...todo: string[]): ServiceStep {
  return { step, state: 'not given', shows: ['no log was given'], todo };
}

/**
 * A step whose log was given, and in which something has to be answered first.
 * @param step which
 * @param open what stands in the way
 * @returns the step
 */
export function openStep(step: ServiceStepName, open: readonly OpenPoint[]): ServiceStep {
  const shows = open.map((one) => one['what is open']);
  const answers = open.map((one) => one.answers).filter((words) => words !== '');
  return { step, state: 'cannot tell', shows, todo: answers.map((words) => `answer one of: ${words}`) };
}

/**
 * A pressure in the unit of the gauge's log.
 * @param pa the pressure, Pa
 * @param level names the unit
 * @returns such as `1.2e-3 mbar`
 */
export function levelPressure(pa: number, { unit }: EndLevel): string {
  return `${formatNumber(fromSI(pa, unit), 4)} ${unit}`;
}

/**
 * How far two values are apart, for a sentence.
 * @param part difference over the value; its sign does not matter
 * @returns such as `12 %`
 */
export function deviationText(part: number): string {
  const value = 100 * Math.abs(part);
  return value > 0 && value < 0.1 ? 'under 0.1 %' : `${formatNumber(value, 2)} %`;
}
