import { ArgumentError } from '../errors';
import { unitNamed } from './convert';
import type { Dimension } from './quantity';
import type { Unit } from './unit';

const LABELS: Readonly<Record<Dimension, readonly string[]>> = {
  pressure: [
    'Pa',
    'hPa',
    'kPa',
    'MPa',
    'mPa',
    'mbar',
    'ubar',
    'bar',
    'Torr',
    'mTorr',
    'mmHg',
    'um Hg',
    'inHg',
    'inHg (0 degC)',
    'inHg (60 degF)',
    'inH2O',
    'inH2O (4 degC)',
    'inH2O (60 degF)',
    'cmH2O',
    'mmH2O',
    'atm',
    'at',
    'psia',
    'psig',
    'barg',
    'kPa gauge',
    'mbar gauge',
    'inHg vac',
    'mmHg vac',
    'kPa vac',
    'mbar vac',
    '% vac',
  ],
  'pressure rate': [
    'Pa/s',
    'Pa/h',
    'mbar/s',
    'mbar/min',
    'mbar/h',
    'Torr/s',
    'Torr/min',
    'mTorr/s',
    'mTorr/min',
    'mTorr/h',
    'um Hg/h',
  ],
  throughput: ['Pa m3/s', 'mbar L/s', 'Torr L/s', 'mTorr L/s', 'atm cm3/s', 'lusec', 'um Hg ft3/h', 'Torr ft3/min'],
  'molar flow': [
    'mol/s',
    'umol/s',
    'mol/h',
    'sccm (0 degC)',
    'sccm (20 degC)',
    'sccm (25 degC)',
    'sccs (0 degC)',
    'slm (0 degC)',
    'slm (20 degC)',
    'Nm3/h (0 degC)',
    'scfm (60 degF)',
    'scfm (68 degF)',
  ],
  'mass flow': ['kg/s', 'kg/h', 'g/s', 'g/h', 'mg/s', 'g/yr', 'lb/h'],
  volume: ['m3', 'L', 'mL', 'cm3', 'mm3', 'ft3', 'in3', 'gal'],
  'pumping speed': ['m3/s', 'm3/h', 'L/s', 'L/min', 'cfm'],
  temperature: ['K', 'degC', 'degF', 'degR'],
  'temperature difference': ['K', 'degC', 'degF'],
  time: ['s', 'ms', 'min', 'h', 'd', 'week', 'yr'],
  length: ['m', 'cm', 'mm', 'um', 'nm', 'Angstrom', 'in', 'ft'],
  area: ['m2', 'cm2', 'mm2', 'in2', 'ft2'],
  'specific outgassing': ['Pa m/s', 'Pa m3/(s m2)', 'mbar L/(s cm2)', 'Torr L/(s cm2)'],
  voltage: ['V', 'mV'],
  current: ['A', 'mA', 'uA', 'nA', 'pA'],
  mass: ['kg', 'g', 'mg', 'lb'],
  amount: ['mol', 'mmol', 'umol'],
  'pressure volume': ['Pa m3', 'mbar L', 'Torr L', 'atm cm3'],
  viscosity: ['Pa s', 'uPa s', 'cP', 'uP'],
  'molar mass': ['kg/mol', 'g/mol'],
  number: ['%', 'ppm'],
};

/**
 * The units worth offering for a kind of quantity, the SI unit first.
 * @param dimension the kind
 * @returns the units, each with its canonical label
 * @throws ArgumentError for an unknown kind
 * @source our own choice
 */
export function listUnits(dimension: Dimension): Unit[] {
  return known(dimension).map((label) => ({ ...unitNamed(label === 'm' ? 'metre' : label, dimension), dimension }));
}

/**
 * The SI unit of a kind of quantity.
 * @param dimension the kind
 * @returns its label, such as `Pa m3/s`; empty for plain numbers
 * @throws ArgumentError for an unknown kind
 * @source Bureau International des Poids et Mesures: the SI
 */
export function siUnit(dimension: Dimension): string {
  return dimension === 'number' ? '' : known(dimension)[0];
}

function known(dimension: Dimension): readonly string[] {
  if (!Object.hasOwn(LABELS, dimension)) {
    throw new ArgumentError('kind of quantity', dimension, `one of ${Object.keys(LABELS).join(', ')}`);
  }
  return LABELS[dimension];
}
