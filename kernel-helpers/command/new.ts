import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { ArgumentError, BlankoffError, type Question, QuestionError } from '../../src/errors';
import { type GaugeLog, questionsFirst, type ReadOptions } from '../../src/log';
import { chooseChannel } from '../../src/segments';
import { packageFolder } from '../crate/case-layout';
import { readLogFile } from '../files/read-log-file';
import { analyseOptions, readingOptions } from './analyse';
import { askOnStderr } from './ask';
import { notebookText, readNotebook } from './headless/notebook-file';
import { copyTemplate, settable } from './new/copy-template';
import { TEMPLATES, type Template } from './new/template-table';
import { type OptionSpec, printedHelp, readOptions } from './options';
import { settings } from './settings';

const usage = 'blankoff new NAME --log FILE [--from TEMPLATE] [options]';
const about =
  'Makes NAME.ipynb of a template, ready to run on your own log. What has to be\n' +
  'known to read the log is asked (exit code 2) and written into the notebook; a\n' +
  'file that is there is not overwritten. The notebook must lie in a folder, or\n' +
  'below one, in which blankoff is installed (npm install): there its import works.';

/** The options that say how a log is read; the same as of `analyse`. */
const READING = [
  'channel',
  'unit',
  'date-order',
  'time-unit',
  'time-column',
  'step',
  'barometer',
  'barometer-column',
  'law',
  'decimal-mark',
  'sheet',
] as const;

const newOptions: Readonly<Record<string, OptionSpec>> = {
  log: {
    value: 'FILE',
    multiple: true,
    help: 'your log; a template of several takes them in its order, or by name: "fileAfter=late.csv"',
  },
  from: { value: 'TEMPLATE', help: `${Object.keys(TEMPLATES).join(', ')}; the first where absent` },
  set: { value: 'NAME=VALUE', multiple: true, help: 'what you know: volume="8 L"' },
  ...Object.fromEntries(READING.map((name) => [name, analyseOptions[name]])),
  help: { short: 'h', help: 'this text' },
};

/**
 * `blankoff new`: a notebook of one's own, made of a template.
 * @param args what stands after `new` on the command line
 * @returns the exit code: 0, or 2 where a question about the log must be answered first
 * @throws ArgumentError where the call is not understood, the file is there already, or its place cannot import the kit;
 *   LogError where the log cannot be read
 */
export async function newCommand(args: readonly string[]): Promise<number> {
  const given = readOptions('new', args, newOptions);
  if (printedHelp(given, usage, about, newOptions)) return 0;
  if (given.operands.length !== 1) {
    throw new ArgumentError('new', given.operands.join(' ') || 'no name', `one name: ${usage}`);
  }
  const path = resolve(given.operands[0].replace(/(?:\.ipynb)?$/, '.ipynb'));
  const from = (given.text('from') ?? Object.keys(TEMPLATES)[0]).replace(/\.ipynb$/, '');
  const template = templateNamed(from);
  const files = logsByConst(given.texts('log'), template);
  checkPlace(path);
  const reading = readingOptions(given);
  const logs: GaugeLog[] = [];
  for (const file of files.values()) {
    const log = await readLogFile(file, reading);
    const questions = openQuestions(log, given.text('channel'));
    if (questions.length > 0) {
      askOnStderr(log.file, questions);
      return 2;
    }
    logs.push(log);
  }
  const notebook = readNotebook(join(packageFolder(), 'notebooks', `${from}.ipynb`));
  const set = settings(given.texts('set'));
  const known = settable(notebook, template);
  for (const name of set.keys())
    if (!known.includes(name)) throw new ArgumentError('--set', name, `one of ${known.join(', ')}`);
  const folder = dirname(path);
  const there = [...files].map(([name, file]) => [name, relative(folder, resolve(file)).split(sep).join('/')] as const);
  const name = basename(path, '.ipynb');
  const answers = answersGiven(reading);
  const copy = copyTemplate(notebook, template, {
    from,
    name,
    logs: new Map(there),
    answers,
    shownIn: logs[0].channels.find((channel) => channel.quantity === 'pressure')?.unit ?? '',
    set,
  });
  mkdirSync(folder, { recursive: true });
  writeFileSync(path, notebookText(copy), { flag: 'wx' });
  const place = relative(process.cwd(), path);
  process.stdout.write(
    `${place}: a copy of ${from} about ${[...files.values()].join(', ')}\n` +
      `open it in JupyterLab, or: npx blankoff run ${place} -o ${name}-run.ipynb\n` +
      'keep it in a folder, or below one, in which blankoff is installed, and its log where it is: the path is relative\n',
  );
  return 0;
}

function templateNamed(name: string): Template {
  if (Object.hasOwn(TEMPLATES, name)) return TEMPLATES[name];
  const all = readdirSync(join(packageFolder(), 'notebooks')).includes(`${name}.ipynb`);
  const why = all ? 'a template that takes a log' : 'a template';
  throw new ArgumentError('--from', name, `${why}: ${Object.keys(TEMPLATES).join(', ')}`);
}

/** `FILE` goes to the next const that has none yet, `NAME=FILE` to that one. */
function logsByConst(texts: readonly string[], { logs }: Template): Map<string, string> {
  const found = new Map<string, string>();
  const bare: string[] = [];
  for (const text of texts) {
    const name = logs.find((one) => text.startsWith(`${one}=`));
    if (name) found.set(name, text.slice(name.length + 1));
    else bare.push(text);
  }
  const free = logs.filter((name) => !found.has(name));
  bare.forEach((file, i) => {
    if (free[i] === undefined) throw new ArgumentError('--log', file, `no more than ${logs.length} for this template`);
    found.set(free[i], file);
  });
  const needed = logs.length > 2 ? 1 : logs.length;
  if (found.size < needed) {
    throw new ArgumentError(
      '--log',
      `${found.size} given`,
      `${needed} for this template: ${logs.slice(0, needed).join(', ')}`,
    );
  }
  return new Map(logs.flatMap((name) => (found.has(name) ? [[name, found.get(name) as string] as const] : [])));
}

function checkPlace(path: string): void {
  if (existsSync(path)) throw new ArgumentError('new', basename(path), 'a name that is free: nothing is overwritten');
  try {
    createRequire(path).resolve('blankoff/notebook');
  } catch {
    throw new BlankoffError(
      'place',
      `${basename(path)}: met a folder from which import … from 'blankoff/notebook' does not work, expected one with blankoff ` +
        `in its node_modules, or below such a folder: npm install it there, or make the notebook in ${relative(process.cwd(), packageFolder()) || 'this folder'}`,
    );
  }
}

/** What is open in a log, and which gauge is meant where several disagree. */
function openQuestions(log: GaugeLog, channel: string | undefined): readonly Question[] {
  const first = questionsFirst(log, channel);
  if (first.length > 0) return first;
  try {
    chooseChannel(log, channel);
    return [];
  } catch (error) {
    if (error instanceof QuestionError) return error.questions;
    throw error;
  }
}

/** The answers that were given, without those that were not. */
function answersGiven(reading: ReadOptions): ReadOptions {
  const entries = Object.entries(reading).filter(
    ([, value]) => value !== undefined && !(typeof value === 'object' && Object.keys(value).length === 0),
  );
  return Object.fromEntries(entries) as ReadOptions;
}
