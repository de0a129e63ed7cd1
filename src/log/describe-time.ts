import type { Question } from '../errors';
import { findUnit } from '../units';
import { asDottedClock, asStamp } from './cell-kind';
import { namesTime, unitInHeader } from './column-meaning';
import type { TimeDescription, TimeFormat } from './description';
import type { Layout } from './layout';
import type { ReadOptions } from './read-options';
import { readReading } from './reading-text';

/** The time of a log as far as the sample tells. */
export interface FoundTime {
  readonly time: TimeDescription;
  readonly grounds: string;
  readonly assumptions: readonly string[];
  readonly questions: readonly Question[];
  /** Columns (from 1) that hold another time and are left alone. */
  readonly others: readonly number[];
}

interface Candidate {
  readonly column: number;
  readonly name: string;
  readonly hasDate: boolean;
  readonly hasTime: boolean;
  /** Share of stamps that are the same as the one before. */
  readonly repeats: number;
}

const FORMAT_OF_UNIT: Readonly<Record<string, TimeFormat>> = {
  us: 'microseconds',
  ms: 'milliseconds',
  s: 'seconds',
  min: 'minutes',
  h: 'hours',
  d: 'days',
};
/** Fewer rows than these were written by hand, and people write minutes as readily as seconds. */
const BY_HAND = 60;

/**
 * Finds the time columns and how they are written, save for the order of day and month.
 * @param layout header and looks of the columns
 * @param decimalMark of the log
 * @param options what a person said
 * @param rows lines of data, about
 * @returns columns and format of the time, with questions
 */
export function findTime(layout: Layout, decimalMark: '.' | ',', options: ReadOptions, rows: number): FoundTime {
  const written = layout.looks.flatMap((look, i) => (look.kind === 'stamp' ? [stampCandidate(layout, i)] : []));
  const stamps = [...written, ...compactStamps(layout, written)];
  const told = options.timeColumn;
  const wanted = told ? stamps.filter(({ name }) => sameName(name, told)) : stamps;
  const numeric = numericTimes(layout, decimalMark, told);
  const stamped = wanted.some(({ hasDate, hasTime }) => hasDate || hasTime)
    ? stampTime(wanted, layout, options)
    : undefined;
  const counted = numeric.length > 0 ? numericTime(numeric[0], layout, decimalMark, options, rows) : undefined;
  const chosen = choose(stamped, counted, wanted, numeric) ?? rowTime(options);
  const used = new Set([...chosen.time.columns, chosen.time.startColumn]);
  const others = [...stamps.map(({ column }) => column), ...numeric].filter((column) => !used.has(column));
  return { ...chosen, others };
}

function sameName(name: string, told: string): boolean {
  return name.trim().toLowerCase() === told.trim().toLowerCase();
}

function stampCandidate(layout: Layout, index: number): Candidate {
  const cells = layout.looks[index].cells;
  const read = isDottedClock(cells, layout.names[index]) ? asDottedClock : asStamp;
  let dates = 0;
  let times = 0;
  let stamps = 0;
  let same = 0;
  cells.forEach((cell, i) => {
    const stamp = read(cell);
    if (!stamp) return;
    stamps++;
    if (stamp.hasDate) dates++;
    if (stamp.timeFields > 0) times++;
    if (i > 0 && cell === cells[i - 1]) same++;
  });
  const hasDate = dates > stamps / 2;
  const hasTime = times > stamps / 2;
  return { column: index + 1, name: layout.names[index], hasDate, hasTime, repeats: same / Math.max(stamps, 1) };
}

/** `14.05.30` could be a date: it is a time of day where a cell of the column is no date, or its name says so. */
function isDottedClock(cells: readonly string[], name: string): boolean {
  if (cells.length === 0 || !cells.every((cell) => asDottedClock(cell) !== undefined)) return false;
  const noDate = cells.some((cell) => !asStamp(cell)?.hasDate);
  return (
    noDate ||
    (/time|zeit|uhr|heure|hora|\bora\b|klok?k|tid\b|aika/i.test(name) && !/date|dat[oue]m?\b|fecha/i.test(name))
  );
}

/** Dates such as 20261105 and times such as 140530 beside them, which look like plain numbers. */
function compactStamps(layout: Layout, written: readonly Candidate[]): Candidate[] {
  const numbers = layout.looks.flatMap((look, i) => (look.kind === 'number' && look.cells.length > 0 ? [i] : []));
  const all = (i: number, pattern: RegExp): boolean => layout.looks[i].cells.every((cell) => pattern.test(cell));
  const candidate = (i: number, hasDate: boolean): Candidate => {
    return { column: i + 1, name: layout.names[i], hasDate, hasTime: !hasDate, repeats: 0 };
  };
  const dated = numbers.find(
    (i) => all(i, /^(?:19|20)\d{6}$/) && layout.looks[i].cells.every((cell) => asStamp(cell)?.hasDate),
  );
  if (dated === undefined || written.some(({ hasDate }) => hasDate)) return [];
  const clock = numbers.find(
    (i) =>
      Math.abs(i - dated) === 1 &&
      (all(i, /^(?:[01]?\d|2[0-3])[0-5]\d[0-5]\d(?:[.,]\d+)?$/) || all(i, /^(?:[01]\d|2[0-3])[0-5]\d$/)),
  );
  if (clock === undefined && !written.some(({ hasTime }) => hasTime)) return [];
  return [candidate(dated, true), ...(clock === undefined ? [] : [candidate(clock, false)])];
}

type Found = Omit<FoundTime, 'others'>;

/** A dated stamp unless it is coarse and a finer elapsed time stands beside it. */
function choose(
  stamped: Found | undefined,
  counted: Found | undefined,
  stamps: readonly Candidate[],
  numeric: readonly number[],
): Found | undefined {
  if (!stamped || !counted) return stamped ?? counted;
  const [column] = stamped.time.columns;
  const main = stamps.find((candidate) => candidate.column === column)!;
  if (main.repeats < 0.05 || stamped.time.columns.length > 1 || counted.questions.length > 0) return stamped;
  const time = main.hasDate ? { ...counted.time, startColumn: column } : counted.time;
  const grounds = `column ${numeric[0]} is finer than the stamps of column ${column}, which repeat`;
  return { ...counted, time, grounds };
}

function stampTime(stamps: readonly Candidate[], layout: Layout, options: ReadOptions): Found {
  const full = stamps.find(({ hasDate, hasTime }) => hasDate && hasTime);
  const date = stamps.find(({ hasDate, hasTime }) => hasDate && !hasTime);
  const clock = stamps.find(({ hasDate, hasTime }) => !hasDate && hasTime);
  const columns = full ? [full.column] : [date, clock].flatMap((c) => (c ? [c.column] : []));
  const last = columns[columns.length - 1];
  const half = layout.looks.findIndex((look, i) => i + 1 === last + 1 && isHalfDay(look.cells));
  if (half >= 0 && (clock || full)) columns.push(half + 1);
  if (full || date) return datedTime(columns, (full ?? date)!, layout, options);
  return clockTime(clock!, columns, layout, options);
}

function isHalfDay(cells: readonly string[]): boolean {
  return cells.length > 0 && cells.every((cell) => /^[ap]\.? ?m\.?$/i.test(cell));
}

/** The order of day and month is settled later, by the whole column; here only what a glance tells. */
function datedTime(columns: number[], main: Candidate, layout: Layout, options: ReadOptions): Found {
  const cells = layout.looks[main.column - 1].cells;
  const stamp = asStamp(cells[0]);
  const example = cells[0];
  const grounds = `column ${columns.join(' and ')}: stamps such as ${example}`;
  const done = (format: TimeFormat): Found => ({ time: { columns, format }, grounds, assumptions: [], questions: [] });
  if (options.dateOrder && !(stamp && stamp.firstDigits >= 3)) {
    return done(({ ymd: 'year-month-day', dmy: 'day-month-year', mdy: 'month-day-year' } as const)[options.dateOrder]);
  }
  const dayFirst = /^\D*\d{1,2}(?:st|nd|rd|th)?\D{0,3}\p{L}{3}/u.test(example);
  if (stamp?.hasMonthName) return done(dayFirst ? 'day-month-year' : 'month-day-year');
  if (stamp && stamp.firstDigits >= 3) return done(stamp.mark === 45 ? 'iso' : 'year-month-day');
  return done('day and month open');
}

function clockTime(clock: Candidate, columns: number[], layout: Layout, options: ReadOptions): Found {
  const cells = layout.looks[clock.column - 1].cells;
  const { name } = clock;
  const dotted = isDottedClock(cells, name);
  const shapes = cells.flatMap((cell) => {
    const stamp = dotted ? asDottedClock(cell) : asStamp(cell);
    return stamp ? [{ ...stamp }] : [];
  });
  const example = cells[0];
  const most = Math.max(...shapes.map(({ hours }) => hours));
  const two = shapes.every(({ timeFields }) => timeFields === 2);
  const grounds = `column ${columns.join(' and ')}: times such as ${example}`;
  const done = (format: TimeFormat, more: Partial<Found> = {}): Found => ({
    time: { columns, format },
    grounds,
    assumptions: [],
    questions: [],
    ...more,
  });
  const elapsed = /elapsed|duration|dauer|since|laufzeit|run ?time|\brel/i.test(name);
  const beyond = most > 23 || shapes.some(({ hasDays }) => hasDays);
  if (two && options.timeUnit === 'm:s') return done('elapsed m:s');
  if (two && options.timeUnit === 'h:m') return done(elapsed || beyond ? 'elapsed h:m' : 'time of day');
  if (two && /\bm+:s+\b|min:s/i.test(name)) return done('elapsed m:s');
  if (two && shapes.some(({ fraction }) => fraction > 0)) return done('elapsed m:s');
  if (two && !/\bh+:m+|uhr|clock|day|hora|heure/i.test(name) && !shapes.some(({ hasHalfDay }) => hasHalfDay)) {
    const text = `times such as ${example} in column "${name}": minutes and seconds, or hours and minutes?`;
    const question: Question = {
      about: 'time unit',
      text,
      column: name,
      choices: ['m:s', 'h:m'],
      answer: '--time-unit m:s, or { timeUnit: "m:s" }',
    };
    return done('two fields open', { questions: [question] });
  }
  if (elapsed || beyond) return done(two ? 'elapsed h:m' : 'elapsed h:m:s');
  return done('time of day');
}

/** Columns (from 1) of numbers that count time: by name, or the first that only rises in a log without a header. */
function numericTimes(layout: Layout, mark: '.' | ',', told?: string): number[] {
  const numbers = layout.looks.flatMap((look, i) => (look.kind === 'number' ? [i] : []));
  if (told) return numbers.filter((i) => sameName(layout.names[i], told)).map((i) => i + 1);
  const named = numbers.filter((i) => isNamedTime(layout, i) && runsOneWay(layout.looks[i].cells, mark));
  if (named.length > 0) {
    const bare = named.filter((i) => !/lead|dead|delay|const/i.test(layout.names[i]));
    return (bare.length > 0 ? bare : named).map((i) => i + 1);
  }
  const byMagnitude = numbers.find((i) => epochFormat(numbersOf(layout.looks[i].cells, mark)) !== undefined);
  if (byMagnitude !== undefined && rises(layout.looks[byMagnitude].cells, mark) > 0.8) return [byMagnitude + 1];
  if (layout.headerLine > 0 || numbers.length < 2) return [];
  const [first] = numbers;
  return first === 0 && rises(layout.looks[0].cells, mark) === 1 ? [1] : [];
}

/** By its header, or, where that is empty, by a unit of time below it. */
function isNamedTime(layout: Layout, i: number): boolean {
  const name = layout.names[i];
  if (namesTime(name)) return true;
  const cell = layout.unitCells[i] ?? '';
  return name === `column ${i + 1}` && cell !== '' && findUnit(cell)?.dimension === 'time';
}

function numbersOf(cells: readonly string[], mark: '.' | ','): number[] {
  return cells.map((cell) => readReading(cell, mark).value).filter((value) => Number.isFinite(value));
}

/** Share of steps that do not go back. */
function rises(cells: readonly string[], mark: '.' | ','): number {
  const values = numbersOf(cells, mark);
  if (values.length < 2) return values.length;
  let up = 0;
  let strictly = 0;
  for (let i = 1; i < values.length; i++) {
    if (values[i] >= values[i - 1]) up++;
    if (values[i] > values[i - 1]) strictly++;
  }
  return strictly === 0 ? 0 : up / (values.length - 1);
}

/** Rows may run from the newest to the oldest. */
function runsOneWay(cells: readonly string[], mark: '.' | ','): boolean {
  return rises(cells, mark) > 0.8 || rises([...cells].reverse(), mark) > 0.95;
}

/** Epochs are told by their size: 2001 to 2039 counted in s, ms, us, ns; seconds since 1904; days of a spreadsheet. */
function epochFormat(values: readonly number[]): TimeFormat | undefined {
  if (values.length === 0) return undefined;
  const low = Math.min(...values);
  const high = Math.max(...values);
  const between = (from: number, to: number): boolean => low >= from && high <= to;
  if (between(1e9, 2.2e9)) return 'epoch s';
  if (between(1e12, 2.2e12)) return 'epoch ms';
  if (between(1e15, 2.2e15)) return 'epoch us';
  if (between(1e18, 2.2e18)) return 'epoch ns';
  if (between(3.06e9, 4.28e9)) return 'epoch 1904 s';
  if (between(36526, 55000) && high - low < 400 && values.some((v) => v % 1 !== 0)) return 'spreadsheet days';
  return undefined;
}

function numericTime(column: number, layout: Layout, mark: '.' | ',', options: ReadOptions, rows: number): Found {
  const name = layout.names[column - 1];
  const values = numbersOf(layout.looks[column - 1].cells, mark);
  const unitCell = layout.unitCells[column - 1] ?? '';
  const unit = options.timeUnit
    ? findUnit(options.timeUnit, 'time')
    : (unitOfTime(name, unitCell) ?? unitInCells(layout.looks[column - 1].cells, mark));
  const format = unit && FORMAT_OF_UNIT[unit.label];
  const epoch = epochFormat(values);
  const done = (time: TimeFormat, grounds: string, more: Partial<Found> = {}): Found => ({
    time: { columns: [column], format: time },
    grounds: `column ${column}: ${grounds}`,
    assumptions: [],
    questions: [],
    ...more,
  });
  if (epoch && (!format || epoch.startsWith('epoch')) && !options.timeUnit) {
    return done(epoch, `numbers such as ${values[0]} count from a fixed moment`);
  }
  if (format) return done(format, options.timeUnit ? `${unit.label}: told` : `"${name}" in ${unit.label}`);
  const plain = layout.headerLine > 0 ? `"${name}"` : `column ${column}`;
  if (rows > BY_HAND && !thirds(values)) {
    const assumption = `time in ${plain} names no unit: taken as seconds (change with --time-unit)`;
    return done('seconds', `${plain} names no unit`, { assumptions: [assumption] });
  }
  const seen = values.slice(0, 4).join(', ');
  const question: Question = {
    about: 'time unit',
    text: `time in ${plain} names no unit; its values are ${seen} and so on`,
    column: name,
    choices: ['s', 'min', 'h'],
    answer: '--time-unit min, or { timeUnit: "min" }',
  };
  return done('unit open', `${plain} names no unit`, { questions: [question] });
}

/** Steps of a sixtieth and the like (0.016667, 0.033333): seconds written as minutes or hours. */
function thirds(values: readonly number[]): boolean {
  const steps = values
    .slice(1)
    .map((v, i) => v - values[i])
    .filter((step) => step > 0);
  const odd = steps.filter((step) => step < 1 && Math.abs(step * 1000 - Math.round(step * 1000)) > 0.02);
  return odd.length > steps.length * 0.6;
}

/** `5 min` in every cell. */
function unitInCells(cells: readonly string[], mark: '.' | ','): ReturnType<typeof findUnit> {
  const [first, ...others] = cells.map((cell) => readReading(cell, mark).suffix);
  return first && others.every((suffix) => suffix === first) ? findUnit(first, 'time') : undefined;
}

const UNIT_WORDS: readonly (readonly [RegExp, string])[] = [
  [/\b(?:sekunden|sekunder|secondes|segundos|secondi)\b/i, 's'],
  [/\b(?:minuten|minuter|minutter|minutos|minuti)\b/i, 'min'],
  [/\b(?:stunden|timmar|timer|heures|horas|ore)\b/i, 'h'],
];

function unitOfTime(name: string, unitCell: string): ReturnType<typeof findUnit> {
  const fromCell = unitCell ? findUnit(unitCell, 'time') : undefined;
  const word = UNIT_WORDS.find(([pattern]) => pattern.test(unitCell || name));
  const unit = fromCell ?? unitInHeader(name, 'time') ?? (word && findUnit(word[1], 'time'));
  return unit?.dimension === 'time' ? unit : undefined;
}

function rowTime(options: ReadOptions): Found {
  const { stepS } = options;
  if (stepS !== undefined) {
    return { time: { columns: [], format: 'rows', stepS }, grounds: 'told', assumptions: [], questions: [] };
  }
  const question: Question = {
    about: 'time unit',
    text: 'there is no time in this log; how many seconds from row to row?',
    choices: ['0.1', '1', '10', '60'],
    answer: '--step 1, or { stepS: 1 }',
  };
  return {
    time: { columns: [], format: 'rows' },
    grounds: 'no column holds a time',
    assumptions: [],
    questions: [question],
  };
}
