/** The controls of a page's inputs. */
export interface Controls {
  /** The `input()` of a cell, for the const of this name: its value now. */
  input(name: string, cell: number): (first: unknown, options?: object) => unknown;
  /** Sets a window of time from outside, as by dragging over a chart. */
  setWindow(name: string, fromS: number, toS: number): void;
  /** All inputs back to their first values. */
  reset(): void;
}

export function controlsOf(_place: (cell: number) => HTMLElement, _changed: (name: string) => void): Controls {
  return { input: () => (first) => first, setWindow: () => {}, reset: () => {} };
}
