import type { Finding, NextTest, PresentCause } from '../causes';
import { judgedIsolation, type PumpDown, type RateOfRise } from '../fits';
import { type Channel, clockText, flagCounts, type WallClock } from '../log';
import type { Estimate } from '../numerics/estimate';
import { percentText, probabilityText, shareText } from '../numerics/percent';
import type { LogEvent } from '../segments';
import { formatInterval, formatNumber, fromSI, shownUnit } from '../units';
import type { Analysis } from './analyse';
import { eventsTold } from './events-told';
import { bullets, clock, printable, span, table, WIDTH, wrap } from './text-layout';

/** How a report is written. */
export interface ReportOptions {
  /** Unit of throughput to show, such as `mbar L/s`; the one that goes with the unit of pressure where absent. */
  readonly throughputUnit?: string;
}

/** Units in which a report shows things. */
interface Shown {
  readonly pressure: string;
  readonly rate: string;
  readonly throughput: string;
}

/** More segments than this are summed up. */
const MOST_SEGMENTS = 60;
/** More events than this are counted. */
const MOST_EVENTS = 12;

/**
 * An analysis for reading, 80 columns wide: what happened, rates, loads, the finding with its grounds, the next test,
 * cautions, assumptions and what was flagged.
 * @param analysis what was found
 * @param options units
 * @returns lines joined by line feeds, with one at the end
 */
export function analysisReport(analysis: Analysis, options: ReportOptions = {}): string {
  const { log, segmented, fits, finding, others } = analysis;
  const main = log.channels.find((c) => c.name === segmented.channel);
  const shown = unitsFor(main, options);
  const lines = [
    ...header(analysis, main),
    ...section('IN SHORT', bullets(inShort(analysis, shown))),
    ...section('WHAT HAPPENED', segmentLines(analysis, shown)),
    ...section('RATE OF RISE', riseLines(fits.isolations, segmented.clock, shown)),
    ...section('GAS LOAD', loadLines(analysis, shown)),
    ...section('PUMP-DOWN', pumpDownLines(fits.pumpDowns, shown)),
    ...section('LOAD BALANCE', fits.loadBalance === null ? [] : wrap(fits.loadBalance.text, '  ')),
    ...section('LIMIT', limitLines(analysis)),
    ...section('FINDING', findingLines(finding, shown)),
    ...section('WHAT MAY STAND BEHIND IT', subCauseLines(finding)),
    ...section('NEXT TEST', nextTestLines(finding)),
    ...section('REMARKS: DOES THE READING ANSWER?', answerLines(analysis)),
    ...section('WHAT TO DO', bullets(finding.whatToDo)),
    ...section('CAUTIONS', bullets(finding.cautions)),
    ...others.flatMap((other) =>
      section(`ALSO: ${printable(other.channel)}`, [
        ...wrap(other.segmented.segments.map((s) => s.kind).join(', then '), '  '),
        ...riseLines(
          other.fits.isolations,
          other.segmented.clock,
          unitsFor(
            log.channels.find((c) => c.name === other.channel),
            options,
          ),
        ),
        ...pumpDownLines(
          other.fits.pumpDowns,
          unitsFor(
            log.channels.find((c) => c.name === other.channel),
            options,
          ),
        ),
      ]),
    ),
    ...section('ASSUMED (each can be overruled)', bullets(assumptionsOf(analysis))),
    ...section(
      'NOTED',
      bullets(
        [...segmented.notes, ...fits.notes, ...log.timeNotes.slice(0, 5).map((n) => n.text)].map((n) =>
          inShownUnit(n, shown),
        ),
      ),
    ),
    ...section('FLAGGED READINGS', flagLines(log.channels)),
  ];
  return `${lines.join('\n')}\n`;
}

function section(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ['', title, ...lines];
}

function unitsFor(channel: Channel | undefined, options: ReportOptions): Shown {
  const pressure = shownUnit(channel?.unit || 'Pa').label;
  const throughput = options.throughputUnit ?? throughputBeside(pressure);
  return { pressure, rate: `${pressure}/s`, throughput };
}

/** The unit of throughput that people use beside a unit of pressure. */
function throughputBeside(pressure: string): string {
  if (/^(m?bar|hPa)$/.test(pressure)) return 'mbar L/s';
  if (/torr|micron|mmHg|um ?Hg/i.test(pressure)) return 'Torr L/s';
  return 'Pa m3/s';
}

function header({ log, segmented, others }: Analysis, main: Channel | undefined): string[] {
  const duration = log.rows > 0 ? log.time[log.rows - 1] - log.time[0] : 0;
  const start = log.start === null ? '' : `, from ${log.start}`;
  const origin = main?.unitFrom === 'user' ? 'as told' : `from the ${main?.unitFrom ?? 'log'}`;
  const unit =
    main === undefined ? '' : ` in ${main.unit || 'Pa'} (unit ${main.unitFrom === 'assumed' ? 'assumed' : origin})`;
  return [
    ...wrap(`${log.file}: ${log.rows} rows, ${span(duration)}${start}`),
    ...wrap(`follows "${segmented.channel}"${unit}${others.length > 0 ? `, and ${others.length} more` : ''}`),
    '='.repeat(WIDTH),
  ];
}

/** A pressure in the unit shown; a dash where no reading was good. */
const pressureText = (pa: number, { pressure }: Shown): string =>
  Number.isFinite(pa) ? formatNumber(fromSI(pa, pressure), 3) : '-';

/** A sentence of the record, which tells pressures in Pa, with them in the unit shown. */
function inShownUnit(text: string, shown: Shown): string {
  if (shown.pressure === 'Pa') return text;
  return text.replace(
    /(\d[\d.]*(?:e[+-]?\d+)?) Pa\b(?!\/| m3)/g,
    (_, pa: string) => `${pressureText(Number(pa), shown)} ${shown.pressure}`,
  );
}

/** The answer before its grounds: the cause, the leak, the limit, what to do next. */
function inShort({ finding, fits, options }: Analysis, shown: Shown): string[] {
  const { verdict, mainCause, realLeak, conforms, nextTest, whatToDo } = finding;
  if (finding.isolationsJudged === 0) {
    return [
      'no isolation to judge: shut the valve to the pump, log the rise, pump on and repeat; if it was shut already, say when',
      ...whatToDo.slice(0, 1),
    ];
  }
  const open = mainCause.slice(0, 3).filter(({ probability }) => probability >= 0.1);
  const ranked = open.map(({ cause, probability }) => `${cause} ${probabilityText(probability)}`).join(', ');
  const first = `${verdict === 'none' ? 'nothing beyond noise and drift' : verdict} (${probabilityText(mainCause[0].probability)})`;
  const lines = [
    verdict === 'undetermined' ? `the record does not settle the main cause: ${ranked}` : `most likely cause: ${first}`,
  ];
  if (realLeak !== null && Number.isFinite(realLeak.high)) {
    const there = finding.present.find(({ cause }) => cause === 'real leak')?.probability ?? 0;
    const none =
      realLeak.low <= 0 ? `; the record may do without one (there is one with ${probabilityText(there)})` : '';
    lines.push(`real leak: ${estimateText(realLeak, shown.throughput)}${none}`);
  }
  if (conforms !== null && options.limit?.kind === 'throughput') {
    lines.push(`the leak against the limit of ${options.limit.text}: ${AGAINST_LIMIT[conforms]}`);
    if (conforms === 'yes' && fits.conformity?.conforms === 'no') {
      lines.push('all that comes in is above that limit; the leak in it is within: what comes besides is no leak');
    }
  } else if (fits.conformity !== null && options.limit !== undefined) {
    const { conforms: rise, probability, text } = fits.conformity;
    const said = Number.isNaN(probability) ? `not judged: ${text}` : AGAINST_LIMIT[rise];
    lines.push(`the rise against the limit of ${options.limit.text}: ${said}`);
  }
  const judged = fits.isolations[judgedIsolation(fits.isolations)];
  const byGas = judged?.budget.some(({ name, share }) => name === 'gas factor' && share > 0.5);
  if (options.gas === undefined && byGas && judged.gasLoad !== null) {
    lines.push('most of the uncertainty of the load is that the gas is not known: where it is, say so (--gas air)');
  }
  const next = nextTest?.what ?? whatToDo[0];
  return next === undefined ? lines : [...lines, `next: ${next}`];
}

const AGAINST_LIMIT = {
  yes: 'within it',
  no: 'above it',
  inconclusive: 'too near, or too little known, to say',
} as const;

/** Seconds from the first row and, where the log tells it, the time by the clock on the wall. */
function moment(s: number, wall: WallClock | undefined): string {
  return wall === undefined ? clock(s) : `${clock(s)} (${clockText(wall, s)})`;
}

function segmentLines({ segmented }: Analysis, shown: Shown): string[] {
  const { segments, clock: wall } = segmented;
  const rows = segments
    .slice(0, MOST_SEGMENTS)
    .map((s) => [
      clock(s.startS),
      ...(wall === undefined ? [] : [clockText(wall, s.startS)]),
      span(s.endS - s.startS),
      s.pumpSide ? `${s.kind} (gauge on the pump's side)` : s.kind,
      `${pressureText(s.startPa, shown)} to ${pressureText(s.endPa, shown)}`,
    ]);
  const at = wall === undefined ? [] : [wall.utc ? 'clock (UTC)' : 'clock'];
  const lines = table(
    [['from', ...at, 'for', 'what', shown.pressure], ...rows],
    [2, 3].map((k) => k + at.length),
  );
  if (segments.length > MOST_SEGMENTS) lines.push(`  ... and ${segments.length - MOST_SEGMENTS} more`);
  const told = eventsTold(segmented);
  for (const e of told.slice(0, MOST_EVENTS)) {
    lines.push(...wrap(`${e.kind}: ${inShownUnit(e.text, shown)}`, `  ${moment(e.atS, wall)}  `));
  }
  if (told.length > MOST_EVENTS) lines.push(`  ... and ${moreEvents(told.slice(MOST_EVENTS))}`);
  lines.push(
    ...segmented.corrections.flatMap((c) => wrap(`corrected: ${c.kind}, ${c.reason}`, `  ${moment(c.fromS, wall)}  `)),
  );
  return lines;
}

/** `9 more events (4 step, 5 gap): --json lists all`. */
function moreEvents(left: readonly LogEvent[]): string {
  const kinds = [...new Set(left.map(({ kind }) => kind))];
  const counts = kinds.map((kind) => `${left.filter((event) => event.kind === kind).length} ${kind}`);
  return `${left.length} more ${left.length === 1 ? 'event' : 'events'} (${counts.join(', ')}): --json lists all`;
}

/** An estimate for reading; infinite ends are said in words. */
function estimateText(estimate: Estimate, unit: string): string {
  return Number.isFinite(estimate.value) ? formatInterval(estimate, shownUnit(unit)) : 'not known';
}

function riseLines(isolations: readonly RateOfRise[], wall: WallClock | undefined, shown: Shown): string[] {
  const judged = judgedIsolation(isolations);
  return isolations.flatMap((rise, i) => [
    `  isolation at ${moment(rise.segment.startS, wall)}`,
    ...(isolations.length > 1 && i === judged ? ['    (the gas load below is from this one)'] : []),
    ...pairs([
      [
        'judged',
        `${span(rise.windowS[1] - rise.windowS[0])} from ${clock(rise.windowS[0])}, ${rise.rows.length} readings`,
      ],
      ['mean rate', estimateText(rise.rate, shown.rate)],
      ['at its start', estimateText(rise.initialRate, shown.rate)],
      ['at its end', estimateText(rise.finalRate, shown.rate)],
      ['shape', shapeText(rise)],
    ]),
    ...bullets([rise.dwellGrounds, ...rise.notes]),
  ]);
}

function shapeText(rise: RateOfRise): string {
  const change = rise.finalRate.value / rise.initialRate.value - 1;
  const apart = rise.finalRate.high < rise.initialRate.low || rise.finalRate.low > rise.initialRate.high;
  const name = `best described as ${rise.shape.name}`;
  if (!apart || !Number.isFinite(change)) return `${name}; no change of the rate is seen`;
  return `${name}; the rate ${change < 0 ? 'falls' : 'grows'} by ${Math.abs(100 * change).toFixed(0)} %`;
}

/** Lines of a name and a text, the texts aligned. */
function pairs(items: readonly (readonly [string, string])[]): string[] {
  const width = Math.max(...items.map(([name]) => name.length));
  return items.flatMap(([name, text]) => wrap(text, `    ${name.padEnd(width)}  `));
}

function loadLines({ fits }: Analysis, shown: Shown): string[] {
  const judged = judgedIsolation(fits.isolations);
  if (judged < 0) return [];
  const rise = fits.isolations[judged];
  if (rise.gasLoad === null || rise.initialGasLoad === null || rise.finalGasLoad === null) {
    return wrap('not known without the volume: give it with --volume', '  ');
  }
  const items: [string, string][] = [
    ['mean load', estimateText(rise.gasLoad, shown.throughput)],
    ['at closing', estimateText(rise.initialGasLoad, shown.throughput)],
    ['at the end', estimateText(rise.finalGasLoad, shown.throughput)],
  ];
  if (fits.volume !== null) items.push(['volume', `${estimateText(fits.volume.volume, 'L')}, ${fits.volume.method}`]);
  const lines = pairs(items);
  const budget = rise.budget.map((line) => [
    line.name,
    `${formatNumber(budgetValue(line.value, line.unit, shown), 3)} ${budgetUnits(shown)[line.unit] ?? line.unit}`.trim(),
    formatNumber(budgetValue(line.standardUncertainty, line.unit, shown), 2),
    percentText(line.share),
  ]);
  lines.push(...table([['uncertainty budget', 'value', 'u (k = 1)', 'share'], ...budget]).map((line) => `  ${line}`));
  return lines;
}

/** The unit in which a line of the budget is shown. */
const budgetUnits = (shown: Shown): Readonly<Record<string, string>> => ({ 'Pa/s': shown.rate, m3: 'L' });

function budgetValue(value: number, unit: string, shown: Shown): number {
  const wanted = budgetUnits(shown)[unit];
  return wanted === undefined ? value : fromSI(value, wanted);
}

/** The table of pump-downs in the first of its forms, from most to least exact, that fits the width. */
function pumpDownTable(pumpDowns: readonly PumpDown[], shown: Shown): string[] {
  const withVolume = pumpDowns.some((p) => p.effectiveSpeed !== null);
  const head = ['from', shown.pressure, withVolume ? 'speed, L/s' : 'speed/volume, 1/s', `base, ${shown.pressure}`];
  const form = (digits: number, baseInterval: boolean): string[] => {
    const rows = pumpDowns.slice(0, MOST_SEGMENTS).map((p) => {
      const speed =
        p.effectiveSpeed !== null
          ? inUnit(p.effectiveSpeed, 'L/s', digits)
          : p.ratePerS === null
            ? 'not seen'
            : rateText(p.ratePerS, digits);
      const from = `${pressureText(p.segment.startPa, shown)} to ${pressureText(p.segment.endPa, shown)}`;
      const base = !p.baseReached
        ? `not reached: below ${pressureText(p.base.high, shown)}`
        : baseInterval
          ? inUnit(p.base, shown.pressure, digits)
          : pressureText(p.base.value, shown);
      return [clock(p.segment.startS), from, speed, base];
    });
    return table([head, ...rows], [0, 1, 2, 3]);
  };
  const fits = (lines: readonly string[]): boolean => lines.every((line) => line.length <= WIDTH);
  const exact = form(4, true);
  if (fits(exact)) return exact;
  const rounded = [form(3, true), form(2, true)].find(fits);
  return rounded ?? form(2, false);
}

/** One row a pump-down, then what is not in the table: tails, set points, notes. */
function pumpDownLines(pumpDowns: readonly PumpDown[], shown: Shown): string[] {
  if (pumpDowns.length === 0) return [];
  const lines = pumpDownTable(pumpDowns, shown);
  lines.push('  (speed over the best decades; 95 % intervals)');
  for (const p of pumpDowns) {
    const items: string[] = [];
    if (p.rateOver !== null) {
      const { fromPa, toPa, startS } = p.rateOver;
      const over = `${pressureText(fromPa, shown)} to ${pressureText(toPa, shown)} ${shown.pressure}`;
      items.push(`${clock(p.segment.startS)}: its speed was read from ${over}, from ${clock(startS)} on`);
    }
    if (p.tailExponent !== null) {
      const { value, low, high } = p.tailExponent;
      const exponent = `-${value.toFixed(2)} (-${low.toFixed(2)} to -${high.toFixed(2)}, 95 %)`;
      items.push(`${clock(p.segment.startS)}: its tail falls as time to the power ${exponent}`);
    }
    for (const { toPa, afterS } of p.times) {
      if (afterS === 0) continue;
      const reached = afterS === null ? 'is not reached' : `after ${span(afterS)}`;
      items.push(`${clock(p.segment.startS)}: ${pressureText(toPa, shown)} ${shown.pressure} ${reached}`);
    }
    lines.push(...bullets([...items, ...p.notes.map((note) => `${clock(p.segment.startS)}: ${note}`)]));
  }
  return lines;
}

/** Value and interval without the unit, for a table. */
function inUnit({ value, low, high }: Estimate, unit: string, most: number): string {
  return rateText({ value: fromSI(value, unit), low: fromSI(low, unit), high: fromSI(high, unit) }, most);
}

/** `0.0095 (0.0094 to 0.0097)`: as many digits as show the interval; `below 0.016` where nothing bounds it below. */
function rateText({ value, low, high }: Estimate, most: number): string {
  const half = (high - low) / 2;
  const places = half > 0 && value > 0 ? Math.ceil(Math.log10(value / half)) + 1 : 2;
  const digits = Math.min(most, Math.max(2, places));
  const [v, a, b] = [value, low, high].map((x) => formatNumber(x, digits));
  if (low <= 0 && value >= 0) return value < 0.5 * high ? `below ${b}` : `${v} (below ${b})`;
  return a === b ? v : `${v} (${a} to ${b})`;
}

function limitLines({ fits, finding, options }: Analysis): string[] {
  if (options.limit === undefined) return [];
  const lines = wrap(`limit: ${options.limit.text}`, '  ');
  if (fits.conformity !== null) {
    lines.push(...wrap(`${fits.conformity.of}: ${fits.conformity.conforms}; ${fits.conformity.text}`, '  '));
    lines.push(...wrap(`rule: ${fits.conformity.rule}; ${fits.conformity.risk}`, '  '));
  }
  if (options.limit.kind === 'throughput' && finding.conforms !== null) {
    lines.push(
      ...wrap(`real leak: ${finding.conforms}${finding.rule === null ? '' : `; rule: ${finding.rule}`}`, '  '),
    );
  }
  return lines;
}

function findingLines(finding: Finding, shown: Shown): string[] {
  if (finding.isolationsJudged === 0) {
    const conforms: [string, string][] = finding.conforms === null ? [] : [['conforms', finding.conforms]];
    return [...pairs([['main cause', 'undetermined: no isolation'], ...conforms]), ...bullets(finding.grounds)];
  }
  const [first] = finding.mainCause;
  const verdict =
    finding.verdict === 'undetermined'
      ? `undetermined (first is ${first?.cause ?? 'nothing'}, ${probabilityText(first?.probability ?? 0)})`
      : `${finding.verdict} (${probabilityText(first?.probability ?? 0)})`;
  const ranked = finding.mainCause.filter((c) => c.probability >= 0.02).slice(0, 5);
  const items: [string, string][] = [
    ['main cause', verdict],
    ['ranked', ranked.map((c) => `${c.cause} ${probabilityText(c.probability)}`).join(', ')],
    ...finding.present.map((p): [string, string] => [
      p.probability >= 0.5 ? 'present' : 'not excluded',
      `${p.cause}, ${probabilityText(p.probability)} sure; share of the rise ${shareText(p.shareOfRise)}${sharesApart(p) ? ` in the last isolation, ${shareText(p.shareOfAllRises)} over all` : ''}${p.note ? `: ${p.note}` : ''}`,
    ]),
  ];
  if (finding.realLeak !== null) items.push(['real leak', estimateText(finding.realLeak, shown.throughput)]);
  if (finding.conforms !== null) items.push(['conforms', finding.conforms]);
  return [...pairs(items), ...bullets(finding.grounds)];
}

function answerLines({ answers, segmented }: Analysis): string[] {
  return answers.flatMap(({ remark, text }) => wrap(text, `  ${moment(remark.atS, segmented.clock)}  `));
}

/** Kinds behind a cause; those that the record speaks against come last and without their test. */
function subCauseLines({ subCauses }: Finding): string[] {
  return subCauses.flatMap(({ cause, name, told, why, nextTest }) => [
    ...wrap(`${cause}: ${name}: ${told}; ${why}`, '  - '),
    ...(told === 'speaks against' ? [] : wrap(`to tell: ${nextTest}`, '    ')),
  ]);
}

/** Whether the last isolation says something else about a cause than all of them together. */
const sharesApart = ({ shareOfRise, shareOfAllRises }: PresentCause): boolean =>
  Math.abs(shareOfRise.value - shareOfAllRises.value) >= 0.1;

function nextTestLines({ nextTest, otherTests }: Finding): string[] {
  if (nextTest === null) return [];
  const one = (test: NextTest): string => `${test.what} (about ${span(test.forS)}; settles ${test.settles.join(', ')})`;
  return [
    ...wrap(one(nextTest), '  '),
    ...nextTest.needs.flatMap((need) => wrap(`before: ${need}`, '  - ')),
    ...otherTests.slice(0, 3).flatMap((test) => wrap(`or: ${one(test)}`, '  ')),
  ];
}

function assumptionsOf({ log, options, fits }: Analysis): string[] {
  const said = [...log.assumptions, ...(options.limit?.assumptions ?? []), ...(options.target?.assumptions ?? [])];
  if (options.volume !== undefined && options.volume.uncertaintyRead !== 'none') {
    said.push(`the uncertainty of the volume was taken as ${options.volume.uncertaintyRead}`);
  }
  said.push(...(fits.volume?.assumptions ?? []));
  for (const line of fits.isolations[judgedIsolation(fits.isolations)]?.budget ?? []) {
    if (line.from.includes('not ') || line.from.includes('typical')) said.push(`${line.name}: ${line.from}`);
  }
  return [...new Set(said)];
}

function flagLines(channels: readonly Channel[]): string[] {
  return channels.flatMap((channel) => {
    const counts = flagCounts(channel);
    if (counts.length === 0 || channel.quantity !== 'pressure') return [];
    return wrap(`"${channel.name}": ${counts.join(', ')}`, '  - ');
  });
}
