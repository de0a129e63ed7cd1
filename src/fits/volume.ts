import { ArgumentError, type Question } from '../errors';
import type { GaugeLog } from '../log/gauge-log';
import { normalCdf } from '../numerics/distributions';
import { estimate } from '../numerics/estimate';
import { GAS_CONSTANT, ZERO_CELSIUS } from '../units/constants';
import type { Quantity } from '../units/quantity';
import { quantileOf } from './mixture';
import type { BudgetLine, SubstitutionResult, VolumeResult } from './results';
import { channelNamed, goodRows } from './rise-readings';

/** A value with its standard uncertainty, SI. */
export interface Measured {
  readonly value: number;
  readonly standardUncertainty: number;
}

/** Reference temperatures of standard flows in use, and how usual each is (common practice; no source). */
const REFERENCES: readonly { readonly kelvin: number; readonly share: number; readonly name: string }[] = [
  { kelvin: 273.15, share: 0.7, name: '0 degC' },
  { kelvin: 293.15, share: 0.12, name: '20 degC' },
  { kelvin: 294.26, share: 0.08, name: '21.1 degC (70 degF)' },
  { kelvin: 298.15, share: 0.1, name: '25 degC' },
];

/** A flow of gas as a flow meter states it. */
export interface KnownFlow {
  /** mol/s; a standard flow (sccm) of open reference temperature is taken at 0 degC here. */
  readonly flow: Measured;
  /** True where the meter's reference temperature is not known: all usual ones are then held possible. */
  readonly referenceOpen?: boolean;
  /** Standard uncertainty of the meter's zero, mol/s. */
  readonly zero?: number;
}

/**
 * The volume from a fill at a known flow with the valve shut: V = n R T / (dp/dt), n the molar flow.
 * @param rate rate of rise during the fill, Pa/s, > 0, with the standard uncertainty of slope and gauge
 * @param known the flow, whether its reference temperature is known, and its zero
 * @param gas temperature of the gas in the chamber, K; 293.15 +- 2 where absent
 * @returns the volume, m3; with an open reference its value is for 0 degC and its interval holds every usual one
 * @throws ArgumentError where the rate or the flow is not positive
 */
export function volumeFromFill(
  rate: Measured,
  known: KnownFlow,
  gas: Measured = { value: 293.15, standardUncertainty: 2 },
): VolumeResult {
  requirePositive('rate of the fill', rate.value, 'Pa/s');
  requirePositive('flow', known.flow.value, 'mol/s');
  requirePositive('gas temperature', gas.value, 'K');
  const open = known.referenceOpen === true;
  const choices = open ? REFERENCES : [{ kelvin: ZERO_CELSIUS, share: 1, name: 'as given' }];
  const value = (known.flow.value * GAS_CONSTANT * gas.value) / rate.value;
  // The same reading of a meter that states its flow at another temperature means fewer moles.
  const volumeAt = (kelvin: number): number => (value * ZERO_CELSIUS) / kelvin;
  const parts = [
    part('rate of rise', rate.value, 'Pa/s', rate.standardUncertainty, 'fit of the fill, with the gauge'),
    part('flow', known.flow.value, 'mol/s', known.flow.standardUncertainty, 'as stated'),
    part(
      'zero of the flow meter',
      0,
      'mol/s',
      known.zero ?? 0,
      known.zero ? 'readings at rest' : 'not known',
      known.flow.value,
    ),
    part('gas temperature', gas.value, 'K', gas.standardUncertainty, 'gas in the chamber'),
  ];
  const relative = Math.sqrt(parts.reduce((sum, p) => sum + p.relative ** 2, 0));
  const meanVolume = choices.reduce((sum, c) => sum + c.share * volumeAt(c.kelvin), 0);
  const byReference = Math.sqrt(choices.reduce((sum, c) => sum + c.share * (volumeAt(c.kelvin) - meanVolume) ** 2, 0));
  const cdf = (v: number): number =>
    choices.reduce((sum, c) => {
      const centre = volumeAt(c.kelvin);
      return sum + c.share * (relative > 0 ? normalCdf((v - centre) / (relative * centre)) : v >= centre ? 1 : 0);
    }, 0);
  const { budget, standardUncertainty } = shared([
    ...parts.map((p) => ({ ...p.line, contribution: p.relative * value })),
    {
      name: 'reference temperature of the flow',
      value: ZERO_CELSIUS,
      unit: 'K',
      standardUncertainty: (byReference / value) * ZERO_CELSIUS,
      contribution: byReference,
      share: 0,
      from: open ? 'not given: 0 degC is most usual, 20 to 25 degC also occur' : 'given',
    },
  ]);
  const assumptions: string[] = [];
  const questions: Question[] = [];
  if (open) {
    const other = `${(1e3 * volumeAt(298.15)).toPrecision(3)} L for 25 degC`;
    assumptions.push(`the flow is taken at a reference of 0 degC; the interval holds 20 to 25 degC too (${other})`);
    questions.push({
      about: 'reference temperature',
      text: 'at which temperature does the flow meter state its standard flow?',
      choices: REFERENCES.map((r) => r.name),
      answer: 'the unit of the flow, such as "260.1 sccm (20 degC)"',
    });
  }
  assumptions.push(`the gas in the chamber is at ${(gas.value - ZERO_CELSIUS).toFixed(0)} degC`);
  return {
    volume: {
      value,
      low: Math.min(value, quantileOf(cdf, 0.025, value * 0.8, value * 1.2)),
      high: Math.max(value, quantileOf(cdf, 0.975, value * 0.8, value * 1.2)),
    },
    standardUncertainty,
    method: 'fill at known flow',
    budget,
    assumptions,
    questions,
  };
}

/**
 * The zero of flow meters from their readings at rest: the root of the summed squares of their means.
 * @param log the log
 * @param names flow channels
 * @param from first row at rest
 * @param to last row at rest
 * @returns standard uncertainty of the summed zeros, in the unit of the channels
 * @throws ArgumentError where a channel is not in the log or has no good reading there
 */
export function flowZero(log: GaugeLog, names: readonly string[], from: number, to: number): number {
  let sum = 0;
  for (const name of names) {
    const channel = channelNamed(log, name);
    const rows = goodRows(channel, from, to);
    if (rows.length === 0) throw new ArgumentError(`flow channel "${name}"`, 'no good reading', 'readings at rest');
    let mean = 0;
    for (const row of rows) mean += channel.values[row] / rows.length;
    sum += mean * mean;
  }
  return Math.sqrt(sum);
}

/**
 * The volume from an expansion: gas from a known volume expands into the unknown one, V = V_k (p_k - p) / (p - p_0).
 * @param known the known volume, m3
 * @param filled pressure in it before, Pa
 * @param empty pressure in the unknown volume before, Pa
 * @param after pressure in both after, Pa, between the two
 * @returns the volume, m3, without the known one
 * @throws ArgumentError where a value is not finite or the pressures are not in order
 */
export function volumeFromExpansion(known: Measured, filled: Measured, empty: Measured, after: Measured): VolumeResult {
  requirePositive('known volume', known.value, 'm3');
  const fall = filled.value - after.value;
  const rise = after.value - empty.value;
  if (!(fall > 0 && rise > 0)) {
    throw new ArgumentError('pressure after the expansion', after.value, 'a value between the two pressures before it');
  }
  const value = (known.value * fall) / rise;
  const lines = [
    ofLine('known volume', known, 'm3', value / known.value),
    ofLine('pressure in the known volume', filled, 'Pa', known.value / rise),
    ofLine('pressure in the unknown volume', empty, 'Pa', value / rise),
    ofLine('pressure after', after, 'Pa', (known.value * (filled.value - empty.value)) / (rise * rise)),
  ];
  return volumeResult(value, lines, 'expansion', ['both volumes are at the same temperature before and after']);
}

/**
 * The volume from a reference leak: V = Q_ref / (rate with it - rate without it).
 * @param leak the reference leak, Pa m3/s, at the temperature of the chamber
 * @param withLeak rate of rise with it open, Pa/s
 * @param without rate of rise with it shut, Pa/s
 * @returns the volume, m3
 * @throws ArgumentError where the leak does not raise the rate
 */
export function volumeFromReferenceLeak(leak: Measured, withLeak: Measured, without: Measured): VolumeResult {
  const added = addedRate(leak, withLeak, without);
  const value = leak.value / added;
  const lines = [
    ofLine('reference leak', leak, 'Pa m3/s', 1 / added),
    ofLine('rate with it', withLeak, 'Pa/s', value / added),
    ofLine('rate without it', without, 'Pa/s', value / added),
  ];
  return volumeResult(value, lines, 'reference leak', ['the load of the chamber itself is the same in both tests']);
}

/**
 * The gas load by substitution, without any volume: Q = Q_ref x rate without / (rate with - rate without). The scale of
 * the gauge cancels.
 * @param leak the reference leak, Pa m3/s
 * @param withLeak rate of rise with it open, Pa/s
 * @param without rate of rise with it shut, Pa/s
 * @returns the gas load, Pa m3/s
 * @throws ArgumentError where the leak does not raise the rate
 */
export function substituteReferenceLeak(leak: Measured, withLeak: Measured, without: Measured): SubstitutionResult {
  const added = addedRate(leak, withLeak, without);
  const value = (leak.value * without.value) / added;
  const lines = [
    ofLine('reference leak', leak, 'Pa m3/s', without.value / added),
    ofLine('rate with it', withLeak, 'Pa/s', value / added),
    ofLine('rate without it', without, 'Pa/s', (leak.value * withLeak.value) / (added * added)),
  ];
  const { budget, standardUncertainty } = shared(lines);
  const assumptions = ['gauge, volume and the load of the chamber itself are the same in both tests'];
  return { gasLoad: estimate(value, standardUncertainty), standardUncertainty, budget, assumptions };
}

/**
 * A volume that somebody gives.
 * @param volume the volume with its uncertainty
 * @returns the same as a result
 */
export function givenVolume(volume: Quantity): VolumeResult {
  const line = ofLine('volume', { value: volume.si, standardUncertainty: volume.standardUncertainty }, 'm3', 1);
  const result = volumeResult(volume.si, [line], 'given', volume.assumptions);
  if (volume.uncertaintyRead !== 'none') return result;
  return {
    ...result,
    assumptions: [...result.assumptions, 'the volume was given without an uncertainty: taken as exact'],
  };
}

function addedRate(leak: Measured, withLeak: Measured, without: Measured): number {
  requirePositive('reference leak', leak.value, 'Pa m3/s');
  const added = withLeak.value - without.value;
  if (!(added > 0 && Number.isFinite(added))) {
    throw new ArgumentError(
      'rate with the reference leak',
      withLeak.value,
      `a rate above ${without.value} Pa/s without it`,
    );
  }
  return added;
}

function requirePositive(what: string, value: number, unit: string): void {
  if (!(value > 0 && Number.isFinite(value))) throw new ArgumentError(what, `${value} ${unit}`, `above 0 ${unit}`);
}

function part(
  name: string,
  value: number,
  unit: string,
  standardUncertainty: number,
  from: string,
  relativeTo = value,
): { readonly relative: number; readonly line: BudgetLine } {
  const line = { name, value, unit, standardUncertainty, contribution: 0, share: 0, from };
  return { relative: standardUncertainty / relativeTo, line };
}

function ofLine(name: string, measured: Measured, unit: string, sensitivity: number): BudgetLine {
  const { value, standardUncertainty } = measured;
  const contribution = Math.abs(sensitivity) * standardUncertainty;
  return { name, value, unit, standardUncertainty, contribution, share: 0, from: 'given' };
}

/** Shares of the variance and its root. */
function shared(lines: readonly BudgetLine[]): { budget: BudgetLine[]; standardUncertainty: number } {
  const variance = lines.reduce((sum, line) => sum + line.contribution ** 2, 0);
  const budget = lines.map((line) => ({ ...line, share: variance > 0 ? line.contribution ** 2 / variance : 0 }));
  return { budget, standardUncertainty: Math.sqrt(variance) };
}

function volumeResult(
  value: number,
  lines: readonly BudgetLine[],
  method: VolumeResult['method'],
  assumptions: readonly string[],
): VolumeResult {
  const { budget, standardUncertainty } = shared(lines);
  return {
    volume: estimate(value, standardUncertainty),
    standardUncertainty,
    method,
    budget,
    assumptions,
    questions: [],
  };
}
