import { ArgumentError } from '../errors';
import { type Quantity, quantity } from '../units';

/**
 * Reads a list of set points as people write it: `20 Torr; 500 mTorr; 200 mTorr`.
 * @param text pressures with their units, semicolons between them; empty for none
 * @returns the pressures, in their order
 * @throws QuantityError where one is no pressure; ArgumentError where one is not above zero
 */
export function readSetPoints(text: string): Quantity[] {
  const parts = text
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '');
  return parts.map((part) => {
    const read = quantity(part, 'pressure');
    if (!(read.si > 0)) throw new ArgumentError('set point', part, 'a pressure above zero');
    return read;
  });
}
