/** What one call was asked and gave. */
interface Remembered<A, R> {
  readonly given: A;
  readonly result: R;
}

/**
 * A function that remembers its last calls and gives the same result again for arguments of the same content. For a pure
 * function that takes long and is asked again with the same numbers, as when one input of a notebook is moved and only
 * a factor changes. Neither arguments nor results may be changed afterwards by anyone.
 * @param compute the function; pure
 * @param most calls that are remembered, >= 1; the one used least recently goes first
 * @returns the same function, quicker where it was asked before
 */
export function remembering<A extends readonly unknown[], R>(
  compute: (...given: A) => R,
  most: number,
): (...given: A) => R {
  const calls: Remembered<A, R>[] = [];
  return (...given) => {
    const place = calls.findIndex((call) => sameContent(call.given, given));
    const call = place < 0 ? { given, result: compute(...given) } : calls.splice(place, 1)[0];
    calls.unshift(call);
    if (calls.length > most) calls.pop();
    return call.result;
  };
}

/**
 * Whether two values have the same content: numbers bit by bit (no tolerance), arrays and plain records part by part,
 * anything else by identity.
 * @param a one value
 * @param b the other
 * @returns true where it is the same
 */
export function sameContent(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) || ArrayBuffer.isView(a)) return sameElements(a, b);
  if (!isPlain(a) || !isPlain(b)) return false;
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length && keys.every((key) => Object.hasOwn(b, key) && sameContent(a[key], b[key]))
  );
}

function sameElements(a: object, b: object): boolean {
  if (Object.getPrototypeOf(a) !== Object.getPrototypeOf(b)) return false;
  const [one, other] = [a as ArrayLike<unknown>, b as ArrayLike<unknown>];
  if (one.length !== other.length) return false;
  for (let i = 0; i < one.length; i++) if (!sameContent(one[i], other[i])) return false;
  return true;
}

function isPlain(value: object): value is Record<string, unknown> {
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === Object.prototype || prototype === null;
}
