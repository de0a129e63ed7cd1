import { ArgumentError } from '../errors';
import { gaugeScale } from '../gauges';
import type { Channel, GaugeLog } from '../log/gauge-log';
import { studentQuantile } from '../numerics/distributions';
import type { Estimate } from '../numerics/estimate';
import type { LogEvent, Segment } from '../segments/segment';
import { findDwell } from './dwell';
import type { FitOptions } from './fit-options';
import { type Factor, type Offset, type Product, productEstimate, productOf } from './gas-load';
import { type Mixture, mixtureCentre, mixtureEstimate, mixtureStandardUncertainty, widenMixture } from './mixture';
import type { Curve, RateOfRise } from './results';
import { channelNamed, goodRows, pick, readingsAt } from './rise-readings';
import {
  curveValues,
  describeRise,
  levelAt,
  likeliestShape,
  meanRate,
  noiseOf,
  rateAt,
  type SmoothRise,
} from './smooth-rise';

/** Half-width of the drift of a gas temperature that nobody measured, K (common practice: a room over a test). */
const UNSEEN_DRIFT_K = 0.5;
const ROOM_K = 293.15;
const CURVE_POINTS = 61;

/** A rate of rise with the distributions behind it, for those who judge it. */
export interface RateOfRiseDetail {
  readonly result: RateOfRise;
  /** The mean rate with the gauge's scale in it, Pa/s. */
  readonly rate: Product;
  /** The mean gas load, Pa m3/s, or null without a volume. */
  readonly gasLoad: Product | null;
}

/**
 * Measures the rate of rise of an isolation: what to leave out, the mean rate over the window and the rates at its ends,
 * each with a 95 % interval from the readings alone (autocorrelation, quantisation and shape of the rise averaged
 * over), and with a volume the gas load V dp/dt with the budget of volume, gauge, slope and temperature (GUM).
 * @param log the log
 * @param segment an isolation in it, of the channel named
 * @param channelName the pressure channel
 * @param options what is known besides
 * @param events what happened in the log, so that bursts are not taken for a rate
 * @returns the rate of rise; rates Pa/s, loads Pa m3/s, times s from the first row
 * @throws ArgumentError where fewer than three good readings are in the window, or a channel is not in the log
 */
export function fitRateOfRise(
  log: GaugeLog,
  segment: Segment,
  channelName: string,
  options: FitOptions = {},
  events: readonly LogEvent[] = [],
): RateOfRise {
  return rateOfRiseDetail(log, segment, channelName, options, events).result;
}

/**
 * As `fitRateOfRise`, with the distributions that a conformity is judged by.
 * @param log the log
 * @param segment an isolation in it
 * @param channelName the pressure channel
 * @param options what is known besides
 * @param events what happened in the log
 * @throws ArgumentError as `fitRateOfRise`
 */
export function rateOfRiseDetail(
  log: GaugeLog,
  segment: Segment,
  channelName: string,
  options: FitOptions = {},
  events: readonly LogEvent[] = [],
): RateOfRiseDetail {
  const channel = channelNamed(log, channelName);
  const notes: string[] = [];
  const good = goodRows(channel, segment.from, segment.to);
  const flagged = segment.to - segment.from + 1 - good.length;
  if (flagged === 1) notes.push('one flagged reading in the isolation was not used');
  if (flagged > 1) notes.push(`${flagged} flagged readings in the isolation were not used`);
  if (good.length < 3) throw new ArgumentError('good readings in the isolation', good.length, 'at least 3');
  const judged = judgedRows(log, channel, good, segment, options, events);
  notes.push(...judged.notes);
  const { rows } = judged;
  const corrected = correctedForTemperature(log, channel, rows, options.temperatureChannel);
  const readings = readingsAt(log, channel, rows, corrected?.values);
  const rise = describeRise(readings);
  const mean = widenMixture(meanRate(rise, rise.startS, rise.endS), windowEnds(rise, readings.time, options));
  const initial = rateAt(rise, rise.startS);
  const final = rateAt(rise, rise.endS);
  const factors = gaugeFactors(options, (readings.values[0] + readings.values[readings.values.length - 1]) / 2);
  const volume = volumeFactor(options);
  const drift = corrected ? [] : [unseenDrift(rise, readings.values)];
  const load = (rate: Mixture): Product | null =>
    volume === null ? null : productOf(rate, RATE_LINE, [volume, ...factors], drift);
  const rate = productOf(mean, RATE_LINE, factors);
  const gasLoad = load(mean);
  const noise = noiseOf(rise);
  const fitted = curveValues(rise, readings.time);
  const residualsPa = readings.values.map((p, i) => p - fitted[i]);
  notes.push(...shapeNotes(rise, readings.values, readings.resolution));
  if (!corrected) notes.push(...temperatureNotes(log, options));
  const result: RateOfRise = {
    segment,
    channel: channelName,
    dwellS: rise.startS - segment.startS,
    dwellGrounds: judged.grounds,
    windowS: [rise.startS, rise.endS],
    rows,
    rate: mixtureEstimate(mean),
    initialRate: mixtureEstimate(initial),
    finalRate: mixtureEstimate(final),
    rateStandardUncertainty: mixtureStandardUncertainty(mean),
    gasLoad: estimateOf(gasLoad),
    initialGasLoad: estimateOf(load(initial)),
    finalGasLoad: estimateOf(load(final)),
    budget: (gasLoad ?? rate).budget,
    noisePa: rootMeanSquare(residualsPa),
    autocorrelation: noise.correlation,
    effectivePoints: noise.effectivePoints,
    curve: curveOf(rise, noise.effectivePoints),
    residualsPa,
    temperatureCorrected: corrected !== null,
    shape: likeliestShape(rise),
    resolutionPa: readings.resolution,
    startPa: mixtureEstimate(levelAt(rise, rise.startS)),
    endPa: mixtureEstimate(levelAt(rise, rise.endS)),
    notes,
  };
  return { result, rate, gasLoad };
}

const estimateOf = (product: Product | null): Estimate | null => (product === null ? null : productEstimate(product));

const RATE_LINE = { name: 'rate of rise', unit: 'Pa/s', from: 'fit of the readings' };

/** Rows of the window: by the options where they name a dwell, else by what the readings show. */
function judgedRows(
  log: GaugeLog,
  channel: Channel,
  good: Int32Array,
  segment: Segment,
  options: FitOptions,
  events: readonly LogEvent[],
): { readonly rows: Int32Array; readonly grounds: string; readonly notes: readonly string[] } {
  const time = pick(log.time, good);
  let from = 0;
  let to = good.length - 1;
  let grounds: string;
  let notes: readonly string[] = [];
  if (options.dwellS === undefined) {
    const found = findDwell(time, pick(channel.values, good), segment, events);
    ({ from, to, grounds, notes } = found);
  } else {
    const start = segment.startS + options.dwellS;
    while (from < to && time[from] < start) from++;
    grounds = `left out ${options.dwellS} s after closing, as asked`;
  }
  if (options.windowS !== undefined) {
    const end = time[from] + options.windowS * (1 + 1e-9);
    while (to > from && time[to] > end) to--;
  }
  const rows = good.slice(from, to + 1);
  if (rows.length < 3) {
    throw new ArgumentError('good readings in the window', rows.length, 'at least 3; choose a shorter dwell');
  }
  return { rows, grounds, notes };
}

/**
 * What the choice of the first and last reading adds to the mean rate of a bent rise: each end may lie one reading off,
 * d mean / d start = (mean - initial) / span.
 */
function windowEnds(rise: SmoothRise, time: Float64Array, options: FitOptions): number {
  const span = rise.endS - rise.startS;
  const mean = mixtureCentre(meanRate(rise, rise.startS, rise.endS));
  const first = options.dwellS === undefined ? time[1] - time[0] : 0;
  const last = options.windowS === undefined ? time[time.length - 1] - time[time.length - 2] : 0;
  const atStart = ((mean - mixtureCentre(rateAt(rise, rise.startS))) * first) / span;
  const atEnd = ((mixtureCentre(rateAt(rise, rise.endS)) - mean) * last) / span;
  return Math.hypot(atStart, atEnd) / Math.sqrt(3);
}

/** Pressures at the mean temperature of the window, p T0 / T, where the gas's temperature is named. */
function correctedForTemperature(
  log: GaugeLog,
  channel: Channel,
  rows: Int32Array,
  name: string | undefined,
): { readonly values: Float64Array; readonly meanK: number } | null {
  if (name === undefined) return null;
  const temperature = channelNamed(log, name);
  if (temperature.quantity !== 'temperature') {
    throw new ArgumentError('temperature channel', name, `a channel of temperature, not of ${temperature.quantity}`);
  }
  const kelvin = pick(temperature.values, rows);
  let sum = 0;
  for (let i = 0; i < rows.length; i++) {
    if (!(temperature.flags[rows[i]] === 0 && kelvin[i] > 0)) {
      throw new ArgumentError(
        `temperature "${name}" at row ${rows[i]}`,
        kelvin[i],
        'a good reading at every row judged',
      );
    }
    sum += kelvin[i];
  }
  const meanK = sum / rows.length;
  return { values: pick(channel.values, rows).map((p, i) => (p * meanK) / kelvin[i]), meanK };
}

function gaugeFactors(options: FitOptions, pressure: number): Factor[] {
  const scale = gaugeScale(options.gauge, options.gas, options.gaugeScale, pressure);
  const factors: Factor[] = [{ name: 'gauge scale', value: 1, unit: '', relative: scale.scale, from: scale.from }];
  if (scale.gas > 0) {
    const { gasFactor, gas, gasFrom } = scale;
    factors.push({ name: 'gas factor', value: gasFactor, unit: '', relative: gas, from: gasFrom });
  }
  return factors;
}

function volumeFactor(options: FitOptions): Factor | null {
  const { volume } = options;
  if (volume === undefined) return null;
  if (volume.dimension !== 'volume' || !(volume.si > 0)) {
    throw new ArgumentError('volume', `${volume.si} (${volume.dimension})`, 'a volume above 0');
  }
  const from = volume.uncertaintyRead === 'none' ? 'given without an uncertainty' : `given, ${volume.uncertaintyRead}`;
  return { name: 'volume', value: volume.si, unit: 'm3', relative: volume.standardUncertainty / volume.si, from };
}

/** What a drift of the gas temperature that nobody measured may add to the rate: p (dT/dt) / T. */
function unseenDrift(rise: SmoothRise, values: Float64Array): Offset {
  let mean = 0;
  for (const p of values) mean += Math.abs(p) / values.length;
  return {
    name: 'gas temperature',
    unit: 'Pa/s',
    standardUncertainty: ((UNSEEN_DRIFT_K / Math.sqrt(3)) * mean) / ROOM_K / (rise.endS - rise.startS),
    from: `not measured: a change of up to ${UNSEEN_DRIFT_K} K over the window is held possible`,
  };
}

function shapeNotes(rise: SmoothRise, values: Float64Array, resolution: number): string[] {
  const notes: string[] = [];
  const change = Math.abs(values[values.length - 1] - values[0]);
  if (resolution > 0 && change < 10 * resolution) {
    const steps = (change / resolution).toFixed(0);
    notes.push(`the pressure changed by ${steps} step(s) of the readings only; 10 would be good practice`);
  }
  if (rise.blockSize > 1) notes.push(`readings were averaged in groups of ${rise.blockSize} for the fit`);
  return notes;
}

function temperatureNotes(log: GaugeLog, options: FitOptions): string[] {
  if (options.temperatureChannel !== undefined) return [];
  const names = log.channels.filter((c) => c.quantity === 'temperature').map((c) => `"${c.name}"`);
  if (names.length === 0) return [];
  return [
    `not corrected for temperature: name the column that is the temperature of the gas, if one of ${names.join(', ')} is`,
  ];
}

function rootMeanSquare(values: Float64Array): number {
  let sum = 0;
  for (const v of values) sum += v * v;
  return Math.sqrt(sum / Math.max(1, values.length - 2));
}

/** The curve with its 95 % band, from the spread of all shapes and noise settings. */
function curveOf(rise: SmoothRise, effectivePoints: number): Curve {
  const timeS = new Float64Array(CURVE_POINTS);
  const pa = new Float64Array(CURVE_POINTS);
  const lowPa = new Float64Array(CURVE_POINTS);
  const highPa = new Float64Array(CURVE_POINTS);
  const coverage = studentQuantile(0.975, Math.max(1, effectivePoints - 3));
  for (let i = 0; i < CURVE_POINTS; i++) {
    const t = rise.startS + ((rise.endS - rise.startS) * i) / (CURVE_POINTS - 1);
    const level = levelAt(rise, t);
    const centre = level.reduce((sum, part) => sum + part.weight * part.centre, 0);
    const variance = level.reduce((sum, p) => sum + p.weight * (p.scale ** 2 + (p.centre - centre) ** 2), 0);
    timeS[i] = t;
    pa[i] = centre;
    lowPa[i] = centre - coverage * Math.sqrt(variance);
    highPa[i] = centre + coverage * Math.sqrt(variance);
  }
  return { timeS, pa, lowPa, highPa };
}
