import { QuestionError } from '../errors';
import type { GaugeLog } from './gauge-log';

/**
 * Stops where something must be answered before pressures can be judged.
 * @param log as read
 * @throws QuestionError with all open questions
 */
export function requireAnswers(log: GaugeLog): void {
  if (log.questions.length > 0) throw new QuestionError(log.questions);
}
