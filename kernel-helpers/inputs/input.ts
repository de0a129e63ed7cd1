import { CellError } from '../../src/errors';
import { findRunningTslab, sendDisplay } from '../display';
import { attachedKernel, currentRun } from '../kernel';
import { type Control, controlFor, type Held } from './control';
import { LiveInputs } from './live-inputs';
import type { AnyInputOptions, Input, InputDefault } from './options';

let live: LiveInputs | null = null;

function ask(initial: InputDefault, options: AnyInputOptions = {}): unknown {
  const control = controlFor(initial, options);
  const run = currentRun();
  const attached = attachedKernel();
  if (!run || !attached) return standing(control);
  const name = run.inputs.shift();
  if (name === undefined) {
    const remedy = 'call it by its own name, as in: const volume = input(…)';
    throw new CellError(run.label, `input() must be the whole initialiser of a top-level const; ${remedy}`);
  }
  live ??= new LiveInputs(attached);
  return live.ask(name, control, JSON.stringify([initial, options]), run);
}

/** Where nothing follows, the default stands; a notebook shows it. */
function standing(control: Control): unknown {
  const words = control.words(control.initial);
  const text = control.label === null ? words : `${control.label}: ${words}`;
  if (findRunningTslab()) sendDisplay({ data: { 'text/plain': text }, metadata: {} });
  return control.read(control.initial as Held);
}

export const input = ask as Input;
