import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/investigation/analyse';
import { analysisReport } from '../../src/investigation/analysis-report';
import { readLog } from '../../src/log';
import { findUnit, formatInterval, listUnits, shownUnit } from '../../src/units';

describe('the unit in which a result is shown', () => {
  it('is absolute where the unit of the log reads from the barometer', () => {
    expect(['psig', 'barg', 'inHg vac', 'kPa gauge', '% vac', 'mbar'].map((label) => shownUnit(label).label)).toEqual([
      'psia',
      'bar',
      'inHg',
      'kPa',
      'mbar',
      'mbar',
    ]);
  });

  // calc: 1.7581e-4 Pa m3/s / (R 293.15 K) = 7.213e-8 mol/s; 1 sccm (0 degC) = 1e-6 m3 101325 Pa / (R 273.15 K) / 60 s = 7.436e-7 mol/s
  it('shows a gas load of 1.7581e-4 Pa m3/s at 20 degC as 0.097 sccm', () => {
    const load = { value: 1.7581e-4, low: 1.7581e-4, high: 1.7581e-4 };
    expect(formatInterval(load, shownUnit('sccm'))).toBe('0.097 sccm (0 degC)');
  });
});

describe('a rate of rise', () => {
  it('has a unit for every unit of pressure', () => {
    for (const { label } of listUnits('pressure')) {
      const rate = findUnit(`${label}/s`);
      expect(rate?.dimension, label).toBe('pressure rate');
      expect(rate?.scale, label).toBeCloseTo(findUnit(label, 'pressure')?.scale ?? 0, 12);
    }
    expect(findUnit('inHg (0 degC)/h')?.scale).toBeCloseTo(3386.38 / 3600, 5); // NIST SP 811, Appendix B.8
  });
});

/** A chamber pumped to 100 Pa and shut twice, as it is written in a unit. */
function logIn(unit: string): Uint8Array {
  const known = findUnit(unit, 'pressure');
  if (!known) throw new Error(unit);
  const signed = known.barometer === 'below' ? -1 : 1;
  const from = known.barometer === 'none' ? 0 : 101325;
  const rows = Array.from({ length: 1200 }, (_, i) => {
    const t = i % 600;
    const pa = t < 300 ? 100 + 5000 * Math.exp(-t / 10) : 100 + 2 * (t - 300);
    return `${i * 2},${((signed * (pa - from)) / known.scale).toPrecision(9)}`;
  });
  return new TextEncoder().encode(`time s,chamber\n${rows.join('\n')}\n`);
}

describe('a report', () => {
  it.each(['psia', 'psig', 'inHg (0 degC)', 'inHg vac', '% vac', 'um Hg'])('of a log in %s shows its rates', (unit) => {
    const log = readLog(logIn(unit), { columns: { chamber: { unit } }, barometerPa: 101325 });
    const analysis = analyse(log);
    const report = analysisReport(analysis);
    const [, rate, perS] = report.match(/mean rate +(\S+) [^\n]*? ([a-zA-Z][^/\n]*\/s)/) ?? [];
    expect(Number(rate) * (findUnit(perS)?.scale ?? 0), report).toBeCloseTo(1, 1);
  });
});
