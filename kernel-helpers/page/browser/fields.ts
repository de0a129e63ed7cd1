import type { Control, Held } from '../../inputs/control';

/** The elements of one input. */
export interface Fields {
  readonly element: HTMLElement;
  /** Shows a value in the elements. */
  show(held: Held): void;
  /** Says the value in words, and that nothing is wrong. */
  words(text: string): void;
  /** Says why a value was not taken; the last good one stays in force. */
  refuse(text: string): void;
}

/**
 * The elements of an input, made once: plain HTML controls with their label, their unit and a line of words.
 * @param name the const that it initialises
 * @param control what it is
 * @param moved told what the elements hold, at each move
 */
export function fieldsFor(name: string, control: Control, moved: (held: Held) => void): Fields {
  const element = make('div', { className: 'control' });
  const words = make('output', { className: 'hint' });
  const wrong = make('p', { className: 'wrong' });
  wrong.setAttribute('role', 'alert');
  wrong.hidden = true;
  const { parts, show } = partsFor(name, control, moved);
  element.append(...parts, words, wrong);
  return {
    element,
    show,
    words: (text) => {
      words.textContent = text === written(element) ? '' : text;
      wrong.hidden = true;
    },
    refuse: (text) => {
      wrong.textContent = `not taken: ${text}`;
      wrong.hidden = false;
    },
  };
}

/** What a list or a field of text already says in words. */
function written(element: HTMLElement): string | undefined {
  const field = element.querySelector<HTMLSelectElement | HTMLInputElement>('select, input[type="text"]');
  return field instanceof HTMLSelectElement ? field.selectedOptions[0]?.text : field?.value;
}

interface Parts {
  readonly parts: readonly HTMLElement[];
  readonly show: (held: Held) => void;
}

function partsFor(name: string, control: Control, moved: (held: Held) => void): Parts {
  const { shape } = control;
  const label = `${control.label ?? name}${control.unit ? ` / ${control.unit}` : ''}`;
  const id = `input-${name}`;
  if (shape.kind === 'choice') {
    const select = make('select', { id });
    for (const [i, choice] of shape.choices.entries())
      select.append(make('option', { value: String(i), textContent: choice }));
    select.addEventListener('change', () => moved(Number(select.value)));
    return labelled(label, id, select, (held) => {
      select.value = String(held);
    });
  }
  if (shape.kind === 'tick') {
    const tick = make('input', { id, type: 'checkbox' });
    tick.addEventListener('change', () => moved(tick.checked));
    return labelled(label, id, tick, (held) => {
      tick.checked = held === true;
    });
  }
  if (shape.kind === 'text') {
    const text = make('input', { id, type: 'text', autocomplete: 'off', spellcheck: false });
    text.addEventListener('input', () => moved(text.value));
    return labelled(control.label ?? name, id, text, (held) => {
      text.value = String(held);
      text.size = Math.min(48, Math.max(18, text.value.length + 2));
    });
  }
  if (shape.kind === 'field') {
    const number = make('input', { id, type: 'number', step: shape.step === null ? 'any' : String(shape.step) });
    number.addEventListener('input', () => moved(number.valueAsNumber));
    return labelled(label, id, number, (held) => {
      number.value = String(held);
    });
  }
  if (shape.kind === 'slider') {
    const to = shape.log ? (value: number): number => Math.log10(value) : (value: number): number => value;
    const from = shape.log ? (value: number): number => 10 ** value : (value: number): number => value;
    const slider = make('input', { id, type: 'range' });
    [slider.min, slider.max, slider.step] = [to(shape.min), to(shape.max), shape.step].map(String);
    // A slider that rounds to its steps would move a first value that lies between two of them.
    if (!shape.log) slider.step = 'any';
    slider.addEventListener('input', () => {
      const value = from(slider.valueAsNumber);
      moved(shape.log ? Number(value.toPrecision(6)) : toStep(value, shape.min, shape.max, shape.step));
    });
    slider.addEventListener('keydown', (event) => stepByKey(event, slider, shape.step));
    return labelled(label, id, slider, (held) => {
      slider.value = String(to(Number(held)));
    });
  }
  return windowParts(id, label, shape, moved);
}

/** With steps of any size the arrow keys of a slider do nothing useful; they shall move by the input's own step. */
function stepByKey(event: KeyboardEvent, slider: HTMLInputElement, step: number): void {
  const sign = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
  if (sign === undefined) return;
  event.preventDefault();
  slider.value = String(slider.valueAsNumber + sign * step);
  slider.dispatchEvent(new Event('input'));
}

function toStep(value: number, min: number, max: number, step: number): number {
  const stepped = min + Math.round((value - min) / step) * step;
  return Number(Math.min(max, Math.max(min, stepped)).toPrecision(12));
}

function windowParts(
  id: string,
  label: string,
  shape: { readonly min: number; readonly max: number; readonly step: number },
  moved: (held: Held) => void,
): Parts {
  const group = make('fieldset', {});
  group.append(make('legend', { textContent: label }));
  const row = make('div', { className: 'row' });
  const ends = (['from', 'to'] as const).map((end) => {
    const number = make('input', { id: `${id}-${end}`, type: 'number', step: 'any' });
    [number.min, number.max] = [String(shape.min), String(shape.max)];
    const words = make('label', { textContent: end });
    words.htmlFor = number.id;
    row.append(words, number);
    number.addEventListener('input', () => moved([ends[0].valueAsNumber, ends[1].valueAsNumber]));
    return number;
  });
  group.append(row);
  return {
    parts: [group],
    show: (held) => {
      const [from, to] = held as readonly [number, number];
      [ends[0].value, ends[1].value] = [String(Number(from.toPrecision(7))), String(Number(to.toPrecision(7)))];
    },
  };
}

function labelled(text: string, id: string, field: HTMLElement, show: (held: Held) => void): Parts {
  const label = make('label', { textContent: text });
  label.htmlFor = id;
  return { parts: [label, field], show };
}

function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  properties: Partial<HTMLElementTagNameMap[K]>,
): HTMLElementTagNameMap[K] {
  return Object.assign(document.createElement(tag), properties);
}
