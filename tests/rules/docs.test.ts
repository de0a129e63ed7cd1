import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const docs = resolve(__dirname, '../../docs');
const pages = readdirSync(docs).filter((name) => name.endsWith('.md'));
const linksOf = (page: string): string[] =>
  [...readFileSync(join(docs, page), 'utf8').matchAll(/\]\(([^)#\s]+)(?:#[^)]*)?\)/g)]
    .map(([, target]) => target)
    .filter((target) => !/^[a-z]+:/.test(target));

describe('the docs', () => {
  it('are all in the index, one line each', () => {
    const named = linksOf('README.md');
    expect(pages.filter((page) => page !== 'README.md' && !named.includes(page))).toEqual([]);
    expect(new Set(named).size).toBe(named.length);
  });

  it.each(pages)('%s links to what is there', (page) => {
    expect(linksOf(page).filter((target) => !existsSync(join(docs, target)))).toEqual([]);
  });
});

describe('the page for teachers', () => {
  it('names every notebook of the course, and only those', () => {
    const text = readFileSync(join(docs, 'teaching.md'), 'utf8');
    const course = readdirSync(resolve(docs, '../notebooks/course')).filter((name) => name.endsWith('.ipynb'));
    const named = [...text.matchAll(/^\| `([\w-]+)` \|/gm)].map(([, name]) => `${name}.ipynb`);
    expect(named.sort()).toEqual(course.sort());
  });
});

/** What a page imports from the notebook door, and the functions that its code calls by name. */
function importsAndCalls(code: string): { readonly imported: string[]; readonly called: string[] } {
  const [imported, own, called] = [new Set<string>(), new Set<string>(), new Set<string>()];
  const visit = (node: ts.Node): void => {
    if (ts.isImportSpecifier(node)) imported.add(node.name.text);
    if ((ts.isVariableDeclaration(node) || ts.isFunctionDeclaration(node)) && node.name && ts.isIdentifier(node.name))
      own.add(node.name.text);
    if (ts.isCallExpression(node) && ts.isIdentifier(node.expression)) called.add(node.expression.text);
    node.forEachChild(visit);
  };
  visit(ts.createSourceFile('page.ts', code, ts.ScriptTarget.ES2022));
  return { imported: [...imported], called: [...called].filter((name) => !own.has(name)) };
}

describe('code on pages that import from blankoff/notebook', () => {
  const root = resolve(docs, '..');
  const withImport = ['README.md', ...pages.map((page) => `docs/${page}`)]
    .map((page) => ({ page, text: readFileSync(join(root, page), 'utf8') }))
    .filter(({ text }) => text.includes("from 'blankoff/notebook'"));

  /** What the kernel itself gives to a cell. */
  const ofKernel = ['reactive'];

  it('is found', () => {
    expect(withImport.map(({ page }) => page)).toContain('README.md');
  });

  it.each(withImport)('of $page imports what it calls, and only what there is', async ({ text }) => {
    const blocks = [...text.matchAll(/```ts\n([\s\S]*?)```/g)].map(([, block]) => block);
    const inline = [...text.replace(/```[\s\S]*?```/g, '').matchAll(/`([a-z]\w*\([^`]*\))`/g)].map(([, code]) => code);
    const { imported, called } = importsAndCalls(blocks.join('\n;'));
    const door: Record<string, unknown> = await import('../../kernel-helpers/notebook');
    const told = importsAndCalls(inline.join('\n;')).called.filter((name) => door[name] !== undefined);
    const known = [...imported, ...ofKernel];
    expect([...called, ...told].filter((name) => !known.includes(name))).toEqual([]);
    expect(imported.filter((name) => door[name] === undefined)).toEqual([]);
  });
});
