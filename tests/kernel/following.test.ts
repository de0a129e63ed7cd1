// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { type FrontEnd, openNotebook } from './front-end';

const kit = `import { show, input, reactive } from 'blankoff/notebook';`;
let lab: FrontEnd;

/** Runs cells one after the other. */
async function runEach(cells: Record<string, string>): Promise<void> {
  for (const [cell, source] of Object.entries(cells)) await lab.run(cell, source);
}

beforeAll(async () => {
  lab = await openNotebook();
});
afterAll(() => lab.stop());

// Each test begins with an empty notebook, on the same kernel.
beforeEach(async () => {
  await lab.run('kit', kit, { deletedCells: lab.cells().filter((cell) => cell !== 'kit') });
});

describe('running a cell again', () => {
  it('runs what depends on it, and replaces the outputs of that in place', async () => {
    await runEach({ volume: 'const volume = 12;', rate: 'const rate = volume * 2; rate', print: 'console.log(rate);' });
    expect([lab.shows('rate'), lab.shows('print')]).toEqual([['24'], ['24\n']]);
    expect((await lab.run('volume', 'const volume = 8;')).status).toBe('ok');
    expect([lab.shows('rate'), lab.shows('print')]).toEqual([['16'], ['16\n']]);
  });

  it('works whichever stands first, and from inside functions and awaits', async () => {
    await runEach({ print: 'console.log(typeof late);', late: 'const late = 1;' });
    expect(lab.shows('print')).toEqual(['number\n']);
    await runEach({ f: 'const f = async () => late + 1;', g: 'const g = await f(); console.log(g);' });
    await lab.run('late', 'const late = 41;');
    expect(lab.shows('g')).toEqual(['42\n']);
  });

  it('lets outputs grow, shrink and vanish', async () => {
    await runEach({ n: 'const n = 1;', list: 'for (let i = 0; i < n; i++) show(`row ${i}`);' });
    await lab.run('n', 'const n = 3;');
    expect(lab.shows('list')).toEqual(['row 0', 'row 1', 'row 2']);
    await lab.run('n', 'const n = 0;');
    expect(lab.shows('list')).toEqual([]);
    await lab.run('n', 'const n = 2;');
    expect(lab.shows('list')).toEqual(['row 0', 'row 1']);
  });

  it('sends nothing where a dependent shows the same as before', async () => {
    await runEach({ n: 'const n = 1;', sign: 'console.log(n > 0);' });
    const sent = lab.messages.length;
    await lab.run('n', 'const n = 2;');
    expect(lab.messages.slice(sent).filter(({ type }) => type === 'clear_output')).toEqual([]);
    expect(lab.shows('sign')).toEqual(['true\n']);
  });

  it('checks types again where they changed, and says what no longer fits', async () => {
    await runEach({ a: 'const a: number = 1;', b: 'const b = a.toFixed(1); console.log(b);' });
    await lab.run('a', "const a: string = 'x';");
    expect(lab.shows('b')).toEqual([expect.stringMatching(/^TypeScript: line 1: Property 'toFixed' does not exist/)]);
    await lab.run('a', 'const a: number = 2;');
    expect(lab.shows('b')).toEqual(['2.0\n']);
  });

  it('does not run everything again when the import of the kit is run again', async () => {
    await lab.run('count', 'const count = { n: 0 }; show(String(++count.n));');
    await lab.run('kit', kit);
    expect(lab.shows('count')).toEqual(['1']);
  });

  it('understands forms that stock tslab mistranslates', async () => {
    await runEach({
      r: 'const r = { q: 3, unit: "Pa" }; const Q = 5; const twice = async (x: number) => 2 * x;',
      use: 'const { q: value } = r; console.log(JSON.stringify({ Q, value }));',
      wait: 'const doubled = await (twice)(Q); console.log(doubled);',
    });
    expect([lab.shows('use'), lab.shows('wait')]).toEqual([['{"Q":5,"value":3}\n'], ['10\n']]);
  });
});

describe('Run All in one burst', () => {
  const cells = {
    kit,
    a: 'const a = 1; console.log("ran a");',
    b: 'const b = a + 1; console.log("ran b");',
    c: 'console.log("ran c", a, b);',
  };

  it('runs each cell once, also the second time', async () => {
    await lab.runAll(cells);
    const before = lab.messages.length;
    await lab.runAll(cells);
    const printed = lab.messages.slice(before).filter(({ type }) => type === 'stream');
    expect(printed.map(({ content }) => content.text)).toEqual(['ran a\n', 'ran b\n', 'ran c 1 2\n']);
  });

  it('works where the first cell imports the kit and waits before', async () => {
    await lab.stop();
    lab = await openNotebook();
    await lab.runAll({ ...cells, kit: `await new Promise((r) => setTimeout(r, 50));\n${kit}` });
    await lab.run('a', 'const a = 10; console.log("ran a");');
    expect(lab.shows('c')).toEqual(['ran c 10 11\n']);
  });

  it('stops at an error, and what had not run yet runs the next time', async () => {
    const replies = await lab.runAll({ a: 'const a = 1;', bad: 'throw new Error("no");', c: 'console.log(a);' });
    expect(replies.map(({ status }) => status)).toEqual(['ok', 'error', 'aborted']);
    expect((await lab.run('c', 'console.log(a);')).status).toBe('ok');
    expect(lab.shows('c')).toEqual(['1\n']);
  });
});

describe('a rule that is broken', () => {
  it('is shown in the cells concerned, and mended by mending one', async () => {
    await runEach({ a: 'const a = 1;', use: 'console.log(a);' });
    const reply = await lab.run('again', 'const a = 2;');
    expect(reply.content).toMatchObject({ status: 'error', ename: 'not run' });
    expect(lab.shows('again')).toEqual(['not run: a is defined here and in cell a: keep one, or rename it']);
    expect(lab.shows('a')).toEqual(['not run: a is defined here and in cell again: keep one, or rename it']);
    expect(lab.shows('use')).toEqual(['not run: waits for a: cell a cannot be run']);
    await lab.run('again', 'const other = 2;');
    expect([lab.shows('a'), lab.shows('use'), lab.shows('again')]).toEqual([[], ['1\n'], []]);
  });

  it('is a name whose cell was deleted', async () => {
    await runEach({ a: 'const a = 1;', use: 'console.log(a);' });
    await lab.run('other', 'const other = 1;', { deletedCells: ['a'] });
    expect(lab.shows('use')).toEqual(['not run: a is gone: its cell (cell a) was deleted']);
  });

  it('is a circle', async () => {
    await runEach({ a: 'const a = 1;', b: 'const b = a;' });
    await lab.run('a', 'const a = b;');
    expect(lab.shows('a')[0]).toContain('in a circle: this cell needs b, cell b needs a');
    expect(lab.shows('b')[0]).toContain('in a circle: this cell needs a, cell a needs b');
    await lab.run('a', 'const a = 5;');
    expect([lab.shows('a'), lab.shows('b')]).toEqual([[], []]);
  });

  it('is an assignment to a name of another cell', async () => {
    await runEach({ a: 'let a = 1;', b: 'a = 2;' });
    expect(lab.shows('b')).toEqual(['not run: a is assigned here and belongs to cell a: assign it only there']);
  });

  it('is an input that is no const of its own', async () => {
    await lab.run('bad', '\nconst twice = 2 * Number(input(1));');
    expect(lab.shows('bad')[0]).toMatch(/^not run: line 2: input\(\) must be the whole initialiser/);
  });
});

describe('an error in a cell', () => {
  it('makes dependents wait, with a message that names it; all recovers when it is mended', async () => {
    await runEach({ a: 'const a = 1;', b: 'const b = a + 1;', c: 'console.log(b);' });
    await lab.run('a', 'const a = (() => { throw new RangeError("too far"); })();');
    expect(lab.shows('a')).toEqual(['RangeError: too far']);
    expect(lab.shows('b')).toEqual(['not run: waits for a: cell a failed']);
    expect(lab.shows('c')).toEqual(['not run: waits for b: cell b waits itself']);
    await lab.run('a', 'const a = 7;');
    expect([lab.shows('a'), lab.shows('b'), lab.shows('c')]).toEqual([[], [], ['8\n']]);
  });

  it('of a dependent is shown in the dependent, and its own cell stays well', async () => {
    await runEach({ a: 'const a = 1;', b: 'if (a > 5) throw new Error(`a is ${a}`); console.log(a);' });
    expect((await lab.run('a', 'const a = 9;')).status).toBe('ok');
    expect(lab.shows('b')).toEqual(['Error: a is 9']);
    await lab.run('a', 'const a = 2;');
    expect(lab.shows('b')).toEqual(['2\n']);
  });
});

describe('a run that is overtaken', () => {
  it('drops what it prints and defines, and starts again', async () => {
    await runEach({
      pause: 'const pause = (ms: number) => new Promise((r) => setTimeout(r, ms));',
      a: 'const a = 1;',
      slow: 'const mine = a; await pause(400); const result = mine * 10; console.log(result);',
      end: 'console.log("end", result);',
    });
    const first = lab.run('a', 'const a = 2;');
    await new Promise((resume) => setTimeout(resume, 200));
    const second = lab.run('a', 'const a = 3;');
    await Promise.all([first, second]);
    expect([lab.shows('slow'), lab.shows('end')]).toEqual([['30\n'], ['end 30\n']]);
    expect(lab.messages.some(({ content }) => String(content.text).includes('20'))).toBe(false);
    await new Promise((resume) => setTimeout(resume, 300));
    await lab.run('late', 'console.log("late", result);');
    expect(lab.shows('late')).toEqual(['late 30\n']);
  });
});

describe('a cell that is run by hand', () => {
  it('shows that it is stale, until it is run', async () => {
    await runEach({ a: 'const a = 1;', b: '// by hand\nconst b = a; console.log(b);', c: 'console.log("c", b);' });
    await lab.run('a', 'const a = 2;');
    expect(lab.shows('b')).toEqual(['1\n', 'stale: what this cell uses has changed; run it to follow']);
    expect(lab.shows('c')).toEqual(['c 1\n']);
    await lab.run('b', '// by hand\nconst b = a; console.log(b);');
    expect([lab.shows('b'), lab.shows('c')]).toEqual([['2\n'], ['c 2\n']]);
  });

  it('can be marked by a tag instead', async () => {
    await lab.run('a', 'const a = 1;');
    await lab.run('b', 'console.log(a);', { tags: ['by-hand'] });
    await lab.run('a', 'const a = 2;');
    expect(lab.shows('b')[0]).toBe('1\n');
  });
});

describe('reactive(false)', () => {
  it('switches all following off, and true on again', async () => {
    await runEach({ a: 'const a = 1;', b: 'console.log(a);', off: 'reactive(false);' });
    await lab.run('a', 'const a = 2;');
    expect(lab.shows('b')).toEqual(['1\n']);
    await lab.run('off', 'reactive(true);');
    await lab.until(() => lab.shows('b')[0] === '2\n', 'b follows again');
  });
});

describe('what is not as usual', () => {
  it('names that were defined before the import are said not to be followed, until their cell runs again', async () => {
    await lab.stop();
    lab = await openNotebook();
    await runEach({ early: 'const early = 1;', kit, use: 'console.log(early);' });
    expect(lab.shows('use')).toEqual(['1\n', expect.stringContaining('early: defined before blankoff/notebook')]);
    await lab.run('early', 'const early = 2;');
    expect(lab.shows('use')).toEqual(['2\n']);
  });

  it('cells without an id run once each; a redefinition says what cannot follow', async () => {
    const bare = (source: string): Promise<unknown> => lab.run(source, source, { cellId: undefined });
    await bare('const bare = 1;');
    await bare('console.log("bare", bare);');
    await bare('const bare = 2; console.log("again");');
    expect(lab.shows('console.log("bare", bare);')).toEqual(['bare 1\n']);
    expect(lab.shows('const bare = 2; console.log("again");')).toEqual([
      'again\n',
      'cell console.log("bare", bare);: stale, and cannot follow, because this front end gives cells no ids\n',
    ]);
  });

  it('a page that was loaded anew is told which outputs are stale, and Run All restores them', async () => {
    await runEach({ a: 'const a = 1;', b: 'console.log(a);' });
    lab.reload();
    await lab.run('a', 'const a = 2;');
    expect(lab.shows('a')).toEqual([expect.stringMatching(/^cell b: what is shown is stale, .*Run All restores it$/)]);
    await lab.runAll({ kit, a: 'const a = 2;', b: 'console.log(a);' });
    expect([lab.shows('a'), lab.shows('b')]).toEqual([[], ['2\n']]);
  });
});
