import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { notebookText, readNotebook, tagsOf } from '../../kernel-helpers/command/headless/notebook-file';
import { parameterNames } from '../../kernel-helpers/command/headless/parameters';
import { readCell } from '../../kernel-helpers/kernel/read-cell';

const folder = resolve(__dirname, '../../notebooks');
const names = (readdirSync(folder, { recursive: true }) as string[])
  .filter((name) => name.endsWith('.ipynb') && !name.includes('.ipynb_checkpoints'))
  .sort();

it('the three forms that stock tslab mistranslates are noticed', () => {
  expect(readCell('f({ Q })').edits.length).toBeGreaterThan(0);
  expect(readCell('const { a: b } = r').edits.length).toBeGreaterThan(0);
  expect(readCell('await (f)(1)').edits.length).toBeGreaterThan(0);
  expect(readCell('const Q = 1; f({ Q }); const { a } = r; await f(1)').edits).toEqual([]);
});

describe.each(names)('%s', (name) => {
  const path = join(folder, name);
  const notebook = readNotebook(path);
  const code = notebook.cells.filter((cell) => cell.cell_type === 'code');

  it('begins with the import of blankoff/notebook, alone in its cell', () => {
    expect(code[0].source.trim()).toMatch(/^import \{[^}]*\} from 'blankoff\/notebook';$/);
    expect(code.filter((cell) => cell.source.includes("'blankoff/notebook'")).length).toBe(1);
  });

  it('avoids the three forms that stock tslab mistranslates', () => {
    expect(code.flatMap((cell) => (readCell(cell.source, tagsOf(cell)).edits.length > 0 ? [cell.source] : []))).toEqual(
      [],
    );
  });

  it('has one cell of parameters', () => {
    expect(code.filter((cell) => tagsOf(cell).includes('parameters')).length).toBe(1);
    expect(parameterNames(notebook).length).toBeGreaterThan(0);
  });

  it('is meant for tslab, and every cell has its own id', () => {
    expect(notebook.metadata.kernelspec).toEqual({ display_name: 'TypeScript', language: 'typescript', name: 'tslab' });
    const ids = notebook.cells.map((cell) => cell.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids).not.toContain(undefined);
  });

  it('is stored as it is written: keys sorted, no outputs of a half-done run', () => {
    expect(notebookText(notebook)).toBe(readFileSync(path, 'utf8'));
    const counts = code.map((cell) => cell.execution_count);
    expect(counts.every((count) => count === null) || counts.every((count, k) => count === k + 1)).toBe(true);
  });
});
