import { dataPackage, type LogFile, READINGS_PATH, readingsTable } from '../../src/investigation/data-package';
import type { GaugeLog } from '../../src/log/gauge-log';
import { sha256Of } from './case-layout';

/** What stands beside a log in a packed investigation. */
export interface LogDescriptionFiles {
  /** CSV of the readings in SI units. */
  readonly readings: string;
  /** The data package, JSON. */
  readonly dataPackage: string;
}

/**
 * What stands beside a log: its readings as a table, and a data package that names columns and units of both.
 * @param log the log as it was read
 * @param file the log's own file, its path inside the package
 */
export function descriptionOf(log: GaugeLog, file: LogFile): LogDescriptionFiles {
  const readings = readingsTable(log);
  const bytes = new TextEncoder().encode(readings);
  const table = { path: READINGS_PATH, bytes: bytes.length, sha256: sha256Of(bytes) };
  return { readings, dataPackage: `${JSON.stringify(dataPackage(log, file, table), null, 2)}\n` };
}
