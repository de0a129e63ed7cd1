import { ArgumentError, LogError, type Question } from '../errors';
import { findUnit, type Unit } from '../units';
import { type ColumnMeaning, columnMeaning, namedThing } from './column-meaning';
import { findTime } from './describe-time';
import type { ColumnDescription, LogDescription } from './description';
import { findDialect } from './dialect';
import { findLayout, type Layout } from './layout';
import { type LogText, openLog } from './open-log';
import type { ColumnAnswer, ReadOptions } from './read-options';
import { takeSample } from './sample';

/**
 * Finds out how a log is written. The description can be edited before parsing, which obeys it.
 * @param bytes the file, or several files that continue each other (the first is described)
 * @param options answers and wishes
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
 */
export function fileName(options: ReadOptions, index: number): string {
  const { file = 'log' } = options;
  const name = typeof file === 'string' ? file : (file[index] ?? `log ${index + 1}`);
  return name.replace(/^.*[\\/]/, '') || 'log';
}

/**
 * Describes a log that has been opened.
 * @param log the log as lines
 * @param options answers and wishes
 * @throws LogError where it holds no readings, or no pressure
 */
export function describeText(log: LogText, options: ReadOptions): LogDescription {
  const sample = takeSample(log);
  const dialect = findDialect(sample.spread, log.format === 'text' ? options : { separator: '\t', decimalMark: '.' });
  const layout = findLayout(sample, dialect, log.file);
  const found = findTime(layout, dialect.decimalMark, options, log.lines.length - layout.firstDataLine);
  const { columns, questions, assumptions, grounds } = describeColumns(
    layout,
    found.time.columns,
    found.others,
    options,
  );
  if (!columns.some((c) => c.role === 'channel' && (c.quantity === 'pressure' || c.quantity === 'voltage'))) {
    throw noPressure(log.file, columns);
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
    time: found.time,
    columns,
    barometerPa: options.barometerPa,
    grounds: { ...dialect.grounds, ...layout.grounds, time: found.grounds, ...grounds },
    assumptions: [...found.assumptions, ...assumptions],
    questions: [...found.questions, ...questions],
  };
}

function noPressure(file: string, columns: readonly ColumnDescription[]): LogError {
  const names = columns.map(({ name }) => name).join(', ');
  const met = `no pressure in it (columns: ${names.length > 200 ? `${names.slice(0, 200)} ...` : names})`;
  const remedy = 'if one of these is a pressure, name it with --channel and its unit with --unit';
  return new LogError({ file, met, expected: 'at least one column of pressures', remedy });
}

interface DescribedColumns {
  readonly columns: readonly ColumnDescription[];
  readonly questions: readonly Question[];
  readonly assumptions: readonly string[];
  readonly grounds: Readonly<Record<string, string>>;
}

function describeColumns(
  layout: Layout,
  times: readonly number[],
  otherTimes: readonly number[],
  options: ReadOptions,
): DescribedColumns {
  const questions: Question[] = [];
  const assumptions: string[] = [];
  const grounds: Record<string, string> = {};
  const columns = layout.names.map((name, i): ColumnDescription => {
    const column = i + 1;
    const base = { column, name, unit: '', unitFrom: 'none' as const, belowAtmosphere: false };
    if (times.includes(column)) {
      return { ...base, role: times.length > 1 && times[0] === column ? 'date' : 'time', quantity: 'number' };
    }
    if (otherTimes.includes(column)) return { ...base, role: 'ignored', quantity: 'number' };
    const look = layout.looks[i];
    if (look.kind === 'text' || look.kind === 'stamp') {
      const remark = namedThing(name) === 'remark';
      return { ...base, role: remark ? 'remark' : 'text', quantity: 'text' };
    }
    if (look.kind === 'empty') return { ...base, role: 'ignored', quantity: 'number' };
    const meaning = columnMeaning(layout.headerLine > 0 ? name : '', layout.unitCells[i] ?? '');
    return channelColumn(base, meaning, answerFor(name, options));
  });
  return { columns, questions, assumptions, grounds };
}

function answerFor(name: string, options: ReadOptions): ColumnAnswer {
  return options.columns?.[name] ?? {};
}

type Base = Pick<ColumnDescription, 'column' | 'name' | 'unit' | 'unitFrom' | 'belowAtmosphere'>;

function channelColumn(base: Base, meaning: ColumnMeaning, _answer: ColumnAnswer): ColumnDescription {
  const unit: Unit | undefined = meaning.unit ?? findUnit('');
  return {
    ...base,
    role: 'channel',
    quantity: meaning.quantity,
    unit: unit?.label ?? '',
    unitFrom: meaning.unitFrom,
    belowAtmosphere: unit?.barometer === 'below',
    ...(meaning.setpoint ? { setpoint: true } : {}),
  };
}
