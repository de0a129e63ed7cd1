import { unitNamed } from './convert';
import { absoluteLabel } from './find-unit';
import type { Unit } from './unit';

/**
 * The unit in which a result is shown. Results hold absolute pressures and throughputs: a unit that reads from the
 * barometer gives way to its absolute form (`psig` to `psia`, `inHg vac` to `inHg`), and a standard flow (`sccm`) is that
 * of gas at 20 degC.
 * @param label the unit wanted, or that of a log
 * @returns the unit, which needs no barometer
 * @throws QuantityError where the unit is unknown
 * @source the table of units: NIST SP 811
 */
export function shownUnit(label: string): Unit {
  const unit = unitNamed(label);
  if (unit.dimension === 'molar flow') return unitNamed(label, 'throughput');
  if (unit.barometer === 'none') return unit;
  return unitNamed(unit.label === '% vac' ? 'mbar' : absoluteLabel(unit.label), 'pressure');
}
