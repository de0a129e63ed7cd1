import { ArgumentError } from '../errors';
import type { Simulation } from './system';

/** How a log is to be written. */
export interface LogDialect {
  readonly separator?: ',' | ';' | '\t';
  readonly decimalMark?: '.' | ',';
  /** `seconds`, `elapsed h:m:s` and, with a start in the simulation, `iso`; seconds where absent. */
  readonly time?: 'seconds' | 'elapsed h:m:s' | 'iso';
  readonly timeName?: string;
  /** Units behind the names, in brackets, or on a line of their own. */
  readonly units?: 'in header' | 'units line' | 'none';
  /** Lines before the header, written after `# `. */
  readonly comments?: readonly string[];
  /** A last column with the remarks of the schedule. */
  readonly remarks?: boolean;
  readonly lineEnd?: '\n' | '\r\n';
}

/**
 * Writes a simulated record as a text log.
 * @param simulation the record
 * @param dialect separator, decimal mark, time and units; comma, point, seconds and units in the header where absent
 * @returns the text of the file
 * @throws ArgumentError where separator and decimal mark are the same, or `iso` time is wanted without a start
 */
export function writeLogText(simulation: Simulation, dialect: LogDialect = {}): string {
  const { separator = ',', decimalMark = '.', time = 'seconds', units = 'in header', lineEnd = '\n' } = dialect;
  if (separator === decimalMark)
    throw new ArgumentError('decimal mark', decimalMark, 'another mark than the separator');
  const { log, cells } = simulation;
  const stamp = stamps(time, log.start);
  const timeUnit = time === 'seconds' ? 's' : '';
  const names = [dialect.timeName ?? 'time', ...log.channels.map((channel) => channel.name)];
  const unitOf = [timeUnit, ...log.channels.map((channel) => channel.unit)];
  const lines = (dialect.comments ?? []).map((comment) => `# ${comment}`);
  const header = names.map((name, i) => (units === 'in header' && unitOf[i] !== '' ? `${name} [${unitOf[i]}]` : name));
  if (dialect.remarks) header.push('remark');
  lines.push(header.join(separator));
  if (units === 'units line') lines.push(unitOf.join(separator));
  const point = (cell: string): string => (decimalMark === ',' ? cell.replace('.', ',') : cell);
  const remarkAt = new Map<number, string>();
  for (const { atS, text } of log.remarks) {
    let row = 0;
    while (row < log.rows - 1 && log.time[row] < atS) row++;
    remarkAt.set(row, text);
  }
  for (let row = 0; row < log.rows; row++) {
    const fields = [point(stamp(log.time[row])), ...cells.map((column) => point(column[row]))];
    if (dialect.remarks) fields.push(remarkAt.get(row) ?? '');
    lines.push(fields.join(separator));
  }
  return lines.join(lineEnd) + lineEnd;
}

function stamps(kind: NonNullable<LogDialect['time']>, start: string | null): (t: number) => string {
  if (kind === 'seconds') return (t) => String(Number(t.toFixed(3)));
  if (kind === 'elapsed h:m:s') {
    const two = (n: number): string => String(n).padStart(2, '0');
    return (t) => {
      const whole = Math.round(t);
      return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
    };
  }
  const from = Date.parse(`${start}Z`);
  if (!Number.isFinite(from)) throw new ArgumentError('start', start, 'an ISO 8601 date and time, for iso time stamps');
  return (t) => new Date(from + Math.round(t * 1000)).toISOString().replace(/\.000Z$|Z$/, '');
}
