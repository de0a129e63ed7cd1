import type { GaugeLog } from '../log';
import { formatNumber, type Quantity } from '../units';
import { type EndLevel, endLevel } from './end-level';
import { levelPressure, notGiven, type ServiceStep } from './service-step';

/** A pump in order comes to within this factor of what it reached new (common practice, no source). */
const PUMP_IN_ORDER = 2;

/** The logs of a pump blanked off at its inlet; null where not made. */
export interface BlankedOffLogs {
  readonly shut: GaugeLog | null;
  readonly open: GaugeLog | null;
  readonly shutAgain: GaugeLog | null;
}

/**
 * The pump blanked off at its inlet: ballast shut, open, and shut again. It tells vapour in the oil (the ballast clears
 * it) from wear, a leak of its own, or a ballast valve that does not shut (opening it changes nothing).
 * @param logs of the gauge between pump and blank
 * @param known what the pump reached new with its ballast shut; the channel
 * @returns three steps
 * @throws ArgumentError or QuestionError where a log has no gauge to follow
 */
export function pumpBlankedOff(
  logs: BlankedOffLogs,
  known: { readonly ultimate?: Quantity; readonly channel?: string } = {},
): ServiceStep[] {
  const [shut, open, again] = [logs.shut, logs.open, logs.shutAgain].map((log) =>
    log === null ? null : endLevel(log, known.channel),
  );
  return [pumpShut(shut, known.ultimate), pumpOpen(shut, open), pumpShutAgain(shut, again, known.ultimate)];
}

function pumpShut(shut: EndLevel | null, ultimate: Quantity | undefined): ServiceStep {
  const step = 'pump blanked off, ballast shut';
  if (shut === null) {
    const how = 'blank the warm pump off at its inlet, with a gauge between, ballast shut, and record half an hour';
    return notGiven(step, how);
  }
  const shows = [levelWords(shut)];
  if (!Number.isFinite(shut.pa)) return { step, state: 'cannot tell', shows, todo: ['use a gauge that can read it'] };
  if (ultimate === undefined) {
    const todo = ['give what the pump reached new, from its papers or from its own first record'];
    return { step, state: 'cannot tell', shows: [...shows, 'what the pump reached new was not given'], todo };
  }
  const factor = shut.pa / ultimate.si;
  shows.push(`new it reached ${levelPressure(ultimate.si, shut)}: that is ${formatNumber(factor, 2)} times as high`);
  if (factor <= PUMP_IN_ORDER) return { step, state: 'as it should be', shows, todo: [] };
  if (shut.moves === 'falls') {
    return {
      step,
      state: 'cannot tell',
      shows,
      todo: ['it still falls: let it run until it stands, and record again'],
    };
  }
  shows.push('the fault, or a part of it, is on the pump side: vapour in the oil, wear, old oil, or a leak of its own');
  const todo = ['open the gas ballast for half an hour or longer, record it, shut it and record again'];
  return { step, state: 'not as it should be', shows, todo };
}

function pumpOpen(shut: EndLevel | null, open: EndLevel | null): ServiceStep {
  const step = 'pump blanked off, ballast open';
  if (open === null) return notGiven(step, 'the same with the gas ballast open, half an hour');
  const shows = [levelWords(open)];
  if (shut === null || !(Number.isFinite(shut.pa) && Number.isFinite(open.pa))) {
    return { step, state: 'cannot tell', shows: [...shows, 'there is no level with ballast shut beside it'], todo: [] };
  }
  const factor = open.pa / shut.pa;
  if (factor > 1.2) {
    shows.push(`opening the ballast raises the pressure ${formatNumber(factor, 2)} times, as it should`);
    return { step, state: 'as it should be', shows, todo: [] };
  }
  shows.push('opening the ballast changes little: its valve may pass when shut, or as much gas comes in another way');
  const todo = ['look at the ballast valve and its seal; blank it off and read again'];
  return { step, state: 'not as it should be', shows, todo };
}

function pumpShutAgain(shut: EndLevel | null, again: EndLevel | null, ultimate: Quantity | undefined): ServiceStep {
  const step = 'pump blanked off, ballast shut again';
  if (again === null) return notGiven(step, 'the same after the run with open ballast, ballast shut');
  const shows = [levelWords(again)];
  if (!Number.isFinite(again.pa)) return { step, state: 'cannot tell', shows, todo: [] };
  const gain = shut === null ? 1 : shut.pa / again.pa;
  const inOrder = ultimate !== undefined && again.pa <= PUMP_IN_ORDER * ultimate.si;
  if (gain > PUMP_IN_ORDER) {
    shows.push(
      `${formatNumber(gain, 2)} times lower than before the ballast was opened: there was vapour in the oil, and ` +
        `${inOrder ? 'it is gone' : 'some of it is left'}`,
    );
  }
  if (inOrder) return { step, state: 'as it should be', shows, todo: gain > PUMP_IN_ORDER ? [WHERE_FROM] : [] };
  if (ultimate === undefined) return { step, state: 'cannot tell', shows, todo: ['give what the pump reached new'] };
  if (gain > PUMP_IN_ORDER) {
    return {
      step,
      state: 'not as it should be',
      shows,
      todo: ['go on with open ballast, or change the oil', WHERE_FROM],
    };
  }
  shows.push('the ballast did not help: old oil, wear, or a leak on the side of the pump');
  return {
    step,
    state: 'not as it should be',
    shows,
    todo: ['change the oil as its maker says; then have it serviced'],
  };
}

const WHERE_FROM = 'find where the vapour came from; it fouls the oil again';

function levelWords(level: EndLevel): string {
  if (level.overRange > 0.5) return `"${level.channel}" ends over its range`;
  if (level.underRange > 0.5) return `"${level.channel}" ends under its range`;
  if (Number.isNaN(level.pa)) return `"${level.channel}" has no good reading at the end`;
  const still = level.moves === 'no' ? '' : `, and still ${level.moves}`;
  return `"${level.channel}" ends at ${levelPressure(level.pa, level)}${still}`;
}
