import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  type Notebook,
  notebookText,
  plainTextOf,
  readNotebook,
} from '../../../kernel-helpers/command/headless/notebook-file';
import { parameterNames, setParameters } from '../../../kernel-helpers/command/headless/parameters';

const folder = mkdtempSync(join(tmpdir(), 'blankoff-test-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function read(text: string): Notebook {
  const path = join(folder, 'a.ipynb');
  writeFileSync(path, text);
  return readNotebook(path);
}

const notebook = (source: string, tags: string[] = []): Notebook => ({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [{ cell_type: 'code', id: 'c', metadata: { tags }, source, outputs: [], execution_count: null }],
});

describe('a notebook file', () => {
  it('is written with sorted keys and texts as lines, and read back the same', () => {
    const written = notebook('a\nb');
    written.cells[0].outputs = [
      { output_type: 'stream', name: 'stdout', text: 'x\ny\n' },
      { output_type: 'display_data', data: { 'text/plain': 'p\nq', 'a/json': [1, 'z'] }, metadata: {} },
    ];
    const text = notebookText(written);
    expect(text).toContain('"source": [\n    "a\\n",\n    "b"\n   ]');
    expect(text.indexOf('"cells"')).toBeLessThan(text.indexOf('"metadata"'));
    expect(notebookText(read(text))).toBe(text);
    expect(read(text).cells[0].outputs).toEqual(written.cells[0].outputs);
  });

  it('that is none is refused by name', () => {
    expect(() => read('plain text')).toThrow('a.ipynb: met "plain text", expected a notebook, which is JSON');
    expect(() => read('{"nbformat": 3}')).toThrow('a.ipynb: met format 3, expected a notebook of format 4');
    expect(() => read('null')).toThrow('expected a notebook of format 4');
    expect(() => readNotebook(join(folder, 'none.ipynb'))).toThrow(
      'none.ipynb: met no such file, expected a notebook (.ipynb); a path begins at the folder you are in',
    );
  });

  it.each([
    ['nothing', null],
    ['a text', 'x'],
    ['a cell of no kind', { source: 'x' }],
    ['a cell whose metadata are a number', { cell_type: 'code', metadata: 5 }],
    ['outputs that are a number', { cell_type: 'code', outputs: 7 }],
    ['an output that is nothing', { cell_type: 'code', outputs: [null] }],
    ['an output of no kind', { cell_type: 'code', outputs: [{ output_type: 'x' }] }],
    ['an output without data', { cell_type: 'code', outputs: [{ output_type: 'display_data', data: null }] }],
    ['an error without its lines', { cell_type: 'code', outputs: [{ output_type: 'error', ename: 'E' }] }],
  ])('with %s among its cells is refused by file and place', (_, cell) => {
    const cells = [{ cell_type: 'markdown', source: 'fine' }, cell];
    expect(() => read(JSON.stringify({ nbformat: 4, cells }))).toThrow(
      /^a\.ipynb: met .* in place 2 of its cells, expected a notebook of format 4$/,
    );
  });

  it('gives the texts of its tagged cells', () => {
    const shown = notebook('', ['finding']);
    shown.cells[0].outputs = [{ output_type: 'display_data', data: { 'text/plain': 'leak' }, metadata: {} }];
    expect(plainTextOf(shown, 'finding')).toBe('leak');
    expect(plainTextOf(shown, 'other')).toBe('');
  });
});

describe('parameters of a notebook', () => {
  const set = (book: Notebook, values: Record<string, string>): string =>
    setParameters(book, new Map(Object.entries(values))).cells[0].source;

  it('are the defaults of input() anywhere at the top level, and literals of the cell tagged parameters', () => {
    const inputs =
      "const volume = input('12 L', { unit: 'L' }), n = input(3);\nfunction f() { const x = input('no'); }";
    expect(parameterNames(notebook(inputs))).toEqual(['volume', 'n']);
    expect(
      parameterNames(notebook("const a = 'x'; let b = -2; const c = true; const d = f();", ['parameters'])),
    ).toEqual(['a', 'b', 'c']);
    expect(parameterNames(notebook("const a = 'x';"))).toEqual([]);
  });

  it('are replaced where they stand, and the rest of the cell is kept', () => {
    const source = "// the volume\nconst volume = input('12 L', { unit: 'L' }); // measured\nconst n = input(3);";
    expect(set(notebook(source), { volume: '8 L', n: '4' })).toBe(
      "// the volume\nconst volume = input('8 L', { unit: 'L' }); // measured\nconst n = input(4);",
    );
    expect(set(notebook('const on = false;', ['parameters']), { on: 'true' })).toBe('const on = true;');
  });

  it('cannot break out of their quotes', () => {
    expect(set(notebook("const a = input('x');"), { a: "'); process.exit(); ('\\\n" })).toBe(
      "const a = input('\\'); process.exit(); (\\'\\\\\\n');",
    );
  });

  it('that the notebook does not have are refused with the list of those it has', () => {
    expect(() => set(notebook("const volume = input('12 L');"), { volme: '8 L' })).toThrow(
      '--set: met "volme", expected one of volume',
    );
    expect(() => set(notebook('1 + 1'), { a: '1' })).toThrow('this notebook has no parameters');
  });

  it('of another kind than the notebook has are refused', () => {
    expect(() => set(notebook('const n = input(3);'), { n: 'three' })).toThrow(
      '--set n: met "three", expected a number, as in the notebook',
    );
    expect(() => set(notebook('const on = true;', ['parameters']), { on: 'yes' })).toThrow('expected true or false');
    expect(() => set(notebook("const volume = input('12 L', { label: 'volume' });"), { volume: 'apples' })).toThrow(
      '--set volume: met "apples", expected a value with its unit, such as 12 L',
    );
    expect(set(notebook("const plan = input('1 and 2', { text: true });"), { plan: 'all' })).toContain("input('all'");
  });
});
