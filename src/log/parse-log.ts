import { sha256 } from '@noble/hashes/sha2';
import { ArgumentError, LogError } from '../errors';
import { findUnit } from '../units';
import { splitCells } from './cells';
import { type ChannelScene, channelOf } from './channel-values';
import { descriptionFor, inOrderOfTime, joinRows, questionOfJoining } from './continue-rows';
import { fileName } from './describe-log';
import type { ColumnDescription, LogDescription } from './description';
import { type Channel, FLAG, type GaugeLog, type Remark } from './gauge-log';
import { rowsTaken } from './keep-rows';
import { lineNames, linesBefore } from './line-names';
import { trimmedEnd } from './lines';
import { type LogText, openLog, textOf } from './open-log';
import { openQuestions } from './questions';
import type { ReadOptions } from './read-options';
import { type RawRows, readRows } from './read-rows';
import { withoutRepeatedRows } from './repeated-rows';
import { isoText } from './stamp-text';
import { withoutStrayStamps } from './stray-stamps';
import { type OrderedTime, orderTime, type StampKind } from './time-order';

/**
 * Reads a log by its description, guessing nothing.
 * @param bytes the file, or several files that continue each other
 * @param description as found by `describeLog`, perhaps edited
 * @param options only the names of the files, `join` and `onProgress` are used
 * @returns the log, with what was assumed and what is open
 * @throws LogError where the file contradicts the description
 */
export function parseLog(
  bytes: Uint8Array | readonly Uint8Array[],
  description: LogDescription,
  options: Pick<ReadOptions, 'file' | 'join' | 'onProgress'> = {},
): GaugeLog {
  const files = bytes instanceof Uint8Array ? [bytes] : bytes;
  if (files.length === 0) throw new ArgumentError('log', 'no file', 'at least one');
  const logs = files.map((file, i) => openLog(file, fileName(options, i), description.sheet));
  return parseText(logs, files, description, options);
}

/**
 * Reads opened logs by a description.
 * @param logs the files as lines
 * @param files the files as they came, for the hash
 * @param description how they are written
 * @param options whether to join what runs at the same time, and progress
 * @returns the log
 * @throws LogError where a file contradicts the description
 */
export function parseText(
  logs: readonly LogText[],
  files: readonly Uint8Array[],
  description: LogDescription,
  options: Pick<ReadOptions, 'join' | 'onProgress'>,
): GaugeLog {
  const parts = readAll(logs, description, options.onProgress);
  const continuing = description.time.format === 'rows';
  const joining = options.join || continuing ? undefined : questionOfJoining(parts, fileNames(logs));
  const names = lineNames(logs);
  const unique = withoutRepeatedRows(joinRows(continuing ? parts : inOrderOfTime(parts), continuing));
  refuseOneStamp(unique, logs, description);
  const raw = withoutStrayStamps(unique, names);
  const ordered = orderTime(raw.time, stampKind(raw, description.time.format), (row) => names(raw.lines[row]));
  const rows = ordered.order ? rearranged(raw, ordered.order) : raw;
  const assumptions = [...description.assumptions, ...raw.assumptions, ...ordered.assumptions];
  const channels = makeChannels(rows, ordered, description, assumptions);
  return {
    file: fileNames(logs).join(', '),
    sha256: hashOf(files),
    description,
    rows: rows.rows,
    start: startOf(raw, ordered, description),
    ...timeOfDay(raw, ordered, description),
    time: ordered.time,
    timeNotes: ordered.notes,
    channels,
    remarks: remarksOf(rows, ordered, description),
    assumptions: [...new Set(assumptions)],
    questions: [...(joining ? [joining] : []), ...openQuestions(description)],
    leftOut: raw.leftOut,
  };
}

function fileNames(logs: readonly LogText[]): string[] {
  return logs.map(({ file }) => file);
}

function readAll(
  logs: readonly LogText[],
  description: LogDescription,
  onProgress?: (share: number) => void,
): RawRows[] {
  const [first] = logs;
  const before = linesBefore(logs);
  return logs.map((log, k) => {
    const own = k === 0 ? description : descriptionFor(log, first, description);
    const told = onProgress && ((share: number): void => onProgress((k + share) / logs.length));
    const read = readRows(log, own, told);
    const part = logs.length > 1 ? ofFile(read, log.file, before[k]) : read;
    return own.columns === description.columns ? part : inFirstOrder(part, own, description);
  });
}

/** One of several files: its lines are counted over all of them, and what is said of it names it. */
function ofFile(part: RawRows, file: string, before: number): RawRows {
  return {
    ...part,
    lines: part.lines.map((line) => line + before),
    assumptions: part.assumptions.map((said) => `${file}: ${said}`),
  };
}

/** Rows that all have one stamp cannot be placed in time. */
function refuseOneStamp({ rows, time, lines }: RawRows, logs: readonly LogText[], description: LogDescription): void {
  if (rows < 2 || time.some((at) => at !== time[0])) return;
  const before = linesBefore(logs);
  const k = before.filter((sum) => sum < lines[0]).length - 1;
  const [log, line] = [logs[k], lines[0] - before[k]];
  const start = log.lines[line - 1];
  const cells = splitCells(textOf(log, start, trimmedEnd(log.bytes, start, log.lines[line])), description.separator);
  const stamp = description.time.columns.map((column) => cells[column - 1] ?? '').join(' ');
  throw new LogError({
    file: log.file,
    line,
    column: description.time.columns[0] ?? 0,
    met: `the same stamp, "${stamp.slice(0, 60)}", in all ${rows} rows`,
    expected: 'stamps that go on',
    remedy: 'name another column (--time-column NAME) or the seconds from row to row (--step 10)',
  });
}

/** Columns of a continuing file in the order of the first. */
function inFirstOrder(part: RawRows, own: LogDescription, description: LogDescription): RawRows {
  const places = (roles: readonly ColumnDescription['role'][]): number[] => {
    const here = own.columns.filter(({ role }) => roles.includes(role));
    return description.columns.filter(({ role }) => roles.includes(role)).map((column) => here.indexOf(column));
  };
  const channels = places(['channel']);
  const texts = places(['text', 'remark']);
  return {
    ...part,
    values: channels.map((k) => part.values[k]),
    flags: channels.map((k) => part.flags[k]),
    oddCells: channels.map((k) => part.oddCells[k]),
    texts: texts.map((k) => part.texts[k]),
  };
}

function stampKind(raw: RawRows, format: LogDescription['time']['format']): StampKind {
  const kind = raw.hasZone ? 'zoned' : raw.hasDate ? 'dated' : format === 'time of day' ? 'clock' : 'elapsed';
  const twelveHours = kind === 'clock' && !raw.hasHalfDay && raw.largestHour <= 12;
  return { kind: format === 'rows' ? 'zoned' : kind, twelveHours, base: raw.base };
}

function rearranged(raw: RawRows, order: Uint32Array): RawRows {
  const place = new Uint32Array(order.length);
  for (let i = 0; i < order.length; i++) place[order[i]] = i;
  return {
    ...rowsTaken(raw, order),
    comments: raw.comments.map(({ row, text }) => ({ row: row < place.length ? place[row] : row, text })),
  };
}

function makeChannels(
  rows: RawRows,
  ordered: OrderedTime,
  description: LogDescription,
  assumptions: string[],
): Channel[] {
  const columns = description.columns.filter(({ role }) => role === 'channel');
  const texts = description.columns.filter(({ role }) => role === 'text' || role === 'remark');
  const barometer = barometerOf(rows, columns, description);
  const setpoints = setpointValues(rows, columns);
  const scene: ChannelScene = { description, time: ordered.time, barometer, setpoints, assumptions };
  const made = columns.map((column, i) => {
    const channel = channelOf(column, rows.values[i], rows.flags[i], scene);
    const oddCell = rows.oddCells[i];
    return oddCell === undefined ? channel : { ...channel, oddCell };
  });
  const written = texts.flatMap((column, i) => (column.role === 'text' ? [textChannel(column, rows.texts[i])] : []));
  return [...made, ...written].sort((a, b) => a.column - b.column);
}

/** The barometer in Pa: the one value told, or a column with its gaps filled from the rows before. */
function barometerOf(
  rows: RawRows,
  columns: readonly ColumnDescription[],
  { barometerPa, barometerColumn }: LogDescription,
): number | Float64Array | undefined {
  if (barometerPa !== undefined) return barometerPa;
  if (barometerColumn === undefined) return undefined;
  const place = columns.findIndex(({ column }) => column === barometerColumn);
  const unit = place < 0 ? undefined : findUnit(columns[place].unit, 'pressure');
  if (!unit || unit.barometer !== 'none') {
    const met = place < 0 ? `column ${barometerColumn}` : columns[place].unit || 'no unit';
    throw new ArgumentError('barometer column', met, 'a column of absolute pressures with a unit');
  }
  const values = rows.values[place];
  const air = new Float64Array(values.length);
  let last = values.find((_, i) => rows.flags[place][i] === 0) ?? Number.NaN;
  for (let i = 0; i < air.length; i++) {
    if (rows.flags[place][i] === 0) last = values[i];
    air[i] = last * unit.scale;
  }
  return air;
}

/** The values that set points of pressure take, as long as they are few. */
function setpointValues(rows: RawRows, columns: readonly ColumnDescription[]): Set<number> {
  const found = new Set<number>();
  columns.forEach(({ setpoint, quantity }, k) => {
    if (!setpoint || quantity !== 'pressure') return;
    for (let i = 0; i < rows.rows && found.size < 1000; i++) found.add(rows.values[k][i]);
  });
  return found;
}

function textChannel(column: ColumnDescription, texts: readonly string[]): Channel {
  const values = new Float64Array(texts.length).fill(Number.NaN);
  const flags = Uint8Array.from(texts, (text) => (text === '' ? FLAG.missing : FLAG.good));
  const none = { unit: '', unitFrom: 'none' as const, siUnit: '', resolution: 0 };
  return { name: column.name, column: column.column, quantity: 'text', ...none, values, flags, texts };
}

/** Remarks from their columns (one that goes on over rows counts once) and from comments among the data. */
function remarksOf(rows: RawRows, ordered: OrderedTime, description: LogDescription): Remark[] {
  const remarks: Remark[] = [];
  const columns = description.columns.filter(({ role }) => role === 'text' || role === 'remark');
  columns.forEach(({ role }, k) => {
    if (role !== 'remark') return;
    const texts = rows.texts[k];
    for (let i = 0; i < texts.length; i++) {
      if (texts[i] !== '' && (i === 0 || texts[i] !== texts[i - 1]))
        remarks.push({ atS: ordered.time[i], text: texts[i] });
    }
  });
  for (const { row, text } of rows.comments) {
    if (rows.rows > 0) remarks.push({ atS: ordered.time[Math.min(row, rows.rows - 1)], text });
  }
  return remarks.sort((a, b) => a.atS - b.atS);
}

function hashOf(files: readonly Uint8Array[]): string {
  const hash = sha256.create();
  for (const file of files) hash.update(file);
  return Array.from(hash.digest(), (byte: number) => byte.toString(16).padStart(2, '0')).join('');
}

/** The first time of day, where that is all the stamps tell. */
function timeOfDay(
  raw: RawRows,
  ordered: OrderedTime,
  { time: { format } }: LogDescription,
): { readonly timeOfDayS?: number } {
  if (stampKind(raw, format).kind !== 'clock' || raw.rows === 0) return {};
  return { timeOfDayS: raw.base + raw.time[ordered.order?.[0] ?? 0] };
}

function startOf(raw: RawRows, ordered: OrderedTime, description: LogDescription): string | null {
  if (!Number.isNaN(raw.startStamp)) return isoText(raw.startStamp, 0, false);
  if (!raw.hasDate || raw.rows === 0 || description.time.format === 'day and month open') return null;
  const row = ordered.order?.[0] ?? 0;
  const at = raw.base + raw.time[row];
  const whole = Math.floor(raw.base);
  const within = raw.base - whole + raw.time[row];
  return Math.abs(at) < 2.5e11 ? isoText(whole + Math.floor(within), within - Math.floor(within), raw.hasZone) : null;
}
