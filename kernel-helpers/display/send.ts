import type { MimeBundle } from './mime';

/** A display as it goes to the kernel. */
export interface DisplayMessage extends MimeBundle {
  /** The id under which it can be replaced later; empty where it need not be. */
  readonly transient: { readonly display_id?: string };
}

/** Takes a display, or the replacement of an earlier one with the same id. */
export type DisplaySink = (message: DisplayMessage, update: boolean) => void;

let ownSink: DisplaySink | null = null;

/**
 * Sends all displays elsewhere (a test, a page) until it is called with null.
 * @returns the sink that was set before
 */
export function setDisplaySink(sink: DisplaySink | null): DisplaySink | null {
  const before = ownSink;
  ownSink = sink;
  return before;
}

/** The module of the tslab that is running: a fresh `require` might load a second copy, which is not connected. */
interface RunningTslab {
  lastWriteDisplayData: DisplaySink | null;
}

/** Finds the running tslab's own module among those loaded; null outside tslab. */
export function findRunningTslab(): RunningTslab | null {
  for (const [path, module] of Object.entries(require.cache)) {
    if (!/[\\/]tslab[\\/]dist[\\/]jupyter\.js$/.test(path)) continue;
    const found = module?.exports as Partial<RunningTslab> | undefined;
    if (typeof found?.lastWriteDisplayData === 'function') return found as RunningTslab;
  }
  return null;
}

/** Outside a notebook, what is shown is printed. */
function print(message: DisplayMessage): void {
  console.log(String(message.data['text/plain'] ?? ''));
}

/**
 * Sends a display to the cell that is running; outside a notebook its text is printed.
 * @param id the id under which it can be replaced
 * @param update true where it replaces the display with this id
 */
export function sendDisplay(bundle: MimeBundle, id?: string, update = false): void {
  const message: DisplayMessage = { ...bundle, transient: id === undefined ? {} : { display_id: id } };
  // Looked up at each call: tslab puts another function there for every cell.
  const tslab = ownSink === null ? findRunningTslab() : null;
  const sink = ownSink ?? tslab?.lastWriteDisplayData ?? print;
  sink(message, update);
}
