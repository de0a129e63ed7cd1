import { sha256 } from '@noble/hashes/sha2';
import { conversionToSI, findUnit, siUnit, type Unit } from '../units';
import { fileName } from './describe-log';
import type { ColumnDescription, LogDescription } from './description';
import type { Channel, GaugeLog } from './gauge-log';
import { type LogText, openLog } from './open-log';
import type { ReadOptions } from './read-options';
import { type RawRows, readRows } from './read-rows';
import { isoText } from './stamp-text';

/**
 * Reads a log by its description, guessing nothing.
 * @param bytes the file, or several files that continue each other
 * @param description as found by `describeLog`, perhaps edited
 * @param options only the names of the files and `onProgress` are used
 * @throws LogError where the file contradicts the description
 */
export function parseLog(
  bytes: Uint8Array | readonly Uint8Array[],
  description: LogDescription,
  options: ReadOptions = {},
): GaugeLog {
  const files = bytes instanceof Uint8Array ? [bytes] : bytes;
  const logs = files.map((file, i) => openLog(file, fileName(options, i), description.sheet));
  return parseText(logs, files, description, options);
}

/**
 * Reads opened logs by a description.
 * @param logs the files as lines
 * @param files the files as they came, for the hash
 * @param description how they are written
 * @param options names and progress
 */
export function parseText(
  logs: readonly LogText[],
  files: readonly Uint8Array[],
  description: LogDescription,
  options: ReadOptions,
): GaugeLog {
  const raw = readRows(logs[0], description, options.onProgress);
  const channels = description.columns.filter(({ role }) => role === 'channel');
  return {
    file: logs.map(({ file }) => file).join(', '),
    sha256: hashOf(files),
    description,
    rows: raw.rows,
    start: startOf(raw, description),
    time: fromFirst(raw.time),
    timeNotes: [],
    channels: channels.map((column, i) => channelOf(column, raw.values[i], raw.flags[i])),
    remarks: [],
    assumptions: [...description.assumptions, ...raw.assumptions],
    questions: description.questions,
    leftOut: raw.leftOut,
  };
}

function hashOf(files: readonly Uint8Array[]): string {
  const hash = sha256.create();
  for (const file of files) hash.update(file);
  return Array.from(hash.digest(), (byte: number) => byte.toString(16).padStart(2, '0')).join('');
}

function fromFirst(time: Float64Array): Float64Array {
  const first = time[0];
  return first === 0 ? time : time.map((t) => t - first);
}

function startOf(raw: RawRows, description: LogDescription): string | null {
  if (!raw.hasDate || raw.rows === 0 || description.time.format === 'day and month open') return null;
  const whole = Math.floor(raw.base);
  return isoText(whole, raw.base - whole + raw.time[0], raw.hasZone);
}

function channelOf(column: ColumnDescription, values: Float64Array, flags: Uint8Array): Channel {
  const unit = column.unit === '' ? undefined : findUnit(column.unit);
  const { name, quantity, unitFrom } = column;
  const known = unit !== undefined && unit.barometer === 'none';
  if (known) toSIInPlace(values, unit);
  const si = known ? siUnit(unit.dimension) : '';
  const readAs = known || quantity === 'position' ? quantity : 'number';
  const base = {
    name,
    column: column.column,
    unit: unit?.label ?? '',
    unitFrom,
    siUnit: si,
    values,
    flags,
    resolution: 0,
  };
  return { ...base, quantity: readAs, ...(readAs === quantity ? {} : { seems: quantity }) };
}

function toSIInPlace(values: Float64Array, unit: Unit): void {
  const { scale, offset } = conversionToSI(unit);
  for (let i = 0; i < values.length; i++) values[i] = values[i] * scale + offset;
}
