import type { AttachedKernel, CurrentRun } from '../kernel';
import type { Control, Held } from './control';
import { type Widget, Widgets } from './widget';

interface LiveInput {
  readonly control: Control;
  /** Default and options as they stand in the cell: edited, they count again. */
  readonly asked: string;
  held: Held;
  widget: Widget | null;
}

/** The inputs of a notebook that follows, by name. */
export class LiveInputs {
  readonly #kernel: AttachedKernel['kernel'];
  readonly #widgets: Widgets;
  readonly #inputs = new Map<string, LiveInput>();
  #lastMoved: LiveInput | null = null;
  /** What the kernel has to say where no cell can show it. */
  #note = '';

  constructor({ kernel, comms, onTellControls }: AttachedKernel) {
    this.#kernel = kernel;
    this.#widgets = new Widgets(comms);
    onTellControls((text) => {
      this.#note = text;
      this.#lastMoved?.widget?.say(text);
    });
  }

  /**
   * Shows the control of an input in the cell that runs.
   * @param name the const that it initialises
   * @param asked tells whether default or options were edited: if not, a moved value is kept
   * @returns its value now
   */
  ask(name: string, control: Control, asked: string, run: CurrentRun): unknown {
    let input = this.#inputs.get(name);
    if (input?.asked !== asked) {
      input?.widget?.close();
      input = { control, asked, held: control.initial, widget: null };
      this.#inputs.set(name, input);
    }
    this.#show(name, input, run);
    return input.control.read(input.held);
  }

  #show(name: string, input: LiveInput, run: CurrentRun): void {
    const { control } = input;
    const text = `${control.label ?? name}: ${control.words(input.held)}`;
    const data: Record<string, unknown> = { 'text/plain': text };
    if (run.controls) {
      input.widget ??= this.#widgets.open(name, control, input.held, (held) => this.#move(name, input, held));
      const view = { version_major: 2, version_minor: 0, model_id: input.widget.id };
      data['application/vnd.jupyter.widget-view+json'] = view;
    }
    run.outlet.display({ data, metadata: {}, transient: {} }, false);
  }

  #move(name: string, input: LiveInput, held: Held): Promise<void> {
    let value: unknown;
    this.#lastMoved = input;
    try {
      value = input.control.read(held);
    } catch (error) {
      input.widget?.say(`not taken: ${(error as Error).message}`);
      return Promise.resolve();
    }
    input.held = held;
    input.widget?.say(this.#note);
    return this.#kernel.move(name, value);
  }
}
