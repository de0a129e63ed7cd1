import type { Span } from './span';
import type { WorkingRecord } from './stretches';

/** Spans shorter than this are given to a neighbour, readings. */
const SHORTEST = 3;

/** A hold shorter than this after a fill belongs to the fill, readings. */
const HOLDS = 8;

/**
 * Turns spans of readings into spans of rows without gap or overlap: very short ones go to the neighbour before them,
 * equal
 * neighbours are joined, and rows without a good reading belong to what they lie in, or are `unknown` where many.
 * @returns spans whose `from` and `to` are rows of the log
 */
export function tidySpans(record: WorkingRecord, spans: readonly Span[], rows: number): Span[] {
  const { rows: rowOf } = record.readings;
  const joined: Span[] = [];
  for (const [k, span] of spans.entries()) {
    if (span.to < span.from) continue;
    const last = joined[joined.length - 1];
    const length = span.to - span.from + 1;
    // Between two isolations, or at the end of the log, the valve was open, however shortly.
    const next = spans[k + 1];
    const opened = next === undefined || next.kind === 'isolation';
    const parts = last?.kind === 'isolation' && opened && span.kind === 'pump-down';
    const short = length < SHORTEST && spans.length > 1 && !parts;
    const follows = last !== undefined && last.to === span.from - 1 && !outage(rowOf, span.from);
    const holdsBriefly = span.kind === 'regulated' && last?.kind === 'fill' && length < HOLDS;
    if (follows && (short || holdsBriefly || (last.kind === span.kind && joinable(span)))) last.to = span.to;
    else joined.push({ ...span });
  }
  const out: Span[] = [];
  let next = 0;
  for (const span of joined) {
    const from = rowOf[span.from];
    if (from - next > OUTAGE) out.push(unknown(next, from - 1));
    else if (out.length > 0) out[out.length - 1].to = from - 1;
    out.push({ ...span, from: from - next > OUTAGE || out.length > 0 ? from : 0, to: rowOf[span.to] });
    next = rowOf[span.to] + 1;
  }
  if (rows - next > OUTAGE) out.push(unknown(next, rows - 1));
  else if (out.length > 0) out[out.length - 1].to = rows - 1;
  return out;
}

/** Rows without a good reading that are told as a stretch of their own. */
const OUTAGE = 7;

const outage = (rowOf: Int32Array, i: number): boolean => i > 0 && rowOf[i] - rowOf[i - 1] > OUTAGE + 1;
const joinable = (span: Span): boolean => !['isolation', 'fill', 'regulated'].includes(span.kind);
const unknown = (from: number, to: number): Span => ({
  kind: 'unknown',
  from,
  to,
  grounds: ['no good reading: out of range, off or missing'],
});
