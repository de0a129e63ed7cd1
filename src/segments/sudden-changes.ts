import type { SegmentedLog, SegmentKind } from './segment';

/** Something that happened to the pressure all at once, and that a person at the chamber wants to know of. */
export interface SuddenChange {
  /** Gas that came at once and was pumped away; a level that stays changed; a pressure that stood and now moves up. */
  readonly kind: 'burst' | 'step' | 'rise from rest';
  /** s from the first row. */
  readonly atS: number;
  readonly fromPa: number;
  readonly toPa: number;
  readonly text: string;
}

/** A system that stood for so long stood stable, s (common practice, no source). */
const STABLE_S = 120;
/** A rise and a step so close together are one thing, s. */
const SAME_S = 15;
const RISING: readonly SegmentKind[] = ['isolation', 'fill', 'regulated', 'venting'];

/**
 * What happened all at once: a short burst of gas matters as much as the level, and a system that stood for minutes and
 * then goes up has started to leak or to boil, or had a valve closed, which the pressure alone cannot tell at once.
 * @param segmented a log with its segments and events
 * @returns the changes in order of time
 */
export function suddenChanges(segmented: SegmentedLog): SuddenChange[] {
  const told = segmented.events.flatMap(({ kind, atS, text, numbers }): SuddenChange[] =>
    kind === 'burst' || kind === 'step' ? [{ kind, atS, fromPa: numbers.from_Pa, toPa: numbers.to_Pa, text }] : [],
  );
  const rises = segmented.segments.flatMap((rest, k): SuddenChange[] => {
    const next = segmented.segments[k + 1];
    if (rest.kind !== 'steady' || next === undefined || !RISING.includes(next.kind)) return [];
    if (rest.endS - rest.startS < STABLE_S || !(next.endPa > rest.endPa)) return [];
    if (told.some(({ atS }) => Math.abs(atS - next.startS) < SAME_S)) return [];
    const text = 'it stood, and then goes up: a valve was closed, or gas has begun to come in';
    return [{ kind: 'rise from rest', atS: next.startS, fromPa: rest.endPa, toPa: next.endPa, text }];
  });
  return [...told, ...rises].sort((a, b) => a.atS - b.atS);
}
