import { describe, expect, it } from 'vitest';
import { clockText, readLog, wallClock } from '../../src/log';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

/** The times by the clock of a log of these stamps. */
function clockOf(stamps: readonly string[], header = 'Time,p (mbar)'): string[] | undefined {
  const log = readLog(bytes(`${header}\n${stamps.map((stamp, i) => `${stamp},${5.5 + i}`).join('\n')}\n`));
  const clock = wallClock(log);
  return clock && Array.from(log.time, (s) => clockText(clock, s));
}

describe('the clock by which a log was written', () => {
  it('is the stamps themselves where they have dates', () => {
    const day = ['2026-03-04 09:12:00', '2026-03-04 09:12:10', '2026-03-04 09:12:20'];
    expect(clockOf(day)).toEqual(['09:12:00', '09:12:10', '09:12:20']);
    const night = ['2026-03-04 23:59:50', '2026-03-05 00:00:00', '2026-03-05 00:00:10'];
    expect(clockOf(night)).toEqual(night);
  });

  it('is a time of day where that is all there is, with the days gone by', () => {
    expect(clockOf(['09:12:00', '09:12:10', '09:12:20'])).toEqual(['09:12:00', '09:12:10', '09:12:20']);
    expect(clockOf(['11:59:40 PM', '11:59:50 PM', '12:00:00 AM', '12:00:10 AM'])).toEqual([
      '23:59:40',
      '23:59:50',
      '00:00:00 +1 d',
      '00:00:10 +1 d',
    ]);
  });

  it('is in UTC where stamps name their zone', () => {
    const log = readLog(bytes('Time,p (mbar)\n2026-03-04T09:12:00+01:00,5.5\n2026-03-04T09:12:10+01:00,6.5\n'));
    expect(wallClock(log)).toMatchObject({ utc: true, dated: true });
    expect(clockText(wallClock(log)!, 10)).toBe('08:12:10');
  });

  it('follows a change to winter time', () => {
    const minutes = (hour: number): string[] =>
      Array.from({ length: 6 }, (_, i) => `2026-10-25 0${hour}:${i}0:00`).concat(`2026-10-25 0${hour}:59:00`);
    const stamps = [...minutes(1), ...minutes(2), ...minutes(2), ...minutes(3)];
    const log = readLog(bytes(`Time,p (mbar)\n${stamps.map((stamp, i) => `${stamp},${5.5 + i}`).join('\n')}\n`));
    expect(log.timeNotes.map(({ kind }) => kind)).toContain('clock change');
    expect(clockOf(stamps)).toEqual(stamps.map((stamp) => stamp.slice(11)));
  });

  it('is not told where it is not known', () => {
    expect(clockOf(['0', '10', '20'], 'Time (s),p (mbar)')).toBeUndefined();
    expect(clockOf(['0:00:00', '0:00:10', '0:00:20'], 'Elapsed,p (mbar)')).toBeUndefined();
    expect(clockOf(['00:00:00', '00:00:10', '00:00:20'])).toBeUndefined();
    const twelve = Array.from({ length: 30 }, (_, i) => (i < 15 ? `12:59:${30 + 2 * i}` : `1:00:${10 + i}`));
    expect(clockOf(twelve)).toBeUndefined();
    const setBack = Array.from({ length: 30 }, (_, i) => `2026-03-04 1${i < 15 ? 5 : 2}:00:${10 + i}`);
    expect(clockOf(setBack)).toBeUndefined();
  });
});
