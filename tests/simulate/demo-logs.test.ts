import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { demoLogs, textOf, truthOf } from '../../datasets/scenario';

const folder = join(__dirname, '../../datasets');
const read = (path: string): Buffer => readFileSync(join(folder, path));

interface Resource {
  readonly path: string;
  readonly bytes: number;
  readonly hash: string;
  readonly title: string;
  readonly description: string;
  readonly dialect?: { readonly delimiter: string };
  readonly schema?: {
    readonly fields: readonly { readonly name: string; readonly type: string; readonly unit: string }[];
  };
}

const datapackage = JSON.parse(read('datapackage.json').toString('utf8')) as {
  readonly resources: readonly Resource[];
};
const demos = demoLogs();

describe('demo logs', () => {
  it('the data package lists every file with its bytes and hash, and says that it is invented', () => {
    expect(datapackage.resources.map((r) => r.path)).toEqual([...demos.map((demo) => demo.path), 'truth.json']);
    for (const { path, bytes, hash, title, description } of datapackage.resources) {
      const file = read(path);
      expect(file.length).toBe(bytes);
      expect(hash).toBe(`sha256:${createHash('sha256').update(file).digest('hex')}`);
      expect(`${title} ${description}`).toContain('invented');
    }
  });

  for (const demo of demos) {
    it(`${demo.path}: the script gives what is stored, and its fields are those of the header`, () => {
      const stored = read(demo.path).toString('utf8').split('\n');
      const made = textOf(demo).split('\n');
      expect(stored[0]).toContain('Invented data');
      expect(made.length).toBe(stored.length);
      // Another version of the engine may round the last digit of an exponential otherwise.
      const different = made.filter((line, i) => line !== stored[i]).length;
      expect(different).toBeLessThan(stored.length / 500);
      const resource = datapackage.resources.find((r) => r.path === demo.path)!;
      const header = stored.find((line) => !line.startsWith('#'))!;
      expect(resource.schema!.fields.map((field) => field.name)).toEqual(header.split(resource.dialect!.delimiter));
    });
  }

  it('the truth is stored beside them', () => {
    const stored = JSON.parse(read('truth.json').toString('utf8')) as Record<string, { readonly segments: unknown[] }>;
    const made = truthOf(demos) as typeof stored;
    expect(Object.keys(stored)).toEqual(Object.keys(made));
    for (const path of Object.keys(made)) expect(stored[path].segments.length).toBe(made[path].segments.length);
  });

  it('the failed pump-down is what its title says: a leak sets the floor, outgassing fades', () => {
    const { truth, log } = demos[0].simulation;
    const isolations = truth.segments.filter((segment) => segment.kind === 'isolation');
    expect(isolations.map((segment) => segment.endS - segment.startS)).toEqual([600, 600, 600]);
    const shares = isolations.map(
      ({ byCause }) => byCause['real leak']! / (byCause['real leak']! + byCause.outgassing!),
    );
    expect(shares[0]).toBeLessThan(shares[1]);
    expect(shares[1]).toBeLessThan(shares[2]);
    expect(shares[2]).toBeGreaterThan(0.9);
    expect(log.channels[0].flags[0]).toBeGreaterThan(0);
    expect(truth.pa[truth.pa.length - 1]).toBeGreaterThan(5);
  });
});
