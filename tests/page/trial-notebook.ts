import { copyFileSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { notebookText } from '../../kernel-helpers/command/headless/notebook-file';

const root = join(__dirname, '../..');

/** Cells by id; the ones whose id begins with `text` are prose. */
export type TrialCells = Readonly<Record<string, string>>;

/** A notebook with everything that a page has to carry: each kind of input, charts, a brush, danfo, prints, an error. */
export const trialCells: TrialCells = {
  text: '# A trial of a page\n\nAn **invented** chamber; the log is the demo log.',
  tools:
    "import { analyse, formatInterval, input, intervalsChart, isolationChart, parseLimit, pressureChart, readLogFile, show, straightLine, toDataFrame } from 'blankoff/notebook';",
  known: [
    "const volume = input('12.4 L ± 5 %', { label: 'volume', min: '2 L', max: '40 L', step: 0.1 });",
    "const limit = input('1e-4 mbar L/s', { dimension: 'throughput', label: 'limit' });",
    "const gauge = input('thermal', { choices: ['thermal', 'capacitance'], label: 'gauge' });",
    "const wide = input(true, { label: 'wide table' });",
    "const remark = input('as found', { text: true, label: 'remark' });",
    "const breaks = input(0, { label: 'breaks' });",
    "const part = input([900, 1500], { label: 'stretch', unit: 's', min: 0, max: 9000 });",
  ].join('\n'),
  read: "const log = await readLogFile('log.csv');",
  analysis: 'const analysis = analyse(log, { volume: volume, gauge: gauge, limit: parseLimit("1e-4 mbar L/s") });',
  load: [
    'const rise = analysis.fits.isolations[1];',
    "show(formatInterval(rise.gasLoad!, 'mbar L/s'));",
    'show({ load: rise.gasLoad, rate: rise.rate, from: rise.windowS[0] });',
  ].join('\n'),
  leak: 'show({ leak: analysis.finding.realLeak, verdict: analysis.finding.verdict });',
  loads:
    "show(intervalsChart([{ name: 'gas load', estimate: rise.gasLoad! }], 'mbar L/s', { what: 'gas load', limit: limit.si }));",
  chart: "show(pressureChart(log, analysis.segmented, { unit: 'mbar', brush: 'part' }));",
  slope: [
    'const rows = Array.from(log.time.keys()).filter((row) =>',
    '  log.time[row] >= part[0] && log.time[row] <= part[1] && log.channels[0].flags[row] === 0);',
    'const line = straightLine(rows.map((row) => log.time[row]), rows.map((row) => log.channels[0].values[row]));',
    'show({ slope: line.slope });',
  ].join('\n'),
  finding: 'show(analysis.finding);',
  frame: "const frame = toDataFrame(log, { from: 20, to: 24 });\nshow(frame, { caption: 'a frame' });",
  framed: "show(['the frame has', frame.shape[0], 'rows'].join(' '));",
  prints: "console.log('printed', remark, wide);",
  breaks: [
    '// An error on the fourth line',
    'const sure: number = breaks;',
    '',
    "if (sure > 0) throw new Error('it broke');",
    "show('whole');",
  ].join('\n'),
  after: "show(['after', sure].join(' '));",
};

const TAGS: Readonly<Record<string, readonly string[]>> = { known: ['parameters'], found: ['finding'] };

/**
 * Writes a notebook and the demo log into a folder of its own in `out/page/`.
 * @param name of the folder
 * @param cells by id
 * @param log what the log holds; the demo log where absent
 * @returns the path of the notebook
 */
export function writeTrial(name: string, cells: TrialCells, log?: string): string {
  const folder = join(root, 'out', 'page', name);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  if (log === undefined) copyFileSync(join(root, 'datasets/failed-pump-down.csv'), join(folder, 'log.csv'));
  else writeFileSync(join(folder, 'log.csv'), log);
  const path = join(folder, `${name}.ipynb`);
  const list = Object.entries(cells).map(([id, source]) =>
    id.startsWith('text')
      ? { cell_type: 'markdown' as const, id, metadata: {}, source }
      : {
          cell_type: 'code' as const,
          id,
          metadata: TAGS[id] ? { tags: TAGS[id] } : {},
          source,
          outputs: [],
        },
  );
  const kernelspec = { name: 'tslab', display_name: 'TypeScript', language: 'typescript' };
  writeFileSync(path, notebookText({ cells: list, metadata: { kernelspec }, nbformat: 4, nbformat_minor: 5 }));
  return path;
}
