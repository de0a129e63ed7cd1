import type { Channel, GaugeLog, Remark } from '../../src/log';
import type { Segment, SegmentedLog, SegmentKind } from '../../src/segments';
import type { Quantity } from '../../src/units';

/** A channel of readings in Pa without flags. */
export function channel(name: string, values: Float64Array, quantity: Channel['quantity'] = 'pressure'): Channel {
  return {
    name,
    column: 2,
    quantity,
    unit: quantity === 'temperature' ? 'K' : 'Pa',
    unitFrom: 'header',
    siUnit: quantity === 'temperature' ? 'K' : 'Pa',
    values,
    flags: new Uint8Array(values.length),
    resolution: 0,
  };
}

/** A log made in a test, with one channel `p`. */
export function madeLog(time: Float64Array, pa: Float64Array, remarks: readonly Remark[] = []): GaugeLog {
  return {
    file: 'made.csv',
    sha256: '',
    description: {} as GaugeLog['description'],
    rows: time.length,
    start: null,
    time,
    timeNotes: [],
    channels: [channel('p', pa)],
    remarks,
    assumptions: [],
    questions: [],
    leftOut: {},
  };
}

/** Segments at given rows. */
export function madeSegments(log: GaugeLog, parts: readonly [SegmentKind, number, number][]): SegmentedLog {
  const pa = log.channels[0].values;
  const segments = parts.map(
    ([kind, from, to]): Segment => ({
      kind,
      from,
      to,
      startS: log.time[from],
      endS: log.time[to],
      startPa: pa[from],
      endPa: pa[to],
      grounds: [],
      pumpSide: false,
    }),
  );
  return { channel: 'p', segments, events: [], corrections: [], notes: [] };
}

/** A quantity by its SI value. */
export function si(dimension: Quantity['dimension'], value: number, standardUncertainty = 0): Quantity {
  return { dimension, si: value, standardUncertainty, unit: '', uncertaintyRead: 'k=1', assumptions: [] };
}
