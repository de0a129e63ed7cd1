import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const text = (path: string): string => readFileSync(join(root, path), 'utf8');
const manifest = JSON.parse(text('package.json'));
const lock = JSON.parse(text('package-lock.json'));

describe('package.json', () => {
  it('names every package at an exact version, or a folder of this repository', () => {
    const wanted = Object.entries<string>({ ...manifest.dependencies, ...manifest.devDependencies });
    expect(wanted.length).toBeGreaterThan(10);
    const loose = wanted.filter(([, version]) => !/^(?:npm:[@\w/-]+@)?\d+\.\d+\.\d+$|^file:[\w./-]+$/.test(version));
    expect(loose).toEqual([]);
  });

  it('compiles declarations with the TypeScript of tslab', () => {
    const tslab = JSON.parse(text('node_modules/tslab/package.json'));
    expect(manifest.devDependencies.typescript).toBe(tslab.dependencies['@tslab/typescript-for-tslab']);
  });

  it('gives danfo our tensors as a direct dependency: as an override npm 10 leaves the link dangling', () => {
    expect(manifest.dependencies['@tensorflow/tfjs-node']).toBe('file:kernel-helpers/data-frames/tensor-shim');
    const shim = JSON.parse(text('kernel-helpers/data-frames/tensor-shim/package.json'));
    const danfo = JSON.parse(text('node_modules/danfojs-node/package.json'));
    expect(shim.name).toBe('@tensorflow/tfjs-node');
    const [major, minor] = danfo.dependencies['@tensorflow/tfjs-node'].replace('^', '').split('.').map(Number);
    const ours = shim.version.split('.').map(Number);
    expect(ours[0]).toBe(major);
    expect(ours[1]).toBeGreaterThanOrEqual(minor);
  });

  it('and the changelog and the citation have the same version', () => {
    expect(/^## (\S+)/m.exec(text('docs/changelog.md'))?.[1]).toBe(manifest.version);
    expect(/^version: (\S+)$/m.exec(text('CITATION.cff'))?.[1]).toBe(manifest.version);
  });
});

describe('package-lock.json', () => {
  it('belongs to package.json', () => {
    const own = lock.packages[''];
    expect(own.version).toBe(manifest.version);
    expect(own.dependencies).toEqual(manifest.dependencies);
    expect(own.devDependencies).toEqual(manifest.devDependencies);
  });

  it('names no server, so that each machine takes packages from its own registry', () => {
    const resolved = Object.values<{ resolved?: string }>(lock.packages).flatMap((entry) => entry.resolved ?? []);
    expect(resolved.filter((where) => /^[a-z+]+:/.test(where))).toEqual([]);
  });

  it('brings one zeromq and no TensorFlow', () => {
    const paths = Object.keys(lock.packages);
    expect(paths.filter((path) => /(?:^|\/)node_modules\/zeromq$/.test(path))).toEqual(['node_modules/zeromq']);
    expect(paths.filter((path) => path.includes('@tensorflow/'))).toEqual(['node_modules/@tensorflow/tfjs-node']);
  });
});

describe('the Python packages', () => {
  it('are pinned, every one', () => {
    const lines = text('kernel-helpers/set-up/requirements.txt')
      .split('\n')
      .filter((line) => line && !line.startsWith('#'));
    expect(lines.length).toBeGreaterThan(20);
    expect(lines.filter((line) => !/^[\w.-]+==[\w.]+$/.test(line))).toEqual([]);
  });
});
