import { describe, expect, it } from 'vitest';
import { CAUSES, caution, whatToDo } from '../../src/causes';
import { cautionsFor } from '../../src/causes/cautions';

// The steps are common practice, no source; what is checked here is that none of them is dangerous or beside the point.
describe('what to do about a verdict', () => {
  it('is known for every cause, and left to the next test while the cause is open', () => {
    for (const cause of CAUSES) expect(whatToDo(cause, null).length, cause).toBeGreaterThan(0);
    expect(whatToDo('undetermined', 'inconclusive')).toEqual([]);
  });

  it('for a leak is to find where, to mend, and to measure again as before', () => {
    const [where, tracer, mend] = whatToDo('real leak', 'no');
    expect(where).toContain('one section after another');
    expect(tracer).toContain('tracer');
    expect(mend).toContain('repeat the same isolation');
  });

  it('mends no leak that is within the limit, but still names what keeps the pressure up', () => {
    expect(whatToDo('real leak', 'yes')).toEqual([expect.stringContaining('the leak is within the limit')]);
    expect(whatToDo('pump side', 'yes').slice(1)).toEqual(whatToDo('pump side', null));
  });

  it('comes with the cautions of what it advises: gas let in, walls warmed, tracer sprayed', () => {
    for (const cause of CAUSES) {
      // Evaporation carries its own caution within the step (below).
      const steps = cause === 'evaporation' ? '' : whatToDo(cause, null).join(' ');
      const cautions = cautionsFor([], 0, cause).join(' ');
      if (/dry gas|tracer gas/.test(steps)) expect(cautions, cause).toContain(caution('filament'));
      if (/let dry gas in|fills with dry gas/.test(steps)) expect(cautions, cause).toContain(caution('inlet'));
      if (/warming the walls|warm the surface/.test(steps)) expect(cautions, cause).toContain(caution('warm'));
    }
    expect(cautionsFor([], 0, 'undetermined')).toEqual([caution('local')]);
    expect(cautionsFor([{ cause: 'real leak', probability: 0.02 }], 0.02, 'undetermined')).toContain(caution('trap'));
  });

  it('never warms what is wet without its caution, and never cools a trap', () => {
    expect(whatToDo('evaporation', null).join(' ')).toContain(caution('warm'));
    for (const cause of CAUSES) expect(whatToDo(cause, null).join(' '), cause).not.toMatch(/nitrogen|cool a trap/);
  });
});
