import { displayBundle, type MimeBundle } from '../display';

export { withPicture } from '../display/show';

/** The forms in which the value of a cell's last expression is shown; a text alone where we have none of our own. */
export function lastValueBundle(value: unknown): MimeBundle {
  return typeof value === 'string' ? { data: { 'text/plain': value }, metadata: {} } : displayBundle(value);
}
