import { describe, expect, it } from 'vitest';
import { findSegments } from '../../src/segments';
import { toLog } from '../bench/causes';
import { makeApparatusRecord } from '../bench/causes-apparatus';

/**
 * Records of the maker with an apparatus (its physics is told in tests/bench/causes-apparatus.ts) whose base stands in a single code
 * of the display, so that second differences see no noise there: the step of the display is the least noise that can be seen
 * (a rounded reading errs by its step over the root of 12, GUM H.6). A stretch that was pumped is then no isolation.
 */
describe('a base that stands in one code of the display', () => {
  it.each([9263])('is not taken for a shut chamber (record %i)', (seed) => {
    const record = makeApparatusRecord(seed);
    const { segments } = findSegments(toLog(record), { channel: 'p', gauge: record.gauge });
    const found = segments.filter(({ kind }) => kind === 'isolation');
    expect(found.length).toBeGreaterThan(0);
    const shut = record.segments.filter(({ kind }) => kind === 'isolation');
    for (const one of found) {
      const shared = shut.reduce(
        (sum, s) => sum + Math.max(0, Math.min(s.to, one.to) - Math.max(s.from, one.from) + 1),
        0,
      );
      expect(shared, `rows ${one.from} to ${one.to}`).toBeGreaterThan(0.5 * (one.to - one.from + 1));
    }
  });
});
