import type { Channel, GaugeLog } from '../log/gauge-log';
import type { Segment } from './segment';
import { isSwitch } from './valve-columns';

/** A column may speak for a kind when it changes within this many rows of the boundary. */
const NEAR_ROWS = 5;
/** Columns looked at, at most: a log of hundreds of columns stays quick. */
const MOST_COLUMNS = 40;

/**
 * Adds to the grounds of segments what valve, flow, position and temperature columns say about them. Here they
 * only confirm: no kind and no boundary changes.
 */
export function confirmByColumns(log: GaugeLog, segments: readonly Segment[]): Segment[] {
  const columns = log.channels.filter((c) => isSwitch(c) || c.quantity === 'flow').slice(0, MOST_COLUMNS);
  if (columns.length === 0) return [...segments];
  return segments.map((s) => {
    if (!['isolation', 'fill', 'regulated', 'venting'].includes(s.kind)) return s;
    const said = columns.map((c) => (isSwitch(c) ? switchSays(c, s) : flowSays(c, s))).filter((text) => text !== '');
    return said.length === 0 ? s : { ...s, grounds: [...s.grounds, ...said] };
  });
}

function switchSays(c: Channel, s: Segment): string {
  const before = valueNear(c, s.from - NEAR_ROWS);
  const inside = valueNear(c, Math.floor((s.from + s.to) / 2));
  const after = valueNear(c, s.to + NEAR_ROWS);
  if (!Number.isFinite(inside)) return '';
  const changes = (Number.isFinite(before) && before !== inside) || (Number.isFinite(after) && after !== inside);
  if (!changes) return '';
  return `column "${c.name}" reads ${short(before)} before, ${short(inside)} during and ${short(after)} after it`;
}

function flowSays(c: Channel, s: Segment): string {
  const before = valueNear(c, s.from - NEAR_ROWS);
  const inside = valueNear(c, Math.floor((s.from + s.to) / 2));
  const scale = largest(c);
  if (!(scale > 0) || !Number.isFinite(inside) || s.kind === 'isolation') return '';
  if (inside < 0.05 * scale || Math.abs(inside - before) < 0.02 * scale) return '';
  return `column "${c.name}" shows a flow during it`;
}

function largest(c: Channel): number {
  let most = 0;
  for (let i = 0; i < c.values.length; i++) if (c.flags[i] === 0 && c.values[i] > most) most = c.values[i];
  return most;
}

const valueNear = (c: Channel, row: number): number =>
  c.values[Math.min(c.values.length - 1, Math.max(0, row))] ?? Number.NaN;
const short = (value: number): string => (Number.isFinite(value) ? String(Number(value.toPrecision(3))) : 'nothing');
