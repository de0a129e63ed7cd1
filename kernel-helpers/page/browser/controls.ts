import { type Control, controlFor, type Held } from '../../inputs/control';
import type { AnyInputOptions, InputDefault } from '../../inputs/options';
import { readAddress, writeAddress } from './address';
import { type Fields, fieldsFor } from './fields';

/** The controls of a page's inputs. */
export interface Controls {
  /** The `input()` of a cell, for the const of this name: shows its control and gives its value now. */
  input(name: string, cell: number): (first: InputDefault, options?: AnyInputOptions) => unknown;
  /** Sets a window of time from outside, as by dragging over a chart. */
  setWindow(name: string, fromS: number, toS: number): void;
  /** All inputs back to their first values. */
  reset(): void;
}

interface LiveControl {
  readonly control: Control;
  readonly fields: Fields;
  held: Held;
  /** What `held` means, kept so that an input that was not moved gives the very same value again. */
  value?: { readonly of: Held; readonly read: unknown };
}

/**
 * The inputs of a page: each control is made once and never redrawn under the hand; values that were changed stand in
 * the address.
 * @param place where a cell's controls go
 * @param changed told of each name whose value has changed
 */
export function controlsOf(place: (cell: number) => HTMLElement, changed: (name: string) => void): Controls {
  const live = new Map<string, LiveControl>();
  const fromAddress = readAddress(location.hash);

  const isFirst = ({ control, held }: LiveControl): boolean => JSON.stringify(held) === JSON.stringify(control.initial);
  const remember = (): void => {
    const moved = [...live].filter(([, one]) => !isFirst(one));
    writeAddress(new Map(moved.map(([name, one]) => [name, one.held])));
  };
  const take = (name: string, held: Held): void => {
    const one = live.get(name);
    if (!one) return;
    try {
      one.fields.words(one.control.words(held));
    } catch (error) {
      one.fields.refuse((error as Error).message);
      return;
    }
    one.held = held;
    remember();
    changed(name);
  };
  const make = (name: string, cell: number, control: Control): LiveControl => {
    const fields = fieldsFor(name, control, (held) => take(name, held));
    place(cell).append(fields.element);
    const one: LiveControl = { control, fields, held: control.initial };
    live.set(name, one);
    const wanted = fromAddress.get(name);
    let refused = '';
    if (wanted !== undefined) {
      try {
        control.read(wanted);
        one.held = wanted;
      } catch (error) {
        // An address from a stranger or of an older page: the first value stands.
        refused = `what the address of this page says: ${(error as Error).message}`.slice(0, 300);
      }
    }
    fields.show(one.held);
    fields.words(control.words(one.held));
    if (refused !== '') fields.refuse(refused);
    return one;
  };
  return {
    input: (name, cell) => (first, options) => {
      const one = live.get(name) ?? make(name, cell, controlFor(first, options));
      if (one.value?.of !== one.held) one.value = { of: one.held, read: one.control.read(one.held) };
      return one.value?.read;
    },
    setWindow: (name, fromS, toS) => {
      const one = live.get(name);
      if (one?.control.shape.kind !== 'window') return;
      const { min, max } = one.control.shape;
      const window = [Math.max(min, fromS), Math.min(max, toS)] as const;
      if (!(window[1] > window[0])) return;
      one.fields.show(window);
      take(name, window);
    },
    reset: () => {
      for (const [name, one] of live) {
        if (isFirst(one)) continue;
        one.fields.show(one.control.initial);
        take(name, one.control.initial);
      }
    },
  };
}
