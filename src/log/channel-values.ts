import { ArgumentError } from '../errors';
import { findUnit, siUnit, type Unit } from '../units';
import type { ColumnDescription, LogDescription } from './description';
import { flagClamps } from './flag-clamps';
import { flagCodes } from './flag-codes';
import { flagSpikes } from './flag-spikes';
import { flagStuck } from './flag-stuck';
import { type Channel, FLAG } from './gauge-log';
import { resolutionNearBottom } from './resolution';

/** What a channel needs to become SI. */
export interface ChannelScene {
  readonly description: LogDescription;
  readonly time: Float64Array;
  /** Barometer in Pa, one value or one for each row; undefined where it is open. */
  readonly barometer: number | Float64Array | undefined;
  /** Values that set points of the log take, unit of the file. */
  readonly setpoints: ReadonlySet<number>;
  /** Assumptions made on the way are added here. */
  readonly assumptions: string[];
}

/**
 * Makes a channel of a column: flags what is no reading, then brings it to SI.
 * @param column its description
 * @param values raw numbers; become the SI values of the channel
 * @param flags as the cells told; more are added
 * @param scene what the channel needs to know
 * @returns the channel in SI, or as plain numbers where its unit is open
 */
export function channelOf(
  column: ColumnDescription,
  values: Float64Array,
  flags: Uint8Array,
  scene: ChannelScene,
): Channel {
  const unit = column.unit === '' ? undefined : knownUnit(column.unit);
  if (!column.setpoint && !column.states) judge(column, unit, values, flags, scene);
  const conversion = conversionOf(column, unit, scene.barometer);
  const { name, unitFrom, quantity } = column;
  if (conversion) conversion.apply(values, flags);
  const open = !conversion && needsUnit(column);
  const setpoint = column.setpoint ? { setpoint: true } : {};
  const seems = open && quantity !== 'number' ? { seems: quantity } : {};
  return {
    name,
    column: column.column,
    quantity: open ? 'number' : quantity,
    unit: column.law && conversion ? knownUnit(column.law.unit).label : column.unit,
    unitFrom: column.law && conversion ? 'user' : unitFrom,
    siUnit: conversion?.siUnit ?? '',
    values,
    flags,
    resolution: resolutionNearBottom(values, flags),
    ...setpoint,
    ...seems,
  };
}

function knownUnit(label: string): Unit {
  const unit = findUnit(label);
  if (!unit) throw new ArgumentError('unit in the description', label, 'a unit such as mbar, Torr, degC');
  return unit;
}

function needsUnit({ quantity }: ColumnDescription): boolean {
  return quantity === 'pressure' || quantity === 'temperature' || quantity === 'flow' || quantity === 'voltage';
}

function judge(
  column: ColumnDescription,
  unit: Unit | undefined,
  values: Float64Array,
  flags: Uint8Array,
  scene: ChannelScene,
): void {
  const { quantity, law, clampHigh, clampLow, name } = column;
  const voltage = unit?.dimension === 'voltage' || quantity === 'voltage';
  const pressure = quantity === 'pressure' && !voltage;
  const judged = pressure || quantity === 'temperature';
  const scale = unit && unit.barometer === 'none' && unit.dimension === 'pressure' ? unit.scale : 0;
  const relative = unit !== undefined && unit.barometer !== 'none';
  if (judged && !relative && !column.belowAtmosphere) flagCodes(values, flags, { scale, pressure });
  const told = { ...(clampHigh === undefined ? {} : { clampHigh }), ...(clampLow === undefined ? {} : { clampLow }) };
  const looked = (pressure && !relative && !column.belowAtmosphere) || voltage;
  if (looked || clampHigh !== undefined || clampLow !== undefined) {
    const context = { scale, voltage, logLaw: law?.kind === 'log', setpoints: scene.setpoints, ...told };
    for (const { at, count, high } of flagClamps(values, flags, context)) {
      const why = high ? 'over range' : 'under range';
      scene.assumptions.push(
        `column "${name}": ${count} readings at ${at} ${column.unit} taken as a clamp and flagged ${why}`,
      );
    }
  }
  if (!pressure && !law) return;
  const stuck = flagStuck(values, flags);
  if (stuck > 0)
    scene.assumptions.push(
      `column "${name}": ${stuck} readings repeat one value as a stuck gauge does, and are flagged`,
    );
  const spikes = flagSpikes(values, flags, scene.time);
  if (spikes > 0)
    scene.assumptions.push(
      `column "${name}": ${spikes} ${spikes === 1 ? 'spike' : 'spikes'} of a single reading flagged`,
    );
}

/** From the numbers of the file to SI. */
interface Conversion {
  readonly siUnit: string;
  apply(values: Float64Array, flags: Uint8Array): void;
}

function conversionOf(
  column: ColumnDescription,
  unit: Unit | undefined,
  barometer: number | Float64Array | undefined,
): Conversion | undefined {
  if (column.law) return lawConversion(column.law, unit ?? knownUnit('V'));
  if (!unit) return undefined;
  const below = column.belowAtmosphere || unit.barometer === 'below';
  if (below || unit.barometer === 'above')
    return barometer === undefined ? undefined : relative(unit, below, barometer);
  const { scale, offset } = unit;
  return {
    siUnit: siUnit(unit.dimension),
    apply: (values) => {
      for (let i = 0; i < values.length; i++) values[i] = values[i] * scale + offset;
    },
  };
}

function lawConversion(law: NonNullable<ColumnDescription['law']>, volts: Unit): Conversion {
  const pressure = knownUnit(law.unit);
  const { a, b, kind } = law;
  return {
    siUnit: 'Pa',
    apply: (values) => {
      for (let i = 0; i < values.length; i++) {
        const u = values[i] * volts.scale;
        values[i] = (kind === 'log' ? 10 ** (a * u + b) : a * u + b) * pressure.scale + pressure.offset;
      }
    },
  };
}

/** p = barometer - reading, or barometer + reading; a dial that shows more than the barometer is under range. */
function relative(unit: Unit, below: boolean, barometer: number | Float64Array): Conversion {
  const percent = unit.label === '% vac';
  return {
    siUnit: 'Pa',
    apply: (values, flags) => {
      for (let i = 0; i < values.length; i++) {
        const air = typeof barometer === 'number' ? barometer : barometer[i];
        const reading = values[i] * (percent ? air / 100 : unit.scale);
        values[i] = below ? air - reading : air + reading;
        if (values[i] < -1e-9 * air) flags[i] |= FLAG.underRange;
        if (Number.isNaN(values[i])) flags[i] |= FLAG.missing;
      }
    },
  };
}
