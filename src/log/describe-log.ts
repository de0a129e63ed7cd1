import { ArgumentError, LogError, type Question } from '../errors';
import { type SettledOrder, settleDateOrder } from './date-order';
import { describeColumns } from './describe-columns';
import { type FoundTime, findTime } from './describe-time';
import type { ColumnDescription, LogDescription } from './description';
import { type Dialect, findDialect } from './dialect';
import { findLayout, type Layout } from './layout';
import { refuseLongTable } from './long-table';
import { type LogText, openLog } from './open-log';
import { belowPreamble } from './preamble';
import type { ReadOptions } from './read-options';
import { type Sample, takeSample } from './sample';
import { withUnitColumn } from './unit-column';

/**
 * Finds out how a log is written. The description can be edited before parsing, which obeys it.
 * @param bytes the file, or several files that continue each other (the first is described)
 * @param options answers and wishes
 * @returns the description, with grounds, assumptions and questions
 * @throws LogError where the bytes hold no readings, or no pressure
 */
export function describeLog(bytes: Uint8Array | readonly Uint8Array[], options: ReadOptions = {}): LogDescription {
  const first = bytes instanceof Uint8Array ? bytes : bytes[0];
  if (first === undefined) throw new ArgumentError('log', 'no file', 'at least one');
  return describeText(openLog(first, fileName(options, 0), options.sheet), options);
}

/**
 * Name of a file for messages, without its folders.
 * @param options of the reading
 * @param index which file, from 0
 * @returns the name, `log` where none was given
 */
export function fileName(options: Pick<ReadOptions, 'file'>, index: number): string {
  const { file = 'log' } = options;
  const name = typeof file === 'string' ? file : (file[index] ?? `log ${index + 1}`);
  return name.replace(/^.*[\\/]/, '') || 'log';
}

/**
 * Describes a log that has been opened.
 * @param log the log as lines
 * @param options answers and wishes
 * @returns the description
 * @throws LogError where it holds no readings, or no pressure
 */
export function describeText(log: LogText, options: ReadOptions): LogDescription {
  const sample = belowPreamble(takeSample(log));
  const dialect = findDialect(sample.spread, log.format === 'text' ? options : { separator: '\t', decimalMark: '.' });
  const layout = withUnitColumn(findLayout(sample, dialect, log.file), log.file);
  refuseLongTable(layout, log.file);
  const found = findTime(layout, dialect.decimalMark, options, log.lines.length - layout.firstDataLine);
  const order = found.time.format === 'day and month open' ? dateOrder(log, layout, dialect, found) : undefined;
  const time = order ? { ...found.time, format: order.format } : found.time;
  const described = describeColumns(layout, dialect, sample, time, found.others, options);
  const { columns, grounds } = described;
  if (!columns.some((c) => c.role === 'channel' && (c.quantity === 'pressure' || c.quantity === 'voltage'))) {
    throw noPressure(log.file, columns, described.assumptions);
  }
  return {
    encoding: log.encoding,
    compression: log.compression,
    format: log.format,
    sheet: log.sheet,
    separator: dialect.separator,
    decimalMark: dialect.decimalMark,
    headerLine: layout.headerLine,
    unitsLine: layout.unitsLine,
    firstDataLine: layout.firstDataLine,
    commentMark: layout.commentMark,
    time,
    columns,
    barometerPa: options.barometerPa,
    barometerColumn: described.barometerColumn,
    grounds: {
      ...dialect.grounds,
      ...layout.grounds,
      time: found.grounds,
      ...(order ? { dateOrder: order.grounds } : {}),
      ...grounds,
    },
    assumptions: [
      ...skippedLines(sample, layout),
      ...found.assumptions,
      ...(order?.assumptions ?? []),
      ...described.assumptions,
    ],
    questions: [
      ...markQuestion(dialect, options),
      ...found.questions,
      ...(order?.questions ?? []),
      ...described.questions,
    ],
  };
}

function dateOrder(log: LogText, layout: Layout, dialect: Dialect, found: FoundTime): SettledOrder {
  const [column] = found.time.columns;
  return settleDateOrder(log, column, layout.firstDataLine, dialect.separator, layout.names[column - 1]);
}

/** Lines between header and data are left out; that may be a row that could not be read. */
function skippedLines({ head }: Sample, { headerLine, unitsLine, firstDataLine, commentMark }: Layout): string[] {
  const above = Math.max(headerLine, unitsLine);
  if (above === 0) return [];
  const skipped = head.filter(({ line, text }) => {
    const comment = commentMark !== '' && text.trimStart().startsWith(commentMark);
    return line > above && line < firstDataLine && /\d/.test(text) && !comment;
  });
  if (skipped.length === 0) return [];
  const [first] = skipped;
  const count = skipped.length === 1 ? 'one line' : `${skipped.length} lines`;
  return [`${count} between header and data left out, the first in line ${first.line}: "${first.text.slice(0, 60)}"`];
}

/** `1,013` in every cell: thousand and thirteen, or one and a bit? */
function markQuestion(dialect: Dialect, options: ReadOptions): Question[] {
  if (!dialect.markOpen || options.decimalMark) return [];
  const mark = dialect.decimalMark;
  const name = mark === ',' ? 'comma' : 'point';
  return [
    {
      about: 'decimal mark',
      text: `${dialect.grounds.decimalMark}: is the ${name} the decimal mark, or does it part thousands?`,
      choices: [mark, mark === ',' ? '.' : ','],
      answer: '--decimal-mark ",", or { decimalMark: "," }',
    },
  ];
}

function noPressure(file: string, columns: readonly ColumnDescription[], assumptions: readonly string[]): LogError {
  const names = columns.map(({ name }) => name).join(', ');
  const why = assumptions.filter((said) => said.includes('is left as text')).map((said) => `; ${said}`);
  const met = `no pressure in it (columns: ${names.length > 200 ? `${names.slice(0, 200)} ...` : names}${why.join('')})`;
  const remedy = 'if one of these is a pressure, name it with --channel and its unit with --unit';
  return new LogError({ file, met, expected: 'at least one column of pressures', remedy });
}
