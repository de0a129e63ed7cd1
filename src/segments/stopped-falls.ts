import * as elementary from '../numerics/elementary';
import type { Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

/** Fewest readings of such a stretch. */
const FEWEST = 8;
/** What is left of the rate of the fall, relative. */
const STANDS = 0.05;
/** It must stand for so many of the fall's time constants. */
const STANDS_FOR = 3;
/** The fall must be resolved: part of an e-fold from reading to reading, at most. */
const RESOLVED = 0.15;
/** The fall that follows must bring the pressure to this part of where it stood. */
const FALLS_ON = 0.8;

/**
 * Finds isolations in which the pressure only stands: it falls fast, stops at once, and later falls on. A pumped
 * chamber
 * bends over to its base in several time constants, and a base is not left downwards at once.
 */
export function stoppedFalls(record: WorkingRecord, stretches: readonly Stretch[]): Span[] {
  const found: Span[] = [];
  for (let k = 1; k + 1 < stretches.length; k++) {
    const rate = fallRateAtEnd(record, stretches[k - 1]);
    if (!(rate > 0) || rate * record.stepS > RESOLVED) continue;
    const end = standsUntil(stretches, k, rate);
    if (end < 0) continue;
    found.push({
      kind: 'isolation',
      from: stretches[k].from,
      to: stretches[end].to,
      grounds: [
        'the pressure stops falling at once, stands, and later falls on: a pump brings it down gradually to a base',
      ],
    });
    k = end;
  }
  return found;
}

/** Relative rate of fall over the last readings of a stretch, 1/s; 0 where it does not fall clearly. */
function fallRateAtEnd(record: WorkingRecord, s: Stretch): number {
  const { time, pa } = record.readings;
  const { y } = record.scaled;
  const from = Math.max(s.from, s.to - 5);
  if (s.to - from < 3 || y[from] - y[s.to] < 10 * Math.sqrt(record.longRun) || !(pa[s.to] > 0)) return 0;
  const span = time[s.to] - time[from];
  return span > 0 ? elementary.log(pa[from] / pa[s.to]) / span : 0;
}

/** The last stretch that stands, where a fall follows; -1 otherwise. */
function standsUntil(stretches: readonly Stretch[], k: number, rate: number): number {
  const levelPa = stretches[k].endPa;
  for (let j = k; j < stretches.length; j++) {
    const s = stretches[j];
    const forS = Math.max(s.endS - s.startS, 1e-9);
    const moves = Math.abs(elementary.log(s.endPa / s.startPa)) / forS;
    const stays =
      Math.abs(elementary.log(s.startPa / levelPa)) < 0.1 && Math.abs(elementary.log(s.endPa / levelPa)) < 0.1;
    if (moves < STANDS * rate && stays) continue;
    const stood = j > k ? stretches[j - 1].endS - stretches[k].startS : 0;
    const long = stood > STANDS_FOR / rate && j > k && stretches[j - 1].to - stretches[k].from + 1 >= FEWEST;
    return long && s.endY < s.startY && s.endPa < FALLS_ON * levelPa && moves > 0.3 * rate ? j - 1 : -1;
  }
  return -1;
}
