import { ArgumentError } from '../../../src/errors';
import type { ReadOptions } from '../../../src/log';
import { type Notebook, type NotebookCell, withoutOutputs } from '../headless/notebook-file';
import { parameterNames, setParameters } from '../headless/parameters';
import { CHANNEL_INPUT, SHOWN_IN_INPUT, type Template, UNIT_INPUT } from './template-table';
import { writeAnswers } from './write-answers';

/** What a copy of a template is to be about. */
export interface Copy {
  /** Name of the template, and of the copy, both without `.ipynb`. */
  readonly from: string;
  readonly name: string;
  /** Paths of logs by the const that holds them, as they are to stand in the copy. */
  readonly logs: ReadonlyMap<string, string>;
  /** How the logs are to be read. */
  readonly answers: ReadOptions;
  /** Unit in which pressures are shown, where the template has that one. */
  readonly shownIn: string;
  /** Parameters that the person set. */
  readonly set: ReadonlyMap<string, string>;
}

/**
 * A template as a notebook about somebody's own log: its paths and what was answered stand in the cells, what belonged
 * to the demo is gone, and what nobody said is empty.
 * @param notebook the template
 * @param template what is to be done to it
 * @param copy what it is to be about
 * @returns the notebook, without outputs
 * @throws ArgumentError where a parameter is set that the template does not have
 */
export function copyTemplate(notebook: Notebook, template: Template, copy: Copy): Notebook {
  const { unit, channels, ...others } = copy.answers;
  const values = new Map(Object.entries(template.unknown));
  for (const name of template.logs) values.set(name, copy.logs.get(name) ?? '');
  if (unit !== undefined) values.set(UNIT_INPUT, unit);
  if (channels !== undefined) values.set(CHANNEL_INPUT, channels[0]);
  if (offers(notebook, SHOWN_IN_INPUT, copy.shownIn)) values.set(SHOWN_IN_INPUT, copy.shownIn);
  for (const [name, value] of copy.set) values.set(name, value);
  const filled = setParameters(withoutOutputs(notebook), values);
  const cells = filled.cells.map((cell) => {
    if (cell.cell_type === 'code') return { ...cell, source: writeAnswers(cell.source, others) };
    return { ...cell, source: namedAnew(aboutOwnLogs(cell, template, copy), copy) };
  });
  return { ...filled, cells };
}

/** Whether there is an input that can hold a unit: one of a list must be in the list. */
function offers({ cells }: Notebook, name: string, unit: string): boolean {
  const line = cells.flatMap(({ source }) => source.split('\n')).find((text) => text.startsWith(`const ${name} = `));
  if (line === undefined) return false;
  const choices = /choices: \[([^\]]*)\]/.exec(line)?.[1];
  return choices === undefined || choices.includes(`'${unit}'`);
}

/** Paragraphs about the demo go; the first of the notebook makes way for what this copy is about. */
function aboutOwnLogs(cell: NotebookCell, { demo }: Template, { from, logs }: Copy): string {
  const beginnings = demo[cell.id ?? ''];
  if (!beginnings) return cell.source;
  const isDemo = (paragraph: string): boolean => beginnings.some((beginning) => paragraph.startsWith(beginning));
  const paragraphs = cell.source.split('\n\n');
  const missing = beginnings.filter((beginning) => !paragraphs.some((paragraph) => paragraph.startsWith(beginning)));
  if (missing.length > 0) throw new ArgumentError(`template ${from}`, `no paragraph "${missing[0]}"`, 'the one it had');
  const files = [...logs.values()].map((path) => `\`${path}\``).join(', ');
  const about = `This copy of the template \`${from}\` is about ${files}. What is not known stands empty in *What is known*.`;
  return paragraphs
    .flatMap((paragraph) => (isDemo(paragraph) ? (cell.id === 'title' ? [about] : []) : [paragraph]))
    .join('\n\n');
}

/** Commands that name the notebook itself name the copy. */
function namedAnew(source: string, { from, name }: Copy): string {
  return source
    .split('\n')
    .map((line) => (line.includes('npx blankoff') ? line.replaceAll(`${from}.`, `${name}.`) : line))
    .join('\n');
}

/** The parameters of a template that a person may set. */
export function settable(notebook: Notebook, { logs }: Template): string[] {
  return parameterNames(notebook).filter((name) => !logs.includes(name));
}
