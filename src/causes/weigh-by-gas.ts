import { bell } from './bell';
import type { GasEvidence } from './gas-evidence';
import { WATER_RATIO } from './gauge-pair';
import type { Source } from './hypotheses';
import type { Draw, Weighing } from './weigh-hypotheses';

/** Walls and liquids give off mostly water; a leak, a pocket that was shut in air, and a line behind a pump bring air. */
type Brings = Readonly<Record<Source, boolean | null>>;
const BRINGS_WATER: Brings = {
  leak: false,
  pocket: false,
  'viscous pocket': false,
  outgassing: true,
  diffusion: true,
  vapour: true,
  'cooled vapour': true,
  'fading vapour': true,
  'drying vapour': true,
  'warming vapour': true,
  'filling line': false,
  sink: null,
};
/** The same where what looks like a leak is walls so old that their load has become constant. */
const AGED_WALLS: Brings = { ...BRINGS_WATER, leak: true };
/** What a heat-conduction gauge makes of water vapour, with weights (common practice 1.4 to 2). */
const WATER: readonly (readonly [number, number])[] = [
  [0.9 * WATER_RATIO, 0.3],
  [WATER_RATIO, 0.45],
  [1.15 * WATER_RATIO, 0.25],
];
/** How far the pair may be off in air, with weights: a normal spread of a tenth. */
const SCALES: readonly (readonly [number, number])[] = [
  [0.83, 0.1],
  [0.92, 0.24],
  [1, 0.32],
  [1.08, 0.24],
  [1.17, 0.1],
];
/** Part of all records whose gas is not the usual one of its cause: solvents, hydrogen, argon, water in a pocket. */
const UNUSUAL = 0.12;
/** The ratio then lies anywhere from 0.5 to 2.5. */
const UNUSUAL_DENSITY = 0.5;
/** What models and one factor leave open about a ratio, relative. */
const MODEL = 0.05;

interface Observation {
  readonly ratio: number;
  readonly u: number;
  readonly rises: (draw: Draw) => ArrayLike<number>;
  readonly warm: (draw: Draw) => number;
}

/**
 * Lets two gauges of unlike principle weigh the ways in which a record may have come about: each predicts a ratio of the
 * two rises from what its sources bring (air 1, water about 1.6), and is the more likely the nearer the ratio seen.
 * @param weighing the hypotheses on this record
 * @param gas what the two gauges show
 * @param followsThermal whether the record was followed by the heat-conduction gauge, so that shares are as it reads
 * @param aged part of a leak's probability that belongs to walls whose load has become constant, before the gas is seen
 * @returns the same draws, weighed anew
 */
export function weighByGas(weighing: Weighing, gas: GasEvidence, followsThermal: boolean, aged: number): Weighing {
  const seen = observations(gas);
  if (seen.length === 0) return weighing;
  const weights = weighing.draws.map((draw) => {
    const leaking = draw.hypothesis.sources.includes('leak') ? aged : 0;
    const walls = leaking > 0 ? leaking * likelihood(draw, seen, followsThermal, AGED_WALLS) : 0;
    return draw.weight * ((1 - leaking) * likelihood(draw, seen, followsThermal, BRINGS_WATER) + walls);
  });
  const sum = weights.reduce((total, one) => total + one, 0);
  if (!(sum > 0)) return weighing;
  const draws = weighing.draws.map((draw, i) => ({ ...draw, weight: weights[i] / sum }));
  const weightOf = new Map([...weighing.weightOf.keys()].map((name): [string, number] => [name, 0]));
  for (const { hypothesis, weight } of draws)
    weightOf.set(hypothesis.name, (weightOf.get(hypothesis.name) ?? 0) + weight);
  return { ...weighing, draws, weightOf };
}

/**
 * How much likelier the gas seen is from walls than from a leak of air, where one straight rise leaves that open.
 * @param gas what the two gauges show
 * @returns ratio of the likelihoods, 1 where no ratio was measured
 */
export function wallsAgainstLeak(gas: GasEvidence): number {
  const one = gas.rises[gas.rises.length - 1];
  if (one === undefined) return 1;
  const of = (gases: readonly (readonly [number, number])[]): number => {
    let sum = 0;
    for (const [factor, weight] of gases) {
      for (const [scale, scaleWeight] of SCALES) {
        const sd = Math.hypot(one.fromReadings, MODEL * one.ratio.value);
        const usual = bell(one.ratio.value, scale * factor, sd);
        sum += weight * scaleWeight * ((1 - UNUSUAL) * usual + UNUSUAL * UNUSUAL_DENSITY);
      }
    }
    return sum;
  };
  return of(WATER) / of([[1, 1]]);
}

/** The last isolation, and those before it together: a cause that has run out still made their gas. */
function observations(gas: GasEvidence): Observation[] {
  const last = gas.rises[gas.rises.length - 1];
  if (last === undefined) return [];
  const before = gas.rises.slice(0, -1);
  const found: Observation[] = [
    { ratio: last.ratio.value, u: last.fromReadings, rises: (draw) => draw.riseLast, warm: (draw) => draw.warmLast },
  ];
  if (before.length > 0) {
    const whole = before.reduce((sum, one) => sum + one.risePa, 0);
    const ratio = before.reduce((sum, one) => sum + (one.ratio.value * one.risePa) / whole, 0);
    const u = Math.hypot(...before.map((one) => (one.fromReadings * one.risePa) / whole));
    found.push({
      ratio,
      u,
      rises: (draw) => draw.riseAll.map((rise, c) => rise - draw.riseLast[c]),
      warm: (draw) => draw.warmAll - draw.warmLast,
    });
  }
  return found;
}

function likelihood(draw: Draw, seen: readonly Observation[], followsThermal: boolean, brings: Brings): number {
  let all = 0;
  for (const [water, waterWeight] of WATER) {
    for (const [scale, scaleWeight] of SCALES) {
      let one = waterWeight * scaleWeight;
      for (const { ratio, u, rises, warm } of seen) {
        const predicted = predictedRatio(draw, rises(draw), warm(draw), water, followsThermal, brings);
        const usual =
          predicted === null ? UNUSUAL_DENSITY : bell(ratio, scale * predicted, Math.hypot(u, MODEL * ratio));
        one *= (1 - UNUSUAL) * usual + UNUSUAL * UNUSUAL_DENSITY;
      }
      all += one;
    }
  }
  return all;
}

/** Ratio of the two rises that a draw predicts; null where it says nothing about the gas. */
function predictedRatio(
  draw: Draw,
  rises: ArrayLike<number>,
  warm: number,
  water: number,
  followsThermal: boolean,
  gases: Brings,
): number | null {
  let byHeat = 0;
  let byForce = 0;
  let silent = Math.abs(warm);
  draw.hypothesis.sources.forEach((source, c) => {
    const brings = gases[source];
    const rise = Math.abs(rises[c]);
    if (brings === null) {
      silent += rise;
      return;
    }
    const factor = brings ? water : 1;
    byForce += followsThermal ? rise / factor : rise;
    byHeat += followsThermal ? rise : rise * factor;
  });
  if (!(byForce > 0) || silent > byForce) return null;
  return byHeat / byForce;
}
