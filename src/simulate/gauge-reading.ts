import { LOAD_GASES, type LoadGas } from '../gas-loads';
import { type Channel, FLAG } from '../log/gauge-log';
import type { RandomStream } from '../numerics';
import { type Conversion, conversionToSI, unitNamed, ZERO_CELSIUS } from '../units';
import type { SimulatedGauge, SimulatedThermometer } from './system';

/** A column of the record: what a logger writes, and what it means. */
export interface Column {
  readonly name: string;
  readonly quantity: 'pressure' | 'temperature';
  readonly unit: string;
  readonly siUnit: 'Pa' | 'K';
  readonly values: Float64Array;
  readonly flags: Uint8Array;
  readonly cells: readonly string[];
  readonly resolution: number;
}

/**
 * A column as a channel of a log.
 * @param column the column
 * @param place column in the file, counted from 1
 * @returns the channel, SI
 */
export function channelOf(column: Column, place: number): Channel {
  const { name, quantity, unit, siUnit, values, flags, resolution } = column;
  return { name, column: place, quantity, unit, unitFrom: 'header', siUnit, values, flags, resolution };
}

/**
 * What a gauge shows: gas factor, zero error, lag, noise, floor, steps, range and words, in this order.
 * @param gauge its properties, Pa
 * @param time times of the rows, s
 * @param truth partial pressures at the gauge, Pa
 * @param barometerPa for units that read from it, Pa
 * @param random the gauge's own stream
 * @returns its column
 */
export function readGauge(
  gauge: SimulatedGauge,
  time: Float64Array,
  truth: Readonly<Record<LoadGas, Float64Array>>,
  barometerPa: number,
  random: RandomStream,
): Column {
  const rows = time.length;
  const values = new Float64Array(rows);
  const flags = new Uint8Array(rows);
  const cells = new Array<string>(rows);
  const spikeRows = new Map((gauge.spikes ?? []).map(({ atS, factor }) => [nearestRow(time, atS), factor]));
  const smooth = follower(gauge.lagS ?? 0);
  const noise = noiseOf(gauge, random);
  const write = writer(gauge, conversionToSI(unitNamed(gauge.unit, 'pressure'), barometerPa));
  let last = Number.NaN;
  for (let row = 0; row < rows; row++) {
    let shown = (gauge.zeroPa ?? 0) + (gauge.zeroDriftPaPerS ?? 0) * time[row];
    for (const gas of LOAD_GASES) shown += (gauge.gasFactor?.[gas] ?? 1) * truth[gas][row];
    const step = row > 0 ? time[row] - time[row - 1] : 0;
    shown = noise(smooth(shown, step), step) * (spikeRows.get(row) ?? 1);
    if (gauge.stuck?.some(({ fromS, toS }) => time[row] >= fromS && time[row] <= toS) && Number.isFinite(last)) {
      shown = last;
    }
    last = shown;
    const limited = Math.max(gauge.floorPa ?? -Infinity, shown);
    const flag = rangeFlag(gauge, limited);
    if (flag !== FLAG.good && gauge.range?.clamp !== true) {
      values[row] = Number.NaN;
      const words = gauge.words ?? { low: 'UNDER', high: 'OVER' };
      cells[row] = flag === FLAG.overRange ? words.high : words.low;
    } else {
      const clamped = Math.min(gauge.range?.highPa ?? Infinity, Math.max(gauge.range?.lowPa ?? -Infinity, limited));
      const reading = write(clamped);
      cells[row] = reading.cell;
      values[row] = reading.pa;
    }
    flags[row] = flag;
  }
  return {
    name: gauge.name,
    quantity: 'pressure',
    unit: gauge.unit,
    siUnit: 'Pa',
    values,
    flags,
    cells,
    resolution: gauge.stepPa ?? 0,
  };
}

function rangeFlag(gauge: SimulatedGauge, pa: number): number {
  if (pa > (gauge.range?.highPa ?? Infinity)) return FLAG.overRange;
  if (pa < (gauge.range?.lowPa ?? -Infinity)) return FLAG.underRange;
  return FLAG.good;
}

/** Writes a pressure in the unit of the log, in the steps of the instrument, and says what the text means. */
function writer(
  gauge: SimulatedGauge,
  unit: Conversion,
): (pa: number) => { readonly cell: string; readonly pa: number } {
  const { stepPa, significantDigits } = gauge;
  const stepDecimals = stepPa === undefined ? 0 : Math.ceil(-Math.log10(stepPa / Math.abs(unit.scale)) + 1);
  const decimals = Math.min(12, Math.max(0, stepDecimals));
  return (pa) => {
    const kept = stepPa === undefined ? pa : Math.round(pa / stepPa) * stepPa;
    const value = (kept - unit.offset) / unit.scale;
    const cell =
      stepPa !== undefined
        ? value.toFixed(decimals)
        : significantDigits !== undefined
          ? value.toExponential(significantDigits - 1)
          : String(Number(value.toPrecision(9)));
    return { cell, pa: Number(cell) * unit.scale + unit.offset };
  };
}

function follower(lagS: number): (value: number, stepS: number) => number {
  let kept = Number.NaN;
  return (value, stepS) => {
    kept = lagS > 0 && Number.isFinite(kept) ? value + (kept - value) * Math.exp(-stepS / lagS) : value;
    return kept;
  };
}

/** Noise with standard deviation sqrt((r p)^2 + a^2), correlated in time where wanted. */
function noiseOf(gauge: SimulatedGauge, random: RandomStream): (value: number, stepS: number) => number {
  const { relative = 0, absolutePa = 0, correlationS = 0 } = gauge.noise ?? {};
  let kept = random.normal();
  return (value, stepS) => {
    const memory = correlationS > 0 && stepS > 0 ? Math.exp(-stepS / correlationS) : 0;
    kept = memory * kept + Math.sqrt(1 - memory * memory) * random.normal();
    return value + kept * Math.hypot(relative * value, absolutePa);
  };
}

function nearestRow(time: Float64Array, atS: number): number {
  let low = 0;
  let high = time.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle] <= atS) low = middle;
    else high = middle;
  }
  return atS - time[low] < time[high] - atS ? low : high;
}

/**
 * What a thermometer at the wall shows, in degrees Celsius.
 * @param thermometer noise and step, K
 * @param wallK wall temperature of each row, K
 * @param random the thermometer's own stream
 * @returns its column
 */
export function readThermometer(thermometer: SimulatedThermometer, wallK: Float64Array, random: RandomStream): Column {
  const { noiseK = 0, stepK = 0.01 } = thermometer;
  const decimals = Math.max(0, Math.ceil(-Math.log10(stepK) - 1e-9));
  const values = new Float64Array(wallK.length);
  const cells = new Array<string>(wallK.length);
  for (let row = 0; row < wallK.length; row++) {
    const celsius = wallK[row] + noiseK * random.normal() - ZERO_CELSIUS;
    cells[row] = (Math.round(celsius / stepK) * stepK).toFixed(decimals);
    values[row] = Number(cells[row]) + ZERO_CELSIUS;
  }
  return {
    name: thermometer.name,
    quantity: 'temperature',
    unit: 'degC',
    siUnit: 'K',
    values,
    flags: new Uint8Array(wallK.length),
    cells,
    resolution: stepK,
  };
}
