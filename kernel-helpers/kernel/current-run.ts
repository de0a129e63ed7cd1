import { AsyncLocalStorage } from 'node:async_hooks';
import type { Outlet } from './outlet';

/** A run of a cell, as what is called in it sees it, also later from its timers and promises. */
export interface CurrentRun {
  /** Id of the cell. */
  readonly cell: string;
  /** How errors call the cell. */
  readonly label: string;
  /** Where its outputs go. */
  readonly outlet: Outlet;
  /** Names of the inputs of the cell that have not been asked for yet, in their order. */
  readonly inputs: string[];
  /** Whether the front end can show controls. */
  readonly controls: boolean;
  /** True while a hand may be moving a control: what takes long and can be left out is left out. */
  readonly hasty: boolean;
  /** True once something that the cell uses has changed, or it has been run anew: what the run still does is dropped. */
  overtaken: boolean;
  /** Resolves when it is overtaken. */
  readonly onOvertaken: Promise<void>;
  /** The value of its last expression; absent where it has none. */
  last?: { readonly value: unknown };
}

const runs = new AsyncLocalStorage<CurrentRun>();

/** The run to which what is being executed belongs; undefined outside a reactive kernel. */
export function currentRun(): CurrentRun | undefined {
  return runs.getStore();
}

/** Calls a function as part of a run; so is everything that it leaves behind. */
export function asPartOf<T>(run: CurrentRun, call: () => T): T {
  return runs.run(run, call);
}

/** Makes the rest of what is being executed, and what it leaves behind, part of a run. */
export function enterRun(run: CurrentRun): void {
  runs.enterWith(run);
}
