import { readFile } from 'node:fs/promises';
import { ArgumentError, isBlankoffError, QuestionError } from '../../src/errors';
import { GAUGE_PRINCIPLES, type GaugePrinciple, type KnownFill, parseLimit } from '../../src/fits';
import { principleOfName } from '../../src/gauges';
import { type AnalyseOptions, analyse } from '../../src/investigation/analyse';
import { analysisJson, questionsJson } from '../../src/investigation/analysis-json';
import { analysisReport } from '../../src/investigation/analysis-report';
import { type ColumnAnswer, type ReadOptions, type VoltageLaw, withRemarks } from '../../src/log';
import type { Correction, SegmentKind } from '../../src/segments';
import { type Dimension, type Quantity, quantity, unitNamed } from '../../src/units';
import { readLogFile } from '../files/read-log-file';
import { askOnStderr } from './ask';
import { type GivenOptions, type OptionSpec, printedHelp, readOptions } from './options';

const usage = 'blankoff analyse LOG... [options]';
const about =
  'Reads a gauge log (or several files that continue each other), finds what\n' +
  'happened, measures rates of rise and pump-downs and says what causes them.\n' +
  'Exit code 0 with a finding, 2 where a question must be answered first, 1 on an\n' +
  'error.';

/** The options of `analyse`, in the order of the help. */
export const analyseOptions: Readonly<Record<string, OptionSpec>> = {
  volume: { value: 'TEXT', help: 'volume up to the valve seat: "12.4 L +- 5 %" (+-, +/- and ± are k = 2 unless said)' },
  gauge: { value: 'KIND', help: `how the gauge works: ${GAUGE_PRINCIPLES.join(', ')}` },
  'second-gauge': { value: 'TEXT', help: 'another gauge on the chamber, which then shows the gas: "CH2=thermal"' },
  channel: { value: 'NAME', help: 'pressure channel to follow, or a part of its name' },
  unit: { value: 'UNIT', multiple: true, help: 'unit of the pressures: Torr, or for one column "CH2=mbar"' },
  target: { value: 'TEXT', help: 'pressure that the system ought to reach: "2e-2 mbar"' },
  limit: {
    value: 'TEXT',
    help: '"1e-4 mbar L/s", or "10 mTorr/h after 15 min over 1 h from below 50 mTorr"',
  },
  risk: { value: 'PERCENT', help: 'largest risk of passing what is above the limit; 5 where absent' },
  gas: { value: 'NAME', help: 'gas in the chamber, where it is known: air' },
  setpoint: { value: 'TEXT', multiple: true, help: 'pressure to which pump-downs are timed: "1e-3 mbar"' },
  temperature: { value: 'NAME', help: 'column that is the temperature of the gas; the rise is then corrected by it' },
  remarks: { value: 'FILE', help: 'what was done when, one a line: "09:14:30 flange A sprayed"' },
  tracer: { value: 'GAS', help: 'gas that was sprayed: helium; tells which way a leak would answer' },
  'gauge-side': { value: 'SIDE', help: 'where the gauge sits when the valve is shut: chamber or pump' },
  dwell: { value: 'TIME', help: 'what to leave out after closing: "30 s"' },
  window: { value: 'TIME', help: 'how long to judge after that: "10 min"' },
  fill: {
    value: 'TEXT',
    help: 'volume from a fill: "260.1 sccm from 1660 s to 2050 s" (at 0 degC where nothing is said)',
  },
  'fill-reference': { value: 'TEMP', help: 'temperature at which the flow meter counts its standard cm3: "0 degC"' },
  'fill-zero': { value: 'NAME', multiple: true, help: 'flow column whose readings at rest show its zero' },
  correct: {
    value: 'TEXT',
    multiple: true,
    help: 'a segment put right: "isolation from 1170 s to 1235 s: valve closed by hand"',
  },
  'date-order': { value: 'ORDER', help: 'order of numbers in dates: dmy, mdy or ymd' },
  'time-unit': { value: 'UNIT', help: 'unit of a time column that names none: s, min, h' },
  'time-column': { value: 'NAME', help: 'the time column, where several could be' },
  step: { value: 'SECONDS', help: 'seconds from row to row, for a log without a time' },
  barometer: { value: 'TEXT', help: 'barometer at the place, not reduced to sea level: "1013 mbar"' },
  'barometer-column': { value: 'NAME', help: 'column with the barometer reading' },
  law: {
    value: 'TEXT',
    multiple: true,
    help: 'law of a voltage column: "log 1 -6 mbar" for p = 10^(U - 6) mbar, "NAME=linear 10 0 Torr"',
  },
  'decimal-mark': { value: 'MARK', help: '"." or ","' },
  sheet: { value: 'NAME', help: 'sheet of a spreadsheet' },
  join: { help: 'files that run at the same time continue each other all the same: their clock started again' },
  'throughput-unit': { value: 'UNIT', help: 'unit in which the report shows loads: "mbar L/s"' },
  json: { help: 'write JSON (SI units) instead of the report' },
  help: { short: 'h', help: 'this text' },
};

/**
 * `blankoff analyse`: from a raw gauge log to a finding.
 * @param args what stands after `analyse` on the command line
 * @returns the exit code: 0 with a finding, 2 where a question must be answered first
 * @throws BlankoffError where the log cannot be read or an option cannot be used (exit code 1)
 */
export async function analyseCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('analyse', args, analyseOptions);
  if (printedHelp(given, usage, about, analyseOptions)) return 0;
  if (given.operands.length === 0) throw new ArgumentError('analyse', 'no log', `a log: ${usage}`);
  const options = optionsFor(given);
  const throughputUnit = given.text('throughput-unit');
  if (throughputUnit !== undefined) unitNamed(throughputUnit, 'throughput');
  const progress = progressLine();
  const logOnly = await readLogFile(given.operands, { ...readingOptions(given), onProgress: progress.show });
  const remarks = given.text('remarks');
  const log = remarks === undefined ? logOnly : withRemarks(logOnly, await remarksText(remarks));
  progress.clear();
  const json = given.has('json');
  try {
    const analysis = analyse(log, options);
    process.stdout.write(
      json ? `${JSON.stringify(analysisJson(analysis), null, 2)}\n` : analysisReport(analysis, { throughputUnit }),
    );
    return 0;
  } catch (error) {
    if (!(error instanceof QuestionError)) throw error;
    askOnStderr(log.file, error.questions);
    if (json) process.stdout.write(`${JSON.stringify(questionsJson(log, error.questions), null, 2)}\n`);
    return 2;
  }
}

async function remarksText(path: string): Promise<string> {
  const text = await readFile(path, 'utf8').catch(() => undefined);
  if (text === undefined || text.includes('\0')) {
    throw new ArgumentError('--remarks', path, 'a text file that can be read, one remark a line');
  }
  return text;
}

/** A line on stderr that says how far a long read has come: on a terminal in place, else once every ten seconds. */
function progressLine(): { readonly show: (share: number) => void; readonly clear: () => void } {
  const start = Date.now();
  const terminal = process.stderr.isTTY === true;
  let last = start;
  let shown = false;
  return {
    show: (share) => {
      const now = Date.now();
      if (now - start < 1000 || now - last < (terminal ? 200 : 10_000)) return;
      last = now;
      shown = true;
      const text = `reading ${Math.round(100 * share)} %`;
      process.stderr.write(terminal ? `\r${text}\x1b[K` : `${text}\n`);
    },
    clear: () => {
      if (shown && terminal) process.stderr.write('\r\x1b[K');
    },
  };
}

/** The quantity of an option; the message of an error begins with its name. */
function asked(given: GivenOptions, name: string, dimension: Dimension): Quantity | undefined {
  const text = given.text(name);
  if (text === undefined) return undefined;
  const found = named(name, () => quantity(text, dimension));
  if (ABOVE_ZERO.has(name) && !(found.si > 0)) throw new ArgumentError(`--${name}`, text, `a ${dimension} above 0`);
  return found;
}

/** Options that are nothing at zero or below. */
const ABOVE_ZERO: ReadonlySet<string> = new Set(['volume', 'target', 'window', 'barometer']);

function named<T>(name: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (isBlankoffError(error)) error.message = `--${name}: ${error.message}`;
    throw error;
  }
}

/**
 * The options of reading that a command line gives.
 * @param given what was given
 */
export function readingOptions(given: GivenOptions): ReadOptions {
  const columns: Record<string, ColumnAnswer> = {};
  let unit: string | undefined;
  const channel = given.text('channel');
  for (const text of given.texts('unit')) {
    const [column, label] = splitColumn(text);
    named('unit', () => unitNamed(label, 'pressure'));
    if (column === undefined) unit = label;
    else columns[column] = { ...columns[column], unit: label, quantity: 'pressure' };
  }
  for (const text of given.texts('law')) {
    const [column = channel, law] = splitColumn(text);
    if (column === undefined)
      throw new ArgumentError('--law', text, 'the column too: "NAME=log 1 -6 mbar", or --channel');
    columns[column] = { ...columns[column], law: voltageLaw(law) };
  }
  const step = given.text('step');
  return {
    unit,
    columns,
    ...(channel === undefined ? {} : { channels: [channel] }),
    barometerPa: asked(given, 'barometer', 'pressure')?.si,
    barometerColumn: given.text('barometer-column'),
    dateOrder: oneOf(given, 'date-order', ['dmy', 'mdy', 'ymd'] as const),
    timeUnit: given.text('time-unit'),
    timeColumn: given.text('time-column'),
    stepS: step === undefined ? undefined : numberOf('step', step),
    decimalMark: oneOf(given, 'decimal-mark', ['.', ','] as const),
    sheet: given.text('sheet'),
    join: given.has('join') ? true : undefined,
  };
}

/** `CH2=mbar` is a column and its answer; a text without `=` is for all. */
function splitColumn(text: string): [column: string | undefined, answer: string] {
  const at = text.lastIndexOf('=');
  return at < 1 ? [undefined, text.trim()] : [text.slice(0, at).trim(), text.slice(at + 1).trim()];
}

function voltageLaw(text: string): VoltageLaw {
  const match = /^(log|linear)\s+(\S+)\s+(\S+)\s+(\S.*)$/.exec(text);
  const a = Number(match?.[2]);
  const b = Number(match?.[3]);
  if (match === null || !Number.isFinite(a) || !Number.isFinite(b)) {
    throw new ArgumentError('--law', text, '"log A B UNIT" for 10^(A U + B), or "linear A B UNIT" for A U + B');
  }
  named('law', () => unitNamed(match[4], 'pressure'));
  return { kind: match[1] as VoltageLaw['kind'], a, b, unit: match[4] };
}

function oneOf<T extends string>(given: GivenOptions, name: string, choices: readonly T[]): T | undefined {
  const text = given.text(name);
  if (text === undefined) return undefined;
  const found = choices.find((choice) => choice === text);
  if (found === undefined) throw new ArgumentError(`--${name}`, text, `one of ${choices.join(', ')}`);
  return found;
}

function numberOf(name: string, text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !(value > 0 && Number.isFinite(value))) {
    throw new ArgumentError(`--${name}`, text, 'a number above 0');
  }
  return value;
}

/**
 * What a command line says besides the log.
 * @param given what was given
 */
export function optionsFor(given: GivenOptions): AnalyseOptions {
  const limit = given.text('limit');
  const risk = given.text('risk');
  return {
    volume: asked(given, 'volume', 'volume'),
    gauge: gaugeOf(given),
    secondGauge: secondGaugeOf(given),
    channel: given.text('channel'),
    target: asked(given, 'target', 'pressure'),
    limit: limit === undefined ? undefined : named('limit', () => parseLimit(limit)),
    risk: risk === undefined ? undefined : riskOf(risk),
    gas: given.text('gas'),
    setPointsPa: given.texts('setpoint').map((text) => named('setpoint', () => quantity(text, 'pressure')).si),
    temperatureChannel: given.text('temperature'),
    tracer: given.text('tracer'),
    gaugeSide: oneOf(given, 'gauge-side', ['chamber', 'pump'] as const),
    dwellS: asked(given, 'dwell', 'time')?.si,
    windowS: asked(given, 'window', 'time')?.si,
    fill: fillOf(given),
    corrections: given.texts('correct').map(correctionOf),
  };
}

function gaugeOf(given: GivenOptions): GaugePrinciple | undefined {
  const text = given.text('gauge') ?? '';
  const known = GAUGE_PRINCIPLES.some((choice) => choice === text);
  const meant = known ? undefined : principleOfName(text);
  if (meant !== undefined) throw new ArgumentError('--gauge', text, `${meant}, which is how such a gauge works`);
  return oneOf<GaugePrinciple>(given, 'gauge', GAUGE_PRINCIPLES);
}

function riskOf(text: string): number {
  const percent = Number(text.replace(/\s*%$/, ''));
  if (!(percent > 0 && percent < 50)) throw new ArgumentError('--risk', text, 'a percentage above 0 and below 50');
  return percent / 100;
}

function secondGaugeOf(given: GivenOptions): AnalyseOptions['secondGauge'] {
  const text = given.text('second-gauge');
  if (text === undefined) return undefined;
  const [channel, kind] = splitColumn(text);
  const gauge = GAUGE_PRINCIPLES.find((one) => one === kind);
  if (channel === undefined || gauge === undefined) {
    throw new ArgumentError('--second-gauge', text, `NAME=KIND, where KIND is one of ${GAUGE_PRINCIPLES.join(', ')}`);
  }
  return { channel, gauge };
}

function fillOf(given: GivenOptions): KnownFill | undefined {
  const text = given.text('fill');
  if (text === undefined) return undefined;
  const [flow, from, to] = text.split(/\s+(?:from|to)\s+/i);
  return named('fill', () => ({
    flow: quantity(flow),
    fromS: from === undefined ? undefined : quantity(from, 'time').si,
    toS: to === undefined ? undefined : quantity(to, 'time').si,
    referenceK: asked(given, 'fill-reference', 'temperature')?.si,
    flowChannels: given.texts('fill-zero').length > 0 ? given.texts('fill-zero') : undefined,
  }));
}

const CORRECTION_KINDS: readonly Correction['kind'][] = [
  ...(['atmosphere', 'pump-down', 'steady', 'isolation', 'fill', 'regulated', 'venting', 'bake-out'] as SegmentKind[]),
  'exclude',
];

function correctionOf(text: string): Correction {
  const match = /^([a-z-]+)\s+from\s+(.+?)\s+to\s+([^:]+):\s*(\S.*)$/i.exec(text.trim());
  const kind = CORRECTION_KINDS.find((k) => k === match?.[1].toLowerCase());
  if (match === null || kind === undefined) {
    const expected = `KIND from TIME to TIME: REASON, where KIND is one of ${CORRECTION_KINDS.join(', ')}`;
    throw new ArgumentError('--correct', text, expected);
  }
  const time = (said: string): number => named('correct', () => quantity(said, 'time')).si;
  return { kind, fromS: time(match[2]), toS: time(match[3]), reason: match[4].trim() };
}
