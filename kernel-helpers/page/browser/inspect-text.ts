/** Longest text of a value that has no form of its own. */
const MOST_LETTERS = 4000;

/**
 * A value that the kit has no form for, as text.
 * @param thing anything
 */
export function inspectText(thing: unknown): string {
  if (typeof thing === 'string') return thing;
  if (thing instanceof Error) return `${thing.name}: ${thing.message}`;
  const seen = new Set<unknown>();
  const plain = (_: string, value: unknown): unknown => {
    if (typeof value === 'function') return `[function ${value.name}]`;
    if (typeof value === 'bigint') return `${value}n`;
    if (ArrayBuffer.isView(value)) {
      const list = Array.from(value as unknown as ArrayLike<number>);
      return list.length > 20 ? [...list.slice(0, 20), `... ${list.length - 20} more`] : list;
    }
    if (typeof value === 'object' && value !== null) {
      if (seen.has(value)) return '[seen above]';
      seen.add(value);
    }
    return value;
  };
  const text = JSON.stringify(thing, plain, 2) ?? String(thing);
  return text.length > MOST_LETTERS ? `${text.slice(0, MOST_LETTERS)}...` : text;
}
