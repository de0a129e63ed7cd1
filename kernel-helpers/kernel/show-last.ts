import { displayBundle, sendDisplay } from '../display';

/**
 * Shows the value of a cell's last expression, as stock tslab prints it unless we have a richer form for it.
 * @returns false where it is left to be printed
 */
export function showLastValue(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  const bundle = displayBundle(value);
  if (Object.keys(bundle.data).length > 1) sendDisplay(bundle);
  else process.stdout.write(`${bundle.data['text/plain']}\n`);
  return true;
}
