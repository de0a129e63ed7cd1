import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { QuestionError } from '../../src/errors';
import { type Analysis, analyse, analysisJson, analysisReport } from '../../src/investigation';
import { readLog } from '../../src/log';
import { fromSI, quantity } from '../../src/units';

const bytes = (name: string): Uint8Array => new Uint8Array(readFileSync(join(__dirname, '../measured', name)));
const torr = (pa: number): number => fromSI(pa, 'Torr');

describe('the annealing chamber (measured; origin and licence in tests/measured)', () => {
  // Worked out from the file by its readers, not stated by its authors: slope 3.9e-4 Torr/s, 4.1e-4 in the first half
  // and 3.7e-4 in the second; a fill at 260.1 sccm, 1649 s to 2051 s, at 1.0259 Torr/s, hence about 3.4 L.
  const channel = 'RTP Throttle Valve Capman Pressure';
  let found: Analysis;
  beforeAll(() => {
    const log = readLog(bytes('anneal-chamber.csv.gz'), {
      file: 'anneal-chamber.csv',
      unit: 'Torr',
      channels: [channel],
    });
    found = analyse(log, {
      channel,
      gauge: 'capacitance',
      fill: {
        flow: quantity('260.1 sccm'),
        fromS: 1649,
        toS: 2051,
        flowChannels: log.channels.filter((c) => /Flow$/.test(c.name)).map((c) => c.name),
      },
    });
  });

  it('has one isolation with a mean slope of 3.9e-4 Torr/s inside the interval', () => {
    expect(found.fits.isolations).toHaveLength(1);
    const { rate } = found.fits.isolations[0];
    expect(torr(rate.low)).toBeLessThan(3.9e-4);
    expect(torr(rate.high)).toBeGreaterThan(3.9e-4);
    expect((rate.high - rate.low) / rate.value).toBeLessThan(0.05);
  });

  it('shows that the rate falls: by 10 to 25 % from first to last, beyond the intervals', () => {
    const { initialRate, finalRate } = found.fits.isolations[0];
    const fall = 1 - finalRate.value / initialRate.value;
    expect(fall).toBeGreaterThan(0.1);
    expect(fall).toBeLessThan(0.25);
    expect(finalRate.high).toBeLessThan(initialRate.low);
  });

  it('has a volume of about 3.4 L whose interval holds the reference temperatures in use', () => {
    const { volume, questions, budget } = found.fits.volume!;
    expect(volume.value * 1e3).toBeGreaterThan(3.35);
    expect(volume.value * 1e3).toBeLessThan(3.5);
    // 3.21 L x (T / 273.15 K) at T = 293 K for 0 degC; for a meter at 20 degC the same reading means 3.21 L.
    expect(volume.low * 1e3).toBeLessThan(3.21);
    expect(volume.high * 1e3).toBeGreaterThan(3.44);
    expect(volume.high / volume.low - 1).toBeLessThan(0.16);
    expect(questions.map((q) => q.about)).toEqual(['reference temperature']);
    const zero = budget.find((line) => line.name === 'zero of the flow meter');
    expect(zero!.standardUncertainty).toBeGreaterThan(0);
  });

  it('has a gas load of about 1.3e-3 Torr L/s', () => {
    const load = found.fits.isolations[0].gasLoad!;
    expect(fromSI(load.low, 'Torr L/s')).toBeLessThan(1.3e-3);
    expect(fromSI(load.high, 'Torr L/s')).toBeGreaterThan(1.3e-3);
  });

  it('finds that this load does not explain the 0.01 Torr at the base', () => {
    const balance = found.fits.loadBalance!;
    expect(balance.explains).toBe('no');
    expect(torr(balance.steadyPa.value)).toBeCloseTo(0.0102, 3);
    expect(balance.explainedPa.high).toBeLessThan(0.2 * balance.steadyPa.low);
  });

  it('writes a report of at most 80 columns with every section', () => {
    const report = analysisReport(found);
    for (const line of report.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
    for (const title of [
      'IN SHORT',
      'WHAT HAPPENED',
      'RATE OF RISE',
      'GAS LOAD',
      'PUMP-DOWN',
      'LOAD BALANCE',
      'FINDING',
      'ASSUMED',
    ]) {
      expect(report).toContain(`\n${title}`);
    }
  });

  it('begins the report with the answer: cause, leak, what to do next', () => {
    const [, short] = /\nIN SHORT\n([\s\S]*?)\n\n/.exec(analysisReport(found)) ?? [];
    const { verdict, mainCause, realLeak, nextTest } = found.finding;
    const lines = short.replace(/\n {4}/g, ' ').split('\n');
    expect(lines[0]).toContain(verdict === 'undetermined' ? 'does not settle' : verdict);
    expect(lines[0]).toContain(mainCause[0].cause);
    expect(lines.some((line) => line.startsWith('  - real leak: '))).toBe(realLeak !== null);
    expect(lines[lines.length - 1]).toBe(`  - next: ${nextTest?.what ?? found.finding.whatToDo[0]}`);
  });

  it('writes JSON with the keys that programs are promised, in SI', () => {
    const json = JSON.parse(JSON.stringify(analysisJson(found)));
    expect(Object.keys(json)).toEqual(['log', 'segments', 'events', 'pump_downs', 'isolations', 'remarks', 'finding']);
    const isolation = json.isolations[0];
    expect(isolation.rate_Pa_per_s.value / (3.886e-4 * 133.322)).toBeCloseTo(1, 2);
    expect(isolation.window_s[0]).toBeGreaterThanOrEqual(isolation.start_s);
    const sum = json.finding.main_cause.reduce((s: number, c: { probability: number }) => s + c.probability, 0);
    expect(sum).toBeCloseTo(1, 6);
    expect(json.log.rows).toBe(5743);
    expect(json.log.channels.find((c: { name: string }) => c.name === channel).unit_from).toBe('user');
  });
});

describe('two chambers pumped through an orifice (measured; origin and licence in tests/measured)', () => {
  const file = { file: 'orifice-chamber.txt' };

  it('cannot be judged before somebody tells the unit', () => {
    const log = readLog(bytes('orifice-chamber.txt.gz'), file);
    expect(() => analyse(log)).toThrow(QuestionError);
    expect(log.questions.map((q) => q.about)).toContain('unit');
  });

  // Read off the file: from 200 s to 215 s both gauges fall by a factor of 16 at 0.12 to 0.16 per second, and nowhere else
  // so fast; the last reading is 1.1e-5 mbar and still falls as one over the time.
  it('have a speed from the quarter of a minute in which the pressure falls exponentially, and no base', () => {
    const found = analyse(readLog(bytes('orifice-chamber.txt.gz'), { ...file, unit: 'mbar' }), { channel: 'CH3' });
    const { ratePerS, rateOver, base, baseReached } = found.fits.pumpDowns[0];
    expect(rateOver!.startS).toBeGreaterThanOrEqual(195);
    expect(rateOver!.endS).toBeLessThanOrEqual(225);
    expect(ratePerS!.low).toBeGreaterThan(0.11);
    expect(ratePerS!.high).toBeLessThan(0.19);
    expect(baseReached).toBe(false);
    expect(base.low).toBe(0);
    expect(base.high).toBeGreaterThanOrEqual(1.1e-3);
  });

  it('are both found, without an isolation, with a tail exponent near -1 inside its interval', () => {
    const found = analyse(readLog(bytes('orifice-chamber.txt.gz'), { ...file, unit: 'mbar' }));
    const all = [{ channel: found.segmented.channel, fits: found.fits }, ...found.others];
    expect(all.map((c) => c.channel).sort()).toEqual(['CH2', 'CH3']);
    for (const { fits } of all) {
      expect(fits.isolations).toEqual([]);
      const tail = fits.pumpDowns.map((p) => p.tailExponent).find((t) => t !== null);
      expect(tail!.low).toBeLessThan(1);
      expect(tail!.high).toBeGreaterThan(1);
      expect(tail!.low).toBeGreaterThan(0.7);
      expect(tail!.high).toBeLessThan(1.3);
    }
  });
});
