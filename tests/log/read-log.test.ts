import { describe, expect, it } from 'vitest';
import { readLog } from '../../src/log';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe('readLog', () => {
  it('reads a plain log with a header, units in it and seconds', () => {
    const log = readLog(bytes('Time (s),Pressure (mbar)\n0,1.0e-3\n1,2.0e-3\n2.5,4.0e-3\n'));
    expect(log.rows).toBe(3);
    expect([...log.time]).toEqual([0, 1, 2.5]);
    expect(log.channels).toHaveLength(1);
    const [channel] = log.channels;
    expect(channel).toMatchObject({ quantity: 'pressure', unit: 'mbar', unitFrom: 'header', siUnit: 'Pa' });
    expect([...channel.values]).toEqual([0.1, 0.2, 0.4]);
    expect(log.questions).toEqual([]);
  });

  it('reads a log whose first readings are empty, for the gauge is over its range at atmosphere', () => {
    const row = (k: number): string =>
      `2026-02-25 22:${String(Math.floor(k / 60)).padStart(2, '0')}:${String(k % 60).padStart(2, '0')}.000,${k < 40 ? '' : 1000 / k}`;
    const text = `timestamp,P1 (mbar)\n${Array.from({ length: 90 }, (_, k) => row(k)).join('\n')}\n`;
    const log = readLog(bytes(text));
    expect([log.rows, log.channels[0].unit, log.time[89]]).toEqual([90, 'mbar', 89]);
    expect(log.channels[0].values[40]).toBeCloseTo(2500, 6);
  });

  it('finds a remark that comes long after the rows from which the columns were judged', () => {
    const rows = Array.from(
      { length: 3000 },
      (_, k) => `${k},${(5 + k * 1e-4).toFixed(4)},${k === 2500 ? 'valve shut' : ''}`,
    );
    const log = readLog(bytes(`time [s],p [mbar],remark\n${rows.join('\n')}\n`), { file: 'late.csv' });
    expect(log.remarks).toEqual([{ atS: 2500, text: 'valve shut' }]);
    expect(log.channels.map(({ name }) => name)).toEqual(['p [mbar]']);
  });

  it('reads stamps in ISO 8601 and gives the start', () => {
    const log = readLog(bytes('stamp;p/Pa\n2024-05-01T12:00:00.250;100\n2024-05-01T12:00:01.500;101\n'));
    expect(log.start).toBe('2024-05-01T12:00:00.250');
    expect([...log.time]).toEqual([0, 1.25]);
    expect([...log.channels[0].values]).toEqual([100, 101]);
  });
});
