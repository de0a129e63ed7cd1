import { ArgumentError, type Question } from '../errors';
import { type Dimension, findUnit, type Unit } from '../units';
import { unitFromAtmosphere } from './atmosphere-unit';
import { splitCells } from './cells';
import { columnMeaning, namedThing } from './column-meaning';
import type { ColumnDescription, TimeDescription } from './description';
import type { Dialect } from './dialect';
import { findNamed } from './find-column';
import type { ChannelQuantity, UnitSource } from './gauge-log';
import type { ColumnLook, Layout } from './layout';
import type { ColumnAnswer, ReadOptions } from './read-options';
import { readReading, suffixUnit } from './reading-text';
import type { Sample } from './sample';
import { stateNumber } from './states';

/** What was found about the columns. */
export interface DescribedColumns {
  readonly columns: readonly ColumnDescription[];
  readonly barometerColumn: number | undefined;
  readonly questions: readonly Question[];
  readonly assumptions: readonly string[];
  readonly grounds: Readonly<Record<string, string>>;
}

/** A column on its way: what is known so far, and the unit with all its doubts. */
interface Draft {
  column: ColumnDescription;
  unit: Unit | undefined;
  /** The name speaks of another thing than a pressure. */
  otherThing: boolean;
  barometer: boolean;
  readonly told: ColumnAnswer;
  readonly wanted: boolean;
}

/** What the steps below share. */
interface Desk {
  readonly layout: Layout;
  readonly dialect: Dialect;
  readonly sample: Sample;
  readonly options: ReadOptions;
  readonly questions: Question[];
  readonly assumptions: string[];
  readonly grounds: Record<string, string>;
  /** Temperatures whose unit was taken from their being those of a room. */
  readonly warm: { readonly name: string; readonly unit: string }[];
}

const PRESSURE_CHOICES = ['Pa', 'mbar', 'Torr', 'mTorr', 'kPa', 'bar', 'psia', 'inHg vac'];

/**
 * Tells what each column holds: its role, quantity and unit, from what a person said, its header, the line of units,
 * the
 * cells, the words above the table, and, for a pressure without a unit, from a stretch at one atmosphere.
 * @param layout of the table
 * @param dialect of the cells
 * @param sample lines from all over
 * @param time the columns of time
 * @param otherTimes columns that hold another time
 * @param options what a person said
 * @returns the columns, with questions, assumptions and grounds
 */
export function describeColumns(
  layout: Layout,
  dialect: Dialect,
  sample: Sample,
  time: TimeDescription,
  otherTimes: readonly number[],
  options: ReadOptions,
): DescribedColumns {
  const desk: Desk = { layout, dialect, sample, options, questions: [], assumptions: [], grounds: {}, warm: [] };
  const named = layout.names.map((name) => ({ name }));
  const answers = answersByName(named, options);
  const channels = named.filter((_, i) => !time.columns.includes(i + 1));
  const wanted = new Set((options.channels ?? []).map((channel) => findNamed(channels, channel, 'channel').name));
  const drafts = layout.names.map((name, i) => {
    const isTime = time.columns.includes(i + 1) || otherTimes.includes(i + 1) || time.startColumn === i + 1;
    const draft = firstDraft(desk, i, answers.get(name) ?? {}, wanted.size === 0 || wanted.has(name));
    return isTime ? { ...draft, column: timeColumn(draft.column, time) } : draft;
  });
  const choosing = wanted.size > 0;
  nameUnnamedPressures(desk, drafts, choosing);
  for (const draft of drafts) applyAnswers(desk, draft, choosing);
  for (const draft of drafts) unitFromPreamble(desk, draft);
  for (const draft of drafts) settleDoubts(desk, draft);
  for (const draft of drafts) assumeUnit(desk, draft);
  sayTemperatures(desk);
  shareUnitWithSetpoints(desk, drafts);
  for (const draft of drafts) askForUnit(desk, draft);
  const barometerColumn = settleBarometer(desk, drafts);
  askForLaws(desk, drafts);
  const columns = drafts.map(finished);
  const questions = desk.questions.map((question) => withOtherGauges(question, drafts));
  const { assumptions, grounds } = desk;
  return { columns, barometerColumn, questions, assumptions: [...new Set(assumptions)], grounds };
}

function answersByName(named: readonly { readonly name: string }[], options: ReadOptions): Map<string, ColumnAnswer> {
  return new Map(
    Object.entries(options.columns ?? {}).map(([key, told]) => [findNamed(named, key, 'column').name, told]),
  );
}

function timeColumn(column: ColumnDescription, time: TimeDescription): ColumnDescription {
  const place = time.columns.indexOf(column.column);
  const role = place < 0 ? 'ignored' : place === 0 && time.columns.length > 1 ? 'date' : 'time';
  return { ...column, role, quantity: 'number', unit: '', unitFrom: 'none' };
}

function isChannel(draft: Draft): boolean {
  return draft.column.role === 'channel';
}

function isPressure(draft: Draft): boolean {
  return isChannel(draft) && draft.column.quantity === 'pressure';
}

function firstDraft(desk: Desk, index: number, told: ColumnAnswer, wanted: boolean): Draft {
  const { layout } = desk;
  const look = layout.looks[index];
  const name = layout.names[index];
  const header = layout.headerLine > 0 ? name : '';
  const meaning = columnMeaning(header, layout.unitCells[index] ?? '');
  const thing = namedThing(header);
  const base = { column: index + 1, name, unit: '', unitFrom: 'none' as UnitSource, belowAtmosphere: false };
  const draft = (column: ColumnDescription, unit?: Unit): Draft => ({
    column,
    unit,
    otherThing: meaning.otherThing,
    barometer: thing === 'barometer',
    told,
    wanted,
  });
  if (told.role === 'ignored') return draft({ ...base, role: 'ignored', quantity: 'number' });
  if (isStates(look)) return draft({ ...base, role: 'channel', quantity: 'position', states: true });
  // The first remark may come long after the rows that were looked at.
  const laterRemarks = look.kind === 'empty' && thing === 'remark';
  if (told.role === 'text' || told.role === 'remark' || look.kind === 'text' || look.kind === 'stamp' || laterRemarks) {
    if (meaning.quantity === 'pressure' && told.role === undefined && look.kind === 'text')
      sayUnreadable(desk, name, look);
    const remark = told.role === 'remark' || (told.role !== 'text' && (thing === 'remark' || isSparse(look)));
    return draft({ ...base, role: remark ? 'remark' : 'text', quantity: 'text' });
  }
  const index1 = thing === 'index' && told.role !== 'channel';
  if (index1 || (look.kind === 'empty' && !meaning.unit))
    return draft({ ...base, role: 'ignored', quantity: 'number' });
  const setpoint = meaning.setpoint ? { setpoint: true } : {};
  const quantity = meaning.quantity;
  const column: ColumnDescription = { ...base, role: 'channel', quantity, unitFrom: meaning.unitFrom, ...setpoint };
  if (meaning.unit) return draft(column, meaning.unit);
  const unit = unitInCells(look, desk.dialect.decimalMark);
  if (!unit) return draft(column, undefined);
  return draft({ ...column, quantity: quantityOf(unit.dimension) ?? quantity, unitFrom: 'cells' }, unit);
}

/** A column that is named as a pressure and holds no numbers that can be read. */
function sayUnreadable({ assumptions }: Desk, name: string, { cells }: ColumnLook): void {
  assumptions.push(
    `column "${name}" is left as text: it holds no readings that make sense, such as "${cells[0].slice(0, 40)}"`,
  );
}

/** All cells are words for open and closed, on and off. */
function isStates(look: ColumnLook): boolean {
  if (look.cells.length === 0 || look.kinds.number + look.kinds.stamp > 0) return false;
  const words = new Set(look.cells.map((cell) => cell.toLowerCase()));
  const known = [...words].filter((word) => stateNumber(word) !== undefined);
  return (
    words.size <= 8 && known.length > 0 && known.length >= words.size - 3 && !(words.size === 1 && words.has('off'))
  );
}

/** A text column that is mostly empty holds what somebody wrote now and then. */
function isSparse(look: ColumnLook): boolean {
  const { empty, text, number, stamp, word } = look.kinds;
  return text > 0 && empty > 4 * (text + number + stamp + word);
}

function unitInCells(look: ColumnLook, mark: '.' | ','): Unit | undefined {
  const counts = new Map<string, { unit: Unit; count: number }>();
  let read = 0;
  for (const cell of look.cells.slice(0, 200)) {
    const { value, suffix } = readReading(cell, mark);
    if (Number.isNaN(value)) continue;
    read++;
    const unit = suffixUnit(suffix);
    if (unit) counts.set(unit.label, { unit, count: (counts.get(unit.label)?.count ?? 0) + 1 });
  }
  const all = [...counts.values()].sort((a, b) => b.count - a.count);
  const total = all.reduce((sum, { count }) => sum + count, 0);
  return total > read / 2 ? all[0].unit : undefined;
}

function quantityOf(dimension: Dimension): ChannelQuantity | undefined {
  if (dimension === 'pressure' || dimension === 'temperature' || dimension === 'voltage') return dimension;
  return dimension === 'throughput' || dimension === 'molar flow' ? 'flow' : undefined;
}

/**
 * Where no header speaks of pressure, the columns without any meaning may be pressures: those that span decades first.
 */
function nameUnnamedPressures(desk: Desk, drafts: Draft[], choosing: boolean): void {
  for (const draft of drafts) {
    const asked = choosing && draft.wanted && isChannel(draft) && draft.unit === undefined;
    if (asked || draft.told.quantity === 'pressure') draft.column = { ...draft.column, quantity: 'pressure' };
  }
  if (drafts.some((draft) => isPressure(draft) && !draft.barometer)) return;
  const free = drafts.filter((d) => isChannel(d) && d.column.quantity === 'number' && !d.otherThing && !d.unit);
  const wide = free.filter((d) => spanOf(desk.layout.looks[d.column.column - 1], desk.dialect.decimalMark) >= 10);
  for (const draft of wide.length > 0 ? wide : free) {
    if (drafts.some((d) => isChannel(d) && d.column.quantity === 'voltage') && wide.length === 0) continue;
    draft.column = { ...draft.column, quantity: 'pressure' };
    desk.grounds[`column ${draft.column.column}`] = 'no header speaks of pressure; its numbers could be one';
  }
}

function readingsOf(look: ColumnLook, mark: '.' | ','): number[] {
  return look.cells.map((cell) => readReading(cell, mark).value).filter((value) => Number.isFinite(value));
}

function spanOf(look: ColumnLook, mark: '.' | ','): number {
  const positive = readingsOf(look, mark).filter((value) => value > 0);
  return positive.length < 2 ? 0 : Math.max(...positive) / Math.min(...positive);
}

/** What a person said comes before all else. */
function applyAnswers(desk: Desk, draft: Draft, choosing: boolean): void {
  const { told, column } = draft;
  if (!isChannel(draft)) return;
  const { unit, assumptions } = unitTold(desk, draft, choosing);
  desk.assumptions.push(...assumptions);
  if (unit) {
    draft.unit = unit;
    const quantity = told.quantity ?? quantityOf(unit.dimension) ?? column.quantity;
    draft.column = { ...column, quantity, unitFrom: 'user' };
    sayIfNotAtmosphere(desk, draft, unit);
  } else if (told.quantity) draft.column = { ...column, quantity: told.quantity };
  const { clampHigh, clampLow, law } = told;
  const clamps = { ...(clampHigh === undefined ? {} : { clampHigh }), ...(clampLow === undefined ? {} : { clampLow }) };
  draft.column = { ...draft.column, ...clamps };
  if (told.belowAtmosphere) draft.column = { ...draft.column, belowAtmosphere: true };
  if (!law) return;
  const lawUnit = findUnit(law.unit, 'pressure');
  if (!lawUnit) throw new ArgumentError('unit of the voltage law', law.unit, 'a unit of pressure, such as mbar');
  if (![law.a, law.b].every(Number.isFinite))
    throw new ArgumentError('voltage law', `${law.a}, ${law.b}`, 'two numbers');
  draft.column = { ...draft.column, quantity: 'pressure', law };
  draft.unit ??= findUnit('V', 'voltage');
}

/** A gauge that rests at what is one atmosphere in another unit than the one told is worth a word. */
function sayIfNotAtmosphere(desk: Desk, { column }: Draft, unit: Unit): void {
  if (unit.dimension !== 'pressure' || unit.barometer !== 'none') return;
  const found = unitFromAtmosphere(readingsInOrder(desk, column.column));
  if (!found || findUnit(found.unit)?.scale === unit.scale) return;
  desk.assumptions.push(
    `column "${column.name}": ${found.grounds}; in ${unit.label}, as told, it is not: check the unit`,
  );
}

function unitTold(desk: Desk, draft: Draft, choosing: boolean): { unit?: Unit; assumptions: string[] } {
  const { told, column, wanted } = draft;
  const { unit: common } = desk.options;
  // What settles a unit of several meanings, such as inHg, is as good as a unit for a column without one.
  const settles = common !== undefined && draft.unit && meaningsOf(draft.unit).includes(common.trim());
  const open = choosing || !draft.unit || settles;
  const fromCommon = common !== undefined && column.quantity === 'pressure' && wanted && open;
  const label = told.unit ?? (fromCommon ? common : undefined);
  if (label === undefined) {
    const kept = common !== undefined && !choosing && isPressure(draft) ? draft.unit : undefined;
    const differs = kept !== undefined && kept.label !== findUnit(common ?? '')?.label;
    const said = `column "${column.name}" stays in ${kept?.label}, which its own words say, not in ${common}`;
    return { assumptions: differs ? [said] : [] };
  }
  const unit = findUnit(label, told.unit === undefined ? 'pressure' : undefined) ?? findUnit(label);
  if (!unit) throw new ArgumentError('unit', label, `a unit such as ${PRESSURE_CHOICES.join(', ')}`);
  if (told.unit === undefined && unit.dimension !== 'pressure')
    throw new ArgumentError('unit', label, 'a unit of pressure');
  const one = unit.choices.length === 1 ? findUnit(unit.choices[0]) : unit;
  if (unit.choices.length > 1) throw new ArgumentError('unit', label, `one of ${unit.choices.join(', ')}`);
  return { unit: one, assumptions: [...(one?.assumptions ?? [])] };
}

/** `Units: Torr` or `Pressure unit = mbar` among the lines above the table. */
function unitFromPreamble(desk: Desk, draft: Draft): void {
  if (!isPressure(draft) || draft.unit) return;
  for (const line of desk.layout.preamble) {
    const match = /(?:unit|einheit|unité|unidad)\w*\s*(?:of pressure)?\s*[:=,;\t]\s*"?([^,;\t"]+)/i.exec(line);
    const unit = match ? findUnit(match[1], 'pressure') : undefined;
    if (!unit) continue;
    draft.unit = unit;
    draft.column = { ...draft.column, unitFrom: 'units line' };
    desk.grounds[`column ${draft.column.column}`] = `unit from the line "${line.trim().slice(0, 60)}"`;
    return;
  }
}

/** What a label could mean, where that is more than one thing: inHg is a column of mercury, or a dial below atmosphere. */
function meaningsOf(unit: Unit): readonly string[] {
  if (unit.choices.length > 1) return unit.choices;
  return unit.label === 'inHg' ? ['inHg abs', 'inHg vac'] : [];
}

/** Labels that could mean two units: `psi` by its numbers where they tell, else asked. */
function settleDoubts(desk: Desk, draft: Draft): void {
  if (!isChannel(draft) || !draft.unit) return;
  const { unit, column } = draft;
  if (unit.choices.length === 1) {
    draft.unit = findUnit(unit.choices[0]) ?? unit;
    desk.assumptions.push(`column "${column.name}": taken as ${draft.unit.label}`);
  } else if (unit.choices.length > 1) {
    const chosen = column.quantity === 'pressure' ? byNumbers(desk, draft) : findUnit(unit.choices[0]);
    draft.unit = chosen;
    if (!chosen) askWhich(desk, draft, unit.choices);
    else desk.assumptions.push(`column "${column.name}": ${unit.label} taken as ${chosen.label}`);
  } else if (column.quantity === 'pressure' && unit.label === 'inHg' && column.unitFrom !== 'user') {
    draft.unit = dialOrAbsolute(desk, draft);
    if (!draft.unit) askWhich(desk, draft, meaningsOf(unit));
  } else if (column.quantity === 'pressure' && unit.barometer === 'none') relativeByNumbers(desk, draft, unit);
  for (const said of draft.unit?.assumptions ?? []) desk.assumptions.push(`column "${column.name}": ${said}`);
}

function askWhich(desk: Desk, draft: Draft, choices: readonly string[]): void {
  const { name } = draft.column;
  const readings = readingsOf(desk.layout.looks[draft.column.column - 1], desk.dialect.decimalMark);
  if (!draft.wanted) return;
  desk.questions.push({
    about: 'unit',
    text: `column "${name}" could be ${choices.join(' or ')}; ${rangeText(readings)}`,
    column: name,
    choices,
    answer: unitAnswer(name, choices[0]),
  });
}

function unitAnswer(name: string, unit: string): string {
  return `--unit "${name}=${unit}", or { columns: { ${JSON.stringify(name)}: { unit: "${unit}" } } }`;
}

function rangeText(readings: readonly number[]): string {
  if (readings.length === 0) return 'it holds no number that was looked at';
  const low = readings.reduce((a, b) => Math.min(a, b));
  const high = readings.reduce((a, b) => Math.max(a, b));
  return `its readings run from ${Number(low.toPrecision(4))} to ${Number(high.toPrecision(4))}`;
}

/** psi below zero is relative to atmosphere; psi that rests near 14.7 and never goes below zero is absolute. */
function byNumbers(desk: Desk, draft: Draft): Unit | undefined {
  const readings = readingsOf(desk.layout.looks[draft.column.column - 1], desk.dialect.decimalMark);
  const { choices } = draft.unit!;
  const absolute = choices.find((label) => findUnit(label)?.barometer === 'none');
  const relative = choices.find((label) => findUnit(label)?.barometer === 'above');
  if (!absolute || !relative || readings.length < 4) return undefined;
  const low = readings.reduce((a, b) => Math.min(a, b));
  const high = readings.reduce((a, b) => Math.max(a, b));
  const scale = findUnit(absolute)!.scale;
  if (low * scale < -2000) return findUnit(relative);
  return low >= 0 && high * scale > 91_000 && high * scale < 105_500 ? findUnit(absolute) : undefined;
}

/**
 * Inches of mercury are read from dials that count down from the atmosphere, or are absolute: asked unless below zero.
 */
function dialOrAbsolute(desk: Desk, draft: Draft): Unit | undefined {
  const { name } = draft.column;
  if (/\babs|absolute/i.test(name) || draft.barometer || draft.column.belowAtmosphere) return draft.unit;
  const readings = readingsOf(desk.layout.looks[draft.column.column - 1], desk.dialect.decimalMark);
  return readings.some((value) => value < -0.5) ? findUnit('inHg gauge') : undefined;
}

/**
 * An absolute pressure is not far below zero, so such a column reads relative to atmosphere; and one called vacuum that
 * begins at zero and ends within one atmosphere may read below it, or be a venting: asked.
 */
function relativeByNumbers(desk: Desk, draft: Draft, unit: Unit): void {
  const { column } = draft;
  const readings = readingsOf(desk.layout.looks[column.column - 1], desk.dialect.decimalMark);
  if (readings.length < 2 || column.belowAtmosphere || draft.barometer) return;
  const low = readings.reduce((a, b) => Math.min(a, b)) * unit.scale;
  const high = readings.reduce((a, b) => Math.max(a, b)) * unit.scale;
  if (low < -2000 && low > -110_000) {
    draft.unit = findUnit(`${unit.label} gauge`, 'pressure') ?? unit;
    const said = `${rangeText(readings)} ${unit.label}, so they are taken relative to atmosphere`;
    desk.assumptions.push(`column "${column.name}": ${said}`);
  } else if (column.unitFrom !== 'user' && /\bvac|vakuum/i.test(column.name) && readings[0] * unit.scale < 5000) {
    if (high < 50_000 || high > 105_500) return;
    draft.unit = undefined;
    askWhich(desk, draft, [`${unit.label} abs`, `${unit.label} vac`]);
  }
}

function assumeUnit(desk: Desk, draft: Draft): void {
  const { column } = draft;
  if (isChannel(draft) && column.quantity === 'voltage' && !draft.unit) {
    draft.unit = findUnit('V', 'voltage');
    draft.column = { ...column, unitFrom: 'assumed' };
    desk.assumptions.push(`column "${column.name}": taken as volt`);
  }
  if (isChannel(draft) && column.quantity === 'temperature' && !draft.unit) assumeTemperature(desk, draft);
  const asked = desk.questions.some((q) => q.column === column.name);
  if (!isPressure(draft) || draft.unit || asked || column.setpoint || column.law) return;
  const found = unitFromAtmosphere(readingsInOrder(desk, column.column));
  if (!found) return;
  draft.unit = findUnit(found.unit, 'pressure');
  draft.column = { ...column, unitFrom: 'assumed' };
  desk.grounds[`column ${column.column}`] = found.grounds;
  desk.assumptions.push(
    `column "${column.name}" names no unit: taken as ${found.unit}, for ${found.grounds} (change with --unit)`,
  );
}

/** Rooms are at 15 to 40 degC or 288 to 313 K; anything else may be a cold head or a furnace in any unit. */
function assumeTemperature(desk: Desk, draft: Draft): void {
  const { column } = draft;
  const readings = readingsOf(desk.layout.looks[column.column - 1], desk.dialect.decimalMark);
  if (readings.length === 0) return;
  const within = (low: number, high: number): boolean => readings.every((value) => value > low && value < high);
  const label = within(15, 40) ? 'degC' : within(288, 313) ? 'K' : undefined;
  if (!label) return;
  draft.unit = findUnit(label, 'temperature');
  draft.column = { ...column, unitFrom: 'assumed' };
  desk.grounds[`column ${column.column}`] = `no unit; ${rangeText(readings)}`;
  desk.warm.push({ name: column.name, unit: label });
}

function sayTemperatures(desk: Desk): void {
  for (const unit of new Set(desk.warm.map((column) => column.unit))) {
    const names = desk.warm.filter((column) => column.unit === unit).map(({ name }) => `"${name}"`);
    const many = names.length > 1;
    desk.assumptions.push(
      `${names.join(', ')} name${many ? '' : 's'} no unit: taken as ${unit}, near room temperature`,
    );
  }
}

/** Readings of a column from the first lines and from all over, in the order of the lines. */
function readingsInOrder(desk: Desk, column: number): number[] {
  const { sample, dialect, layout } = desk;
  const lines = new Map([...sample.head, ...sample.spread].map(({ line, text }) => [line, text]));
  return [...lines]
    .filter(([line]) => line >= layout.firstDataLine)
    .sort(([a], [b]) => a - b)
    .map(([, text]) => readReading(splitCells(text, dialect.separator)[column - 1] ?? '', dialect.decimalMark))
    .map(({ value, flag }) => (flag === 0 ? value : Number.NaN));
}

/** A set point without a unit is in the unit of the gauges, where these agree. */
function shareUnitWithSetpoints(desk: Desk, drafts: readonly Draft[]): void {
  const gauges = drafts.filter((draft) => isPressure(draft) && !draft.column.setpoint && draft.unit);
  const labels = new Set(gauges.map(({ unit }) => unit!.label));
  const byGauges = labels.size === 1 ? gauges[0].unit : undefined;
  for (const draft of drafts) {
    if (!isPressure(draft) || !draft.column.setpoint || draft.unit) continue;
    const open = drafts.some((d) => isPressure(d) && !d.column.setpoint && !d.unit && d.wanted);
    if (!byGauges || open) continue;
    draft.unit = byGauges;
    draft.column = { ...draft.column, unitFrom: 'assumed' };
    desk.assumptions.push(`set point "${draft.column.name}": taken in ${byGauges.label}, as its gauge`);
  }
}

function askForUnit(desk: Desk, draft: Draft): void {
  const { column } = draft;
  const asked = desk.questions.some((question) => question.column === column.name);
  if (!isPressure(draft) || draft.unit || !draft.wanted || column.setpoint || column.law || asked) return;
  const readings = readingsOf(desk.layout.looks[column.column - 1], desk.dialect.decimalMark);
  desk.questions.push({
    about: 'unit',
    text: `column "${column.name}" names no unit; ${rangeText(readings)}`,
    column: column.name,
    choices: PRESSURE_CHOICES,
    answer: unitAnswer(column.name, 'mbar'),
  });
}

/** Who wants another gauge need not know what is asked about this one. */
function withOtherGauges(question: Question, drafts: readonly Draft[]): Question {
  if (question.column === undefined) return question;
  const gauges = drafts.filter((one) => isPressure(one) && one.wanted && !one.column.setpoint && !one.barometer);
  const instead = gauges.map(({ column }) => column.name).filter((name) => name !== question.column);
  if (instead.length === 0) return question;
  const answer = `${question.answer}; or judge another gauge: --channel "${instead.join('" or "')}"`;
  return { ...question, instead, answer };
}

/** Readings relative to atmosphere need the barometer: told, a column of the log, or asked. */
function settleBarometer(desk: Desk, drafts: readonly Draft[]): number | undefined {
  const relative = drafts.filter(
    (d) => isPressure(d) && d.wanted && (d.column.belowAtmosphere || (d.unit && d.unit.barometer !== 'none')),
  );
  const { barometerColumn, barometerPa } = desk.options;
  if (barometerPa !== undefined && !(barometerPa > 30_000 && barometerPa < 120_000)) {
    throw new ArgumentError('barometer', `${barometerPa} Pa`, '30000 to 120000 Pa, not reduced to sea level');
  }
  if (barometerColumn !== undefined) {
    const named = drafts.map((draft) => ({ name: draft.column.name, draft }));
    return findNamed(named, barometerColumn, 'barometer column').draft.column.column;
  }
  if (relative.length === 0 || barometerPa !== undefined) return undefined;
  const own = drafts.find((d) => d.barometer && isPressure(d) && d.unit?.barometer === 'none');
  if (own) {
    desk.assumptions.push(`column "${own.column.name}" taken as the barometer for readings relative to atmosphere`);
    return own.column.column;
  }
  const names = relative.map(({ column, unit }) => `"${column.name}" (${unit?.label ?? 'no unit'})`).join(', ');
  desk.questions.push({
    about: 'barometer',
    text: `${names} is read relative to atmosphere; what was the barometer at the place (not reduced to sea level)?`,
    column: relative[0].column.name,
    choices: [],
    answer: '--barometer "1013 mbar", or { barometerPa: 101325 } or { barometerColumn: "name" }',
  });
  return undefined;
}

/** Voltages are asked about where they are all there is, or where a person chose them as channels. */
function askForLaws(desk: Desk, drafts: readonly Draft[]): void {
  const pressures = drafts.some(
    (draft) => isPressure(draft) && draft.wanted && !draft.barometer && !draft.column.setpoint,
  );
  const chosen = desk.options.channels !== undefined;
  for (const { column, wanted } of drafts) {
    if (column.role !== 'channel' || column.quantity !== 'voltage' || !wanted || (pressures && !chosen)) continue;
    const law = '{ kind: "log", a: 1, b: -6, unit: "mbar" }';
    desk.questions.push({
      about: 'voltage law',
      text: `column "${column.name}" is a voltage; by what law is it a pressure: p = a U + b, or p = 10^(a U + b)?`,
      column: column.name,
      choices: ['linear', 'log'],
      answer: `--law "log 1 -6 mbar", or { columns: { ${JSON.stringify(column.name)}: { law: ${law} } } }`,
    });
  }
}

function finished(draft: Draft): ColumnDescription {
  const { column, unit } = draft;
  if (!unit) return { ...column, unit: '', unitFrom: 'none' };
  return { ...column, unit: unit.label, belowAtmosphere: column.belowAtmosphere || unit.barometer === 'below' };
}
