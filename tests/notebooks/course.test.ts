import { dirname, join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readNotebook } from '../../kernel-helpers/command/headless/notebook-file';
import { setParameters } from '../../kernel-helpers/command/headless/parameters';
import { runNotebook } from '../../kernel-helpers/command/headless/run-notebook';

const names = ['1-what-a-pump-down-says', '2-leak-or-outgassing', '3-the-gauge-lies', '4-a-virtual-leak'];
const folder = resolve(__dirname, '../../notebooks/course');

/** What a notebook of the course shows, as text, with some of its controls set. */
async function shown(name: string, values: Readonly<Record<string, string>>): Promise<string> {
  const path = join(folder, `${name}.ipynb`);
  const notebook = setParameters(readNotebook(path), new Map(Object.entries(values)));
  const run = await runNotebook(notebook, { folder: dirname(path) });
  expect(run.failure).toBeNull();
  return run.notebook.cells
    .flatMap((cell) => cell.outputs ?? [])
    .map((output) => ('data' in output ? [output.data['text/plain']].flat().join('') : ''))
    .join('\n');
}

/** Numbers of the row that begins with these words. */
function row(text: string, words: string): number[] {
  const line = text.split('\n').find((one) => one.includes(words));
  if (!line) throw new Error(`no row "${words}"`);
  const after = line.slice(line.indexOf(words) + words.length);
  return [...after.matchAll(/-?\d+(?:\.\d+)?(?:e-?\d+)?/g)].map(([number]) => Number(number));
}

const close = (value: number, expected: number, relative: number): void => {
  expect(Math.abs(value / expected - 1), `${value}, expected ${expected}`).toBeLessThan(relative);
};

describe('the course', { timeout: 120_000 }, () => {
  it.each(names)('%s keeps its answers to itself until they are asked for', (name) => {
    const { cells } = readNotebook(join(folder, `${name}.ipynb`));
    const answering = cells.filter((cell) => cell.cell_type === 'code' && /[Aa]nswer \d/.test(cell.source));
    expect(answering.length).toBeGreaterThanOrEqual(4);
    expect(answering.filter((cell) => !/\banswers\b/.test(cell.source))).toEqual([]);
    expect(cells.some((cell) => /^const answers = input\(false,/m.test(cell.source))).toBe(true);
  });

  it('does not answer before it is asked', async () => {
    const text = await shown('4-a-virtual-leak', {});
    expect(text).not.toMatch(/[Aa]nswer \d/);
    expect(text).toMatch(/Question 4: think first/);
  });

  it('1: a factor of ten takes V/S ln 10, and the load at the end is leak and walls together', async () => {
    const text = await shown('1-what-a-pump-down-says', { answers: 'true', volume: '30 L', speed: '3 L/s' });
    close(row(text, '100 to 10 mbar, worked out: V/S times ln 10')[0], 10 * Math.LN10, 5e-3);
    close(row(text, '100 to 10 mbar, in the record')[0], 10 * Math.LN10, 0.1);
    const [sum] = row(text, 'answer 2: speed times (end pressure less ultimate)');
    const [leak] = row(text, 'answer 3, the truth of the simulation: leak');
    const [walls] = row(text, 'answer 3, the truth of the simulation: walls');
    close(leak, 2e-4, 0.01);
    close(sum, leak + walls, 0.05);
  });

  it('2: two rises part the leak from the walls', async () => {
    const text = await shown('2-leak-or-outgassing', { answers: 'true', leak: '3e-4 mbar L/s' });
    const [solvedLeak, leak] = row(text, 'leak L');
    close(leak, 3e-4, 0.01);
    close(solvedLeak, leak, 0.1);
    const [solvedWalls, walls] = row(text, 'walls W after one hour');
    close(solvedWalls, walls, 0.1);
    // calc: V p (dT/dt)/T with 20 L, 0.1 mbar and 1 K an hour at 293.15 K is 1.895e-6 mbar L/s.
    expect(text).toMatch(/0\.1\s.*1\.9e-6 mbar L\/s/);
  });

  it('3: the drift of a zero is a leak in proportion to the volume, and two gauges tell the gas', async () => {
    const text = await shown('3-the-gauge-lies', { answers: 'true', gas: 'He' });
    expect(text).toMatch(/0\.48 mbar/);
    expect(text).toMatch(/2\.8e-6 mbar L\/s/);
    expect(text).toMatch(/2\.8e-4 mbar L\/s/);
    expect(text).toMatch(/A .*1\.6.*water vapour/);
    expect(text).toMatch(/B .*1\.0.*air or the like/);
  });

  it('4: the time constant comes out of two rates, and the verdict is a virtual leak', async () => {
    const text = await shown('4-a-virtual-leak', { answers: 'true' });
    close(row(text, 'worked out from the two rates')[0], 60, 0.1);
    close(row(text, 'of the pocket behind its path, exact')[0], 60, 0.01);
    close(row(text, 'rise in the end, V_t p_t/V')[0], 0.25e-3 * 1013.25 * Math.exp(-0.5), 0.01);
    expect(text).toMatch(/verdict\s+virtual leak/);
    for (let question = 1; question <= 4; question++) expect(text).toContain(`Answer ${question}`);
  });
});
