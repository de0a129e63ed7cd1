import type { Held } from '../../inputs/control';

/**
 * Values of inputs from the part of an address behind `#`; what is not understood is left out.
 * @param hash such as `#volume=%228%20L%22`
 */
export function readAddress(hash: string): Map<string, Held> {
  const values = new Map<string, Held>();
  for (const [name, text] of new URLSearchParams(hash.replace(/^#/, ''))) {
    try {
      const value: unknown = JSON.parse(text);
      if (isHeld(value)) values.set(name, value);
    } catch {
      // Not ours.
    }
  }
  return values;
}

/**
 * Writes the values that were changed into the address, without a new step in the history.
 * @param values by name
 */
export function writeAddress(values: ReadonlyMap<string, Held>): void {
  const parts = new URLSearchParams();
  for (const [name, value] of values) parts.set(name, JSON.stringify(value));
  const text = parts.toString();
  history.replaceState(null, '', text === '' ? location.href.replace(/#.*$/s, '') : `#${text}`);
}

function isHeld(value: unknown): value is Held {
  if (Array.isArray(value)) return value.length === 2 && value.every((end) => typeof end === 'number');
  return ['number', 'string', 'boolean'].includes(typeof value);
}
