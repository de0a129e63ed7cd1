import type { Channel } from '../log/gauge-log';
import { conversionToSI, findUnit } from '../units';

/** Writes a pressure in Pa as a text with its unit. */
export type PressureText = (pa: number) => string;

/**
 * How pressures of a channel are told in texts: three digits in the log's own unit. In Pa where it has none, or one that
 * reads from the barometer, or a sensor's volts.
 * @param channel the pressure channel
 * @returns a function from Pa to a text such as `2.4 mbar`
 */
export function pressureText(channel: Pick<Channel, 'unit'>): PressureText {
  const unit = findUnit(channel.unit, 'pressure');
  const usable = unit !== undefined && unit.barometer === 'none' && (unit.choices ?? []).length === 0;
  const { scale, offset } = usable ? conversionToSI(unit) : { scale: 1, offset: 0 };
  const plain = !usable || offset !== 0 || !(scale > 0);
  const label = plain ? 'Pa' : unit.label;
  return (pa) => `${Number((plain ? pa : pa / scale).toPrecision(3))} ${label}`;
}
