import { FLAG, type GaugeLog } from '../log/gauge-log';

/** What is known of the file that a log was read from. */
export interface LogFile {
  /** Path inside the package. */
  readonly path: string;
  readonly bytes: number;
  /** SHA-256, lower-case hex. */
  readonly sha256: string;
}

/** Name of the table of readings inside a package. */
export const READINGS_PATH = 'readings.csv';

const FLAG_NAMES = Object.entries(FLAG).filter(([, bit]) => bit !== 0);

/**
 * The readings of a log as a plain table: seconds from the first row, then for each numeric channel its SI value (empty
 * where missing) and its flags as words. Column names are ours, so nothing of the log's headers reaches a spreadsheet.
 * @param log the log
 * @returns CSV text, LF line ends
 */
export function readingsTable(log: GaugeLog): string {
  const channels = numericChannels(log);
  const lines = [['time_s', ...channels.flatMap((_, i) => [`channel_${i + 1}`, `channel_${i + 1}_flags`])].join(',')];
  for (let row = 0; row < log.rows; row += 1) {
    const cells = [String(log.time[row])];
    for (const channel of channels) {
      const value = channel.values[row];
      cells.push(Number.isFinite(value) ? String(value) : '', flagWords(channel.flags[row]));
    }
    lines.push(cells.join(','));
  }
  return `${lines.join('\n')}\n`;
}

/**
 * A Frictionless data package (v1) that describes a log file as it is and its readings as a table with a unit a column.
 * @param log the log as it was read
 * @param file the file that it was read from
 * @param readings the file that {@link readingsTable} was written to
 * @returns the content of a `datapackage.json`
 */
export function dataPackage(log: GaugeLog, file: LogFile, readings: LogFile): Record<string, unknown> {
  const channels = numericChannels(log);
  return {
    profile: 'data-package',
    name: 'gauge-log',
    title: log.file,
    description: 'a gauge log as it was found, and its readings as they were understood, in SI units',
    resources: [
      {
        profile: 'data-resource',
        name: 'log-as-found',
        title: log.file,
        path: file.path,
        bytes: file.bytes,
        hash: `sha256:${file.sha256}`,
        type: 'file',
        encoding: log.description.encoding,
        blankoff: { description: log.description, assumptions: log.assumptions, left_out: log.leftOut },
      },
      {
        profile: 'tabular-data-resource',
        name: 'readings',
        title: 'readings in SI units',
        path: readings.path,
        bytes: readings.bytes,
        hash: `sha256:${readings.sha256}`,
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: {
          missingValues: [''],
          fields: [
            {
              name: 'time_s',
              type: 'number',
              title: 'time from the first row',
              unit: 's',
              ...(log.start ? { description: `the first row is at ${log.start}` } : {}),
            },
            ...channels.flatMap((channel, i) => [
              {
                name: `channel_${i + 1}`,
                type: 'number',
                title: channel.name,
                unit: channel.siUnit,
                description: `${channel.quantity}, in the log in ${channel.unit || 'no stated unit'} (${channel.unitFrom})`,
              },
              {
                name: `channel_${i + 1}_flags`,
                type: 'string',
                title: `${channel.name}: why a reading must not be used`,
              },
            ]),
          ],
        },
      },
    ],
  };
}

function numericChannels(log: GaugeLog): GaugeLog['channels'] {
  return log.channels.filter((channel) => channel.quantity !== 'text');
}

function flagWords(flag: number): string {
  return flag === 0
    ? ''
    : FLAG_NAMES.filter(([, bit]) => (flag & bit) !== 0)
        .map(([name]) => name)
        .join(' ');
}
