/**
 * Every error that this package throws on purpose, tagged and with fields, so that a caller can tell them apart and a
 * person can read them. Messages are lower-case fragments: the thing, the value met, what was expected, what to do.
 */

/** What a person is asked when a guess would be dangerous. */
export interface Question {
  /** What is open, one word that a program can switch on. */
  readonly about:
    | 'unit'
    | 'channel'
    | 'date order'
    | 'time unit'
    | 'barometer'
    | 'voltage law'
    | 'temperature'
    | 'reference temperature'
    | 'volume'
    | 'decimal mark'
    | 'joining'
    | 'sheet'
    | 'gauge side';
  /** The question in a sentence, with what was seen. */
  readonly text: string;
  /** The header of the column in question, where it is about one. */
  readonly column?: string;
  /** Headers of other gauges that may be meant instead, where none was chosen. */
  readonly instead?: readonly string[];
  /** The answers that make sense. */
  readonly choices: readonly string[];
  /** How to answer it: the option of the command and of the call. */
  readonly answer: string;
}

/** The common parent; `tag` is stable and can be switched on. */
export class BlankoffError extends Error {
  /** A stable name of the kind of error. */
  readonly tag: string;
  constructor(tag: string, message: string) {
    super(message);
    this.name = 'BlankoffError';
    this.tag = tag;
  }
}

/** Thrown when a log cannot be read at a place: says file, line, column, the text met and what was expected. */
export class LogError extends BlankoffError {
  readonly file: string;
  /** Line in the file, counted from 1; 0 where the whole file is meant. */
  readonly line: number;
  /** Column (field) in the line, counted from 1; 0 where the whole line is meant. */
  readonly column: number;
  readonly met: string;
  readonly expected: string;
  constructor(place: { file: string; line?: number; column?: number; met: string; expected: string; remedy?: string }) {
    const { file, line = 0, column = 0, met, expected, remedy } = place;
    const where = line > 0 ? `${file}:${line}${column > 0 ? `, column ${column}` : ''}` : file;
    super('log', `${where}: met ${met}, expected ${expected}${remedy ? `; ${remedy}` : ''}`);
    this.name = 'LogError';
    this.file = file;
    this.line = line;
    this.column = column;
    this.met = met;
    this.expected = expected;
  }
}

/** Thrown when a person has to answer something before the work can go on; nothing has been lost. */
export class QuestionError extends BlankoffError {
  readonly questions: readonly Question[];
  constructor(questions: readonly Question[]) {
    super('question', questions.map((q) => `${q.text} (answer with ${q.answer})`).join('\n'));
    this.name = 'QuestionError';
    this.questions = questions;
  }
}

/** Thrown when a text is not a quantity, its unit is unknown, ambiguous or of another kind than wanted. */
export class QuantityError extends BlankoffError {
  readonly text: string;
  readonly expected: string;
  readonly choices: readonly string[];
  constructor(text: string, expected: string, choices: readonly string[] = []) {
    const list = choices.length > 0 ? `; choose one of ${choices.join(', ')}` : '';
    super('quantity', `quantity: met "${text}", expected ${expected}${list}`);
    this.name = 'QuantityError';
    this.text = text;
    this.expected = expected;
    this.choices = choices;
  }
}

/** Thrown when an argument is finite but outside the range for which a formula or table holds. */
export class OutOfRangeError extends BlankoffError {
  readonly what: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  constructor(what: string, value: number, low: number, high: number, unit: string, remedy = '') {
    super(
      'range',
      `${what}: met ${value} ${unit}, expected ${low} to ${high} ${unit}${remedy ? `; ${remedy}` : ''}`.replace(
        / +;/,
        ';',
      ),
    );
    this.name = 'OutOfRangeError';
    this.what = what;
    this.value = value;
    this.low = low;
    this.high = high;
    this.unit = unit;
  }
}

/** Thrown when an argument cannot be used at all: not finite, of the wrong sign, too short, of an unknown name. */
export class ArgumentError extends BlankoffError {
  readonly what: string;
  readonly met: string;
  readonly expected: string;
  constructor(what: string, met: unknown, expected: string) {
    super('argument', `${what}: met ${typeof met === 'string' ? `"${met}"` : String(met)}, expected ${expected}`);
    this.name = 'ArgumentError';
    this.what = what;
    this.met = String(met);
    this.expected = expected;
  }
}

/** Thrown by the worksheet: a cell that cannot be run, with its name. */
export class CellError extends BlankoffError {
  readonly cell: string;
  constructor(cell: string, problem: string) {
    super('cell', `${cell}: ${problem}`);
    this.name = 'CellError';
    this.cell = cell;
  }
}

/**
 * Tells whether something caught is ours, and of the wanted kind.
 * @param error what was caught
 * @param tag the kind wanted; without it any of ours will do
 * @returns true where it is
 */
export function isBlankoffError(error: unknown, tag?: string): error is BlankoffError {
  return error instanceof BlankoffError && (tag === undefined || error.tag === tag);
}
