import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
/** Folders of `src/` from the ground up: a folder imports only from those before it. */
const order = [
  'units',
  'numerics',
  'gases',
  'flow',
  'gauges',
  'log',
  'segments',
  'gas-loads',
  'simulate',
  'fits',
  'causes',
  'charts',
  'worksheet',
  'investigation',
];

function sourceFiles(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? sourceFiles(path) : path.endsWith('.ts') ? [path] : [];
  });
}

const imports = sourceFiles(join(root, 'src')).flatMap((file) =>
  [...readFileSync(file, 'utf8').matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((m) => ({
    file: relative(root, file),
    from: file,
    to: m[1],
  })),
);

describe('imports', () => {
  it('of src/ point only to folders before their own in the order of the house', () => {
    expect(imports.length).toBeGreaterThan(5);
    const wrong = imports.filter(({ from, to }) => {
      if (!to.startsWith('.')) return false;
      const here = relative(join(root, 'src'), from).split('/')[0];
      const there = relative(join(root, 'src'), resolve(dirname(from), to)).split('/')[0];
      return order.includes(here) && order.includes(there) && order.indexOf(there) > order.indexOf(here);
    });
    expect(wrong.map(({ file, to }) => `${file} imports ${to}`)).toEqual([]);
  });

  it('of src/ never reach Node or the kernel helpers', () => {
    const wrong = imports.filter(({ to }) => to.startsWith('node:') || to.includes('kernel-helpers'));
    expect(wrong.map(({ file, to }) => `${file} imports ${to}`)).toEqual([]);
  });
});
