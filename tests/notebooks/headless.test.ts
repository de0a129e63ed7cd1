import { describe, expect, it } from 'vitest';
import type { Notebook } from '../../kernel-helpers/command/headless/notebook-file';
import { type NotebookRun, runNotebook } from '../../kernel-helpers/command/headless/run-notebook';

const root = `${__dirname}/../..`;
const stock = { ...process.env, BLANKOFF_PLAIN: '1' };

function notebook(...sources: string[]): Notebook {
  const cells = sources.map((source, k) => ({
    cell_type: 'code' as const,
    id: `cell-${k}`,
    metadata: {},
    source,
  }));
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
}

const run = (sources: string[], cellLimitMs?: number): Promise<NotebookRun> =>
  runNotebook(notebook(...sources), { folder: `${root}/notebooks`, environment: stock, cellLimitMs });

const streams = (result: NotebookRun, cell: number): string[] =>
  (result.notebook.cells[cell].outputs ?? []).map((output) => (output.output_type === 'stream' ? output.text : ''));

/** On a real kernel, stock tslab, started for each of these. */
describe('running cells headless', () => {
  it('runs one after the other, keeps names, and collects prints and displays', async () => {
    const result = await run([
      'const a = 2;',
      "console.log(a + 1); console.error('careful');",
      "import { display } from 'tslab'; display.html('<b>x</b>'); a * 21",
    ]);
    expect(result.failure).toBeNull();
    expect(result.warnings).toEqual([]);
    expect(result.notebook.cells.map((cell) => cell.execution_count)).toEqual([1, 2, 3]);
    expect(streams(result, 1)).toEqual(['3\n', 'careful\n']);
    expect(result.notebook.cells[2].outputs).toEqual([
      { output_type: 'display_data', data: { 'text/html': '<b>x</b>' }, metadata: {} },
      { output_type: 'stream', name: 'stdout', text: '42\n' },
    ]);
  });

  it('stops at the first cell that throws, with its number, its line and the message', async () => {
    const result = await run(['1;', "const m = 'gauge is off';\n\nthrow new TypeError(m);", "console.log('never')"]);
    expect(result.failure).toEqual({ cell: 2, line: 3, message: 'TypeError: gauge is off' });
    expect(result.notebook.cells[2].outputs).toEqual([]);
    expect(result.notebook.cells[2].execution_count).toBeNull();
  });

  it('stops at a type error with its line', async () => {
    const result = await run(["const a = 1;\nconst b: number = 'x';"]);
    expect(result.failure).toEqual({
      cell: 1,
      line: 2,
      message: "Type 'string' is not assignable to type 'number'.",
    });
  });

  it('does not miss an error of a promise or of a timer', async () => {
    expect((await run(["await Promise.reject(new Error('later'));"])).failure?.message).toBe('Error: later');
    const timer = await run([
      "setTimeout(() => { throw new Error('late'); }, 5); 0",
      'await new Promise((r) => setTimeout(r, 80));',
    ]);
    // Stock tslab tells it in whichever cell it ran last.
    expect(timer.failure?.message).toBe('Error: late');
    expect([1, 2]).toContain(timer.failure?.cell);
  });

  it('says that the kernel ended, and with what', async () => {
    expect((await run(['process.exit(3);'])).failure).toEqual({
      cell: 1,
      line: null,
      message: 'the kernel ended (exit code 3)',
    });
  });

  it('gives up a cell that takes too long', async () => {
    const result = await run(['await new Promise(() => setInterval(() => 0, 1000));', '1'], 500);
    expect(result.failure).toEqual({ cell: 1, line: null, message: 'no end within 0.5 s' });
  });

  it('stops a cell that never yields: the kernel is ended', async () => {
    const result = await run(['for (;;) {}'], 500);
    expect(result.failure?.message).toBe('no end within 0.5 s');
  });

  it('says when stock tslab loses output in a burst, instead of waiting for ever', async () => {
    const result = await run(['for (let k = 0; k < 2000; k++) console.log(k);']);
    expect(result.failure).toBeNull();
    expect(result.warnings).toEqual([
      'cell 1: the kernel did not say that it was done; some of its output may be lost',
    ]);
  });

  it('leaves the notebook it was given as it was', async () => {
    const given = notebook('1');
    await runNotebook(given, { folder: `${root}/notebooks`, environment: stock });
    expect(given).toEqual(notebook('1'));
  });
});
