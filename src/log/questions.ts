import { type Question, QuestionError } from '../errors';
import { findUnit } from '../units';
import { namedThing } from './column-meaning';
import type { LogDescription } from './description';
import type { Channel, GaugeLog } from './gauge-log';

/**
 * Stops where something must be answered before pressures can be judged.
 * @param log as read
 * @param channel name of the pressure channel that is to be judged, where one was chosen: who judges one gauge need not
 * know the unit of another
 * @throws QuestionError with all open questions, in the order in which their answers settle most
 */
export function requireAnswers(log: GaugeLog, channel?: string): void {
  const questions = questionsFirst(log, channel);
  if (questions.length > 0) throw new QuestionError(questions);
}

/**
 * The open questions of a log, in the order in which their answers settle most: where one gauge can be read and another
 * cannot, which of them is meant comes before the unit of the other.
 * @param log as read
 * @param channel name of the pressure channel that is to be judged, or a part of it, where one was chosen
 * @returns the questions to ask; none where all is clear
 */
export function questionsFirst(log: GaugeLog, channel?: string): readonly Question[] {
  const ready = log.channels.filter(isReadableGauge);
  const moot = log.questions.filter(({ instead = [] }) => ready.some(({ name }) => instead.includes(name)));
  if (moot.length === 0) return log.questions;
  const others = log.questions.filter((question) => !moot.includes(question));
  if (channel === undefined) return [...others, whichGauge(ready, log)];
  const wanted = channel.trim().toLowerCase();
  return ready.some(({ name }) => name.toLowerCase().includes(wanted)) ? others : log.questions;
}

function isReadableGauge({ name, quantity, setpoint }: Channel): boolean {
  return quantity === 'pressure' && !setpoint && namedThing(name) !== 'barometer';
}

function whichGauge(ready: readonly Channel[], { channels, questions }: GaugeLog): Question {
  const open = channels.filter(({ seems, setpoint }) => seems === 'pressure' && !setpoint);
  const lacks = ({ name }: Channel): string =>
    questions.some(({ about, column }) => about === 'unit' && column === name) ? 'its unit' : 'the barometer';
  const seen = [
    ...ready.map(({ name, unit }) => `"${name}" (${unit})`),
    ...open.map((channel) => `"${channel.name}" (needs ${lacks(channel)})`),
  ];
  return {
    about: 'channel',
    text: `the log has ${seen.length} pressure channels: which one is to be judged? They are ${seen.join(', ')}`,
    choices: [...ready, ...open].map(({ name }) => name),
    answer: '--channel NAME, or { channels: ["NAME"] }',
  };
}

/**
 * The questions of a description that it does not answer since, by an edit: a unit was filled in, an order was chosen.
 * A question that no field answers (the decimal mark) stays until it is taken out of `questions`.
 * @param description as found, perhaps edited
 * @returns those still open, in their order
 */
export function openQuestions(description: LogDescription): Question[] {
  return description.questions.filter((question) => !isAnswered(question, description));
}

function isAnswered({ about, column: name }: Question, description: LogDescription): boolean {
  const column = description.columns.find((candidate) => candidate.name === name);
  switch (about) {
    case 'unit':
      return column !== undefined && (column.role !== 'channel' || findUnit(column.unit) !== undefined);
    case 'voltage law':
      return column !== undefined && (column.role !== 'channel' || column.law !== undefined);
    case 'barometer':
      return description.barometerPa !== undefined || description.barometerColumn !== undefined;
    case 'date order':
      return description.time.format !== 'day and month open';
    case 'time unit':
      return !['unit open', 'two fields open'].includes(description.time.format) && hasStep(description);
    default:
      return false;
  }
}

function hasStep({ time }: LogDescription): boolean {
  return time.format !== 'rows' || time.stepS !== undefined;
}
