import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { findSegments, type GaugeLog, readLog, readSectionPlan, sectionLoads, sectionRises } from '../../src';

const datasets = join(__dirname, '../../datasets');
const demo = (file: string): GaugeLog => readLog(readFileSync(join(datasets, file)), { file });
const record = (file: string) => {
  const log = demo(file);
  return { log, segmented: findSegments(log) };
};
const estimate = (value: number, u: number) => ({
  value,
  low: value - 1.959963984540054 * u,
  high: value + 1.959963984540054 * u,
});

interface TrueSegment {
  readonly kind: string;
  readonly 'loads at the start, Pa m3/s': Readonly<Record<string, number>>;
  readonly 'loads at the end, Pa m3/s': Readonly<Record<string, number>>;
}

/**
 * The true load of each isolation of a demo log as its gauge reads it, mean of the two ends: leak and walls (water, read
 * high by `waterFactor`), without what the room does.
 */
function trueLoads(file: string, waterFactor: number): number[] {
  const truth = JSON.parse(readFileSync(join(datasets, 'truth.json'), 'utf8')) as Record<
    string,
    { readonly segments: readonly TrueSegment[] }
  >;
  const load = (of: Readonly<Record<string, number>>): number =>
    (of['real leak'] ?? 0) + waterFactor * (of.outgassing ?? 0);
  return truth[file].segments
    .filter(({ kind }) => kind === 'isolation')
    .map((one) => (load(one['loads at the start, Pa m3/s']) + load(one['loads at the end, Pa m3/s'])) / 2);
}

describe('a plan of sections', () => {
  it('is read as a person writes it', () => {
    const plan = readSectionPlan('all open: 12 L; section A: 9.5 L ± 4 %;B: 8500 cm3;');
    expect(plan.map(({ shutOff }) => shutOff)).toEqual(['all open', 'section A', 'B']);
    expect(plan.map(({ volume }) => volume.si)).toEqual([0.012, 0.0095, expect.closeTo(0.0085, 12)]);
    // 4 % as k = 2: half of it is one standard uncertainty (calc).
    expect(plan[1].volume.standardUncertainty).toBeCloseTo(0.00019, 9);
  });

  it('is refused without a name, without a volume, or with one part', () => {
    expect(() => readSectionPlan('12 L; A: 3 L')).toThrow(/a name and a volume/);
    expect(() => readSectionPlan('all: 12 L; A: 3 mbar')).toThrow(/volume/);
    expect(() => readSectionPlan('all: 12 L')).toThrow(/at least two/);
  });
});

describe('rises with sections shut off', () => {
  const inTurn = sectionRises(
    [record('sections-valved-off.csv')],
    readSectionPlan('all open: 12 L; A: 9.5 L; B: 8.5 L'),
  );
  const oneMore = sectionRises(
    [record('service-line.csv')],
    readSectionPlan('all open: 22.2 L; oven: 2.2 L; pipe: 0.8 L'),
  );

  it('have the loads that made them, within 3 %', () => {
    const pairs = [
      [inTurn, trueLoads('sections-valved-off.csv', 1)],
      [oneMore, trueLoads('service-line.csv', 1.5)],
    ] as const;
    for (const [rises, loads] of pairs) {
      expect(rises).toHaveLength(3);
      for (const [i, { load }] of rises.entries()) expect(Math.abs(load.value / loads[i] - 1)).toBeLessThan(0.03);
    }
  });

  it('in turn: section B holds the leak of 6e-4 Pa m3/s', () => {
    const [first, ...others] = sectionLoads(inTurn, 'in turn');
    expect(first.section).toBe('B');
    expect(first.probability).toBeGreaterThan(0.99);
    // Leak and walls of B at that time: 6e-4 and about 1e-5 (truth file).
    expect(first.load.value).toBeGreaterThan(5.8e-4);
    expect(first.load.value).toBeLessThan(6.5e-4);
    expect(others.map(({ section }) => section).sort()).toEqual(['A', 'the rest']);
  });

  it('in turn: the true loads of both sections and of the rest lie in their intervals', () => {
    // Walls at the first test, 20 to 30 min after an hour of pumping: 4, 2 and 2 parts of 5.9e-5 Pa m3/s (truth file).
    const walls = trueLoads('sections-valved-off.csv', 1)[0] - 6e-4;
    const made = new Map([
      ['A', walls / 4],
      ['B', 6e-4 + walls / 4],
      ['the rest', walls / 2],
    ]);
    for (const { section, load } of sectionLoads(inTurn, 'in turn')) {
      expect(load.low).toBeLessThan(made.get(section)!);
      expect(load.high).toBeGreaterThan(made.get(section)!);
    }
  });

  it('one after another: the pipe holds the leak of 2e-3 Pa m3/s', () => {
    const [first, ...others] = sectionLoads(oneMore, 'one after another');
    expect(first.section).toBe('pipe');
    expect(first.probability).toBeGreaterThan(0.99);
    expect(first.load.value / 2e-3).toBeCloseTo(1, 1);
    expect(others).toHaveLength(2);
  });

  it('are refused where their number is another than that of the plan', () => {
    const plan = readSectionPlan('all open: 12 L; A: 9.5 L');
    expect(() => sectionRises([record('sections-valved-off.csv')], plan)).toThrow(
      'isolations found: met 3, expected 2, one for each of: all open, A',
    );
  });
});

describe('loads of sections shut off in turn', () => {
  const tests = [
    { shutOff: 'nothing', load: estimate(10, 0.1) },
    { shutOff: 'A', load: estimate(9, 0.1) },
    { shutOff: 'B', load: estimate(4, 0.1) },
  ];

  it('are the whole less each test, and the rest what is left (calc)', () => {
    const found = sectionLoads(tests, 'in turn');
    expect(found.map(({ section, load }) => [section, Number(load.value.toFixed(9))])).toEqual([
      ['B', 6],
      ['the rest', 3],
      ['A', 1],
    ]);
    // Rest = A + B - whole: its standard uncertainty is sqrt(3) times 0.1 (calc).
    const rest = found.find(({ section }) => section === 'the rest')!.load;
    expect((rest.high - rest.low) / (2 * 1.959963984540054)).toBeCloseTo(0.1 * Math.sqrt(3), 9);
    expect(found.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 9);
  });

  it('are as uncertain as the tests changed meanwhile (calc)', () => {
    // Twice 0.001 per s over 100 s between the tests: 0.2, beside 0.1 of either test.
    const aging = tests.map((test, i) => ({ ...test, atS: 100 * i, changePerS: i === 1 ? -1e-3 : 0 }));
    const a = sectionLoads(aging, 'in turn').find(({ section }) => section === 'A')!.load;
    expect((a.high - a.low) / (2 * 1.959963984540054)).toBeCloseTo(Math.hypot(0.1, 0.1, 0.2), 9);
    // Two days later: by no more than the load itself, 9.
    const late = tests.map((test, i) => ({ ...test, atS: 172_800 * i, changePerS: i === 1 ? -1e-3 : 0 }));
    const far = sectionLoads(late, 'in turn').find(({ section }) => section === 'A')!.load;
    expect((far.high - far.low) / (2 * 1.959963984540054)).toBeCloseTo(Math.hypot(0.1, 0.1, 9), 9);
  });

  it('are even where two sections bring the same', () => {
    const even = [
      { shutOff: 'nothing', load: estimate(10, 0.1) },
      { shutOff: 'A', load: estimate(5, 0.1) },
      { shutOff: 'B', load: estimate(5, 0.1) },
    ];
    const byName = new Map(sectionLoads(even, 'in turn').map((one) => [one.section, one.probability]));
    expect(Math.abs(byName.get('A')! - 0.5)).toBeLessThan(0.05);
    expect(byName.get('the rest')!).toBeLessThan(0.01);
  });
});
