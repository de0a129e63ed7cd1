import { gaugeScale } from '../gauges';
import { type Estimate, remembering } from '../numerics';
import type { CauseOptions } from './cause-options';
import type { Cause, PresentCause } from './finding';
import { CAUSE_OF, type Source } from './hypotheses';
import type { RecordEvidence } from './record-evidence';
import type { Draw, Weighing } from './weigh-hypotheses';

const NOTES: Partial<Record<Cause, string>> = {
  'real leak':
    'a load that does not change with time; permeation and a gas feed that passes look the same in one record',
  'virtual leak': 'gas trapped behind a narrow path, which empties as it is pumped',
  outgassing: 'walls and seals giving off gas, falling as a power of the time pumped',
  'passing valve':
    'the seat lets gas pass to the running pump: the rise levels off and a leak looks smaller than it is',
  temperature: 'the gas follows the temperature of the room or the vessel',
  sink: 'gas is taken up by a cold or gettering surface, or cools after a fill',
};

const FILLING_LINE =
  'the seat lets gas come back from a line behind it that fills, as its pump stands still or is shut off: the rise begins slowly and goes on as of a leak';

/** What kind of evaporation the models tell apart. */
const VAPOURS: Partial<Record<Source, string>> = {
  vapour: 'a liquid, ice or a steam leak that never runs dry: the pressure goes to the same end value each time',
  'cooled vapour':
    'a liquid whose evaporation is limited by the heat that reaches it: the rise is fast, then nearly straight, as its temperature creeps',
  'fading vapour':
    'vapour held in oil or rubber, which is pumped off bit by bit: each rise ends lower than the one before',
  'drying vapour': 'a liquid or ice that has run dry within the record',
  'warming vapour':
    'ice or a liquid that warms once it is shut in, so that its vapour comes ever faster: the rise bends upwards, as of no leak and no wall',
};

/**
 * The causes that may be there, with their share of the last isolation's rise and their loads.
 * @param weighing the hypotheses on this record
 * @param evidence the thinned record
 * @param options the volume for loads
 * @returns causes with at least 1 % probability that may make 2 % of the rises (a leak, however small), largest first
 */
export function presentCauses(weighing: Weighing, evidence: RecordEvidence, options: CauseOptions): PresentCause[] {
  const volume = options.volume?.si ?? null;
  const { scale } = gaugeScale(options.gauge, 'air', options.gaugeScale);
  // As in the interval of the real leak: loads carry the scale of the gauge and the volume.
  const relative = Math.hypot(scale, options.volume ? options.volume.standardUncertainty / options.volume.si : 0);
  const load = (rate: Estimate | null): Estimate | null =>
    volume === null || rate === null
      ? null
      : widened({ value: volume * rate.value, low: volume * rate.low, high: volume * rate.high }, relative);
  return presentRates(weighing, evidence).map(({ rateAtClosing, rateAtEnd, ...present }) => ({
    ...present,
    loadAtClosing: load(rateAtClosing),
    loadAtEnd: load(rateAtEnd),
  }));
}

/** An interval with a relative standard uncertainty that all of it shares. */
function widened({ value, low, high }: Estimate, relative: number): Estimate {
  const half = 1.96 * relative * Math.abs(value);
  const below = value - Math.hypot(value - low, half);
  return { value, low: low >= 0 ? Math.max(0, below) : below, high: value + Math.hypot(high - value, half) };
}

/** A cause that may be there, with its loads for each unit of volume, Pa/s. */
interface PresentRate extends Omit<PresentCause, 'loadAtClosing' | 'loadAtEnd'> {
  readonly rateAtClosing: Estimate | null;
  readonly rateAtEnd: Estimate | null;
}

/** What makes less of the rises than this is no more than what a model leaves over. */
const LEAST_SHARE = 0.02;

/** Nothing here needs the volume, which is what is moved. */
const presentRates = remembering(presentRatesAnew, 4);

function presentRatesAnew({ draws: all }: Weighing, evidence: RecordEvidence): PresentRate[] {
  const causes: Cause[] = [
    'real leak',
    'virtual leak',
    'outgassing',
    'evaporation',
    'passing valve',
    'temperature',
    'sink',
  ];
  const found: PresentRate[] = [];
  for (const cause of causes) {
    const draws = all.filter((draw) => isIn(draw, cause, evidence));
    const probability = draws.reduce((sum, draw) => sum + draw.weight, 0);
    if (probability < 0.01) continue;
    const rate = (pick: (draw: Draw) => Float64Array): Estimate | null =>
      draws.every((draw) => !draw.hypothesis.sources.some((source) => CAUSE_OF[source] === cause))
        ? null
        : weightedEstimate(draws, (draw) => sumOf(draw, pick(draw), cause));
    found.push({
      cause,
      probability: Math.min(1, probability),
      shareOfRise: weightedEstimate(draws, (draw) => shareOf(draw, cause, draw.riseLast, draw.warmLast)),
      shareOfAllRises: weightedEstimate(draws, (draw) => shareOf(draw, cause, draw.riseAll, draw.warmAll)),
      rateAtClosing: rate((draw) => draw.closing),
      rateAtEnd: rate((draw) => draw.end),
      note: noteOf(cause, draws),
    });
  }
  const matters = ({ cause, shareOfRise, shareOfAllRises }: PresentRate): boolean =>
    cause === 'real leak' ||
    cause === 'passing valve' ||
    cause === 'sink' ||
    Math.max(shareOfRise.high, shareOfAllRises.high) >= LEAST_SHARE;
  return found.filter(matters).sort((a, b) => b.probability - a.probability);
}

function isIn(draw: Draw, cause: Cause, evidence: RecordEvidence): boolean {
  const { drain } = draw.hypothesis;
  const drained = drain !== null && draw.shapes.drainPerS * evidence.longestS > 0.3;
  if (drained && cause === (drain === 'seat' ? 'passing valve' : 'sink')) return true;
  if (cause === 'temperature') return draw.hypothesis.warm;
  return draw.hypothesis.sources.some((source) => CAUSE_OF[source] === cause);
}

function sumOf(draw: Draw, values: Float64Array, cause: Cause): number {
  let sum = 0;
  draw.hypothesis.sources.forEach((source, c) => {
    if (CAUSE_OF[source] === cause) sum += values[c];
  });
  return sum;
}

function shareOf(draw: Draw, cause: Cause, rises: Float64Array, warm: number): number {
  const whole = rises.reduce((sum, rise) => sum + Math.abs(rise), warm);
  if (!(whole > 0)) return 0;
  if (cause === 'temperature') return warm / whole;
  return Math.abs(sumOf(draw, rises, cause)) / whole;
}

function noteOf(cause: Cause, draws: readonly Draw[]): string {
  if (cause === 'evaporation') return vapourNote(draws);
  const line = draws.reduce((sum, one) => sum + (one.hypothesis.drain === 'seat' ? -one.weight : one.weight), 0);
  if (cause === 'passing valve' && line > 0) return FILLING_LINE;
  return NOTES[cause] ?? '';
}

/** The note of the kind of evaporation that weighs most. */
function vapourNote(draws: readonly Draw[]): string {
  const weights = new Map<Source, number>();
  for (const { hypothesis, weight } of draws) {
    for (const source of hypothesis.sources) {
      if (VAPOURS[source] !== undefined) weights.set(source, (weights.get(source) ?? 0) + weight);
    }
  }
  const [heaviest] = [...weights].sort((a, b) => b[1] - a[1]);
  return heaviest === undefined ? '' : (VAPOURS[heaviest[0]] ?? '');
}

function weightedEstimate(draws: readonly Draw[], value: (draw: Draw) => number): Estimate {
  const pairs = draws.map((draw) => ({ x: value(draw), w: draw.weight })).sort((a, b) => a.x - b.x);
  const total = pairs.reduce((sum, one) => sum + one.w, 0);
  const quantile = (q: number): number => {
    let sum = 0;
    for (const one of pairs) {
      sum += one.w;
      if (sum >= q * total) return one.x;
    }
    return pairs[pairs.length - 1].x;
  };
  return { value: quantile(0.5), low: quantile(0.025), high: quantile(0.975) };
}
