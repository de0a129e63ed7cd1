import type { LogEvent, SegmentedLog } from '../segments';

/**
 * The events that are worth a line of their own: steady stretches stand among the segments, and crossings of set points
 * are many and stand in the record.
 * @param segmented what happened
 * @returns the events to list, in order of time
 */
export function eventsTold({ events }: SegmentedLog): LogEvent[] {
  return events.filter(({ kind }) => kind !== 'crossing' && kind !== 'steady');
}
