import { describe, expect, it } from 'vitest';
import { correctLog, countFlags, FLAG, readLog } from '../../src/log';

const log = readLog(new TextEncoder().encode('Time (s),A (Pa),B (Pa)\n0,10,1\n1,9,2\n2,8,3\n3,7,4\n4,6,5\n'));

describe('correctLog', () => {
  it('flags the stretch in all channels and keeps the readings and the reason', () => {
    const corrected = correctLog(log, [{ kind: 'exclude', fromS: 1, toS: 2.5, reason: 'gauge knocked' }]);
    expect([...corrected.channels[0].flags]).toEqual([0, FLAG.excluded, FLAG.excluded, 0, 0]);
    expect([...corrected.channels[1].values]).toEqual([1, 2, 3, 4, 5]);
    expect(corrected.corrections).toEqual([{ kind: 'exclude', fromS: 1, toS: 2.5, reason: 'gauge knocked' }]);
    expect(countFlags(log.channels[0])).toEqual({});
  });

  it('of one channel leaves the others', () => {
    const corrected = correctLog(log, [{ kind: 'exclude', fromS: 4, toS: 9, reason: 'leak sniffed', channel: 'b' }]);
    expect(countFlags(corrected.channels[0])).toEqual({});
    expect(countFlags(corrected.channels[1])).toEqual({ excluded: 1 });
  });

  it('adds to corrections made before', () => {
    const once = correctLog(log, [{ kind: 'exclude', fromS: 0, toS: 0, reason: 'start' }]);
    expect(correctLog(once, [{ kind: 'exclude', fromS: 4, toS: 4, reason: 'end' }]).corrections).toHaveLength(2);
  });

  it('refuses a correction without a reason, without a stretch, or of an unknown channel', () => {
    expect(() => correctLog(log, [{ kind: 'exclude', fromS: 0, toS: 1, reason: ' ' }])).toThrow(
      'correction: met "no reason", expected why the stretch is excluded',
    );
    expect(() => correctLog(log, [{ kind: 'exclude', fromS: 2, toS: 1, reason: 'x' }])).toThrow(
      'correction: met "2 to 1 s", expected a stretch from a time to a later one',
    );
    expect(() => correctLog(log, [{ kind: 'exclude', fromS: 0, toS: 1, reason: 'x', channel: 'C' }])).toThrow(
      'channel: met "C", expected one of A (Pa), B (Pa)',
    );
  });
});
