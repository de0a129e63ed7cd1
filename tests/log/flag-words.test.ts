import { describe, expect, it } from 'vitest';
import { FLAG, flagCounts, flagWords, readLog } from '../../src/log';

describe('flags in words', () => {
  it('are said for every flag that there is, the gravest first', () => {
    const all = Object.values(FLAG).reduce((sum: number, bit) => sum | bit, 0);
    expect(flagWords(all)).toHaveLength(Object.keys(FLAG).length - 1);
    expect(flagWords(FLAG.good)).toEqual([]);
    expect(flagWords(FLAG.spike | FLAG.overRange)).toEqual(['over range', 'spike']);
  });

  it('are counted over channels', () => {
    const rows = ['0,>1000,5.5', '1,-,6.5', '2,900,>1000', '3,800,4.5'];
    const log = readLog(new TextEncoder().encode(`t (s),a (Pa),b (Pa)\n${rows.join('\n')}\n`));
    expect(flagCounts(...log.channels)).toEqual(['2 over range', '1 missing']);
    expect(flagCounts()).toEqual([]);
  });
});
