// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type FrontEnd, openNotebook } from './front-end';

let lab: FrontEnd;

beforeAll(async () => {
  lab = await openNotebook();
  await lab.run('kit', `import { show, input } from 'blankoff/notebook';`);
});
afterAll(() => lab.stop());

describe('a notebook of 200 cells', () => {
  it('in a chain follows to its end', async () => {
    const cells: Record<string, string> = { c0: 'const n0 = 1;' };
    for (let i = 1; i < 200; i++) cells[`c${i}`] = `const n${i} = n${i - 1} + 1;`;
    cells.c199 += ' console.log(n199);';
    await lab.runAll(cells);
    expect(lab.shows('c199')).toEqual(['200\n']);
    const began = Date.now();
    await lab.run('c0', 'const n0 = 1001;');
    expect(lab.shows('c199')).toEqual(['1200\n']);
    expect(Date.now() - began).toBeLessThan(10_000);
  }, 120_000);

  it('in a fan follows in all of them, once each', async () => {
    const cells: Record<string, string> = { hub: 'const hub = input(1, { min: 0, max: 2000 });' };
    for (let i = 1; i < 200; i++) cells[`f${i}`] = `console.log("f${i}", hub);`;
    await lab.runAll(cells);
    const before = lab.messages.length;
    await lab.run('hub', 'const hub = input(7, { min: 0, max: 2000 });');
    for (let i = 1; i < 200; i++) expect(lab.shows(`f${i}`)).toEqual([`f${i} 7\n`]);
    const printed = lab.messages.slice(before).filter(({ type }) => type === 'stream');
    expect(printed.length).toBe(199);
  }, 120_000);
});

describe('1000 runs of a cell and its dependents', () => {
  it('leave the heap flat', async () => {
    await lab.run(
      'memory',
      `const collect = (): number => {
      const v8 = require('node:v8'); const vm = require('node:vm');
      v8.setFlagsFromString('--expose-gc');
      vm.runInNewContext('gc')();
      return process.memoryUsage().heapUsed / 1e6;
    };`,
    );
    await lab.run('tick', 'const tick = 0;');
    await lab.run('rows', 'const rows = Array.from({ length: 1000 }, (_, i) => ({ i, tick }));');
    await lab.run('seen', 'show(`${rows.length} rows at ${tick}`);');
    const heap = async (): Promise<number> => {
      await lab.run('heap', 'console.log(collect());');
      return Number(lab.shows('heap')[0]);
    };
    const rerun = async (times: number): Promise<void> => {
      for (let i = 0; i < times; i++) await lab.run('tick', 'const tick = Math.random();');
    };
    await rerun(200);
    const before = await heap();
    await rerun(1000);
    const after = await heap();
    // A kept run would weigh at least its 1000 rows, some 50 kB: 50 MB in all.
    expect(after - before).toBeLessThan(5);
  }, 240_000);
});
