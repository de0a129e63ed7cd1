import type { Channel, GaugeLog } from '../../src/log';
import type { Segment } from '../../src/segments';

/** Seeded random numbers of the tests' own (mulberry32), so that they do not lean on what they test. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A standard normal number (Box-Muller). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** First-order autoregressive noise with unit variance. */
export function autoregressive(random: () => number, n: number, correlation: number): Float64Array {
  const noise = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const fresh = normal(random);
    noise[i] = i === 0 ? fresh : correlation * noise[i - 1] + Math.sqrt(1 - correlation ** 2) * fresh;
  }
  return noise;
}

/** Rounds to whole steps; a step of 0 leaves the value. */
export const quantised = (value: number, step: number): number => (step > 0 ? Math.round(value / step) * step : value);

/** A channel with values as given. */
export function channel(name: string, values: Float64Array, more: Partial<Channel> = {}): Channel {
  return {
    name,
    column: 2,
    quantity: 'pressure',
    unit: 'Pa',
    unitFrom: 'user',
    siUnit: 'Pa',
    values,
    flags: new Uint8Array(values.length),
    resolution: 0,
    ...more,
  };
}

/** A log of channels, as if read. */
export function madeLog(time: Float64Array, channels: readonly Channel[]): GaugeLog {
  return {
    file: 'made.csv',
    sha256: '',
    description: {
      encoding: 'utf-8',
      compression: 'none',
      format: 'text',
      separator: ',',
      decimalMark: '.',
      headerLine: 1,
      unitsLine: 0,
      firstDataLine: 2,
      commentMark: '',
      time: { columns: [1], format: 'seconds' },
      columns: [],
      grounds: {},
      assumptions: [],
      questions: [],
    },
    rows: time.length,
    start: null,
    time,
    timeNotes: [],
    channels,
    remarks: [],
    assumptions: [],
    questions: [],
    leftOut: {},
  };
}

/** A segment over rows of a log. */
export function stretch(log: GaugeLog, kind: Segment['kind'], from = 0, to = log.rows - 1): Segment {
  const { values } = log.channels[0];
  return {
    kind,
    from,
    to,
    startS: log.time[from],
    endS: log.time[to],
    startPa: values[from],
    endPa: values[to],
    grounds: [],
    pumpSide: false,
  };
}

/** Evenly spaced times from 0. */
export const evenly = (n: number, stepS: number): Float64Array => Float64Array.from({ length: n }, (_, i) => i * stepS);
