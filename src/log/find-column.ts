import { ArgumentError } from '../errors';

/**
 * Finds a column or channel by what a person calls it: its name, the name without its unit, or a part of it, in that
 * order and whatever the case.
 * @param named things with names
 * @param wanted what the person wrote
 * @param what kind of thing, for the message
 * @returns the one that fits
 * @throws ArgumentError where none or several fit
 */
export function findNamed<T extends { readonly name: string }>(named: readonly T[], wanted: string, what: string): T {
  const low = wanted.trim().toLowerCase();
  const exact = named.find(({ name }) => name === wanted) ?? named.find(({ name }) => name.toLowerCase() === low);
  if (exact) return exact;
  const bare = named.filter(({ name }) => withoutUnit(name) === low);
  if (bare.length === 1) return bare[0];
  const parts = low === '' ? [] : named.filter(({ name }) => name.toLowerCase().includes(low));
  if (parts.length === 1) return parts[0];
  const names = (parts.length > 0 ? parts : named).map(({ name }) => name).join(', ');
  const list = names.length > 300 ? `${names.slice(0, 300)} ...` : names;
  throw new ArgumentError(what, wanted, parts.length > 0 ? `one that fits only one of ${list}` : `one of ${list}`);
}

function withoutUnit(name: string): string {
  return name
    .replace(/[[({/,].*$/, '')
    .trim()
    .toLowerCase();
}
