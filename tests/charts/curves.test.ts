import { describe, expect, it } from 'vitest';
import { curvesChart, rateAgainstTimePumpedChart, sideBySide } from '../../src/charts';
import { ArgumentError } from '../../src/errors';

const axes = { x: { title: 'time', unit: 's' }, y: { title: 'pressure', unit: 'Pa', scale: 'log' as const } };
const line = { name: 'line', x: [1, 2, 3], y: [10, 100, 1000] };

/** All values of the data in a specification that stand under a name. */
const valuesOf = (spec: unknown, name: string): unknown[] =>
  [...JSON.stringify(spec).matchAll(new RegExp(`"${name}":(-?[\\d.e-]+|"[^"]*")`, 'g'))].map(([, value]) =>
    JSON.parse(value),
  );

describe('a chart of curves', () => {
  it('draws what lies on its axes and leaves out the rest', () => {
    const chart = curvesChart([{ name: 'line', x: [1, 2, 3, 4], y: [10, -1, Number.NaN, 1000] }], axes);
    expect(valuesOf((chart.layer as object[])[0], 'y')).toEqual([10, 1000]);
    expect(chart.usermeta.text).toContain('line: 10 Pa at 1 s, 1000 Pa at 4 s');
  });

  it('refuses what it cannot draw', () => {
    expect(() => curvesChart([], axes)).toThrow(ArgumentError);
    expect(() => curvesChart(Array(9).fill(line), axes)).toThrow(/met 9, expected 1 to 8/);
    expect(() => curvesChart([{ ...line, y: [1, 2] }], axes)).toThrow(/columns of line/);
    expect(() => curvesChart([{ ...line, y: [0, 0, 0] }], axes)).toThrow(/curve "line": met "no point"/);
  });

  it('tells each curve by another colour and dash', () => {
    const chart = curvesChart(
      [1, 2, 3, 4, 5, 6, 7, 8].map((k) => ({ ...line, name: `line ${k}` })),
      axes,
    );
    const [{ encoding }] = chart.layer as { encoding: Record<string, { scale: { range: unknown[] } }> }[];
    for (const channel of ['color', 'strokeDash']) {
      expect(new Set(encoding[channel].scale.range.map((value) => JSON.stringify(value))).size).toBe(8);
    }
  });
});

describe('charts side by side', () => {
  it('keep their words, and need a partner', () => {
    const one = curvesChart([line], axes, { title: 'one' });
    const both = sideBySide([one, curvesChart([line], axes, { title: 'two' })], 'both');
    expect(both.usermeta.text).toMatch(/both[\s\S]*one:[\s\S]*two:/);
    expect(() => sideBySide([one], 'alone')).toThrow(ArgumentError);
    expect(() => sideBySide([one, one], 'both', 1.5)).toThrow(/columns/);
  });
});

describe('a chart of rates against the time pumped', () => {
  it('keeps an interval that reaches zero on the logarithmic axis', () => {
    const rates = [600, 6000].map((pumpedS) => ({ pumpedS, rate: { value: 1 / pumpedS, low: -1, high: 1 } }));
    const chart = rateAgainstTimePumpedChart([{ name: 'wide', rates }]);
    for (const low of valuesOf(chart.layer, 'low')) expect(low).toBeGreaterThan(0);
    expect(chart.usermeta.text).toContain('time to the power -1.00, from two isolations alone');
  });

  it('refuses a record with one rate', () => {
    const rates = [{ pumpedS: 600, rate: { value: 1, low: 0.9, high: 1.1 } }];
    expect(() => rateAgainstTimePumpedChart([{ name: 'one', rates }])).toThrow(ArgumentError);
    expect(() => rateAgainstTimePumpedChart([])).toThrow(/met 0, expected 1 to 4/);
  });
});
