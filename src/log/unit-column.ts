import { LogError } from '../errors';
import { findUnit } from '../units';
import { unitInHeader } from './column-meaning';
import type { Layout } from './layout';

const UNIT_NAMES = /^(units?|einheit|unit[ée]|unidad|unit[àa]|enhet|enhed)$/i;

/**
 * A column of units beside a column of readings: its one unit is taken as if it stood below the header.
 * @param layout header and looks of the columns
 * @param file name for messages
 * @returns the layout, with that unit
 * @throws LogError where the column holds several units
 */
export function withUnitColumn(layout: Layout, file: string): Layout {
  const { names, looks, headerLine } = layout;
  const at = names.findIndex((name, i) => UNIT_NAMES.test(name) && looks[i].kind === 'text');
  if (headerLine === 0 || at < 0) return layout;
  let value = at - 1;
  while (value >= 0 && looks[value].kind !== 'number') value--;
  const labels = [...new Set(looks[at].cells)];
  if (value < 0 || unitInHeader(names[value]) || layout.unitCells[value] || !labels.every((label) => findUnit(label))) {
    return layout;
  }
  if (labels.length > 1) {
    const met = `several units in column "${names[at]}" (${labels.slice(0, 6).join(', ')})`;
    const remedy = 'bring the readings to one unit, or write the unit behind each of them';
    throw new LogError({ file, line: headerLine, column: at + 1, met, expected: 'one unit for a column', remedy });
  }
  const unitCells = names.map((_, i) => (i === value ? labels[0] : (layout.unitCells[i] ?? '')));
  const grounds = { ...layout.grounds, [`column ${value + 1}`]: `unit from the column "${names[at]}"` };
  return { ...layout, unitCells, grounds };
}
