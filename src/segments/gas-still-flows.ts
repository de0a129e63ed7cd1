import { medianBetween } from './readings';
import type { Span } from './span';
import type { WorkingRecord } from './stretches';

/** A pumped chamber that stands this many times above where it stood before has gas flowing through it. */
const ABOVE = 3;
/** It must stand: its later half differs from its earlier half by this ratio at most. */
const STANDS = 0.1;

/**
 * Where gas that flows through is turned down but not off, the pressure falls to a level above the base and stands there at
 * once. Such stretches are no pumped base: they are called `regulated`. Only after a stretch that is, so that walls wetted
 * by air, or a leak that has begun, are not taken for it.
 * @param spans named spans in order; those that are meant are changed
 */
export function gasStillFlows(record: WorkingRecord, spans: Span[]): void {
  const { pa } = record.readings;
  let lowest = Number.POSITIVE_INFINITY;
  for (let k = 0; k < spans.length; k++) {
    const span = spans[k];
    if (span.kind !== 'steady' && span.kind !== 'pump-down') continue;
    const level = medianBetween(pa, Math.max(span.from, span.to - 4), span.to);
    const before = spans[k - 1]?.kind === 'pump-down' ? spans[k - 2] : spans[k - 1];
    if (span.kind === 'steady' && before?.kind === 'regulated' && level > ABOVE * lowest && stands(record, span)) {
      span.kind = 'regulated';
      span.grounds = [`gas still flows: the pressure stands at ${record.show(level)}, far above where it stood before`];
    } else if (level > 0) lowest = Math.min(lowest, level);
  }
}

function stands(record: WorkingRecord, span: Span): boolean {
  const { pa } = record.readings;
  const middle = (span.from + span.to) >> 1;
  const early = medianBetween(pa, span.from, middle);
  return Math.abs(medianBetween(pa, middle, span.to) - early) < STANDS * early;
}
