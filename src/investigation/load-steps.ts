import { caution, type RemarkAnswer, type SectionFinding } from '../causes';
import { probabilityText } from '../numerics';
import { formatInterval, formatNumber, fromSI, shownUnit } from '../units';
import type { Analysis } from './analyse';
import { notGiven, type ServiceStep } from './service-step';

/** How loads are shown and judged. */
export interface LoadsKnown {
  /** The largest load allowed, Pa m3/s. */
  readonly limit?: number;
  /** Unit of loads, such as `mbar L/s`. */
  readonly unit?: string;
}

/**
 * The line, section by section.
 * @param sections what each section brings, or null where it was not measured
 * @param known limit and unit
 * @returns the step
 */
export function lineStep(sections: readonly SectionFinding[] | null, known: LoadsKnown = {}): ServiceStep {
  const step = 'line, section by section';
  if (sections === null || sections.length === 0) {
    const how =
      'shut off the line section by section, from the far end to the pump, and isolate for some minutes each time';
    return notGiven(step, how, 'write down the volume that stays with the gauge each time');
  }
  const unit = known.unit ?? 'Pa m3/s';
  const [first] = sections;
  const shows = sections.map(
    ({ section, load, probability }) =>
      `${section}: ${formatInterval(load, shownUnit(unit))}; holds the largest part with a probability of ${probabilityText(probability)}`,
  );
  const { limit } = known;
  if (limit === undefined) {
    const todo = ['give a limit: what load is too much? Look at the largest first'];
    return { step, state: 'cannot tell', shows, todo };
  }
  const above = sections.filter(({ load }) => load.low > limit).map(({ section }) => section);
  const open = sections.filter(({ load }) => load.low <= limit && load.high > limit).map(({ section }) => section);
  if (above.length > 0) {
    shows.push(`above the limit of ${formatNumber(fromSI(limit, shownUnit(unit)), 3)} ${unit}: ${above.join(', ')}`);
    return { step, state: 'not as it should be', shows, todo: [`search ${above[0]} with tracer, from the top down`] };
  }
  if (open.length > 0) {
    const todo = [`isolate longer: ${open.join(', ')} may lie above the limit or below`];
    return {
      step,
      state: 'cannot tell',
      shows,
      todo: first.probability > 0.5 ? [...todo, `first ${first.section}`] : todo,
    };
  }
  return { step, state: 'as it should be', shows: [...shows, 'no section lies above the limit'], todo: [] };
}

/**
 * The chamber, isolated by its own valve.
 * @param analysis of its log, or null where it was not measured
 * @param known unit of loads
 * @returns the step
 */
export function chamberStep(analysis: Analysis | null, known: LoadsKnown = {}): ServiceStep {
  const step = 'chamber';
  if (analysis === null) {
    const how = 'pump the chamber, shut its own valve for ten minutes, pump on, and do it twice more, each time later';
    return notGiven(step, how, caution('closed'));
  }
  const { finding } = analysis;
  const todo = finding.nextTest === null ? [] : [finding.nextTest.what];
  if (finding.isolationsJudged === 0) {
    return { step, state: 'cannot tell', shows: ['there is no isolation in its log: no load is known'], todo };
  }
  const [first] = finding.mainCause;
  const shows = [
    finding.verdict === 'undetermined'
      ? `the main cause is undetermined (first ${first.cause}, ${probabilityText(first.probability)})`
      : `the main cause of its rise is ${finding.verdict} (${probabilityText(first.probability)})`,
  ];
  if (finding.realLeak !== null) {
    shows.push(`a real leak into it: ${formatInterval(finding.realLeak, shownUnit(known.unit ?? 'Pa m3/s'))}`);
  }
  if (finding.conforms === null) {
    return { step, state: 'cannot tell', shows: [...shows, 'not judged: the limit or the volume was not given'], todo };
  }
  shows.push(`within the limit: ${finding.conforms}`);
  const states = { yes: 'as it should be', no: 'not as it should be', inconclusive: 'cannot tell' } as const;
  return { step, state: states[finding.conforms], shows, todo };
}

/**
 * The tracer search: which of the places answered?
 * @param answers to the remarks of its log, or null where it was not made
 * @returns the step
 */
export function tracerStep(answers: readonly RemarkAnswer[] | null): ServiceStep {
  const step = 'tracer';
  if (answers === null) {
    const how =
      'hold tracer gas to one joint after the other, from the top down, and write time and place into the log';
    return notGiven(step, how, caution('filament'), 'tracer gas displaces air: ventilate');
  }
  if (answers.length === 0) {
    const todo = ['write time and place of each joint into the log as a remark'];
    return { step, state: 'cannot tell', shows: ['the log has no remarks: nobody knows what was tried when'], todo };
  }
  const shows = answers.map(({ text }) => text);
  const found = answers.filter(({ answers: said }) => said === 'yes').map(({ remark }) => remark.text);
  const unclear = answers.filter(({ answers: said }) => said === 'cannot tell').map(({ remark }) => remark.text);
  if (found.length > 0) {
    const todo = [
      `again there, to be sure: ${found.join(', ')}`,
      'mend it, then isolate again and compare before and after',
    ];
    return { step, state: 'not as it should be', shows, todo };
  }
  if (unclear.length > 0) return { step, state: 'cannot tell', shows, todo: [`again: ${unclear.join(', ')}`] };
  return { step, state: 'as it should be', shows: [...shows, 'none of these places answered'], todo: [] };
}
