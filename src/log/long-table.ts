import { LogError } from '../errors';
import type { Layout } from './layout';

const TAG_NAMES =
  /^(tag|tags|tag ?name|channel|kanal|canal|sensor|signal|variable|point|point ?name|measurement|name)$/i;
const VALUE_NAMES = /^(value|val|reading|wert|messwert|valeur|valor|valore|v[äa]rde|data)$/i;
/** Names shown in the message. */
const SHOWN = 6;

/**
 * Refuses a table in which a column of names says what each row measures: read as one gauge, its rows would mix pressures
 * with whatever else is in it.
 * @param layout header and looks of the columns
 * @param file name for messages
 * @throws LogError where two names or more stand in such a column
 */
export function refuseLongTable(layout: Layout, file: string): void {
  const { names, looks, headerLine } = layout;
  if (headerLine === 0) return;
  const tag = names.findIndex((name, i) => TAG_NAMES.test(name) && looks[i].kind === 'text');
  const value = names.findIndex((name, i) => VALUE_NAMES.test(name) && looks[i].kind === 'number');
  if (tag < 0 || value < 0) return;
  const different = [...new Set(looks[tag].cells)];
  if (different.length < 2) return;
  const shown = `${different.slice(0, SHOWN).join(', ')}${different.length > SHOWN ? ', ...' : ''}`;
  throw new LogError({
    file,
    line: headerLine,
    column: tag + 1,
    met: `a long table: column "${names[tag]}" says what each row measures (${shown})`,
    expected: 'a column for each gauge',
    remedy: 'turn it into a wide table, or keep the rows of one gauge',
  });
}
