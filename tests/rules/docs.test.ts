import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
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
