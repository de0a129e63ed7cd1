import { compareRecords, type Finding } from '../causes';
import { type ChartSpec, comparisonChart, isolationChart, timeWords } from '../charts';
import { ArgumentError } from '../errors';
import { type Conformity, judgedIsolation, type RateOfRise } from '../fits';
import type { Estimate } from '../numerics/estimate';
import { formatInterval, formatNumber, formatQuantity, type Quantity, shownUnit } from '../units';
import type { Analysis } from './analyse';

/** A thing that a person writes into a report: words, or a value with its unit. */
export type Written = string | Quantity;

/** Something that was read at the beginning of a test and at its end. */
export interface BothEnds {
  readonly atStart?: Written;
  readonly atEnd?: Written;
}

/** What only a person knows of a rate-of-rise test; what is left out is shown as not given. */
export interface RateOfRiseGiven {
  /** What was tested. */
  readonly system?: string;
  readonly gauge?: {
    /** How it works; that of the analysis where absent. */
    readonly principle?: string;
    readonly serial?: string;
    readonly calibrated?: string;
    /** When its zero was checked, and what it read. */
    readonly zeroCheck?: string;
    /** Where on the system it sits. */
    readonly place?: string;
  };
  /** How the volume was found. */
  readonly volumeFrom?: string;
  readonly procedure?: string;
  /** Who closed which valves, in which order. */
  readonly valves?: string;
  /** Time pumped before the valves were closed; as far as the log shows where absent. */
  readonly pumpedBefore?: Written;
  readonly roomTemperature?: BothEnds;
  readonly barometer?: BothEnds;
  /** The rise of the test hose alone, or that there was none. */
  readonly hoseBlank?: Written;
  readonly testedBy?: string;
  readonly remarks?: string;
}

/** How a report is written. */
export interface ReportUnits {
  /** Unit of pressure; that of the log where absent. */
  readonly pressure?: string;
  /** Unit of gas load; `Pa m3/s` where absent. */
  readonly load?: string;
}

/** One line of a report: what, and its text in each column, or one text for all of them. */
export interface ReportRow {
  readonly what: string;
  readonly values: readonly string[];
}

/** A part of a report. */
export interface ReportSection {
  readonly title: string;
  readonly rows: readonly ReportRow[];
}

/** A report as a plain record: it can be shown, saved, printed and compared. */
export interface Report {
  readonly report: 'rate of rise' | 'before and after';
  readonly title: string;
  /** Heads of the columns; a single one has no head. */
  readonly columns: readonly string[];
  readonly sections: readonly ReportSection[];
  readonly charts: readonly ChartSpec[];
}

/** What stands where nothing was given. */
export const NOT_GIVEN = 'not given';

/**
 * The report of a rate-of-rise test: what was tested and how, the result with its uncertainty, the decision with limit
 * and rule, cautions, and the hash of the log. What was not given is said to be not given; nothing is guessed.
 * @param analysis the analysis of the log, with the volume and the limit that it was made with
 * @param given what only a person knows
 * @param units units to show, those of the log where absent
 * @returns the report
 * @throws ArgumentError where the log has no isolation, so that there is nothing to report
 */
export function rateOfRiseReport(analysis: Analysis, given: RateOfRiseGiven = {}, units: ReportUnits = {}): Report {
  const rise = judgedRise(analysis);
  const pressure = units.pressure ?? unitOfLog(analysis, rise);
  return {
    report: 'rate of rise',
    title: 'Rate-of-rise test',
    columns: [''],
    sections: sectionsOf(analysis, rise, given, { pressure, load: units.load ?? 'Pa m3/s' }),
    charts: [isolationChart(analysis.log, rise, { unit: pressure })],
  };
}

/** One of the two sides of a comparison. */
export interface ReportSide {
  readonly analysis: Analysis;
  readonly given?: RateOfRiseGiven;
}

/**
 * Two rate-of-rise tests of one system beside each other, with what differs and how sure that is.
 * @param before the test before a change
 * @param after the test after it
 * @param units units to show, those of the first log where absent
 * @returns the report
 * @throws ArgumentError where one of the logs has no isolation
 */
export function beforeAfterReport(before: ReportSide, after: ReportSide, units: ReportUnits = {}): Report {
  const sides = [before, after];
  const rises = sides.map((side) => judgedRise(side.analysis));
  const pressure = units.pressure ?? unitOfLog(before.analysis, rises[0]);
  const shown = { pressure, load: units.load ?? 'Pa m3/s' };
  const [first, second] = sides.map((side, i) => sectionsOf(side.analysis, rises[i], side.given ?? {}, shown));
  const { gauge } = after.analysis.options;
  const differences = compareRecords(before.analysis.fits, after.analysis.fits, { gauge });
  const names = ['before', 'after'];
  const records = sides.map(({ analysis: { log } }, i) => {
    const { channel, segment } = rises[i];
    return { name: names[i], log, channel, fromS: segment.startS, toS: segment.endS };
  });
  return {
    report: 'before and after',
    title: 'Two rate-of-rise tests, before and after',
    columns: names,
    sections: [
      ...first.map(({ title, rows }, s) => ({
        title,
        rows: rows.map(({ what, values }, r) => ({ what, values: [...values, ...second[s].rows[r].values] })),
      })),
      {
        title: 'The difference',
        rows: differences.map((one) => ({
          what: one.what,
          values: [`${one.verdict}; after over before ${ratioText(one.ratio)}`],
        })),
      },
    ],
    charts: [comparisonChart(records, { unit: pressure, pressureAxis: 'linear', title: 'The rise before and after' })],
  };
}

function ratioText({ value, low, high }: Estimate): string {
  const [middle, least, most] = [value, low, high].map((ratio) => formatNumber(ratio, 3));
  return `${middle} (${least} to ${most}, 95 %)`;
}

function judgedRise({ fits, log }: Analysis): RateOfRise {
  const rise = fits.isolations[judgedIsolation(fits.isolations)];
  if (!rise)
    throw new ArgumentError('report', `${log.file} without an isolation`, 'a log in which the rise was watched');
  return rise;
}

function unitOfLog({ log }: Analysis, rise: RateOfRise): string {
  return shownUnit(log.channels.find(({ name }) => name === rise.channel)?.unit || 'Pa').label;
}

type Shown = Required<ReportUnits>;

function sectionsOf(analysis: Analysis, rise: RateOfRise, given: RateOfRiseGiven, units: Shown): ReportSection[] {
  return [
    { title: 'What was tested', rows: testedRows(analysis, given) },
    { title: 'Gauge', rows: gaugeRows(analysis, rise, given) },
    { title: 'How it was tested', rows: testRows(analysis, rise, given, units) },
    { title: 'Result', rows: resultRows(analysis, rise, units) },
    { title: 'Take care', rows: [row('cautions', cautionsOf(analysis))] },
    { title: 'Data', rows: dataRows(analysis) },
  ];
}

function testedRows({ options, fits }: Analysis, given: RateOfRiseGiven): ReportRow[] {
  const found = fits.volume;
  const byFill = found && found.method !== 'given' ? formatInterval(found.volume, 'L') : undefined;
  return [
    row('system', given.system),
    row('isolated volume', options.volume ?? byFill),
    row('how the volume was found', given.volumeFrom || (byFill ? found?.method : undefined)),
    row('tested by', given.testedBy),
  ];
}

function gaugeRows({ options }: Analysis, rise: RateOfRise, { gauge = {} }: RateOfRiseGiven): ReportRow[] {
  const judgedAs = options.gauge ?? 'of a kind that was not given';
  const principle =
    gauge.principle && gauge.principle !== judgedAs ? `${gauge.principle}; judged as ${judgedAs}` : options.gauge;
  return [
    row('column of the log', rise.channel),
    row('principle', principle),
    row('serial number', gauge.serial),
    row('calibrated on', gauge.calibrated),
    row('zero check', gauge.zeroCheck),
    row('where it sits', gauge.place),
  ];
}

function testRows(analysis: Analysis, rise: RateOfRise, given: RateOfRiseGiven, units: Shown): ReportRow[] {
  const { log, segmented } = analysis;
  const [from, to] = rise.windowS;
  const since = (s: number): string => timeWords(s - rise.segment.startS);
  const pumping = segmented.segments.find((one) => one.kind === 'pump-down' && one.startS < rise.segment.startS);
  const shut = segmented.segments.filter((one) => one.kind === 'isolation' && one.endS <= rise.segment.startS).length;
  const meanwhile = shut === 0 ? '' : `, with ${shut} ${shut === 1 ? 'isolation' : 'isolations'} meanwhile`;
  const seen = pumping && `${timeWords(rise.segment.startS - pumping.startS)}${meanwhile}, as far as the log shows`;
  return [
    row('log begins', log.start ?? 'without a date'),
    row('valves closed at', `${timeWords(rise.segment.startS)} from its first row`),
    row('procedure', given.procedure),
    row('who closed which valves', given.valves),
    row('pumped before', given.pumpedBefore || seen),
    row('dwell', `${timeWords(rise.dwellS)}: ${rise.dwellGrounds}`),
    row('window', `${since(from)} to ${since(to)} after closing, ${rise.rows.length} readings`),
    row(
      'pressure at its ends',
      `${formatInterval(rise.startPa, units.pressure)}; ${formatInterval(rise.endPa, units.pressure)}`,
    ),
    row('room temperature', ends(given.roomTemperature)),
    row('barometer', ends(given.barometer)),
    row('blank of the test hose', given.hoseBlank),
    row('temperature correction', rise.temperatureCorrected ? 'made' : 'not made'),
    row('remarks', given.remarks),
  ];
}

function resultRows({ options, fits, finding }: Analysis, rise: RateOfRise, units: Shown): ReportRow[] {
  const { limit } = options;
  const load = (estimate: Estimate | null): string =>
    estimate === null ? 'not known: no volume was given' : formatInterval(estimate, shownUnit(units.load));
  const conformity = fits.conformity;
  const share = rise.budget
    .filter((line) => line.share >= 0.01)
    .map((line) => `${line.name} ${formatNumber(100 * line.share, 2)} %`);
  return [
    row('rate of rise', formatInterval(rise.rate, `${units.pressure}/s`)),
    row('gas load', load(rise.gasLoad)),
    row('shares of its variance', share.join(', ') || undefined),
    row('real leak in it', finding.realLeak === null ? load(null) : load(finding.realLeak)),
    row('likely main cause', finding.verdict),
    row('limit', limit?.text),
    row('decision', decisionText(finding, conformity)),
    row('rule', finding.rule ?? conformity?.rule ?? NO_LIMIT),
  ];
}

const NO_LIMIT = 'none: there is no limit to judge by';

/** What was judged stands beside how: a leak can be within a limit that all the gas together is not. */
function decisionText({ conforms: leak }: Finding, whole: Conformity | null): string {
  const rise = whole === null || Number.isNaN(whole.probability) ? null : whole.conforms;
  const isRise = whole !== null && whole.of !== 'gas load';
  if (leak === null || isRise) return rise === null ? (whole?.text ?? NO_LIMIT) : `the rise is ${DECISIONS[rise]}`;
  const besides = rise === null || rise === leak ? '' : `; all the gas together is ${DECISIONS[rise]}`;
  return `the leak is ${DECISIONS[leak]}${besides}`;
}

const DECISIONS = {
  yes: 'within the limit',
  no: 'above the limit',
  inconclusive: 'too near the limit, or too little known, to say',
} as const;

function cautionsOf({ finding }: Analysis): string {
  const first = 'local codes and licensed practice come first; this report certifies no equipment';
  return [...finding.cautions.filter((text) => !text.startsWith('local codes')), first].join('; ');
}

function dataRows({ log }: Analysis): ReportRow[] {
  return [row('log', log.file), row('SHA-256 of the log', log.sha256), row('rows', String(log.rows))];
}

function ends(given: BothEnds | undefined): string | undefined {
  const [atStart, atEnd] = [written(given?.atStart), written(given?.atEnd)];
  return atStart === NOT_GIVEN && atEnd === NOT_GIVEN ? undefined : `${atStart} at the start, ${atEnd} at the end`;
}

function row(what: string, value: Written | undefined): ReportRow {
  return { what, values: [written(value)] };
}

function written(value: Written | undefined): string {
  if (value === undefined) return NOT_GIVEN;
  return (typeof value === 'string' ? value.trim() : formatQuantity(value)) || NOT_GIVEN;
}
