import { describe, expect, it } from 'vitest';
import { answersToRemarks, tracerExpectation } from '../../src/causes';
import { constantSpeedPump } from '../../src/flow';
import { outgassing, realLeak } from '../../src/gas-loads';
import { analyse, analysisReport } from '../../src/investigation';
import { type GaugeLog, readLog, withRemarks } from '../../src/log';
import { randomStream } from '../../src/numerics';
import { findSegments } from '../../src/segments';
import { simulate } from '../../src/simulate';

/** Two hours of pumping with walls, a leak, a room that swings, noise white or slow; every third with an isolation. */
function pumped(k: number): GaugeLog {
  const r = randomStream(40 + k);
  const isolated = [
    { atS: 3000, do: 'close pump valve' as const },
    { atS: 3900, do: 'open pump valve' as const },
  ];
  const noise = { relative: 10 ** (-3 + 1.3 * r.uniform()), absolutePa: 1e-4 };
  return simulate(
    {
      volumeM3: 0.02,
      pump: constantSpeedPump(0.002 * (1 + 4 * r.uniform()), 0.01),
      loads: [
        { load: realLeak(), parameters: [10 ** (-5 + 2 * r.uniform())] },
        { load: outgassing(), parameters: [10 ** (-5 + 2 * r.uniform()), 1, 60, 1e-3, 0.13] },
      ],
      temperature: { meanK: 295, swingK: 0.3 * r.uniform(), periodS: 600 + 2000 * r.uniform(), phase: r.uniform() },
      gauges: [
        { name: 'p', unit: 'Pa', significantDigits: 3, noise: k % 2 === 0 ? noise : { ...noise, correlationS: 20 } },
      ],
    },
    { durationS: 7200, actions: [{ atS: 0, do: 'open pump valve' }, ...(k % 3 === 0 ? isolated : [])] },
    { seed: 500 + k, stepS: 2, file: 'pumped.csv' },
  ).log;
}

describe('answers to remarks', () => {
  const logs = Array.from({ length: 24 }, (_, k) => pumped(k));
  const segments = logs.map((log) => findSegments(log, { channel: 'p' }).segments);

  it('come by chance to fewer than 6 of 100 remarks at random times', () => {
    const r = randomStream(9);
    let [alarms, all] = [0, 0];
    logs.forEach((log, k) => {
      for (let again = 0; again < 6; again++) {
        const remarks = Array.from({ length: 3 }, (_, i) => ({ atS: 600 + 6300 * r.uniform(), text: `joint ${i}` }));
        const answers = answersToRemarks({ ...log, remarks }, { segments: segments[k] });
        all += answers.length;
        alarms += answers.filter((one) => one.answers === 'yes').length;
      }
    });
    expect(all).toBe(24 * 6 * 3);
    expect(alarms / all).toBeLessThan(0.06);
  });

  it('of a tenth are seen nearly always, and half of the change comes when it was made (8 s, then e-fold in 5 s)', () => {
    const r = randomStream(10);
    const seen = logs.flatMap((log, k) => {
      const at = 1400 + 900 * r.uniform();
      const values = log.channels[0].values.map((p, i) => {
        const since = log.time[i] - at - 8;
        return since > 0 && since < 120 ? p * (1.1 - 0.1 * Math.exp(-since / 5)) : p;
      });
      const changed = { ...log, channels: [{ ...log.channels[0], values }], remarks: [{ atS: at, text: 'x' }] };
      const [answer] = answersToRemarks(changed, { segments: segments[k] });
      return answer.answers === 'yes' ? [answer] : [];
    });
    expect(seen.length / logs.length).toBeGreaterThan(0.85);
    for (const { direction } of seen) expect(direction).toBe('up');
    const after = seen.map(({ afterS }) => afterS ?? Number.NaN).sort((a, b) => a - b);
    expect(after[after.length >> 1]).toBeGreaterThan(9);
    expect(after[after.length >> 1]).toBeLessThan(15);
  });

  it('are not told where a valve moves at the same time', () => {
    const [answer] = answersToRemarks(
      { ...logs[0], remarks: [{ atS: 3000, text: 'sprayed' }] },
      { segments: segments[0] },
    );
    expect(answer.answers).toBe('cannot tell');
    expect(answer.text).toContain('a valve moves');
  });
});

describe('which way a leak answers', () => {
  // calc: sqrt(28.96 / 4.003) = 2.69; eta air over helium 18.22 / 19.64 = 0.928 (Perry's viscosities at 20 degC); an ion gauge's
  // helium sensitivity 0.18 (Redhead, CRC Handbook).
  it('is down for an ion gauge and helium, whatever the path', () => {
    const { factor, direction } = tracerExpectation('hot-cathode', 'helium');
    expect(direction).toBe('down');
    expect(factor[1]).toBeCloseTo(2.69 * 0.18, 2);
    expect(factor[0]).toBeCloseTo((0.928 * 0.18) / 2.69, 2);
  });

  it('is up for a diaphragm and helium through a molecular path with a pump at the chamber, and else open', () => {
    expect(tracerExpectation('capacitance', 'helium', 'molecular').factor[1]).toBeCloseTo(2.69, 2);
    expect(tracerExpectation('capacitance', 'helium').direction).toBe('either');
  });

  it('is down for a heat-conduction gauge and argon', () => {
    expect(tracerExpectation('thermal', 'argon', 'molecular').direction).toBe('down');
  });
});

describe('remarks from the log to the report', () => {
  const rows = Array.from({ length: 1200 }, (_, i) => {
    const t = 2 * i;
    const p = (t > 1512 ? 1.2 : 1) * (1 + 0.004 * Math.sin(i * 1.7) + 0.003 * Math.sin(i * 0.61));
    return [t, p.toPrecision(5)] as const;
  });
  const read = (lines: readonly string[], file: string): GaugeLog =>
    readLog(new TextEncoder().encode(`${lines.join('\n')}\n`), { file });
  const bare = read(['time [s],p [Pa]', ...rows.map(([t, p]) => `${t},${p}`)], 'bare.csv');

  it('come from a column of texts', () => {
    const words = new Map([
      [600, 'flange A sprayed'],
      [1500, 'flange B sprayed'],
    ]);
    const log = read(
      ['time [s],p [Pa],remark', ...rows.map(([t, p]) => `${t},${p},${words.get(t) ?? ''}`)],
      'column.csv',
    );
    const { answers } = analyse(log, { gauge: 'hot-cathode', tracer: 'helium' });
    expect(answers.map((one) => one.answers)).toEqual([expect.not.stringMatching('yes'), 'yes']);
    expect(answers[1].text).toMatch(/up by .* after 1\d s.*a leak would answer the other way/);
    expect(analysisReport(analyse(log))).toMatch(/0:25:00 {2}"flange B sprayed": the reading goes up/);
  });

  it('come from a file of their own, by seconds or by a clock', () => {
    const log = withRemarks(bare, '# search\ntime, what\n600,flange A sprayed\n0:25:00\tflange B sprayed\n');
    expect(log.remarks).toEqual([
      { atS: 600, text: 'flange A sprayed' },
      { atS: 1500, text: 'flange B sprayed' },
    ]);
    expect(analyse(log).answers[1].answers).toBe('yes');
    expect(log.assumptions.join(' ')).toMatch(/2 read; clocks count from the first row/);
  });

  it('by the time of day where the log has a date, over midnight as well', () => {
    const dated = read(
      ['time,p [Pa]', '2026-03-04 23:59:00,1', '2026-03-05 00:00:00,1', '2026-03-05 00:30:00,1'],
      'd.csv',
    );
    const { remarks } = withRemarks(dated, '23:59:30 bled\n00:10:00 capped\n2026-03-05T00:20:00,shut\n');
    expect(remarks.map(({ atS }) => atS)).toEqual([30, 660, 1260]);
  });

  it('refuse what has no time or lies outside the log, with its line', () => {
    const rows = Array.from({ length: 60 }, (_, i) => `09:${String(i).padStart(2, '0')}:00,${5 + i}`).join('\n');
    const clocked = readLog(new TextEncoder().encode(`Time,p (Pa)\n${rows}\n`));
    expect(withRemarks(clocked, '09:14:30 flange A sprayed\n').remarks).toEqual([
      { atS: 870, text: 'flange A sprayed' },
    ]);
    expect(() => withRemarks(clocked, '8:00:00 too early\n')).toThrow(/lasts 3540 s from 09:00:00/);
    expect(() => withRemarks(bare, '600,a\nnoon,flange\n')).toThrow(/line 2/);
    expect(() => withRemarks(bare, '600,a\n9000,flange\n')).toThrow(/within the log/);
  });
});
