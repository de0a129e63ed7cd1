import type { Question } from '../../src/errors';
import { printable, wrap } from '../../src/investigation/text-layout';

/**
 * Asks on stderr what has to be answered first, with the choices and the option that answers.
 * @param file name of the log
 * @param questions what is open
 */
export function askOnStderr(file: string, questions: readonly Question[]): void {
  const lines = [`${printable(file)}: ${questions.length === 1 ? 'a question' : 'questions'} first`];
  for (const { text, choices, answer } of questions) {
    lines.push(...wrap(text, '? '));
    if (choices.length > 0) lines.push(...wrap(`choices: ${choices.join(', ')}`, '    '));
    lines.push(...wrap(`answer with ${answer}`, '    '));
  }
  process.stderr.write(`${lines.join('\n')}\n`);
}
