import type { Cause, Finding, NextTest } from '../../src/causes/finding';
import type { PumpDown, RateOfRise, RecordFits } from '../../src/fits/results';
import { eventsTold } from '../../src/investigation/events-told';
import { clock } from '../../src/investigation/text-layout';
import { flagCounts } from '../../src/log/flag-words';
import { type Channel, FLAG, type GaugeLog } from '../../src/log/gauge-log';
import { clockText } from '../../src/log/wall-clock';
import type { Estimate } from '../../src/numerics/estimate';
import { percentText, probabilityText, shareText } from '../../src/numerics/percent';
import type { SegmentedLog } from '../../src/segments/segment';
import { USUAL_SET_POINTS_PA } from '../../src/segments/set-points';
import { formatInterval, formatNumber, fromSI, shownUnit } from '../../src/units';
import type { ShownTable, TableCell } from './table';

/** The units in which results are shown. */
export interface ShownUnits {
  /** Pressure, `Pa` where absent. */
  readonly pressure?: string;
  /** Gas load (throughput), `Pa m3/s` where absent. */
  readonly load?: string;
}

/** A stretch of time for reading: `45 s`, `12.5 min`, `3.2 h`. */
export function timeText(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 120) return `${formatNumber(seconds, 3)} s`;
  if (size < 7200) return `${formatNumber(seconds / 60, 3)} min`;
  return `${formatNumber(seconds / 3600, 3)} h`;
}

/** A pressure in the unit wanted. */
function pressureText(pa: number, units: ShownUnits): string {
  const unit = units.pressure ?? 'Pa';
  return Number.isFinite(pa) ? `${formatNumber(fromSI(pa, unit), 3)} ${unit}` : 'no reading';
}

function loadText(load: Estimate | null, units: ShownUnits): string {
  return load === null ? 'needs the volume' : formatInterval(load, shownUnit(units.load ?? 'Pa m3/s'));
}

function range(channel: Channel): readonly [number, number] {
  let [least, most] = [Infinity, -Infinity];
  for (const [row, value] of channel.values.entries()) {
    if (channel.flags[row] !== FLAG.good || Number.isNaN(value)) continue;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return [least, most];
}

/** What is no pressure, in the unit of the log where it can be turned back into it. */
function otherText(value: number, { siUnit, unit }: Channel): string {
  const own = siUnit !== '' && unit !== '' ? unit : siUnit;
  const shown = own === siUnit ? value : fromSI(value, own);
  return `${formatNumber(shown, 4)} ${own}`.trim();
}

function channelRow(channel: Channel, units: ShownUnits): TableCell[] {
  const [least, most] = range(channel);
  const shown = (value: number): string => {
    if (!Number.isFinite(value)) return 'no reading';
    if (channel.quantity === 'pressure') return pressureText(value, units);
    return otherText(value, channel);
  };
  const values = channel.quantity === 'text' ? ['', ''] : [shown(least), shown(most)];
  const unit = channel.unit ? `${channel.unit} (${channel.unitFrom})` : channel.unitFrom;
  return [channel.name, channel.quantity, unit, ...values, flagCounts(channel).join(', ') || 'none'];
}

/** A log: what it holds, channel by channel, and what was assumed while it was read. */
export function tablesOfLog(log: GaugeLog, units: ShownUnits): ShownTable[] {
  const duration = timeText(log.rows > 0 ? log.time[log.rows - 1] : 0);
  const from = log.start === null ? '' : `, from ${log.start}`;
  const doubts = [...log.assumptions, ...log.questions.map((question) => question.text)];
  return [
    {
      caption: `${log.file}: ${log.rows} rows over ${duration}${from}`,
      head: ['channel', 'quantity', 'unit (from)', 'least', 'most', 'flagged readings'],
      rows: log.channels.map((channel) => channelRow(channel, units)),
    },
    ...(doubts.length > 0 ? [{ head: [], rows: [['assumed or open', doubts]] }] : []),
  ];
}

/** Segments and events, in order of time. */
export function tablesOfSegments(segmented: SegmentedLog, units: ShownUnits): ShownTable[] {
  const listed = eventsTold(segmented);
  const wall = segmented.clock;
  const byClock = (s: number): string[] => (wall === undefined ? [] : [clockText(wall, s)]);
  const headOfClock = (before: string): string[] =>
    wall === undefined ? [] : [`${before}by the clock${wall.utc ? ' (UTC)' : ''}`];
  const left = crossingsLeftOut(segmented, units);
  const notes = [...segmented.notes, ...(listed.length > 0 ? [] : left)];
  const segments: ShownTable = {
    caption: `What happened, by ${segmented.channel}`,
    head: ['no.', 'what', 'from', 'to', ...headOfClock('from, '), 'pressure at start', 'at end', 'why it is called so'],
    // Numbered as on the chart of pressure.
    rows: segmented.segments.map((segment, i) => [
      String(i + 1),
      segment.kind,
      clock(segment.startS),
      clock(segment.endS),
      ...byClock(segment.startS),
      pressureText(segment.startPa, units),
      pressureText(segment.endPa, units),
      segment.grounds,
    ]),
    ...(notes.length > 0 ? { note: notes.join('; ') } : {}),
  };
  const events: ShownTable = {
    caption: 'Events',
    head: ['what', 'at', ...headOfClock(''), 'in words'],
    rows: listed.map((event) => [event.kind, clock(event.atS), ...byClock(event.atS), event.text]),
    ...(left.length > 0 ? { note: left[0] } : {}),
  };
  return listed.length > 0 ? [segments, events] : [segments];
}

/** Crossings are many: only how many, and of what. */
function crossingsLeftOut({ events }: SegmentedLog, units: ShownUnits): string[] {
  const crossings = events.filter(({ kind }) => kind === 'crossing');
  if (crossings.length === 0) return [];
  const levels = [...new Set(crossings.map(({ numbers }) => numbers.set_point_Pa))].sort((a, b) => b - a);
  const usual = levels.every((pa) => USUAL_SET_POINTS_PA.includes(pa)) ? 'usual ' : '';
  const of = levels.map((pa) => pressureText(pa, units)).join(', ');
  return [
    `${crossings.length} crossings of the ${usual}set points ${of} are not listed here; ` +
      'to see them, show the .events of what is shown here',
  ];
}

const rateUnit = (units: ShownUnits): string => `${units.pressure ?? 'Pa'}/s`;

/** A rate of rise with its gas load and the budget of its uncertainty. */
export function tablesOfRate(rise: RateOfRise, units: ShownUnits): ShownTable[] {
  const rate = (value: Estimate): string => formatInterval(value, rateUnit(units));
  const [from, to] = rise.windowS;
  const rows: TableCell[][] = [
    ['mean rate of rise', rate(rise.rate)],
    ['at the start', rate(rise.initialRate)],
    ['at the end', rate(rise.finalRate)],
    ['gas load', loadText(rise.gasLoad, units)],
    ['judged', `${clock(from)} to ${clock(to)} (${timeText(to - from)}), ${rise.rows.length} readings`],
    ['left out after closing', `${timeText(rise.dwellS)}: ${rise.dwellGrounds}`],
  ];
  if (rise.notes.length > 0) rows.push(['notes', rise.notes]);
  const budget: ShownTable = {
    caption: 'Where the uncertainty comes from',
    head: ['part', 'value', 'standard uncertainty', 'share of the variance', 'from'],
    rows: rise.budget.map((line) => {
      const shown = (value: number, digits?: number): string =>
        line.unit === 'Pa/s'
          ? `${formatNumber(fromSI(value, rateUnit(units)), digits)} ${rateUnit(units)}`
          : `${formatNumber(value, digits)} ${line.unit}`.trim();
      return [line.name, shown(line.value), shown(line.standardUncertainty, 2), percentText(line.share), line.from];
    }),
  };
  const main: ShownTable = {
    caption: `Isolation from ${clock(rise.segment.startS)}, channel ${rise.channel}`,
    head: [],
    rows,
  };
  return rise.budget.length > 0 ? [main, budget] : [main];
}

/** A pump-down: its speed and the pressure it tends to. */
export function tablesOfPumpDown(pumpDown: PumpDown, units: ShownUnits): ShownTable[] {
  const speed = pumpDown.effectiveSpeed;
  const rows: TableCell[][] = [
    [
      'effective pumping speed',
      speed === null ? (pumpDown.ratePerS === null ? 'not seen' : 'needs the volume') : formatInterval(speed, 'L/s'),
    ],
    ['speed over volume', pumpDown.ratePerS === null ? 'not seen' : `${intervalText(pumpDown.ratePerS)} 1/s`],
    [
      'base pressure it tends to',
      pumpDown.baseReached
        ? formatInterval(pumpDown.base, units.pressure ?? 'Pa')
        : `not reached: below ${pressureText(pumpDown.base.high, units)}`,
    ],
    ['exponent of the tail', pumpDown.tailExponent === null ? 'no tail' : intervalText(pumpDown.tailExponent)],
    ...pumpDown.times.map(({ toPa, afterS }) => [
      `time to ${pressureText(toPa, units)}`,
      afterS === null ? 'not reached' : timeText(afterS),
    ]),
  ];
  if (pumpDown.notes.length > 0) rows.push(['notes', pumpDown.notes]);
  return [{ caption: `Pump-down, channel ${pumpDown.channel}`, head: [], rows }];
}

/** A bare number with its 95 % interval. */
export function intervalText({ value, low, high }: Estimate): string {
  return `${formatNumber(value, 3)} (${formatNumber(low, 3)} to ${formatNumber(high, 3)}, 95 %)`;
}

/** All fits of a record, one table after the other. */
export function tablesOfFits(fits: RecordFits, units: ShownUnits): ShownTable[] {
  const rows: TableCell[][] = [];
  if (fits.loadBalance) rows.push(['load balance', fits.loadBalance.text]);
  if (fits.conformity) rows.push(['conforms', `${fits.conformity.conforms}: ${fits.conformity.rule}`]);
  if (fits.notes.length > 0) rows.push(['notes', fits.notes]);
  return [
    ...fits.pumpDowns.flatMap((pumpDown) => tablesOfPumpDown(pumpDown, units)),
    ...fits.isolations.flatMap((rise) => tablesOfRate(rise, units)),
    ...(rows.length > 0 ? [{ caption: 'The record as a whole', head: [], rows }] : []),
  ];
}

/** A seat that passes and a change of temperature move the pressure without a load of their own. */
function causeLoadText(cause: Cause, load: Estimate | null, units: ShownUnits): string {
  return cause === 'temperature' || cause === 'passing valve' ? 'no load of its own' : loadText(load, units);
}

function testLines(test: NextTest): string[] {
  const needs = test.needs.map((need) => `needs: ${need}`);
  const settles = test.settles.length > 0 ? [`settles: ${test.settles.join(', ')}`] : [];
  return [`${test.what} (${timeText(test.forS)})`, ...needs, ...settles];
}

/** A finding: the verdict with its probability and grounds, what is present, the leak, and the next test. */
export function tablesOfFinding(finding: Finding, units: ShownUnits): ShownTable[] {
  const judged = finding.isolationsJudged > 0;
  const likely = finding.mainCause.filter(({ probability }) => probability >= 0.01);
  const lacks = judged ? 'needs the volume' : 'needs an isolation';
  const rows: TableCell[][] = [
    ['verdict', judged ? finding.verdict : `${finding.verdict}: no isolation was found`],
    ...(judged
      ? [['main cause', likely.map(({ cause, probability }) => `${cause} ${probabilityText(probability)}`)]]
      : []),
    ['real leak', finding.realLeak === null ? lacks : loadText(finding.realLeak, units)],
  ];
  if (finding.conforms !== null) rows.push(['conforms', [finding.conforms, ...(finding.rule ? [finding.rule] : [])]]);
  rows.push(['grounds', finding.grounds]);
  if (finding.nextTest) rows.push(['next test', testLines(finding.nextTest)]);
  if (finding.whatToDo.length > 0) rows.push(['what to do', finding.whatToDo]);
  if (finding.cautions.length > 0) rows.push(['take care', finding.cautions]);
  const several = finding.isolationsJudged > 1;
  const present: ShownTable = {
    caption: 'What may be present; shares and loads are those of the cause if it is there',
    head: [
      'cause',
      'probability',
      several ? 'share of the last rise' : 'share of the rise',
      ...(several ? ['of all rises'] : []),
      'load at closing',
      'load at the end',
      'in words',
    ],
    rows: finding.present.map((cause) => [
      cause.cause,
      probabilityText(cause.probability),
      shareText(cause.shareOfRise),
      ...(several ? [shareText(cause.shareOfAllRises)] : []),
      causeLoadText(cause.cause, cause.loadAtClosing, units),
      causeLoadText(cause.cause, cause.loadAtEnd, units),
      cause.note,
    ]),
  };
  const main: ShownTable = { caption: 'Finding', head: [], rows };
  const behind: ShownTable = {
    caption: 'What may stand behind it',
    head: ['cause', 'kind', 'the record', 'why', 'to tell', 'needs'],
    rows: finding.subCauses.map(({ cause, name, told, why, nextTest, needs }) => [
      cause,
      name,
      told,
      why,
      nextTest,
      needs.join('; '),
    ]),
  };
  const tables = [main, ...(finding.present.length > 0 ? [present] : [])];
  return finding.subCauses.length > 0 ? [...tables, behind] : tables;
}
