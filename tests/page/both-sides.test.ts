import { describe, expect, it } from 'vitest';
import * as kernelSide from '../../kernel-helpers/notebook';
import type { NotebookDoor } from '../../kernel-helpers/notebook-door';
import { lackingOnPages } from '../../kernel-helpers/page/lacking';
import { BROWSER_NAMES } from '../../kernel-helpers/page/page-content';
import * as core from '../../src/index';

/** Does not compile where the kernel's side keeps not to the door; the page's side is typed by it. */
const door: NotebookDoor = kernelSide;

/** Does not compile where the page names less than the door has. */
const allOfDoor: Record<Exclude<keyof NotebookDoor, (typeof BROWSER_NAMES)[number]>, never> = {};

describe('the door of a notebook', () => {
  it('is offered by both sides, name by name', () => {
    expect(Object.keys(allOfDoor)).toEqual([]);
    for (const name of BROWSER_NAMES) expect(typeof door[name], name).toBe('function');
  });

  it('lacks on pages only what needs danfo or Jupyter, so that a new name is thought of', () => {
    const own = Object.keys(kernelSide).filter((name) => !(name in core));
    const lacking = [...lackingOnPages()].sort();
    expect(own.length).toBe(lacking.length + BROWSER_NAMES.length);
    expect(lacking).toEqual([
      'VEGA_LITE_MIME',
      'controlFor',
      'displayBundle',
      'findRunningTslab',
      'fromDataFrame',
      'sendDisplay',
      'setDisplaySink',
      'toDataFrame',
    ]);
  });
});
