import { describe, expect, it } from 'vitest';
import { findSegments, type Segment } from '../../src/segments';
import { removeSpikes } from '../../src/segments/smooth-steps';
import { weightsWithinStairs } from '../../src/segments/straight-pieces';
import { longRunNoise } from '../../src/segments/stretches';
import { asLog, gaugeColumn, randomFrom } from './made-records';

/**
 * Isolations that anybody sees who looks at the curve, in logs that make them hard to find: short ones, coarse displays, a gauge
 * at the top of its range, little pumping between two isolations, noise that lasts. The physics is the mass balance of a
 * chamber, V dp/dt = q - S p (calc): pumped it goes to its base as exp(-t S/V); shut it rises by q/V, or, where what feeds it
 * has a pressure of its own (a pocket, a valve seat that still pumps), it goes to that as exp(-t / tau).
 */
interface Course {
  readonly fromS: number;
  /** Rises so fast, Pa/s, */
  readonly ratePaPerS?: number;
  /** or goes towards a pressure, Pa, so fast, 1/s. */
  readonly towardsPa?: number;
  readonly perS?: number;
}

interface Shown {
  readonly stepS: number;
  readonly lastS: number;
  readonly startPa?: number;
  readonly noisePa: number;
  /** Readings over which a part of the noise lasts, a third of its variance; none where absent. */
  readonly lasts?: number;
  readonly codePa?: number;
  /** What is above is shown as this. */
  readonly topPa?: number;
  /** Rows shown wrongly, and by which factor. */
  readonly spikes?: readonly (readonly [number, number])[];
  readonly seed: number;
}

function isolationsIn(course: readonly Course[], shown: Shown): readonly Segment[] {
  const r = randomFrom(shown.seed);
  const normal = (): number => (r() + r() + r() + r() - 2) * 1.73;
  const { stepS } = shown;
  const time = Float64Array.from({ length: Math.floor(shown.lastS / stepS) + 1 }, (_, i) => i * stepS);
  let pa = shown.startPa ?? 1e5;
  let lasting = 0;
  const keeps = shown.lasts === undefined ? 0 : Math.exp(-1 / shown.lasts);
  const values = time.map((t, i) => {
    const now = [...course].reverse().find(({ fromS }) => t > fromS);
    if (now?.ratePaPerS !== undefined) pa += now.ratePaPerS * Math.min(stepS, t - now.fromS);
    else if (now?.towardsPa !== undefined) {
      const spanS = Math.min(stepS, t - now.fromS);
      pa = now.towardsPa + (pa - now.towardsPa) * Math.exp(-(now.perS ?? 0) * spanS);
    }
    lasting = keeps * lasting + Math.sqrt(1 - keeps * keeps) * normal();
    const error = keeps > 0 ? 0.8 * normal() + 0.6 * lasting : lasting;
    const spike = shown.spikes?.find(([row]) => row === i)?.[1] ?? 1;
    const read = Math.min(shown.topPa ?? Number.POSITIVE_INFINITY, (pa + shown.noisePa * error) * spike);
    return shown.codePa === undefined ? read : Math.round(read / shown.codePa) * shown.codePa;
  });
  const { segments } = findSegments(
    asLog('made.csv', time, [gaugeColumn('p', values, { resolution: shown.codePa ?? 0 })]),
  );
  console.log(
    [...values]
      .slice(58, 72)
      .map((v, i) => `${(i + 58) * 30}:${v.toFixed(3)}`)
      .join(' '),
  );
  return segments.filter(({ kind, pumpSide }) => kind === 'isolation' && !pumpSide);
}

/** Each is found alone, its ends within so many rows of the valve, or its beginning within a part of its time. */
function expectShut(
  found: readonly Segment[],
  shut: readonly (readonly [number, number])[],
  { stepS }: Shown,
  rows = 3,
  part = 0,
): void {
  expect(found.map(({ startS, endS }) => [startS, endS])).toHaveLength(shut.length);
  for (const [k, [fromS, toS]] of shut.entries()) {
    expect(Math.abs(found[k].startS - fromS)).toBeLessThanOrEqual(Math.max(rows * stepS, part * (toS - fromS)));
    expect(Math.abs(found[k].endS - toS)).toBeLessThanOrEqual(rows * stepS);
  }
}

const SEEDS = [1, 2, 3, 4, 5];

describe('a short log in coarse steps', () => {
  it.each(SEEDS)('shows both of its rises, though a reading in each is a spike (seed %i)', (seed) => {
    const shown = {
      stepS: 30,
      lastS: 3270,
      noisePa: 0.02,
      codePa: 0.133,
      spikes: [
        [37, 0.6],
        [45, 1.5],
      ],
      seed,
    } as const;
    const pumped = { towardsPa: 1.6, perS: 0.3 };
    const found = isolationsIn(
      [
        { fromS: 60, ...pumped },
        { fromS: 975, ratePaPerS: 0.0042 },
        { fromS: 1785, ...pumped },
        { fromS: 1935, ratePaPerS: 0.003 },
        { fromS: 3225, ...pumped },
      ],
      shown,
    );
    const shut = [
      [975, 1785],
      [1935, 3225],
    ] as const;
    // A display step is reached after 44 s.
    expectShut(found, shut, shown, 4);
    // The last two readings, when the valve is open again, are none of it.
    expect(found[1].endPa).toBeGreaterThan(5);
  });
});

describe('a gauge that stands at the top of its range before it is pumped', () => {
  it.each(SEEDS)('does not hide the rises below (seed %i)', (seed) => {
    const shown = { stepS: 5, lastS: 8000, noisePa: 0.05, codePa: 0.13, topPa: 266.6, seed } as const;
    const pumped = { towardsPa: 0.4, perS: 0.1 };
    const found = isolationsIn(
      [
        { fromS: 100, ...pumped },
        { fromS: 2500, ratePaPerS: 0.0016 },
        { fromS: 4000, ...pumped },
        { fromS: 4500, towardsPa: 2.4, perS: 0.002 },
        { fromS: 6500, ...pumped },
      ],
      shown,
    );
    const shut = [
      [2500, 4000],
      [4500, 6500],
    ] as const;
    // A display's step is reached after 80 s.
    expectShut(found, shut, shown, 8, 0.06);
  });

  it('is no stair that the rest of the log lies within', () => {
    // The codes that a display shows near 1000 Pa, and near 1 Pa.
    const pa = Float64Array.from({ length: 200 }, (_, i) => (i < 12 ? 1467 : 1 + 0.13 * (i % 20)));
    const weight = weightsWithinStairs(pa, new Float64Array(200).fill(1), (p) => (p > 100 ? 442 : 0.13));
    for (let i = 12; i < 200; i++) expect(weight[i]).toBe(1);
  });
});

describe('little pumping between two isolations', () => {
  it.each(SEEDS)('is no part of the second (seed %i)', (seed) => {
    const shown = { stepS: 30, lastS: 4200, noisePa: 0.4, seed } as const;
    const pumped = { towardsPa: 582, perS: 0.2 };
    const found = isolationsIn(
      [
        { fromS: 60, ...pumped },
        { fromS: 2005, ratePaPerS: 0.1 },
        { fromS: 2425, ...pumped },
        { fromS: 2575, ratePaPerS: 0.075 },
        { fromS: 2995, ...pumped },
      ],
      shown,
    );
    const shut = [
      [2005, 2425],
      [2575, 2995],
    ] as const;
    expectShut(found, shut, shown, 3);
  });
});

describe('a rise that saturates, on a base that a fall comes to late', () => {
  it.each(SEEDS)('is one though no fall ends it (seed %i)', (seed) => {
    const shown = { stepS: 2, lastS: 4400, noisePa: 0.06, codePa: 0.13, seed } as const;
    const pumped = { towardsPa: 0.2, perS: 0.15 };
    const found = isolationsIn(
      [
        { fromS: 50, ...pumped },
        { fromS: 900, towardsPa: 2.1, perS: 0.004 },
        { fromS: 2000, ...pumped },
        { fromS: 2170, towardsPa: 1.7, perS: 0.004 },
      ],
      shown,
    );
    const shut = [
      [900, 2000],
      [2170, 4400],
    ] as const;
    expectShut(found, shut, shown, 14);
  });
});

describe('a small rise of many readings that ends at once', () => {
  it.each(SEEDS)('is one, though its top stands out of single readings by little (seed %i)', (seed) => {
    const shown = { stepS: 1, lastS: 5000, noisePa: 0.4, seed } as const;
    const pumped = { towardsPa: 441, perS: 0.05 };
    const found = isolationsIn(
      [
        { fromS: 100, ...pumped },
        { fromS: 4150, ratePaPerS: 0.0075 },
        { fromS: 4800, ...pumped },
      ],
      { ...shown, startPa: 1.4e4 },
    );
    expectShut(found, [[4150, 4800]], shown, 25, 0.08);
  });
});

describe('a rise that air let in within a reading ends', () => {
  it.each(SEEDS)('is one, though it bends over (seed %i)', (seed) => {
    const shown = { stepS: 30, lastS: 2730, noisePa: 1.6, codePa: 1.333, seed } as const;
    // Air flows in ever more slowly where it has to come through a leak, towards one atmosphere (calc: tau a day and a half).
    const found = isolationsIn(
      [
        { fromS: 90, towardsPa: 120, perS: 0.5 },
        { fromS: 460, towardsPa: 7500, perS: 9e-4 },
        { fromS: 2650, towardsPa: 1.01e5, perS: 0.5 },
      ],
      shown,
    );
    expectShut(found, [[460, 2650]], shown, 2);
  });
});

describe('a rise that drowns in noise that lasts, beside one that does not', () => {
  it.each(SEEDS)('stands out of means of rows (seed %i)', (seed) => {
    const shown = { stepS: 2, lastS: 26000, noisePa: 6, lasts: 25, startPa: 1e5, seed } as const;
    const pumped = { towardsPa: 205, perS: 0.05 };
    const found = isolationsIn(
      [
        { fromS: 80, ...pumped },
        { fromS: 3100, ratePaPerS: 0.025 },
        { fromS: 13900, ...pumped },
        { fromS: 15500, ratePaPerS: 0.01 },
        { fromS: 25200, ...pumped },
      ],
      shown,
    );
    const shut = [
      [3100, 13900],
      [15500, 25200],
    ] as const;
    expectShut(found, shut, shown, 30, 0.12);
  });
});

describe('noise that lasts', () => {
  const normals = (seed: number, count: number): Float64Array => {
    const r = randomFrom(seed);
    return Float64Array.from({ length: count }, () => (r() + r() + r() + r() - 2) * 1.73);
  };

  it.each(SEEDS)('is not seen in the kinks of a short log (seed %i)', (seed) => {
    const noise = normals(seed, 110);
    const sawtooth = noise.map((e, i) => e + 2 * Math.max(0, i % 37 < 6 ? 0 : (i % 37) - 6));
    // Of white noise it would be 1; a kink in every window of forty readings would make it twelve.
    expect(longRunNoise(sawtooth)).toBeLessThan(3);
  });

  it.each(SEEDS)('is seen in a long one: by the root of (1 + a)/(1 - a) at most (calc; seed %i)', (seed) => {
    let x = 0;
    const a = 0.8;
    // Scaled so that second differences see a noise of 1: their variance over 6 is 1 - (4 a - a^2)/3 of that of a reading.
    const seen = Math.sqrt(1 - (4 * a - a * a) / 3);
    const lasting = normals(seed, 4000).map((e) => {
      x = a * x + Math.sqrt(1 - a * a) * e;
      return x / seen;
    });
    const ratio = longRunNoise(lasting);
    expect(ratio).toBeGreaterThan(2.5);
    expect(ratio).toBeLessThan((Math.sqrt((1 + a) / (1 - a)) / seen) * 1.2);
  });
});

describe('a spike', () => {
  it('is taken out of a slope as out of a level, a kink and a step are not', () => {
    const slope = Float64Array.from({ length: 20 }, (_, i) => 3 * i + (i === 10 ? -25 : 0));
    expect(removeSpikes(slope)).toBe(1);
    expect(slope[10]).toBeCloseTo(30, 9);
    const roof = Float64Array.from({ length: 21 }, (_, i) => (i < 10 ? 10 * i : 100 - 25 * (i - 10)));
    expect(removeSpikes(roof)).toBe(0);
    const step = Float64Array.from({ length: 20 }, (_, i) => (i < 10 ? 0 : 40));
    expect(removeSpikes(step)).toBe(0);
  });
});
