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
  return (...given) => recall(calls, given, () => compute(...given), most);
}

/** The result for what is given, from the calls remembered or made anew; that call comes to stand first. */
function recall<A, R>(calls: Remembered<A, R>[], given: A, compute: () => R, most: number): R {
  const place = calls.findIndex((call) => sameContent(call.given, given));
  const call = place < 0 ? { given, result: compute() } : calls.splice(place, 1)[0];
  calls.unshift(call);
  if (calls.length > most) calls.pop();
  return call.result;
}

/**
 * Like {@link remembering}, for what is asked about one large thing, such as a log: what was found out about it is let go
 * together with it, and is not used any more once its content has changed.
 * @param compute the function; pure
 * @param mark tells the content that the thing has now
 * @param most calls that are remembered for each thing, >= 1
 * @returns the same function, quicker where it was asked before
 */
export function rememberingAbout<T extends object, A extends readonly unknown[], R>(
  compute: (about: T, ...given: A) => R,
  mark: (about: T) => string,
  most: number,
): (about: T, ...given: A) => R {
  const known = new WeakMap<T, { readonly mark: string; readonly calls: Remembered<A, R>[] }>();
  return (about, ...given) => {
    const now = mark(about);
    const before = known.get(about);
    const calls = before?.mark === now ? before.calls : [];
    if (calls !== before?.calls) known.set(about, { mark: now, calls });
    return recall(calls, given, () => compute(about, ...given), most);
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
