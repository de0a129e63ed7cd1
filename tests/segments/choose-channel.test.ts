import { describe, expect, it } from 'vitest';
import { readLog } from '../../src/log';
import { type ChosenChannel, chooseChannel } from '../../src/segments';

/** Two gauges of one pump-down, the second with the wider range; invented. */
function chosenWith(first: string, second: string): ChosenChannel {
  const rows = Array.from({ length: 200 }, (_, i) => {
    const p = 1000 * Math.exp(-i / 12) + 0.05;
    return `${i},${p.toFixed(2)},${(0.8 * p).toFixed(5)}`;
  });
  const log = readLog(new TextEncoder().encode(`time (s),${first},${second}\n${rows.join('\n')}\n`));
  return chooseChannel(log);
}

const chosen = (first: string, second: string): string => chosenWith(first, second).channel.name;

describe('of two gauges that follow each other', () => {
  it.each([
    'Vorvakuum (mbar)',
    'foreline (mbar)',
    'fore vacuum (mbar)',
    'backing line (mbar)',
    'Vide primaire (mbar)',
  ])('that of the chamber is judged, not "%s"', (behind) => {
    expect(chosen('Kammer (mbar)', behind)).toBe('Kammer (mbar)');
    expect(chosen(behind, 'chamber (mbar)')).toBe('chamber (mbar)');
  });

  it('a note says why one is judged', () => {
    const notes = (behind: string) => chosenWith('chamber (mbar)', behind).notes.join();
    expect(notes('foreline (mbar)')).toContain('the others are named after the line behind the pump');
    expect(notes('P2 (mbar)')).toContain('the most good readings');
  });

  it('the better one is judged where no name tells the place', () => {
    expect(chosen('P1 (mbar)', 'P2 (mbar)')).toBe('P2 (mbar)');
    expect(chosen('before (mbar)', 'P2 (mbar)')).toBe('P2 (mbar)');
  });
});
