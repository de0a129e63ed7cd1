import type { Comm, Comms } from '../kernel/comms';
import type { Control, ControlShape, Held } from './control';

/** A control in JupyterLab. */
export interface Widget {
  /** Id by which the front end finds it. */
  readonly id: string;
  /** Says something beside the control; an empty text takes it away. */
  say(text: string): void;
  close(): void;
}

type State = Record<string, unknown>;

/** An open model with its state, which a page that is loaded anew asks for. */
interface Model {
  readonly comm: Comm;
  readonly state: State;
}

const protocol = { version: '2.1.0' };
const width = '48em';

/** The controls of a kernel: standard Jupyter widgets, opened and kept in step over comms. */
export class Widgets {
  readonly #comms: Comms;
  readonly #models = new Map<string, Model>();
  #look: { layout: string; style: string } | null = null;

  constructor(comms: Comms) {
    this.#comms = comms;
    comms.register('jupyter.widget.control', (comm) => (data) => {
      if (data.method === 'request_states')
        comm.send({ method: 'update_states', states: this.#states(), buffer_paths: [] });
    });
  }

  /**
   * Opens a control.
   * @param name what stands beside it where it has no label
   * @param held what it holds now
   * @param onMove is told what a person sets; resolves when all that follows has been done
   */
  open(name: string, control: Control, held: Held, onMove: (held: Held) => Promise<void>): Widget {
    this.#look ??= {
      layout: this.#model(base('Layout', { width })).comm.id,
      style: this.#model(controls('DescriptionStyle', { description_width: '25em' }, false)).comm.id,
    };
    const look = { layout: reference(this.#look.layout), style: reference(this.#look.style) };
    const label = `${control.label ?? name}${control.unit && control.shape.kind !== 'text' ? `, ${control.unit}` : ''}`;
    const state = { ...stateOf(control.shape, held), description: label, ...look };
    const [type, key] = typeOf(control.shape);
    const main = this.#model(controls(type, state), (update) => {
      const moved = update[key];
      return moved === undefined ? undefined : onMove(fromFrontEnd(moved, control.shape));
    });
    const words = this.#model(controls('Label', { value: '', layout: look.layout }));
    const alone = [reference(main.comm.id)];
    const box = this.#model(controls('VBox', { children: alone, layout: null }));
    return {
      id: box.comm.id,
      say: (text) => {
        this.#update(words, { value: text });
        this.#update(box, { children: text === '' ? alone : [...alone, reference(words.comm.id)] });
      },
      close: () => {
        for (const model of [box, words, main]) {
          this.#models.delete(model.comm.id);
          model.comm.close();
        }
      },
    };
  }

  #model(state: State, onUpdate: (update: State) => Promise<void> | undefined = () => undefined): Model {
    const comm = this.#comms.open('jupyter.widget', { state, buffer_paths: [] }, protocol, (data) => {
      if (data.method === 'request_state') comm.send({ method: 'update', state, buffer_paths: [] });
      if (data.method !== 'update') return;
      const update = (data.state ?? {}) as State;
      Object.assign(state, update);
      return onUpdate(update);
    });
    const model = { comm, state };
    this.#models.set(comm.id, model);
    return model;
  }

  #update(model: Model, change: State): void {
    if (Object.entries(change).every(([key, value]) => String(model.state[key]) === String(value))) return;
    Object.assign(model.state, change);
    model.comm.send({ method: 'update', state: change, buffer_paths: [] });
  }

  #states(): State {
    const entries = [...this.#models.values()].map(({ comm, state }) => [
      comm.id,
      {
        model_name: state._model_name,
        model_module: state._model_module,
        model_module_version: state._model_module_version,
        state,
      },
    ]);
    return Object.fromEntries(entries);
  }
}

function reference(id: string): string {
  return `IPY_MODEL_${id}`;
}

function base(name: string, state: State): State {
  const module = {
    _model_module: '@jupyter-widgets/base',
    _model_module_version: '2.0.0',
    _model_name: `${name}Model`,
  };
  const view = { _view_module: '@jupyter-widgets/base', _view_module_version: '2.0.0', _view_name: `${name}View` };
  return { ...module, ...view, ...state };
}

function controls(name: string, state: State, hasView = true): State {
  const module = '@jupyter-widgets/controls';
  return {
    _model_module: module,
    _model_module_version: '2.0.0',
    _model_name: `${name}Model`,
    _view_module: hasView ? module : '@jupyter-widgets/base',
    _view_module_version: '2.0.0',
    _view_name: hasView ? `${name}View` : 'StyleView',
    ...state,
  };
}

/** The widget of a shape, and the part of its state that a person sets. */
function typeOf(shape: ControlShape): [string, string] {
  switch (shape.kind) {
    case 'field':
      return ['FloatText', 'value'];
    case 'slider':
      return [shape.log ? 'FloatLogSlider' : 'FloatSlider', 'value'];
    case 'choice':
      return ['Dropdown', 'index'];
    case 'tick':
      return ['Checkbox', 'value'];
    case 'text':
      return ['Text', 'value'];
    case 'window':
      return ['FloatRangeSlider', 'value'];
  }
}

function stateOf(shape: ControlShape, held: Held): State {
  switch (shape.kind) {
    case 'field':
      return { value: held, step: shape.step, continuous_update: false };
    case 'slider': {
      const { log, step } = shape;
      const [min, max] = log ? [Math.log10(shape.min), Math.log10(shape.max)] : [shape.min, shape.max];
      return {
        value: held,
        min,
        max,
        step,
        readout: true,
        readout_format: log ? '.3g' : '.6~g',
        ...(log && { base: 10 }),
      };
    }
    case 'choice':
      return { index: held, _options_labels: shape.choices };
    case 'tick':
      return { value: held, indent: true };
    case 'text':
      return { value: held, continuous_update: false };
    case 'window': {
      const { min, max, step } = shape;
      return { value: held, min, max, step, readout: true, readout_format: '.6~g' };
    }
  }
}

function fromFrontEnd(value: unknown, shape: ControlShape): Held {
  // A slider steps in its own fractions; what it shows is meant.
  if (shape.kind === 'slider') return Number(Number(value).toPrecision(12));
  return value as Held;
}
