import { beforeAll, describe, expect, it } from 'vitest';
import { findSegments } from '../../src/segments';
import { makeRecord } from './made-records';
import { figures, type Score, score, shareCalled, summary } from './score';

/**
 * Four hundred made records (calc: invented systems, gauges and schedules, own generator beside this test). The
 * bounds are
 * what the finder reached with other seeds than these, less about the statistical scatter of a bench of this size.
 */
describe('segments of made records', () => {
  const scores: Score[] = [];

  beforeAll(() => {
    for (let seed = 5001; seed <= 5400; seed++) {
      const record = makeRecord(seed);
      scores.push(score(record, findSegments(record.log)));
    }
    console.log(summary(scores));
  });

  it('finds isolations that rise by eight noise deviations, and few that are none', () => {
    const { wanted, recall, falsePerRecord } = figures(scores);
    expect(wanted).toBeGreaterThan(300);
    expect(recall).toBeGreaterThan(0.96);
    expect(falsePerRecord).toBeLessThan(0.02);
  });

  it('places their starts and ends within rows', () => {
    const { startMedian, start95, endMedian, end95 } = figures(scores);
    expect(startMedian).toBeLessThanOrEqual(1);
    expect(start95).toBeLessThanOrEqual(3);
    expect(endMedian).toBeLessThanOrEqual(1);
    expect(end95).toBeLessThanOrEqual(3);
  });

  it('calls most of the time what it is', () => {
    expect(shareCalled(scores, 'pump-down', ['pump-down', 'steady', 'unknown'])).toBeGreaterThan(0.985);
    expect(shareCalled(scores, 'isolation', ['isolation'])).toBeGreaterThan(0.95);
    expect(shareCalled(scores, 'fill', ['fill', 'unknown'])).toBeGreaterThan(0.93);
    expect(shareCalled(scores, 'regulated', ['regulated', 'unknown'])).toBeGreaterThan(0.8);
    expect(shareCalled(scores, 'venting', ['venting'])).toBeGreaterThan(0.95);
  });

  it('covers every row once', () => {
    for (let seed = 5001; seed <= 5040; seed++) {
      const { log } = makeRecord(seed);
      const { segments } = findSegments(log);
      expect(segments[0].from).toBe(0);
      expect(segments[segments.length - 1].to).toBe(log.rows - 1);
      for (let k = 1; k < segments.length; k++) expect(segments[k].from).toBe(segments[k - 1].to + 1);
    }
  });
});
