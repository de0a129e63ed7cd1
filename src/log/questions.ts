import { type Question, QuestionError } from '../errors';
import { findUnit } from '../units';
import type { LogDescription } from './description';
import type { GaugeLog } from './gauge-log';

/**
 * Stops where something must be answered before pressures can be judged.
 * @param log as read
 * @throws QuestionError with all open questions
 */
export function requireAnswers(log: GaugeLog): void {
  if (log.questions.length > 0) throw new QuestionError(log.questions);
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
