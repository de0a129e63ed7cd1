import { attachedKernel } from './attach';

/**
 * Switches following on or off for the whole notebook: after `reactive(false)` each cell runs only when a person runs it.
 * @param on whether cells follow; without it nothing is changed
 * @returns whether cells follow now; false in a kernel in which they cannot
 */
export function reactive(on?: boolean): boolean {
  const kernel = attachedKernel()?.kernel;
  if (!kernel) return false;
  if (on !== undefined) kernel.setReactive(on);
  return kernel.reactive;
}
