import * as core from '../../src/index';
import * as kernelSide from '../notebook';
import { BROWSER_NAMES } from './page-content';

/** The names of `blankoff/notebook` that a browser cannot offer: all that is neither the core's nor the page's own. */
export function lackingOnPages(): ReadonlySet<string> {
  const offered = new Set<string>([...Object.keys(core), ...BROWSER_NAMES]);
  return new Set(Object.keys(kernelSide).filter((name) => !offered.has(name)));
}
