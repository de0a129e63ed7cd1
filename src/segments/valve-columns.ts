import type { Channel, GaugeLog } from '../log/gauge-log';
import { withRows } from './corrections';
import type { Readings } from './readings';
import type { Segment } from './segment';
import { FEWEST_READINGS } from './span';

/** A found boundary this near to the valve's own, rows, stays: columns of one log are stamped a row or two apart. */
const NEAR_ROWS = 3;
/** Part of the largest opening up to which a valve is shut. */
const SHUT = 0.02;
/** Part of the rows of falling pressure, and of the found isolations, that must agree with a column. */
const AGREES = 0.6;
/** Part of its largest reading above which a flow column shows a flow. */
const FLOWS = 0.02;
/** A fall by this ratio is the pump's work. */
const PUMPED = 3;

const SAYS_SHUT = /clos|shut|geschl|isolated/i;
const SAYS_OPEN = /open|auf\b|offen/i;
/** Valves that let gas in, and things that are no valve to the pump. */
const OTHER_VALVE =
  /inlet|gas|vent(?!il)|feed|purge|bleed|needle|fill|n2|nitrogen|argon|dos(e|ing)|cool|water|door|shutter/i;

/** A column that says whether the valve to the pump is shut. */
interface ValveColumn {
  readonly channel: Channel;
  /** 1 where shut, 0 where not, per row. */
  readonly shut: Uint8Array;
}

/** Is a channel one of open and shut: states, or a position? */
export function isSwitch(c: Channel): boolean {
  const named = /valve|ventil(?!at)|closed|open|shut|position|isolat|gate|klappe/i.test(c.name);
  if (/set ?point/i.test(c.name) || c.setpoint === true) return false;
  return c.quantity === 'position' || (named && c.quantity === 'number');
}

/**
 * Lets the log's own column of the valve to the pump decide. Where it says that the valve is shut and the pressure alone
 * said that it is pumped, the stretch is an isolation; an isolation that was found gets the valve's times, where they
 * differ by more than a few rows. A column that contradicts the pressure is not believed.
 * @param log the log
 * @param readings the good readings of the followed channel
 * @param segments what the pressure alone said
 * @returns segments, covering the same rows
 */
export function decideByValve(log: GaugeLog, readings: Readings, segments: readonly Segment[]): Segment[] {
  const column = valveColumn(log, segments);
  if (column === undefined) return [...segments];
  let out: readonly Segment[] = segments;
  for (const [from, to] of shutStretches(column.shut)) out = decideOne(log, readings, out, from, to, column.channel);
  return [...out];
}

function decideOne(
  log: GaugeLog,
  readings: Readings,
  segments: readonly Segment[],
  from: number,
  to: number,
  channel: Channel,
): readonly Segment[] {
  const inside = segments.filter((s) => s.to >= from && s.from <= to);
  const found = inside.filter((s) => s.kind === 'isolation');
  const shared = (s: Segment): number => Math.min(s.to, to) - Math.max(s.from, from) + 1;
  const pumped = inside.filter((s) => s.kind === 'pump-down' || s.kind === 'steady' || s.kind === 'bake-out');
  const held = inside.filter(
    (s) => s.kind === 'regulated' && !flowsDuring(log, Math.max(s.from, from), Math.min(s.to, to)),
  );
  const explained = [...found, ...pumped, ...held].reduce((sum, s) => sum + shared(s), 0);
  // Gas let in, venting, air: the pressure knows better what is going on behind the shut valve.
  if (explained < 0.9 * (to - from + 1)) return segments;
  const near =
    found.length === 1 && Math.abs(found[0].from - from) <= NEAR_ROWS && Math.abs(found[0].to - to) <= NEAR_ROWS;
  if (near || goodRows(readings, from, to) < FEWEST_READINGS) return segments;
  const keep = found.find((s) => shared(s) > 0.5 * (s.to - s.from + 1));
  const grounds = [
    `column "${channel.name}" says that the valve is shut from ${seconds(log, from)} s to ${seconds(log, to)} s`,
    ...(keep === undefined ? ['the pressure alone does not show it'] : keep.grounds),
  ];
  const one = withRows({ kind: 'isolation', grounds, pumpSide: keep?.pumpSide ?? false }, from, to, log.time, readings);
  const out: Segment[] = [];
  for (const s of segments) {
    if (s.to < from || s.from > to) {
      out.push(s);
      continue;
    }
    // What is left of an isolation outside of the valve's times belongs to the pump.
    const rest: Segment = s.kind === 'isolation' ? { ...s, kind: 'pump-down', grounds: ['the valve is open'] } : s;
    if (s.from < from) out.push(withRows(rest, s.from, from - 1, log.time, readings));
    if (s.to > to) out.push(withRows(rest, to + 1, s.to, log.time, readings));
  }
  return [...out, one].sort((a, b) => a.from - b.from);
}

/** Does a flow column show gas flowing between two rows? */
function flowsDuring(log: GaugeLog, from: number, to: number): boolean {
  return log.channels.some((c) => {
    if (c.quantity !== 'flow' && !/flow|mfc/i.test(c.name)) return false;
    let most = 0;
    for (let i = 0; i < c.values.length; i++) if (c.flags[i] === 0 && c.values[i] > most) most = c.values[i];
    return most > 0 && c.values[(from + to) >> 1] > FLOWS * most;
  });
}

const seconds = (log: GaugeLog, row: number): string => String(Number(log.time[row].toPrecision(6)));

function goodRows(readings: Readings, from: number, to: number): number {
  let count = 0;
  for (let i = 0; i < readings.rows.length && readings.rows[i] <= to; i++) if (readings.rows[i] >= from) count++;
  return count;
}

/** Runs of rows in which the valve is shut. */
function shutStretches(shut: Uint8Array): [number, number][] {
  const found: [number, number][] = [];
  let from = -1;
  for (let row = 0; row <= shut.length; row++) {
    const now = row < shut.length && shut[row] === 1;
    if (now && from < 0) from = row;
    if (!now && from >= 0) {
      if (row - from >= FEWEST_READINGS) found.push([from, row - 1]);
      from = -1;
    }
  }
  return found;
}

/** The first column that tells of the valve to the pump and agrees with the pressure. */
function valveColumn(log: GaugeLog, segments: readonly Segment[]): ValveColumn | undefined {
  const switches = log.channels.filter((c) => isSwitch(c) && !OTHER_VALVE.test(c.name));
  const told = [...switches].sort((a, b) => Number(worded(b)) - Number(worded(a)));
  for (const channel of told) {
    const ways = worded(channel) ? [SAYS_SHUT.test(channel.name)] : [false, true];
    for (const highIsShut of ways) {
      const shut = shutRows(channel, highIsShut);
      if (shut !== undefined && agrees(shut, segments)) return { channel, shut };
    }
  }
  return undefined;
}

const worded = (c: Channel): boolean => SAYS_SHUT.test(c.name) !== SAYS_OPEN.test(c.name);

/** Rows in which a column says shut; undefined where it never changes. */
function shutRows(channel: Channel, highIsShut: boolean): Uint8Array | undefined {
  const { values, flags } = channel;
  let highest = 0;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0 || !Number.isFinite(values[i])) continue;
    highest = Math.max(highest, values[i]);
    lowest = Math.min(lowest, values[i]);
  }
  if (!(highest > lowest) || lowest < 0) return undefined;
  const shut = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) {
    const good = flags[i] === 0 && Number.isFinite(values[i]);
    const low = values[i] <= lowest + SHUT * (highest - lowest);
    shut[i] = good && (highIsShut ? values[i] >= highest - SHUT * (highest - lowest) : low) ? 1 : 0;
  }
  return shut;
}

/** Is the valve open where the pressure is pumped down, and shut in most of the isolations that the pressure shows? */
function agrees(shut: Uint8Array, segments: readonly Segment[]): boolean {
  let falling = 0;
  let open = 0;
  let isolations = 0;
  let confirmed = 0;
  for (const s of segments) {
    const middle = shut[(s.from + s.to) >> 1];
    if (s.kind === 'isolation') {
      isolations++;
      confirmed += middle;
    }
    if (s.kind !== 'pump-down' || !(s.startPa > PUMPED * s.endPa)) continue;
    for (let row = s.from; row <= s.to; row++) {
      falling++;
      open += 1 - shut[row];
    }
  }
  return open >= AGREES * falling && confirmed >= AGREES * isolations && falling + isolations > 0;
}
