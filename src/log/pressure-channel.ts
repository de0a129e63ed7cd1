import { ArgumentError } from '../errors';
import type { Channel, GaugeLog } from './gauge-log';

/**
 * The pressure channel of a name.
 * @param log a log
 * @param name its header
 * @throws ArgumentError with the pressure channels that there are
 */
export function pressureChannel(log: GaugeLog, name: string): Channel {
  const channel = log.channels.find((c) => c.name === name && c.quantity === 'pressure');
  if (channel) return channel;
  const names = log.channels.filter((c) => c.quantity === 'pressure').map((c) => `"${c.name}"`);
  throw new ArgumentError(
    'pressure channel',
    name,
    names.length > 0 ? `one of ${names.join(', ')}` : 'a log with a pressure',
  );
}
