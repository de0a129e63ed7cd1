import type { Finding } from '../../src/causes/finding';
import type { PumpDown, RateOfRise, RecordFits } from '../../src/fits/results';
import type { Analysis, Report, RunNow } from '../../src/investigation';
import type { GaugeLog } from '../../src/log/gauge-log';
import type { Estimate } from '../../src/numerics/estimate';
import type { SegmentedLog } from '../../src/segments/segment';
import type { Quantity } from '../../src/units/quantity';

type Fields = Readonly<Record<string, unknown>>;

/** Narrows to something with fields. */
export function hasFields(thing: unknown): thing is Fields {
  return thing !== null && typeof thing === 'object';
}

/** Tells a Vega-Lite chart by the schema that it names. */
export function isChart(thing: unknown): thing is Fields {
  return hasFields(thing) && typeof thing.$schema === 'string' && thing.$schema.includes('vega-lite');
}

/** A quantity: a value with its unit. */
export function isQuantity(thing: unknown): thing is Quantity {
  return hasFields(thing) && typeof thing.dimension === 'string' && typeof thing.si === 'number' && 'unit' in thing;
}

/** A number with its 95 % interval. */
export function isEstimate(thing: unknown): thing is Estimate {
  return hasFields(thing) && ['value', 'low', 'high'].every((key) => typeof thing[key] === 'number');
}

/** A log that has been read. */
export function isLog(thing: unknown): thing is GaugeLog {
  return hasFields(thing) && thing.time instanceof Float64Array && Array.isArray(thing.channels);
}

/** What happened in a log. */
export function isSegmentedLog(thing: unknown): thing is SegmentedLog {
  return hasFields(thing) && Array.isArray(thing.segments) && Array.isArray(thing.events);
}

/** What a record supports. */
export function isFinding(thing: unknown): thing is Finding {
  return hasFields(thing) && typeof thing.verdict === 'string' && Array.isArray(thing.mainCause);
}

/** An analysis: a log with all that was found in it. */
export function isAnalysis(thing: unknown): thing is Analysis {
  return hasFields(thing) && isLog(thing.log) && isFits(thing.fits) && isFinding(thing.finding);
}

/** A report: a rate-of-rise test, or two of them beside each other. */
export function isReport(thing: unknown): thing is Report {
  return (
    hasFields(thing) &&
    typeof thing.report === 'string' &&
    Array.isArray(thing.sections) &&
    Array.isArray(thing.columns)
  );
}

/** How a run stands. */
export function isRunNow(thing: unknown): thing is RunNow {
  return hasFields(thing) && hasFields(thing.reading) && Array.isArray(thing.setPoints) && Array.isArray(thing.changes);
}

/** All fits of a record. */
export function isFits(thing: unknown): thing is RecordFits {
  return hasFields(thing) && Array.isArray(thing.isolations) && Array.isArray(thing.pumpDowns);
}

/** The rate of rise of one isolation. */
export function isRateOfRise(thing: unknown): thing is RateOfRise {
  return hasFields(thing) && Array.isArray(thing.windowS) && isEstimate(thing.rate);
}

/** What a pump-down says. */
export function isPumpDown(thing: unknown): thing is PumpDown {
  return hasFields(thing) && Array.isArray(thing.byDecade) && isEstimate(thing.base);
}

/** A danfo frame, told by its shape so that danfo need not be loaded. */
export interface FrameLike {
  readonly columns: readonly string[];
  readonly index: readonly (string | number)[];
  readonly values: readonly (readonly unknown[])[];
}

/** A danfo frame. */
export function isFrame(thing: unknown): thing is FrameLike {
  if (!hasFields(thing) || typeof thing.toString !== 'function') return false;
  return Array.isArray(thing.columns) && Array.isArray(thing.index) && Array.isArray(thing.values) && 'dtypes' in thing;
}

/** Records of one kind, such as rows of a table. */
export function isRecords(thing: unknown): thing is readonly Fields[] {
  const isRecord = (row: unknown): boolean => hasFields(row) && !Array.isArray(row) && !ArrayBuffer.isView(row);
  return Array.isArray(thing) && thing.length > 0 && thing.every(isRecord);
}
